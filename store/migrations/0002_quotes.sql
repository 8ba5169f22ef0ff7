-- Quotes, numbered by the year of issue, and their frozen revisions.

CREATE TABLE quote (
  id       INTEGER PRIMARY KEY,
  draft    INTEGER UNIQUE,  -- 3 is D3; kept when the draft is issued
  year     INTEGER,         -- of issue; NULL: still a draft
  sequence INTEGER,         -- within the year, from 1 without gaps
  number   TEXT AS (year || '-' || printf('%04d', sequence)) VIRTUAL,
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
  snapshot    TEXT    NOT NULL CHECK (json_valid(snapshot)),
  PRIMARY KEY (quote, revision)
) STRICT;

CREATE VIEW quote_now AS
-- Every revision with its number, or what its draft is called.
SELECT q.id AS quote, number, 'D' || draft AS draft, iif(year IS NULL, 'draft', 'issued') AS state, revision, letter,
  client, event_date, issued_on, valid_until, currency, total, saved_at,
  revision = (SELECT max(revision) FROM quote_revision WHERE quote = q.id) AS newest
FROM quote q JOIN quote_revision ON quote = q.id;

CREATE VIEW quote_line AS
-- For reports. Rates, quantities and costs are exact fractions: 27/200 is 0.135.
SELECT quote, revision, l.key + 1 AS position, l.value ->> 'kind' AS kind, l.value ->> 'id' AS id, l.value ->> 'name' AS name,
  l.value ->> 'quantity' AS quantity, l.value ->> 'unit_price' AS unit_price, l.value ->> 'amount' AS amount, l.value ->> 'tax_rate' AS tax_rate
FROM quote_revision, json_each(snapshot, '$.offer.lines') l;

CREATE VIEW quote_tax AS
SELECT quote, revision, t.key + 1 AS position, t.value ->> 'rate' AS rate, t.value ->> 'net' AS net, t.value ->> 'tax' AS tax
FROM quote_revision, json_each(snapshot, '$.offer.tax') t;

CREATE VIEW quote_instalment AS
SELECT quote, revision, i.key + 1 AS position, i.value ->> 'due' AS due, i.value ->> 'amount' AS amount, coalesce(i.value ->> 'deposit', 0) AS deposit
FROM quote_revision, json_each(snapshot, '$.offer.instalments') i;

CREATE VIEW quote_bill AS
SELECT quote, revision, substr(list.key, 1, length(list.key) - 1) AS of_kind, c.value ->> 'id' AS of_id, c.value ->> 'quantity' AS of_quantity,
  b.value ->> 'resource' AS resource, b.value ->> 'kind' AS kind, b.value ->> 'quantity' AS quantity, b.value ->> 'unit' AS unit
FROM quote_revision, json_each(snapshot, '$.basis') list, json_each(list.value) c, json_each(c.value, '$.bill') b
WHERE list.key IN ('cakes', 'extras');

CREATE VIEW quote_rate AS
SELECT quote, revision, p.value ->> 'resource' AS resource, p.value ->> 'kind' AS kind, p.value ->> 'per_unit' AS per_unit, p.value ->> 'unit' AS unit,
  p.value ->> 'price' AS price, p.value ->> 'from' AS from_day, p.value ->> 'supplier' AS supplier
FROM quote_revision, json_each(snapshot, '$.basis.rates') p;

CREATE TRIGGER quote_number_stays BEFORE UPDATE ON quote
WHEN OLD.year IS NOT NULL OR NEW.id <> OLD.id OR NEW.draft IS NOT OLD.draft
BEGIN SELECT RAISE(ABORT, 'an issued quote keeps its number'); END;
CREATE TRIGGER quote_number_follows BEFORE UPDATE ON quote
WHEN NEW.year IS NOT NULL AND NEW.sequence IS NOT (SELECT coalesce(max(sequence), 0) + 1 FROM quote WHERE year = NEW.year)
BEGIN SELECT RAISE(ABORT, 'quotes are numbered without gaps'); END;
CREATE TRIGGER quote_is_kept BEFORE DELETE ON quote WHEN OLD.year IS NOT NULL
BEGIN SELECT RAISE(ABORT, 'an issued quote is never deleted'); END;
CREATE TRIGGER quote_is_new BEFORE INSERT ON quote
WHEN EXISTS (SELECT 1 FROM quote WHERE id = NEW.id OR draft = NEW.draft)
  OR NEW.year IS NOT NULL AND NEW.sequence IS NOT (SELECT coalesce(max(sequence), 0) + 1 FROM quote WHERE year = NEW.year)
BEGIN SELECT RAISE(ABORT, 'quotes are numbered without gaps'); END;

CREATE TRIGGER quote_revision_stays BEFORE UPDATE ON quote_revision WHEN OLD.frozen
BEGIN SELECT RAISE(ABORT, 'an issued quote never changes; issue a revision'); END;
CREATE TRIGGER quote_revision_is_kept BEFORE DELETE ON quote_revision WHEN OLD.frozen
BEGIN SELECT RAISE(ABORT, 'an issued quote is never deleted'); END;
CREATE TRIGGER quote_revision_is_new BEFORE INSERT ON quote_revision
WHEN EXISTS (SELECT 1 FROM quote_revision WHERE quote = NEW.quote AND revision = NEW.revision)
BEGIN SELECT RAISE(ABORT, 'an issued quote never changes; issue a revision'); END;
