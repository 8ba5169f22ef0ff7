-- Quotes that let the client choose, the states that quotes go through, and
-- the payments of orders.

CREATE TABLE studio_cancellation (
  position    INTEGER PRIMARY KEY,
  within_days INTEGER,        -- NULL: at any time
  share       TEXT NOT NULL   -- "50 %" of the total
) STRICT;

-- Where each quote stands follows from its trail; the trigger below keeps it.
ALTER TABLE quote ADD COLUMN state TEXT NOT NULL DEFAULT 'draft' CHECK (state IN ('draft', 'issued', 'accepted', 'declined', 'cancelled'));
ALTER TABLE quote ADD COLUMN newest INTEGER;   -- revision on the table; NULL: still a draft
ALTER TABLE quote ADD COLUMN accepted INTEGER; -- revision that was accepted last
ALTER TABLE quote ADD COLUMN choice INTEGER;   -- option of it, from 1; NULL where it had none
ALTER TABLE quote_revision ADD COLUMN options INTEGER AS (json_array_length(snapshot, '$.options')) VIRTUAL; -- NULL: a single offer
ALTER TABLE quote_revision ADD COLUMN guests INTEGER AS (snapshot ->> '$.offer.guests') VIRTUAL;

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

INSERT INTO quote_trail (quote, entry, at, on_day, move, revision, reason)
SELECT quote, revision, saved_at, issued_on, iif(revision = 1, 'issue', 'revise'), revision, 'issued before states were kept'
FROM quote_revision WHERE frozen;

DROP TRIGGER quote_number_stays;
CREATE TRIGGER quote_number_stays BEFORE UPDATE OF id, draft, year, sequence ON quote
WHEN OLD.year IS NOT NULL OR NEW.id <> OLD.id OR NEW.draft IS NOT OLD.draft
BEGIN SELECT RAISE(ABORT, 'an issued quote keeps its number'); END;
DROP TRIGGER quote_number_follows;
CREATE TRIGGER quote_number_follows BEFORE UPDATE OF year, sequence ON quote
WHEN NEW.year IS NOT NULL AND NEW.sequence IS NOT (SELECT coalesce(max(sequence), 0) + 1 FROM quote WHERE year = NEW.year)
BEGIN SELECT RAISE(ABORT, 'quotes are numbered without gaps'); END;

UPDATE quote SET state = 'issued', newest = (SELECT max(revision) FROM quote_revision WHERE quote = id) WHERE year IS NOT NULL;

CREATE TRIGGER quote_state_follows BEFORE UPDATE OF state, newest, accepted, choice ON quote
WHEN NEW.state IS NOT (SELECT CASE move
      WHEN 'issue' THEN 'issued' WHEN 'revise' THEN 'issued' WHEN 'accept' THEN 'accepted' WHEN 'cancel' THEN 'cancelled'
      ELSE iif(OLD.accepted IS NULL, 'declined', 'accepted') END
    FROM quote_trail WHERE quote = OLD.id ORDER BY entry DESC LIMIT 1)
BEGIN SELECT RAISE(ABORT, 'the state of a quote follows from its trail'); END;

-- The same moves as package quote allows; lapsing is a matter of the date and
-- judged there.
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

DROP VIEW quote_now;
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

DROP VIEW quote_line;
CREATE VIEW quote_line AS
-- For reports. Rates, quantities and costs are exact fractions: 27/200 is 0.135.
SELECT quote, revision, choice, l.key + 1 AS position, l.value ->> 'kind' AS kind, l.value ->> 'id' AS id, l.value ->> 'name' AS name,
  l.value ->> 'quantity' AS quantity, l.value ->> 'unit_price' AS unit_price, l.value ->> 'amount' AS amount, l.value ->> 'tax_rate' AS tax_rate
FROM quote_sale, json_each(sale, '$.lines') l;

DROP VIEW quote_tax;
CREATE VIEW quote_tax AS
SELECT quote, revision, choice, t.key + 1 AS position, t.value ->> 'rate' AS rate, t.value ->> 'net' AS net, t.value ->> 'tax' AS tax
FROM quote_sale, json_each(sale, '$.tax') t;

DROP VIEW quote_instalment;
CREATE VIEW quote_instalment AS
SELECT quote, revision, choice, i.key + 1 AS position, i.value ->> 'due' AS due, i.value ->> 'amount' AS amount, coalesce(i.value ->> 'deposit', 0) AS deposit
FROM quote_sale, json_each(sale, '$.instalments') i;

DROP VIEW quote_bill;
CREATE VIEW quote_bill AS
SELECT quote, revision, choice, substr(list.key, 1, length(list.key) - 1) AS of_kind, c.value ->> 'id' AS of_id, c.value ->> 'quantity' AS of_quantity,
  b.value ->> 'resource' AS resource, b.value ->> 'kind' AS kind, b.value ->> 'quantity' AS quantity, b.value ->> 'unit' AS unit
FROM quote_sale, json_each(basis) list, json_each(list.value) c, json_each(c.value, '$.bill') b
WHERE list.key IN ('cakes', 'extras');

DROP VIEW quote_rate;
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
