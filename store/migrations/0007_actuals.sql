-- What really happened: a journal that is only added to. Package actual says
-- what the entries mean. Columns that an entry has no use for are NULL.

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
