-- The studio's book. Figures are text as they were typed; NULL is "not stated".
-- Positions count from 1 and keep the order in which things were listed.

CREATE TABLE import (
  number  INTEGER PRIMARY KEY,
  at      TEXT    NOT NULL,  -- 2026-11-25T09:30:00Z
  kind    TEXT    NOT NULL CHECK (kind IN ('merge', 'replace')),
  file    TEXT    NOT NULL,
  added   INTEGER NOT NULL,  -- objects
  changed INTEGER NOT NULL,
  same    INTEGER NOT NULL,
  removed INTEGER NOT NULL,
  prices  INTEGER NOT NULL   -- dated prices added
) STRICT;

CREATE TABLE studio (
  id                 INTEGER PRIMARY KEY CHECK (id = 1),
  name               TEXT NOT NULL,
  address            TEXT,
  email              TEXT,
  phone              TEXT,
  locale             TEXT,
  currency           TEXT NOT NULL CHECK (length(currency) = 3),
  household          TEXT CHECK (household IN ('metric', 'us')),
  recovers_tax       INTEGER CHECK (recovers_tax IN (0, 1)),
  prices_shown       TEXT CHECK (prices_shown IN ('gross', 'net')),
  tax_rate           TEXT CHECK (tax_rate GLOB '[0-9]* %'),  -- NULL: charges no tax
  tax_label          TEXT,
  tax_number         TEXT,
  tax_by             TEXT CHECK (tax_by IN ('document', 'line')),
  price_step         TEXT CHECK (price_step NOT GLOB '*[^0-9.]*'),
  minimum_order      TEXT CHECK (minimum_order NOT GLOB '*[^0-9.]*'),
  target_margin      TEXT CHECK (target_margin GLOB '[0-9]* %'),
  target_markup      TEXT CHECK (target_markup GLOB '[0-9]* %'),
  target_per_portion TEXT CHECK (target_per_portion NOT GLOB '*[^0-9.]*'),
  target_fixed       TEXT CHECK (target_fixed NOT GLOB '*[^0-9.]*'),
  floor_margin       TEXT CHECK (floor_margin GLOB '[0-9]* %'),
  allergen_list      TEXT,
  quote_stated       INTEGER NOT NULL CHECK (quote_stated IN (0, 1)),
  quote_valid_days   INTEGER,
  quote_deposit      TEXT CHECK (quote_deposit GLOB '[0-9]* %'),
  CHECK ((target_margin IS NOT NULL) + (target_markup IS NOT NULL)
       + (target_per_portion IS NOT NULL) + (target_fixed IS NOT NULL) = 1),
  CHECK (tax_rate IS NOT NULL OR (tax_label IS NULL AND tax_number IS NULL AND tax_by IS NULL)),
  CHECK (quote_stated OR (quote_valid_days IS NULL AND quote_deposit IS NULL))
) STRICT;

CREATE TABLE studio_instalment (
  position    INTEGER PRIMARY KEY,
  share       TEXT    NOT NULL CHECK (share GLOB '[0-9]* %'),
  days_before INTEGER NOT NULL
) STRICT;

CREATE TABLE studio_term (
  position INTEGER PRIMARY KEY,
  text     TEXT NOT NULL
) STRICT;

CREATE TABLE overhead (
  id     INTEGER PRIMARY KEY CHECK (id = 1),
  method TEXT NOT NULL CHECK (method IN ('labour hour', 'percent', 'cake')),
  hours  TEXT CHECK (hours GLOB '[0-9]* *')
) STRICT;

CREATE TABLE item (
  -- Ingredients, their parts, components, roles and equipment share one space of ids.
  id   TEXT PRIMARY KEY CHECK (id <> '' AND id NOT GLOB '*[^a-z0-9-]*' AND id NOT IN ('energy', 'overhead')),
  kind TEXT NOT NULL CHECK (kind IN ('ingredient', 'part', 'component', 'role', 'equipment'))
) STRICT, WITHOUT ROWID;

CREATE TABLE role (
  id         TEXT PRIMARY KEY REFERENCES item ON DELETE CASCADE,
  position   INTEGER NOT NULL,
  name       TEXT NOT NULL,
  on_cost    TEXT CHECK (on_cost GLOB '[0-9]* %'),
  productive TEXT CHECK (productive GLOB '[0-9]* %')
) STRICT, WITHOUT ROWID;

CREATE TABLE equipment (
  id       TEXT PRIMARY KEY REFERENCES item ON DELETE CASCADE,
  position INTEGER NOT NULL,
  name     TEXT NOT NULL,
  power    TEXT CHECK (power GLOB '[0-9]* *'),
  duty     TEXT CHECK (duty GLOB '[0-9]* %'),
  per_hour TEXT CHECK (per_hour NOT GLOB '*[^0-9.]*')
) STRICT, WITHOUT ROWID;

CREATE TABLE ingredient (
  id               TEXT PRIMARY KEY REFERENCES item ON DELETE CASCADE,
  position         INTEGER NOT NULL,
  name             TEXT NOT NULL,
  kind             TEXT CHECK (kind IN ('ingredient', 'packaging')),
  category         TEXT,
  measure          TEXT NOT NULL CHECK (measure IN ('mass', 'volume', 'count', 'length', 'area')),
  density          TEXT CHECK (density GLOB '[0-9]* g/ml'),
  each             TEXT CHECK (each GLOB '[0-9]* *'),
  trim_yield       TEXT CHECK (trim_yield GLOB '[0-9]* %'),
  supplier         TEXT,
  allergens_stated INTEGER NOT NULL CHECK (allergens_stated IN (0, 1))  -- 1 without rows in allergen: none
) STRICT, WITHOUT ROWID;

CREATE TABLE ingredient_part (
  ingredient TEXT    NOT NULL REFERENCES ingredient ON DELETE CASCADE,
  position   INTEGER NOT NULL,
  id         TEXT    NOT NULL UNIQUE REFERENCES item,
  name       TEXT    NOT NULL,
  mass       TEXT    NOT NULL CHECK (mass GLOB '[0-9]* *'),
  PRIMARY KEY (ingredient, position)
) STRICT, WITHOUT ROWID;

CREATE TABLE allergen (
  ingredient TEXT    NOT NULL REFERENCES ingredient ON DELETE CASCADE,
  degree     TEXT    NOT NULL CHECK (degree IN ('contains', 'may contain')),
  position   INTEGER NOT NULL,
  allergen   TEXT    NOT NULL,
  PRIMARY KEY (ingredient, degree, position)
) STRICT, WITHOUT ROWID;

CREATE TABLE flag (
  item     TEXT    NOT NULL REFERENCES item ON DELETE CASCADE,  -- an ingredient or component
  position INTEGER NOT NULL,
  flag     TEXT    NOT NULL,
  PRIMARY KEY (item, position)
) STRICT, WITHOUT ROWID;

CREATE TABLE component (
  id        TEXT PRIMARY KEY REFERENCES item ON DELETE CASCADE,
  position  INTEGER NOT NULL,
  name      TEXT NOT NULL,
  kind      TEXT,
  loss      TEXT CHECK (loss GLOB '[0-9]* %'),
  yield     TEXT CHECK (yield GLOB '[0-9]* *'),
  density   TEXT CHECK (density GLOB '[0-9]* g/ml'),
  batch_min TEXT CHECK (batch_min GLOB '[0-9]* *'),
  batch_max TEXT CHECK (batch_max GLOB '[0-9]* *'),
  keeps     TEXT CHECK (keeps GLOB '[0-9]* *'),
  method    TEXT
) STRICT, WITHOUT ROWID;

CREATE TABLE mould (
  component TEXT PRIMARY KEY REFERENCES component ON DELETE CASCADE,
  shape     TEXT NOT NULL,
  diameter  TEXT,
  side      TEXT,
  length    TEXT,
  width     TEXT,
  area      TEXT,
  perimeter TEXT,
  height    TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE line (
  component TEXT    NOT NULL REFERENCES component ON DELETE CASCADE,
  position  INTEGER NOT NULL,
  use       TEXT    NOT NULL REFERENCES item,
  qty       TEXT    NOT NULL CHECK (qty GLOB '[0-9]* *'),
  note      TEXT,
  PRIMARY KEY (component, position)
) STRICT, WITHOUT ROWID;
CREATE INDEX line_use ON line (use);

CREATE TABLE cake (
  id                 TEXT PRIMARY KEY CHECK (id <> '' AND id NOT GLOB '*[^a-z0-9-]*'),
  position           INTEGER NOT NULL,
  name               TEXT NOT NULL,
  description        TEXT,
  price              TEXT CHECK (price NOT GLOB '*[^0-9.]*'),
  target_margin      TEXT CHECK (target_margin GLOB '[0-9]* %'),
  target_markup      TEXT CHECK (target_markup GLOB '[0-9]* %'),
  target_per_portion TEXT CHECK (target_per_portion NOT GLOB '*[^0-9.]*'),
  target_fixed       TEXT CHECK (target_fixed NOT GLOB '*[^0-9.]*'),
  tax_rate           TEXT CHECK (tax_rate GLOB '[0-9]* %'),
  portion_cut        TEXT CHECK (portion_cut IN ('finger', 'wedge')),
  portion_width      TEXT,
  portion_depth      TEXT,
  portion_count      INTEGER,
  portions           INTEGER,  -- of a cake without tiers
  CHECK ((target_margin IS NOT NULL) + (target_markup IS NOT NULL)
       + (target_per_portion IS NOT NULL) + (target_fixed IS NOT NULL) <= 1)
) STRICT, WITHOUT ROWID;

CREATE TABLE tier (
  cake          TEXT    NOT NULL REFERENCES cake ON DELETE CASCADE,
  position      INTEGER NOT NULL,
  name          TEXT    NOT NULL,
  shape         TEXT    NOT NULL,
  diameter      TEXT,
  side          TEXT,
  length        TEXT,
  width         TEXT,
  area          TEXT,
  perimeter     TEXT,
  height        TEXT    NOT NULL,
  dummy         INTEGER CHECK (dummy IN (0, 1)),
  kept          INTEGER CHECK (kept IN (0, 1)),
  portion_cut   TEXT    CHECK (portion_cut IN ('finger', 'wedge')),
  portion_width TEXT,
  portion_depth TEXT,
  portion_count INTEGER,
  portions      INTEGER,
  PRIMARY KEY (cake, position)
) STRICT, WITHOUT ROWID;

CREATE TABLE compiled (
  -- What a cake takes, worked out from the recipes by each import that changes
  -- them, so that costing many cakes need not read every recipe. The bill has a
  -- line each: kind, resource, unit, quantity at 12 decimals, and the quantity
  -- as a fraction where that is not exact.
  cake            TEXT    PRIMARY KEY REFERENCES cake ON DELETE CASCADE,
  portions_made   INTEGER NOT NULL,
  portions_served INTEGER NOT NULL,
  engine          INTEGER NOT NULL,  -- the edition of the costing that worked it out
  bill            TEXT    NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE extra (
  id           TEXT PRIMARY KEY CHECK (id <> '' AND id NOT GLOB '*[^a-z0-9-]*'),
  position     INTEGER NOT NULL,
  name         TEXT NOT NULL,
  always       INTEGER CHECK (always IN (0, 1)),
  hidden       INTEGER CHECK (hidden IN (0, 1)),
  price        TEXT CHECK (price NOT GLOB '*[^0-9.]*'),
  price_per_km TEXT CHECK (price_per_km NOT GLOB '*[^0-9.]*'),
  tax_rate     TEXT CHECK (tax_rate GLOB '[0-9]* %')
) STRICT, WITHOUT ROWID;

CREATE TABLE part (
  -- What a cake as a whole (tier NULL), one of its tiers, or an extra uses.
  cake     TEXT REFERENCES cake ON DELETE CASCADE,
  tier     INTEGER,  -- position of the tier
  extra    TEXT REFERENCES extra ON DELETE CASCADE,
  position INTEGER NOT NULL,
  use      TEXT NOT NULL REFERENCES item,
  qty      TEXT CHECK (qty GLOB '[0-9]* *'),
  per      TEXT,
  layers   INTEGER,
  thick    TEXT,
  coat     TEXT,
  coat_on  TEXT CHECK (coat_on IN ('surface', 'top', 'side')),
  sheet    TEXT,
  overhang TEXT,
  reuse    TEXT CHECK (reuse GLOB '[0-9]* %'),
  waste    TEXT CHECK (waste GLOB '[0-9]* %'),
  FOREIGN KEY (cake, tier) REFERENCES tier,
  CHECK ((cake IS NOT NULL) + (extra IS NOT NULL) = 1),
  CHECK (tier IS NULL OR cake IS NOT NULL),
  CHECK ((qty IS NOT NULL) + (layers IS NOT NULL) + (coat IS NOT NULL) + (sheet IS NOT NULL) = 1)
) STRICT;
CREATE UNIQUE INDEX part_of_cake ON part (cake, coalesce(tier, 0), position) WHERE cake IS NOT NULL;
CREATE UNIQUE INDEX part_of_extra ON part (extra, position) WHERE extra IS NOT NULL;
CREATE INDEX part_use ON part (use);

CREATE TABLE task (
  -- Work on a component, a cake as a whole (tier NULL), one of its tiers, or an extra.
  component TEXT REFERENCES component ON DELETE CASCADE,
  cake      TEXT REFERENCES cake ON DELETE CASCADE,
  tier      INTEGER,
  extra     TEXT REFERENCES extra ON DELETE CASCADE,
  position  INTEGER NOT NULL,
  task      TEXT NOT NULL,
  role      TEXT REFERENCES role,  -- NULL: a wait
  setup     TEXT CHECK (setup GLOB '[0-9]* *'),
  rate      TEXT CHECK (rate GLOB '[0-9]* *'),
  per       TEXT,
  wait      TEXT CHECK (wait GLOB '[0-9]* *'),
  FOREIGN KEY (cake, tier) REFERENCES tier,
  CHECK ((component IS NOT NULL) + (cake IS NOT NULL) + (extra IS NOT NULL) = 1),
  CHECK (tier IS NULL OR cake IS NOT NULL),
  CHECK ((role IS NOT NULL) + (wait IS NOT NULL) = 1)
) STRICT;
CREATE UNIQUE INDEX task_of_component ON task (component, position) WHERE component IS NOT NULL;
CREATE UNIQUE INDEX task_of_cake ON task (cake, coalesce(tier, 0), position) WHERE cake IS NOT NULL;
CREATE UNIQUE INDEX task_of_extra ON task (extra, position) WHERE extra IS NOT NULL;
CREATE INDEX task_role ON task (role);

CREATE TABLE equipment_use (
  -- Time on an appliance, owned as a task is.
  component TEXT REFERENCES component ON DELETE CASCADE,
  cake      TEXT REFERENCES cake ON DELETE CASCADE,
  tier      INTEGER,
  extra     TEXT REFERENCES extra ON DELETE CASCADE,
  position  INTEGER NOT NULL,
  use       TEXT NOT NULL REFERENCES equipment,
  setup     TEXT CHECK (setup GLOB '[0-9]* *'),
  rate      TEXT CHECK (rate GLOB '[0-9]* *'),
  per       TEXT,
  FOREIGN KEY (cake, tier) REFERENCES tier,
  CHECK ((component IS NOT NULL) + (cake IS NOT NULL) + (extra IS NOT NULL) = 1),
  CHECK (tier IS NULL OR cake IS NOT NULL)
) STRICT;
CREATE UNIQUE INDEX equipment_use_of_component ON equipment_use (component, position) WHERE component IS NOT NULL;
CREATE UNIQUE INDEX equipment_use_of_cake ON equipment_use (cake, coalesce(tier, 0), position) WHERE cake IS NOT NULL;
CREATE UNIQUE INDEX equipment_use_of_extra ON equipment_use (extra, position) WHERE extra IS NOT NULL;
CREATE INDEX equipment_use_use ON equipment_use (use);

CREATE TABLE price_list (
  -- The dated prices of a resource stand in lists. One list is open and counts;
  -- where a replaced book no longer holds what a list says, the list is closed
  -- for good and another opened. A resource that leaves the book keeps its lists.
  resource  TEXT    NOT NULL,  -- an ingredient or role, 'energy', 'overhead', or 'cake ID' for its list prices
  number    INTEGER NOT NULL,
  kind      TEXT    NOT NULL CHECK (kind IN ('ingredient', 'role', 'energy', 'overhead', 'cake')),
  opened_by INTEGER NOT NULL REFERENCES import,
  closed_by INTEGER REFERENCES import,
  PRIMARY KEY (resource, number)
) STRICT, WITHOUT ROWID;
CREATE UNIQUE INDEX price_list_open ON price_list (resource) WHERE closed_by IS NULL;

CREATE TABLE price (
  resource TEXT    NOT NULL,
  list     INTEGER NOT NULL,
  position INTEGER NOT NULL,
  from_day TEXT    NOT NULL CHECK (from_day GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),
  supplier TEXT,
  pack     TEXT    CHECK (pack GLOB '[0-9]* *'),  -- NULL: an hour of a role, a kWh, overhead of a month or a cake
  price    TEXT    CHECK (price NOT GLOB '*[^0-9.]*'),
  share    TEXT    CHECK (share GLOB '[0-9]* %'),  -- overhead as a percentage, in place of a price
  tax_in   TEXT    CHECK (tax_in GLOB '[0-9]* %'),
  note     TEXT,
  import   INTEGER NOT NULL REFERENCES import,
  PRIMARY KEY (resource, list, position),
  FOREIGN KEY (resource, list) REFERENCES price_list,
  CHECK ((price IS NOT NULL) + (share IS NOT NULL) = 1)
) STRICT, WITHOUT ROWID;

-- For the newest price on a day.
CREATE INDEX price_by_day ON price (resource, list, from_day, position);

CREATE VIEW price_now AS
-- The dated prices that count now.
SELECT kind, resource, position, from_day, supplier, pack, price, share, tax_in, note
FROM price_list JOIN price USING (resource)
WHERE closed_by IS NULL AND list = number;

-- History is only added to. "INSERT OR REPLACE" deletes without asking the
-- triggers for DELETE, so the triggers for INSERT look for what it would hit.
CREATE TRIGGER price_stays BEFORE UPDATE ON price
BEGIN SELECT RAISE(ABORT, 'dated prices never change; add one with a later day'); END;
CREATE TRIGGER price_is_kept BEFORE DELETE ON price
BEGIN SELECT RAISE(ABORT, 'dated prices are never deleted; add one with a later day'); END;
CREATE TRIGGER price_is_new BEFORE INSERT ON price
WHEN EXISTS (SELECT 1 FROM price WHERE resource = NEW.resource AND list = NEW.list AND position = NEW.position)
  OR EXISTS (SELECT 1 FROM price_list WHERE resource = NEW.resource AND number = NEW.list AND closed_by IS NOT NULL)
BEGIN SELECT RAISE(ABORT, 'dated prices are only added, at the end of an open list'); END;

CREATE TRIGGER price_list_only_closes BEFORE UPDATE ON price_list
WHEN OLD.closed_by IS NOT NULL OR NEW.closed_by IS NULL
  OR (OLD.resource, OLD.number, OLD.kind, OLD.opened_by) IS NOT (NEW.resource, NEW.number, NEW.kind, NEW.opened_by)
BEGIN SELECT RAISE(ABORT, 'a list of dated prices can only be closed, once'); END;
CREATE TRIGGER price_list_is_kept BEFORE DELETE ON price_list
BEGIN SELECT RAISE(ABORT, 'lists of dated prices are never deleted'); END;
CREATE TRIGGER price_list_is_new BEFORE INSERT ON price_list
WHEN EXISTS (SELECT 1 FROM price_list WHERE resource = NEW.resource AND (number = NEW.number OR closed_by IS NULL))
BEGIN SELECT RAISE(ABORT, 'a resource has one open list of dated prices; close it first'); END;

CREATE TRIGGER import_stays BEFORE UPDATE ON import
BEGIN SELECT RAISE(ABORT, 'the journal of imports never changes'); END;
CREATE TRIGGER import_is_kept BEFORE DELETE ON import
BEGIN SELECT RAISE(ABORT, 'the journal of imports is never deleted'); END;
CREATE TRIGGER import_is_new BEFORE INSERT ON import
WHEN EXISTS (SELECT 1 FROM import WHERE number = NEW.number)
BEGIN SELECT RAISE(ABORT, 'the journal of imports never changes'); END;

CREATE TABLE supplier_mapping (
  -- How a supplier writes price lists, as JSON.
  supplier TEXT PRIMARY KEY,
  mapping  TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE price_file (
  -- Suppliers' price lists that were taken in, by the SHA-256 of the file.
  supplier TEXT NOT NULL,
  digest   TEXT NOT NULL,
  at       TEXT NOT NULL,
  PRIMARY KEY (supplier, digest)
) STRICT, WITHOUT ROWID;

CREATE TABLE supplier_alias (
  -- What the studio has said about a supplier's items: which ingredient each is,
  -- or (NULL) that it does not buy it. It may name what has left the book.
  supplier   TEXT NOT NULL,
  code       TEXT NOT NULL,  -- '' where the item goes by its name
  name       TEXT NOT NULL,
  ingredient TEXT,
  PRIMARY KEY (supplier, code, name)
) STRICT, WITHOUT ROWID;
