-- Clients, what they ask for, and the only change that a frozen quote takes: to
-- forget whom it was for.

CREATE TABLE reference (
  kind TEXT    PRIMARY KEY CHECK (kind IN ('client', 'enquiry')),
  last INTEGER NOT NULL  -- C12 is never given twice, even when its client is gone
) STRICT;
INSERT INTO reference (kind, last) VALUES ('client', 0), ('enquiry', 0);

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
) STRICT;

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

DROP TRIGGER quote_revision_stays;
CREATE TRIGGER quote_revision_stays BEFORE UPDATE ON quote_revision
WHEN OLD.frozen AND (
  NEW.quote IS NOT OLD.quote OR NEW.revision IS NOT OLD.revision OR NEW.frozen IS NOT OLD.frozen OR NEW.saved_at IS NOT OLD.saved_at
  OR NEW.snapshot IS NOT (SELECT snapshot FROM quote_forgotten WHERE quote = OLD.quote AND revision = OLD.revision))
BEGIN SELECT RAISE(ABORT, 'an issued quote never changes, except to forget its client; issue a revision'); END;
