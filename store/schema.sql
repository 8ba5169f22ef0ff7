-- The schema that the migrations make. Written by the tests with -update; change it by adding a migration.
PRAGMA application_id = 1297105230;
PRAGMA user_version = 13;

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
  quote_deposit      TEXT CHECK (quote_deposit GLOB '[0-9]* %'), look_stated INTEGER NOT NULL DEFAULT 0 CHECK (look_stated IN (0, 1)), accent TEXT CHECK (look_stated AND accent GLOB '#??????' OR accent IS NULL), paper  TEXT CHECK (look_stated AND paper IN ('a4', 'letter') OR paper IS NULL), logo   TEXT REFERENCES picture CHECK (look_stated OR logo IS NULL),
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

CREATE INDEX price_by_day ON price (resource, list, from_day, position);

CREATE VIEW price_now AS
-- The dated prices that count now.
SELECT kind, resource, position, from_day, supplier, pack, price, share, tax_in, note
FROM price_list JOIN price USING (resource)
WHERE closed_by IS NULL AND list = number;

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

CREATE TABLE quote (
  id       INTEGER PRIMARY KEY,
  draft    INTEGER UNIQUE,  -- 3 is D3; kept when the draft is issued
  year     INTEGER,         -- of issue; NULL: still a draft
  sequence INTEGER,         -- within the year, from 1 without gaps
  number   TEXT AS (year || '-' || printf('%04d', sequence)) VIRTUAL, state TEXT NOT NULL DEFAULT 'draft' CHECK (state IN ('draft', 'issued', 'accepted', 'declined', 'cancelled')), newest INTEGER, accepted INTEGER, choice INTEGER,
  UNIQUE (year, sequence),
  CHECK ((year IS NULL) = (sequence IS NULL)),
  CHECK (draft IS NOT NULL OR year IS NOT NULL)
) STRICT;

CREATE TABLE quote_revision (
  quote       INTEGER NOT NULL REFERENCES quote ON DELETE CASCADE,
  revision    INTEGER NOT NULL,  -- 1 is A
  frozen      INTEGER NOT NULL CHECK (frozen IN (0, 1)),  -- 0: a draft's
  saved_at    TEXT    NOT NULL,  -- 2026-11-25T09:30:00Z
  -- The snapshot is the whole of the quote, as JSON. These columns, and the
  -- views over it, only read from it: they cannot say anything else.
  letter      TEXT AS (snapshot ->> '$.revision') STORED,
  client      TEXT AS (snapshot ->> '$.offer.client.name') STORED,
  event_date  TEXT AS (snapshot ->> '$.offer.event_date') STORED,
  issued_on   TEXT AS (snapshot ->> '$.offer.issued_on') STORED,
  valid_until TEXT AS (snapshot ->> '$.offer.valid_until') STORED,
  currency    TEXT AS (snapshot ->> '$.offer.studio.currency') STORED,
  total       TEXT AS (snapshot ->> '$.offer.total') STORED,
  snapshot    TEXT    NOT NULL CHECK (json_valid(snapshot)), options INTEGER AS (json_array_length(snapshot, '$.options')) VIRTUAL, guests INTEGER AS (snapshot ->> '$.offer.guests') VIRTUAL,
  PRIMARY KEY (quote, revision)
) STRICT;

CREATE TRIGGER quote_is_kept BEFORE DELETE ON quote WHEN OLD.year IS NOT NULL
BEGIN SELECT RAISE(ABORT, 'an issued quote is never deleted'); END;

CREATE TRIGGER quote_is_new BEFORE INSERT ON quote
WHEN EXISTS (SELECT 1 FROM quote WHERE id = NEW.id OR draft = NEW.draft)
  OR NEW.year IS NOT NULL AND NEW.sequence IS NOT (SELECT coalesce(max(sequence), 0) + 1 FROM quote WHERE year = NEW.year)
BEGIN SELECT RAISE(ABORT, 'quotes are numbered without gaps'); END;

CREATE TRIGGER quote_revision_is_kept BEFORE DELETE ON quote_revision WHEN OLD.frozen
BEGIN SELECT RAISE(ABORT, 'an issued quote is never deleted'); END;

CREATE TRIGGER quote_revision_is_new BEFORE INSERT ON quote_revision
WHEN EXISTS (SELECT 1 FROM quote_revision WHERE quote = NEW.quote AND revision = NEW.revision)
BEGIN SELECT RAISE(ABORT, 'an issued quote never changes; issue a revision'); END;

CREATE TABLE tin (
  id        TEXT PRIMARY KEY CHECK (id <> '' AND id NOT GLOB '*[^a-z0-9-]*'),
  position  INTEGER NOT NULL,
  shape     TEXT    NOT NULL,
  diameter  TEXT,
  side      TEXT,
  length    TEXT,
  width     TEXT,
  area      TEXT,
  perimeter TEXT,
  height    TEXT,  -- inner depth
  holds     TEXT CHECK (holds GLOB '[0-9]* *'),  -- goes before area times height
  owned     INTEGER CHECK (owned >= 0),  -- NULL: one
  name      TEXT
) STRICT, WITHOUT ROWID;

CREATE TABLE mould (
  component TEXT PRIMARY KEY REFERENCES component ON DELETE CASCADE,
  shape     TEXT,
  diameter  TEXT,
  side      TEXT,
  length    TEXT,
  width     TEXT,
  area      TEXT,
  perimeter TEXT,
  height    TEXT,
  holds     TEXT CHECK (holds GLOB '[0-9]* *'),  -- goes before area times height
  CHECK (holds IS NOT NULL OR (shape IS NOT NULL AND height IS NOT NULL))
) STRICT, WITHOUT ROWID;

CREATE TABLE studio_cancellation (
  position    INTEGER PRIMARY KEY,
  within_days INTEGER,        -- NULL: at any time
  share       TEXT NOT NULL   -- "50 %" of the total
) STRICT;

CREATE TABLE quote_trail (
  quote    INTEGER NOT NULL REFERENCES quote,
  entry    INTEGER NOT NULL,  -- from 1 without gaps
  at       TEXT    NOT NULL,  -- when it was recorded, 2026-11-25T09:30:00Z
  on_day   TEXT    NOT NULL,  -- the day it holds from
  move     TEXT    NOT NULL CHECK (move IN ('issue', 'revise', 'accept', 'decline', 'cancel')),
  revision INTEGER NOT NULL,
  choice   INTEGER CHECK (choice IS NULL OR move = 'accept' AND choice > 0),
  fee      TEXT    CHECK ((fee IS NOT NULL) = (move = 'cancel')),
  reason   TEXT    NOT NULL,
  PRIMARY KEY (quote, entry)
) STRICT, WITHOUT ROWID;

CREATE TRIGGER quote_number_stays BEFORE UPDATE OF id, draft, year, sequence ON quote
WHEN OLD.year IS NOT NULL OR NEW.id <> OLD.id OR NEW.draft IS NOT OLD.draft
BEGIN SELECT RAISE(ABORT, 'an issued quote keeps its number'); END;

CREATE TRIGGER quote_number_follows BEFORE UPDATE OF year, sequence ON quote
WHEN NEW.year IS NOT NULL AND NEW.sequence IS NOT (SELECT coalesce(max(sequence), 0) + 1 FROM quote WHERE year = NEW.year)
BEGIN SELECT RAISE(ABORT, 'quotes are numbered without gaps'); END;

CREATE TRIGGER quote_state_follows BEFORE UPDATE OF state, newest, accepted, choice ON quote
WHEN NEW.state IS NOT (SELECT CASE move
      WHEN 'issue' THEN 'issued' WHEN 'revise' THEN 'issued' WHEN 'accept' THEN 'accepted' WHEN 'cancel' THEN 'cancelled'
      ELSE iif(OLD.accepted IS NULL, 'declined', 'accepted') END
    FROM quote_trail WHERE quote = OLD.id ORDER BY entry DESC LIMIT 1)
BEGIN SELECT RAISE(ABORT, 'the state of a quote follows from its trail'); END;

CREATE TRIGGER quote_trail_is_legal BEFORE INSERT ON quote_trail
WHEN NEW.entry IS NOT (SELECT coalesce(max(entry), 0) + 1 FROM quote_trail WHERE quote = NEW.quote)
  OR EXISTS (SELECT 1 FROM quote_trail WHERE quote = NEW.quote AND on_day > NEW.on_day)
  OR NOT EXISTS (SELECT 1 FROM quote_revision WHERE quote = NEW.quote AND revision = NEW.revision AND frozen)
  OR NOT EXISTS (SELECT 1 FROM quote q WHERE q.id = NEW.quote AND CASE NEW.move
      WHEN 'issue' THEN q.state = 'draft' AND NEW.revision = 1
      WHEN 'revise' THEN q.state IN ('issued', 'accepted', 'declined') AND NEW.revision = q.newest + 1
      WHEN 'accept' THEN q.state = 'issued' AND NEW.revision = q.newest
      WHEN 'decline' THEN q.state = 'issued' AND NEW.revision = q.newest
      WHEN 'cancel' THEN q.state IN ('issued', 'accepted') END)
  OR NEW.move = 'accept' AND NEW.choice IS NOT NULL IS NOT (SELECT options > 0 IS TRUE FROM quote_revision WHERE quote = NEW.quote AND revision = NEW.revision)
  OR NEW.choice > (SELECT options FROM quote_revision WHERE quote = NEW.quote AND revision = NEW.revision)
BEGIN SELECT RAISE(ABORT, 'a quote does not move that way'); END;

CREATE TRIGGER quote_trail_moves AFTER INSERT ON quote_trail
BEGIN
  UPDATE quote SET
    newest = iif(NEW.move IN ('issue', 'revise'), NEW.revision, newest),
    accepted = iif(NEW.move = 'accept', NEW.revision, accepted),
    choice = iif(NEW.move = 'accept', NEW.choice, choice),
    state = CASE NEW.move
      WHEN 'issue' THEN 'issued' WHEN 'revise' THEN 'issued' WHEN 'accept' THEN 'accepted' WHEN 'cancel' THEN 'cancelled'
      ELSE iif(accepted IS NULL, 'declined', 'accepted') END
  WHERE id = NEW.quote;
END;

CREATE TRIGGER quote_trail_stays BEFORE UPDATE ON quote_trail
WHEN NEW.reason IS NOT 'erased' OR NEW.quote <> OLD.quote OR NEW.entry <> OLD.entry OR NEW.at <> OLD.at OR NEW.on_day <> OLD.on_day
  OR NEW.move <> OLD.move OR NEW.revision <> OLD.revision OR NEW.choice IS NOT OLD.choice OR NEW.fee IS NOT OLD.fee
BEGIN SELECT RAISE(ABORT, 'the trail of a quote never changes; personal data in a reason may be erased'); END;

CREATE TRIGGER quote_trail_is_kept BEFORE DELETE ON quote_trail
BEGIN SELECT RAISE(ABORT, 'the trail of a quote is never deleted'); END;

CREATE TABLE payment (
  id       INTEGER PRIMARY KEY,
  year     INTEGER NOT NULL,
  sequence INTEGER NOT NULL,  -- within the year, from 1 without gaps
  number   TEXT AS ('R' || year || '-' || printf('%04d', sequence)) VIRTUAL,
  quote    INTEGER NOT NULL REFERENCES quote,
  at       TEXT    NOT NULL,
  on_day   TEXT    NOT NULL,
  amount   TEXT    NOT NULL,  -- negative: back to the client
  means    TEXT    NOT NULL CHECK (means IN ('transfer', 'card', 'cash', 'cheque', 'other')),
  note     TEXT    NOT NULL DEFAULT '',
  undoes   INTEGER UNIQUE REFERENCES payment,
  UNIQUE (year, sequence),
  CHECK (year = CAST(substr(on_day, 1, 4) AS INTEGER))
) STRICT;

CREATE INDEX payment_of_quote ON payment (quote);

CREATE INDEX payment_on_day ON payment (on_day);

CREATE TRIGGER payment_is_new BEFORE INSERT ON payment
WHEN NEW.sequence IS NOT (SELECT coalesce(max(sequence), 0) + 1 FROM payment WHERE year = NEW.year)
  OR EXISTS (SELECT 1 FROM payment WHERE id = NEW.id)
  OR NEW.undoes IS NOT NULL AND NOT EXISTS (SELECT 1 FROM payment WHERE id = NEW.undoes AND quote = NEW.quote AND undoes IS NULL)
BEGIN SELECT RAISE(ABORT, 'receipts are numbered without gaps'); END;

CREATE TRIGGER payment_stays BEFORE UPDATE ON payment
WHEN NEW.note IS NOT 'erased' OR NEW.id <> OLD.id OR NEW.year <> OLD.year OR NEW.sequence <> OLD.sequence OR NEW.quote <> OLD.quote OR NEW.at <> OLD.at
  OR NEW.on_day <> OLD.on_day OR NEW.amount <> OLD.amount OR NEW.means <> OLD.means OR NEW.undoes IS NOT OLD.undoes
BEGIN SELECT RAISE(ABORT, 'a payment never changes; take it back with another'); END;

CREATE TRIGGER payment_is_kept BEFORE DELETE ON payment
BEGIN SELECT RAISE(ABORT, 'a payment is never deleted; take it back with another'); END;

CREATE VIEW quote_now AS
-- Every revision with its number, or what its draft is called. A state of
-- 'issued' past valid_until has lapsed.
SELECT q.id AS quote, number, 'D' || draft AS draft, state, revision, letter,
  client, event_date, guests, issued_on, valid_until, currency, total, options, saved_at,
  revision = coalesce(q.newest, 1) AS newest, q.accepted, q.choice, revision IS q.accepted AS is_order
FROM quote q JOIN quote_revision ON quote = q.id;

CREATE VIEW quote_sale AS
-- Every offer: choice 0 is that of a quote with a single one, else the options from 1.
SELECT quote, revision, 0 AS choice, NULL AS option, snapshot -> '$.offer' AS sale, snapshot -> '$.basis' AS basis,
  snapshot ->> '$.offer.total' AS total, snapshot ->> '$.basis.net' AS net, snapshot ->> '$.basis.cost' AS cost
FROM quote_revision WHERE options IS NULL
UNION ALL
SELECT quote, revision, o.key + 1, o.value ->> 'name', o.value, o.value -> '$.basis',
  o.value ->> 'total', o.value ->> '$.basis.net', o.value ->> '$.basis.cost'
FROM quote_revision, json_each(snapshot, '$.options') o;

CREATE VIEW order_now AS
-- Accepted orders, in the revision and option that was accepted; cancelled ones too.
SELECT q.id AS quote, q.number, q.state, r.revision, r.letter, s.choice, s.option, r.client, r.event_date, r.guests, r.currency,
  s.total, s.net, s.cost, s.sale, s.basis
FROM quote q JOIN quote_revision r ON r.quote = q.id AND r.revision = q.accepted
JOIN quote_sale s ON s.quote = q.id AND s.revision = q.accepted AND s.choice = coalesce(q.choice, 0);

CREATE VIEW quote_line AS
-- For reports. Rates, quantities and costs are exact fractions: 27/200 is 0.135.
SELECT quote, revision, choice, l.key + 1 AS position, l.value ->> 'kind' AS kind, l.value ->> 'id' AS id, l.value ->> 'name' AS name,
  l.value ->> 'quantity' AS quantity, l.value ->> 'unit_price' AS unit_price, l.value ->> 'amount' AS amount, l.value ->> 'tax_rate' AS tax_rate
FROM quote_sale, json_each(sale, '$.lines') l;

CREATE VIEW quote_tax AS
SELECT quote, revision, choice, t.key + 1 AS position, t.value ->> 'rate' AS rate, t.value ->> 'net' AS net, t.value ->> 'tax' AS tax
FROM quote_sale, json_each(sale, '$.tax') t;

CREATE VIEW quote_instalment AS
SELECT quote, revision, choice, i.key + 1 AS position, i.value ->> 'due' AS due, i.value ->> 'amount' AS amount, coalesce(i.value ->> 'deposit', 0) AS deposit
FROM quote_sale, json_each(sale, '$.instalments') i;

CREATE VIEW quote_bill AS
SELECT quote, revision, choice, substr(list.key, 1, length(list.key) - 1) AS of_kind, c.value ->> 'id' AS of_id, c.value ->> 'quantity' AS of_quantity,
  b.value ->> 'resource' AS resource, b.value ->> 'kind' AS kind, b.value ->> 'quantity' AS quantity, b.value ->> 'unit' AS unit
FROM quote_sale, json_each(basis) list, json_each(list.value) c, json_each(c.value, '$.bill') b
WHERE list.key IN ('cakes', 'extras');

CREATE VIEW quote_rate AS
SELECT quote, revision, choice, p.value ->> 'resource' AS resource, p.value ->> 'kind' AS kind, p.value ->> 'per_unit' AS per_unit, p.value ->> 'unit' AS unit,
  p.value ->> 'price' AS price, p.value ->> 'from' AS from_day, p.value ->> 'supplier' AS supplier
FROM quote_sale, json_each(basis, '$.rates') p;

CREATE INDEX quote_by_state ON quote (state);

CREATE INDEX quote_by_event ON quote_revision (event_date);

CREATE TABLE letter (
  -- The studio's own wording where it is not the built-in one.
  language TEXT NOT NULL,  -- BCP 47
  kind     TEXT NOT NULL,  -- quote, revision, receipt, reminder, cancellation
  wording  TEXT NOT NULL,
  PRIMARY KEY (language, kind)
) STRICT, WITHOUT ROWID;

CREATE TABLE mail_server (
  -- How letters leave. The password is never kept here.
  id       INTEGER PRIMARY KEY CHECK (id = 1),
  host     TEXT    NOT NULL,
  port     INTEGER NOT NULL,  -- 0: the usual one
  user     TEXT    NOT NULL,
  security TEXT    NOT NULL CHECK (security IN ('starttls', 'tls', 'none'))
) STRICT;

CREATE TABLE sending (
  -- That a letter was written or went out; not to whom, nor its text.
  id       INTEGER PRIMARY KEY,
  quote    INTEGER NOT NULL REFERENCES quote,
  revision INTEGER NOT NULL,
  at       TEXT    NOT NULL,
  kind     TEXT    NOT NULL,
  how      TEXT    NOT NULL CHECK (how IN ('file', 'server'))
) STRICT;

CREATE INDEX sending_of_quote ON sending (quote);

CREATE TRIGGER sending_stays BEFORE UPDATE ON sending BEGIN SELECT RAISE(ABORT, 'what was sent stays sent'); END;

CREATE TRIGGER sending_is_kept BEFORE DELETE ON sending BEGIN SELECT RAISE(ABORT, 'what was sent stays sent'); END;

CREATE TABLE reference (
  kind TEXT    PRIMARY KEY CHECK (kind IN ('client', 'enquiry')),
  last INTEGER NOT NULL  -- C12 is never given twice, even when its client is gone
) STRICT;

CREATE TABLE client (
  id         INTEGER PRIMARY KEY,  -- 12 is C12
  name       TEXT NOT NULL,
  email      TEXT,
  phone      TEXT,
  address    TEXT,
  language   TEXT,  -- BCP 47
  dietary    TEXT,
  notes      TEXT,
  folded     TEXT NOT NULL,  -- all that a search looks at, in lower case and without accents
  added_at   TEXT NOT NULL,  -- 2026-11-25T09:30:00Z
  changed_at TEXT NOT NULL
, sorted TEXT) STRICT;

CREATE TABLE client_gone (
  -- What became of a client that is no longer there. It names nobody.
  id          INTEGER PRIMARY KEY,
  at          TEXT    NOT NULL,
  merged_into INTEGER  -- NULL: erased
) STRICT;

CREATE TABLE enquiry (
  id           INTEGER PRIMARY KEY,  -- 3 is E3
  client       INTEGER NOT NULL REFERENCES client ON DELETE CASCADE,
  received     TEXT    NOT NULL,
  occasion     TEXT,
  event_date   TEXT,
  venue        TEXT,
  km           TEXT,  -- there and back
  guests       INTEGER,
  budget       TEXT,  -- at most, in the studio's currency
  dietary      TEXT,
  wishes       TEXT,
  tasting_date TEXT,
  tasting_time TEXT,
  closed_on    TEXT,
  closed_why   TEXT,
  CHECK ((closed_on IS NULL) = (closed_why IS NULL))
) STRICT;

CREATE INDEX enquiry_client ON enquiry (client);

CREATE TABLE quote_party (
  -- Whom a quote is for, and which enquiry it answers.
  quote   INTEGER PRIMARY KEY REFERENCES quote ON DELETE CASCADE,
  client  INTEGER NOT NULL REFERENCES client ON DELETE CASCADE,
  enquiry INTEGER REFERENCES enquiry ON DELETE SET NULL
) STRICT;

CREATE INDEX quote_party_client ON quote_party (client);

CREATE INDEX quote_party_enquiry ON quote_party (enquiry);

CREATE VIEW enquiry_now AS
SELECT 'E' || e.id AS enquiry, 'C' || e.client AS client, c.name,
  CASE WHEN closed_on IS NOT NULL THEN 'closed'
    WHEN EXISTS (SELECT 1 FROM quote_party WHERE enquiry = e.id) THEN 'quoted'
    ELSE 'open' END AS state,
  received, occasion, event_date, venue, km, guests, budget, e.dietary, wishes, tasting_date, tasting_time, closed_on, closed_why
FROM enquiry e JOIN client c ON c.id = e.client;

CREATE VIEW quote_forgotten AS
-- Each revision of a client's quotes as it is once the client is erased: the
-- name is "erased client C12", email, phone, address and venue are gone, also
-- from what a revision says that it changed. Nothing else differs.
SELECT p.quote, revision, json_remove(
    json_replace(snapshot,
      '$.offer.client.name', 'erased client C' || p.client, '$.request.client.name', 'erased client C' || p.client,
      '$.changes', json((SELECT json_group_array(json(
          iif(value ->> 'kind' IN ('client', 'venue'), json_replace(value, '$.before', 'erased', '$.after', 'erased'), value)))
        FROM (SELECT value FROM json_each(snapshot, '$.changes') ORDER BY key)))),
    '$.offer.client.email', '$.offer.client.phone', '$.offer.client.address', '$.offer.venue',
    '$.request.client.email', '$.request.client.phone', '$.request.client.address', '$.request.event.venue') AS snapshot
FROM quote_party p JOIN quote_revision r ON r.quote = p.quote;

CREATE TRIGGER quote_revision_stays BEFORE UPDATE ON quote_revision
WHEN OLD.frozen AND (
  NEW.quote IS NOT OLD.quote OR NEW.revision IS NOT OLD.revision OR NEW.frozen IS NOT OLD.frozen OR NEW.saved_at IS NOT OLD.saved_at
  OR NEW.snapshot IS NOT (SELECT snapshot FROM quote_forgotten WHERE quote = OLD.quote AND revision = OLD.revision))
BEGIN SELECT RAISE(ABORT, 'an issued quote never changes, except to forget its client; issue a revision'); END;

CREATE TABLE picture (
  -- Only ever added to: a quote shows the picture that it was issued with.
  fingerprint TEXT NOT NULL PRIMARY KEY CHECK (length(fingerprint) = 64 AND fingerprint NOT GLOB '*[^0-9a-f]*'),  -- SHA-256 of bytes
  type        TEXT NOT NULL CHECK (type IN ('image/png', 'image/jpeg', 'image/svg+xml')),
  bytes       BLOB NOT NULL
) STRICT;

CREATE TRIGGER picture_stays BEFORE UPDATE ON picture
BEGIN SELECT RAISE(ABORT, 'a picture never changes; add another'); END;

CREATE TRIGGER picture_is_kept BEFORE DELETE ON picture
BEGIN SELECT RAISE(ABORT, 'a picture is never deleted: quotes may show it'); END;

CREATE TRIGGER picture_is_new BEFORE INSERT ON picture
WHEN EXISTS (SELECT 1 FROM picture WHERE fingerprint = NEW.fingerprint)
BEGIN SELECT RAISE(ABORT, 'a picture never changes; add another'); END;

CREATE TABLE actual (
  id         INTEGER PRIMARY KEY,  -- 12 is A12; from 1 without gaps
  at         TEXT    NOT NULL,     -- when it was entered, 2026-11-25T09:30:00Z
  on_day     TEXT    NOT NULL CHECK (on_day GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),
  kind       TEXT    NOT NULL CHECK (kind IN ('worked', 'longer', 'idle', 'used', 'more', 'wasted', 'bought', 'wage', 'overhead', 'energy', 'plan', 'charge')),
  quote      INTEGER REFERENCES quote,
  note       TEXT    NOT NULL DEFAULT '',
  subject    TEXT,  -- the role, or what was used or bought, by its id in the book
  task       TEXT,
  who        TEXT,
  minutes    TEXT,  -- exact: 95, or 190/3
  per_minute TEXT,  -- of a minute by the book that day; of a wage, what it makes a minute cost
  started_at TEXT,  -- by the clock
  ended_at   TEXT,
  written    TEXT,  -- of goods, as typed: "1.2 kg"
  packs      TEXT,
  pack       TEXT,
  price      TEXT,  -- of a pack; of a wage, an hour
  tax_in     TEXT CHECK (tax_in GLOB '[0-9]* %'),
  supplier   TEXT,
  invoice    TEXT,
  quantity   TEXT,  -- of packs in all, exact, in base units
  unit       TEXT,
  per_unit   TEXT,  -- without the tax that the studio recovers
  until_day  TEXT,
  month      TEXT CHECK (month GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]'),
  amount     TEXT,  -- of a bill; of a plan, its margin; of a charge, negative where it was let off
  kwh        TEXT,
  cakes      INTEGER,
  overhead   TEXT,
  hours      TEXT,
  CHECK (quote IS NOT NULL OR kind NOT IN ('worked', 'longer', 'idle', 'used', 'more', 'wasted', 'charge')),
  CHECK (quote IS NULL OR kind IN ('worked', 'longer', 'idle', 'used', 'more', 'wasted', 'charge', 'bought')),
  CHECK (kind NOT IN ('worked', 'longer', 'idle') OR subject IS NOT NULL AND minutes IS NOT NULL AND per_minute IS NOT NULL),
  CHECK (kind NOT IN ('used', 'more', 'wasted') OR subject IS NOT NULL AND written IS NOT NULL),
  CHECK (kind <> 'bought' OR subject IS NOT NULL AND packs IS NOT NULL AND pack IS NOT NULL AND price IS NOT NULL
    AND quantity IS NOT NULL AND unit IS NOT NULL AND per_unit IS NOT NULL),
  CHECK (kind <> 'wage' OR subject IS NOT NULL AND price IS NOT NULL AND per_minute IS NOT NULL),
  CHECK (kind <> 'overhead' OR month IS NOT NULL AND amount IS NOT NULL),
  CHECK (kind <> 'energy' OR month IS NOT NULL AND (amount IS NOT NULL OR kwh IS NOT NULL)),
  CHECK (kind <> 'plan' OR month IS NOT NULL AND (cakes IS NULL) = (amount IS NULL) AND (cakes IS NOT NULL OR overhead IS NOT NULL OR hours IS NOT NULL)),
  CHECK (kind <> 'charge' OR amount IS NOT NULL)
) STRICT;

CREATE INDEX actual_of_quote ON actual (quote) WHERE quote IS NOT NULL;

CREATE INDEX actual_of_month ON actual (month) WHERE month IS NOT NULL;

CREATE INDEX actual_by_day ON actual (kind, on_day);

CREATE TABLE actual_good (
  -- What goods are, as purchased. A component stands as what it is made of.
  entry     INTEGER NOT NULL REFERENCES actual,
  resource  TEXT    NOT NULL,
  packaging INTEGER NOT NULL CHECK (packaging IN (0, 1)),
  quantity  TEXT    NOT NULL,  -- exact, in base units
  unit      TEXT    NOT NULL,
  per_unit  TEXT    NOT NULL,  -- price in force that day
  PRIMARY KEY (entry, resource)
) STRICT, WITHOUT ROWID;

CREATE TABLE actual_undone (
  -- Entries that were taken back. They stay, and count for nothing.
  entry  INTEGER PRIMARY KEY REFERENCES actual,
  at     TEXT NOT NULL,
  on_day TEXT NOT NULL,
  why    TEXT NOT NULL
) STRICT;

CREATE TABLE clock (
  id         INTEGER PRIMARY KEY,
  who        TEXT    NOT NULL,
  quote      INTEGER NOT NULL REFERENCES quote,
  kind       TEXT    NOT NULL CHECK (kind IN ('worked', 'longer', 'idle')),
  role       TEXT    NOT NULL,
  task       TEXT    NOT NULL,
  per_minute TEXT    NOT NULL,
  started_at TEXT    NOT NULL,
  on_day     TEXT    NOT NULL,  -- of the start
  stopped_at TEXT,              -- NULL: it runs
  entry      INTEGER REFERENCES actual,  -- that it became; NULL: thrown away
  CHECK (stopped_at IS NOT NULL OR entry IS NULL)
) STRICT;

CREATE UNIQUE INDEX clock_runs ON clock (who) WHERE stopped_at IS NULL;

CREATE TRIGGER actual_is_new BEFORE INSERT ON actual
WHEN NEW.id IS NOT (SELECT coalesce(max(id), 0) + 1 FROM actual)
  OR NEW.quote IS NOT NULL AND NOT EXISTS (SELECT 1 FROM quote WHERE id = NEW.quote AND accepted IS NOT NULL)
BEGIN SELECT RAISE(ABORT, 'entries are numbered without gaps, and those of orders need an accepted quote'); END;

CREATE TRIGGER actual_stays BEFORE UPDATE ON actual
WHEN NEW.note IS NOT 'erased' AND NEW.note IS NOT OLD.note
  OR (NEW.id, NEW.at, NEW.on_day, NEW.kind, NEW.quote, NEW.subject, NEW.task, NEW.who, NEW.minutes, NEW.per_minute, NEW.started_at, NEW.ended_at, NEW.written,
      NEW.packs, NEW.pack, NEW.price, NEW.tax_in, NEW.supplier, NEW.invoice, NEW.quantity, NEW.unit, NEW.per_unit, NEW.until_day, NEW.month, NEW.amount, NEW.kwh, NEW.cakes, NEW.overhead, NEW.hours)
    IS NOT (OLD.id, OLD.at, OLD.on_day, OLD.kind, OLD.quote, OLD.subject, OLD.task, OLD.who, OLD.minutes, OLD.per_minute, OLD.started_at, OLD.ended_at, OLD.written,
      OLD.packs, OLD.pack, OLD.price, OLD.tax_in, OLD.supplier, OLD.invoice, OLD.quantity, OLD.unit, OLD.per_unit, OLD.until_day, OLD.month, OLD.amount, OLD.kwh, OLD.cakes, OLD.overhead, OLD.hours)
BEGIN SELECT RAISE(ABORT, 'what was recorded never changes; take it back and enter it anew. Personal data in a note may be erased'); END;

CREATE TRIGGER actual_is_kept BEFORE DELETE ON actual
BEGIN SELECT RAISE(ABORT, 'what was recorded is never deleted; take it back'); END;

CREATE TRIGGER actual_good_is_new BEFORE INSERT ON actual_good
WHEN EXISTS (SELECT 1 FROM actual_good WHERE entry = NEW.entry AND resource = NEW.resource)
  OR NEW.entry IS NOT (SELECT max(id) FROM actual)
  OR NOT EXISTS (SELECT 1 FROM actual WHERE id = NEW.entry AND kind IN ('used', 'more', 'wasted'))
BEGIN SELECT RAISE(ABORT, 'goods are recorded with their entry, and never later'); END;

CREATE TRIGGER actual_good_stays BEFORE UPDATE ON actual_good
BEGIN SELECT RAISE(ABORT, 'what was recorded never changes; take it back and enter it anew'); END;

CREATE TRIGGER actual_good_is_kept BEFORE DELETE ON actual_good
BEGIN SELECT RAISE(ABORT, 'what was recorded is never deleted; take it back'); END;

CREATE TRIGGER actual_undone_is_new BEFORE INSERT ON actual_undone
WHEN EXISTS (SELECT 1 FROM actual_undone WHERE entry = NEW.entry)
BEGIN SELECT RAISE(ABORT, 'an entry is taken back once'); END;

CREATE TRIGGER actual_undone_stays BEFORE UPDATE ON actual_undone
WHEN NEW.why IS NOT 'erased' OR NEW.entry <> OLD.entry OR NEW.at <> OLD.at OR NEW.on_day <> OLD.on_day
BEGIN SELECT RAISE(ABORT, 'what was taken back stays so; personal data in a reason may be erased'); END;

CREATE TRIGGER actual_undone_is_kept BEFORE DELETE ON actual_undone
BEGIN SELECT RAISE(ABORT, 'what was taken back stays so; enter it anew'); END;

CREATE TRIGGER clock_is_new BEFORE INSERT ON clock
WHEN EXISTS (SELECT 1 FROM clock WHERE id = NEW.id OR who = NEW.who AND stopped_at IS NULL) OR NEW.stopped_at IS NOT NULL
BEGIN SELECT RAISE(ABORT, 'everyone has one clock at a time'); END;

CREATE TRIGGER clock_only_stops BEFORE UPDATE ON clock
WHEN OLD.stopped_at IS NOT NULL OR NEW.stopped_at IS NULL
  OR (NEW.id, NEW.who, NEW.quote, NEW.kind, NEW.role, NEW.task, NEW.per_minute, NEW.started_at, NEW.on_day)
    IS NOT (OLD.id, OLD.who, OLD.quote, OLD.kind, OLD.role, OLD.task, OLD.per_minute, OLD.started_at, OLD.on_day)
BEGIN SELECT RAISE(ABORT, 'a clock can only be stopped, once'); END;

CREATE TRIGGER clock_is_kept BEFORE DELETE ON clock
BEGIN SELECT RAISE(ABORT, 'a clock is never deleted; stop it'); END;

CREATE VIEW actual_now AS
-- The entries that count, with the number of the order. Minutes, quantities and
-- prices per unit are exact fractions: 27/200 is 0.135.
SELECT 'A' || a.id AS entry, q.number AS quote_number, a.*
FROM actual a LEFT JOIN quote q ON q.id = a.quote
WHERE NOT EXISTS (SELECT 1 FROM actual_undone WHERE entry = a.id);

CREATE VIEW actual_work AS
-- Minutes by order, role, task and day.
SELECT entry, quote, quote_number, kind, subject AS role, task, who, on_day, minutes, per_minute, started_at, ended_at, note
FROM actual_now WHERE kind IN ('worked', 'longer', 'idle');

CREATE VIEW actual_material AS
-- Goods by order, as purchased; a component stands as what it is made of.
SELECT n.entry, n.quote, quote_number, kind, subject AS "use", written, on_day, resource, packaging, g.quantity, g.unit, g.per_unit, note
FROM actual_now n JOIN actual_good g ON g.entry = n.id WHERE kind IN ('used', 'more', 'wasted');

CREATE TABLE web_access (
  id         INTEGER PRIMARY KEY CHECK (id = 1),
  passphrase TEXT NOT NULL CHECK (passphrase GLOB '$argon2id$*'),  -- its hash, never itself
  set_at     TEXT NOT NULL
) STRICT;

CREATE TABLE capacity (
  id     INTEGER PRIMARY KEY CHECK (id = 1),
  stated TEXT NOT NULL CHECK (json_type(stated) IS 'object'),
  set_at TEXT NOT NULL
) STRICT;

CREATE TABLE quote_board (
  quote      INTEGER PRIMARY KEY REFERENCES quote ON DELETE CASCADE,
  state      TEXT NOT NULL,  -- that of the quote; 'pending': issued to change an order that stands
  event_date TEXT NOT NULL,
  order_date TEXT,           -- the event of the order that stands, where its change is pending
  until      TEXT NOT NULL,  -- an issued one lapses after that day
  folded     TEXT            -- what a search looks at; NULL: not made yet since the quote changed
) STRICT;

CREATE INDEX quote_board_unfolded ON quote_board (quote) WHERE folded IS NULL;

CREATE VIEW quote_board_now AS
SELECT q.id AS quote, iif(q.state = 'issued' AND q.accepted IS NOT NULL, 'pending', q.state) AS state, r.event_date,
  iif(q.state = 'issued', (SELECT event_date FROM quote_revision WHERE quote = q.id AND revision = q.accepted), NULL) AS order_date, r.valid_until AS until
FROM quote q JOIN quote_revision r ON r.quote = q.id
  AND r.revision = iif(q.state IN ('accepted', 'cancelled') AND q.accepted IS NOT NULL, q.accepted, coalesce(q.newest, 1));

CREATE TRIGGER quote_board_revised AFTER INSERT ON quote_revision
BEGIN
  INSERT INTO quote_board (quote, state, event_date, order_date, until) SELECT quote, state, event_date, order_date, until FROM quote_board_now WHERE quote = NEW.quote
  ON CONFLICT (quote) DO UPDATE SET state = excluded.state, event_date = excluded.event_date, order_date = excluded.order_date, until = excluded.until, folded = NULL;
END;

CREATE TRIGGER quote_board_forgets AFTER UPDATE OF snapshot ON quote_revision
BEGIN
  UPDATE quote_board SET folded = NULL WHERE quote = NEW.quote;
END;

CREATE TRIGGER quote_board_moves AFTER UPDATE OF year, state, newest, accepted ON quote
BEGIN
  UPDATE quote_board SET folded = NULL, (state, event_date, order_date, until) = (SELECT state, event_date, order_date, until FROM quote_board_now WHERE quote = NEW.id)
  WHERE quote = NEW.id AND EXISTS (SELECT 1 FROM quote_board_now WHERE quote = NEW.id);
END;

CREATE INDEX quote_board_by_event ON quote_board (state, event_date, quote, until);

CREATE INDEX quote_board_by_order ON quote_board (state, order_date, quote, until) WHERE order_date IS NOT NULL;

CREATE INDEX quote_board_by_until ON quote_board (state, until, quote);

CREATE VIRTUAL TABLE quote_words USING fts5 (folded, content = 'quote_board', content_rowid = 'quote', tokenize = 'trigram case_sensitive 1', detail = none, columnsize = 0);

CREATE TABLE 'quote_words_data'(id INTEGER PRIMARY KEY, block BLOB);

CREATE TABLE 'quote_words_idx'(segid, term, pgno, PRIMARY KEY(segid, term)) WITHOUT ROWID;

CREATE TABLE 'quote_words_config'(k PRIMARY KEY, v) WITHOUT ROWID;

CREATE TRIGGER quote_words_follow AFTER UPDATE OF folded ON quote_board WHEN OLD.folded IS NOT NEW.folded
BEGIN
  INSERT INTO quote_words (quote_words, rowid, folded) SELECT 'delete', OLD.quote, OLD.folded WHERE OLD.folded IS NOT NULL;
  INSERT INTO quote_words (rowid, folded) SELECT NEW.quote, NEW.folded WHERE NEW.folded IS NOT NULL;
END;

CREATE TRIGGER quote_words_gone AFTER DELETE ON quote_board WHEN OLD.folded IS NOT NULL
BEGIN
  INSERT INTO quote_words (quote_words, rowid, folded) VALUES ('delete', OLD.quote, OLD.folded);
END;

CREATE TABLE order_due (
  -- What falls due first of what is left to pay for an order.
  quote INTEGER PRIMARY KEY REFERENCES quote ON DELETE CASCADE,
  known INTEGER NOT NULL CHECK (known IN (0, 1)),  -- 0: not made yet since something was paid or agreed
  due   TEXT                                       -- NULL: all is paid
) STRICT;

CREATE INDEX order_due_by_day ON order_due (due, quote) WHERE due IS NOT NULL;

CREATE INDEX order_due_unknown ON order_due (quote) WHERE NOT known;

CREATE TRIGGER order_due_moves AFTER UPDATE OF state, accepted, choice ON quote WHEN NEW.accepted IS NOT NULL
BEGIN
  INSERT INTO order_due (quote, known) VALUES (NEW.id, 0) ON CONFLICT (quote) DO UPDATE SET known = 0;
END;

CREATE TRIGGER order_due_paid AFTER INSERT ON payment
BEGIN
  UPDATE order_due SET known = 0 WHERE quote = NEW.quote;
END;

CREATE INDEX client_by_name ON client (sorted, id);

CREATE INDEX client_unsorted ON client (id) WHERE sorted IS NULL;

CREATE TABLE client_order (
  id     INTEGER PRIMARY KEY CHECK (id = 1),
  locale TEXT NOT NULL  -- of the alphabet
) STRICT;

CREATE TRIGGER client_renamed AFTER UPDATE OF name ON client WHEN NEW.name <> OLD.name
BEGIN
  UPDATE client SET sorted = NULL WHERE id = NEW.id;
  UPDATE enquiry_board SET folded = NULL WHERE enquiry IN (SELECT id FROM enquiry WHERE client = NEW.id);
END;

CREATE VIRTUAL TABLE client_words USING fts5 (folded, content = 'client', content_rowid = 'id', tokenize = 'trigram case_sensitive 1', detail = none, columnsize = 0);

CREATE TABLE 'client_words_data'(id INTEGER PRIMARY KEY, block BLOB);

CREATE TABLE 'client_words_idx'(segid, term, pgno, PRIMARY KEY(segid, term)) WITHOUT ROWID;

CREATE TABLE 'client_words_config'(k PRIMARY KEY, v) WITHOUT ROWID;

CREATE TRIGGER client_words_new AFTER INSERT ON client
BEGIN
  INSERT INTO client_words (rowid, folded) VALUES (NEW.id, NEW.folded);
END;

CREATE TRIGGER client_words_follow AFTER UPDATE OF folded ON client WHEN OLD.folded <> NEW.folded
BEGIN
  INSERT INTO client_words (client_words, rowid, folded) VALUES ('delete', OLD.id, OLD.folded);
  INSERT INTO client_words (rowid, folded) VALUES (NEW.id, NEW.folded);
END;

CREATE TRIGGER client_words_gone AFTER DELETE ON client
BEGIN
  INSERT INTO client_words (client_words, rowid, folded) VALUES ('delete', OLD.id, OLD.folded);
END;

CREATE TABLE enquiry_board (
  enquiry INTEGER PRIMARY KEY REFERENCES enquiry ON DELETE CASCADE,
  state   TEXT NOT NULL CHECK (state IN ('open', 'quoted', 'closed')),
  day     TEXT NOT NULL,  -- of the event; '~' where there is none yet: those come last
  folded  TEXT            -- what a search looks at; NULL: not made yet since the enquiry changed
) STRICT;

CREATE INDEX enquiry_board_by_state ON enquiry_board (state, day, enquiry);

CREATE INDEX enquiry_board_by_day ON enquiry_board (day, enquiry);

CREATE INDEX enquiry_board_unfolded ON enquiry_board (enquiry) WHERE folded IS NULL;

CREATE VIEW enquiry_board_now AS
SELECT id AS enquiry, CASE WHEN closed_on IS NOT NULL THEN 'closed' WHEN EXISTS (SELECT 1 FROM quote_party WHERE enquiry = e.id) THEN 'quoted' ELSE 'open' END AS state,
  coalesce(event_date, '~') AS day
FROM enquiry e;

CREATE TRIGGER enquiry_board_new AFTER INSERT ON enquiry
BEGIN
  INSERT INTO enquiry_board (enquiry, state, day) SELECT enquiry, state, day FROM enquiry_board_now WHERE enquiry = NEW.id;
END;

CREATE TRIGGER enquiry_board_follows AFTER UPDATE ON enquiry
BEGIN
  UPDATE enquiry_board SET folded = NULL, (state, day) = (SELECT state, day FROM enquiry_board_now WHERE enquiry = NEW.id) WHERE enquiry = NEW.id;
END;

CREATE TRIGGER enquiry_board_answered AFTER INSERT ON quote_party WHEN NEW.enquiry IS NOT NULL
BEGIN
  UPDATE enquiry_board SET state = (SELECT state FROM enquiry_board_now WHERE enquiry = NEW.enquiry) WHERE enquiry = NEW.enquiry;
END;

CREATE TRIGGER enquiry_board_relinked AFTER UPDATE OF enquiry ON quote_party WHEN NEW.enquiry IS NOT OLD.enquiry
BEGIN
  UPDATE enquiry_board SET state = now.state FROM enquiry_board_now now WHERE now.enquiry = enquiry_board.enquiry AND enquiry_board.enquiry IN (OLD.enquiry, NEW.enquiry);
END;

CREATE TRIGGER enquiry_board_unanswered AFTER DELETE ON quote_party WHEN OLD.enquiry IS NOT NULL
BEGIN
  UPDATE enquiry_board SET state = now.state FROM enquiry_board_now now WHERE now.enquiry = enquiry_board.enquiry AND enquiry_board.enquiry = OLD.enquiry;
END;

CREATE VIRTUAL TABLE enquiry_words USING fts5 (folded, content = 'enquiry_board', content_rowid = 'enquiry', tokenize = 'trigram case_sensitive 1', detail = none, columnsize = 0);

CREATE TABLE 'enquiry_words_data'(id INTEGER PRIMARY KEY, block BLOB);

CREATE TABLE 'enquiry_words_idx'(segid, term, pgno, PRIMARY KEY(segid, term)) WITHOUT ROWID;

CREATE TABLE 'enquiry_words_config'(k PRIMARY KEY, v) WITHOUT ROWID;

CREATE TRIGGER enquiry_words_follow AFTER UPDATE OF folded ON enquiry_board WHEN OLD.folded IS NOT NEW.folded
BEGIN
  INSERT INTO enquiry_words (enquiry_words, rowid, folded) SELECT 'delete', OLD.enquiry, OLD.folded WHERE OLD.folded IS NOT NULL;
  INSERT INTO enquiry_words (rowid, folded) SELECT NEW.enquiry, NEW.folded WHERE NEW.folded IS NOT NULL;
END;

CREATE TRIGGER enquiry_words_gone AFTER DELETE ON enquiry_board WHEN OLD.folded IS NOT NULL
BEGIN
  INSERT INTO enquiry_words (enquiry_words, rowid, folded) VALUES ('delete', OLD.enquiry, OLD.folded);
END;

CREATE TABLE quote_moved (
  stamp INTEGER PRIMARY KEY,
  quote INTEGER NOT NULL REFERENCES quote ON DELETE CASCADE,
  paid  INTEGER NOT NULL CHECK (paid IN (0, 1))  -- 1: money came or went, and nothing else changed
) STRICT;

CREATE INDEX quote_moved_of_quote ON quote_moved (quote);

CREATE TRIGGER quote_moved_on AFTER INSERT ON quote_trail
BEGIN
  INSERT INTO quote_moved (quote, paid) VALUES (NEW.quote, 0);
END;

CREATE TRIGGER quote_moved_money AFTER INSERT ON payment
BEGIN
  INSERT INTO quote_moved (quote, paid) VALUES (NEW.quote, 1);
END;

CREATE TRIGGER quote_moved_forgets AFTER UPDATE OF snapshot ON quote_revision WHEN OLD.frozen
BEGIN
  INSERT INTO quote_moved (quote, paid) VALUES (NEW.quote, 0);
END;

CREATE TABLE quote_face (
  quote    INTEGER NOT NULL REFERENCES quote ON DELETE CASCADE,
  revision INTEGER NOT NULL,
  options  TEXT CHECK (options IS NULL OR json_valid(options)),  -- [{"name": "Two tiers", "total": "480.00"}]; NULL: a single offer
  PRIMARY KEY (quote, revision)
) STRICT, WITHOUT ROWID;

CREATE TRIGGER quote_face_made AFTER INSERT ON quote_revision
BEGIN
  INSERT INTO quote_face VALUES (NEW.quote, NEW.revision, iif(NEW.options > 0, (
    SELECT json_group_array(json_object('name', value ->> 'name', 'total', value ->> 'total')) FROM (
      SELECT value FROM json_each(NEW.snapshot, '$.options') ORDER BY key)), NULL));
END;

CREATE TRIGGER quote_face_gone AFTER DELETE ON quote_revision
BEGIN
  DELETE FROM quote_face WHERE quote = OLD.quote AND revision = OLD.revision;
END;

CREATE TABLE client_written (
  -- Clients who are new, changed or gone since they were last compared.
  client INTEGER PRIMARY KEY
) STRICT;

CREATE TABLE client_trait (
  -- What a client is recognised by. Of those who share a trait the one with the
  -- lowest number is its first.
  why    TEXT    NOT NULL CHECK (why IN ('same email', 'same phone', 'same name')),
  trait  TEXT    NOT NULL,  -- as it is compared: in lower case, digits alone, words in order
  client INTEGER NOT NULL,
  PRIMARY KEY (why, trait, client)
) STRICT, WITHOUT ROWID;

CREATE UNIQUE INDEX client_trait_of ON client_trait (client, why);

CREATE TABLE client_remainder (
  -- A name, and that name without each of its letters: two that are one slip of
  -- the keys apart share one. It is kept for the first of each name.
  remainder INTEGER NOT NULL,  -- a hash
  client    INTEGER NOT NULL,
  PRIMARY KEY (remainder, client)
) STRICT, WITHOUT ROWID;

CREATE TABLE client_double (
  -- Two clients that look like one. Of more than two who share a trait each is
  -- paired with its first; near names are paired by the first of each.
  first  INTEGER NOT NULL,
  second INTEGER NOT NULL CHECK (second > first),
  why    TEXT    NOT NULL CHECK (why IN ('same email', 'same phone', 'same name', 'near name')),
  PRIMARY KEY (first, second, why)
) STRICT, WITHOUT ROWID;

CREATE INDEX client_double_second ON client_double (second, first);

CREATE TRIGGER client_written_new AFTER INSERT ON client
BEGIN
  INSERT INTO client_written VALUES (NEW.id) ON CONFLICT DO NOTHING;
END;

CREATE TRIGGER client_written_again AFTER UPDATE OF id, name, email, phone ON client
WHEN (OLD.id, OLD.name, OLD.email, OLD.phone) IS NOT (NEW.id, NEW.name, NEW.email, NEW.phone)
BEGIN
  INSERT INTO client_written VALUES (OLD.id), (NEW.id) ON CONFLICT DO NOTHING;
END;

CREATE TRIGGER client_written_gone AFTER DELETE ON client
BEGIN
  INSERT INTO client_written VALUES (OLD.id) ON CONFLICT DO NOTHING;
END;
