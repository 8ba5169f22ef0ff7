-- What the board of quotes is looked through by. It says nothing that is not
-- said elsewhere: triggers make it of quotes and their revisions.

CREATE TABLE quote_board (
  quote      INTEGER PRIMARY KEY REFERENCES quote ON DELETE CASCADE,
  state      TEXT NOT NULL,  -- that of the quote; 'pending': issued to change an order that stands
  event_date TEXT NOT NULL,
  order_date TEXT,           -- the event of the order that stands, where its change is pending
  until      TEXT NOT NULL,  -- an issued one lapses after that day
  folded     TEXT            -- what a search looks at; NULL: not made yet since the quote changed
) STRICT;
CREATE INDEX quote_board_by_event ON quote_board (state, event_date, order_date, until);
CREATE INDEX quote_board_by_order ON quote_board (state, order_date, until) WHERE order_date IS NOT NULL;
CREATE INDEX quote_board_unfolded ON quote_board (quote) WHERE folded IS NULL;

CREATE VIEW quote_board_now AS
SELECT q.id AS quote, iif(q.state = 'issued' AND q.accepted IS NOT NULL, 'pending', q.state) AS state, r.event_date,
  iif(q.state = 'issued', (SELECT event_date FROM quote_revision WHERE quote = q.id AND revision = q.accepted), NULL) AS order_date, r.valid_until AS until
FROM quote q JOIN quote_revision r ON r.quote = q.id
  AND r.revision = iif(q.state IN ('accepted', 'cancelled') AND q.accepted IS NOT NULL, q.accepted, coalesce(q.newest, 1));

INSERT INTO quote_board (quote, state, event_date, order_date, until) SELECT quote, state, event_date, order_date, until FROM quote_board_now;

CREATE TRIGGER quote_board_revised AFTER INSERT ON quote_revision
BEGIN
  INSERT INTO quote_board (quote, state, event_date, order_date, until) SELECT quote, state, event_date, order_date, until FROM quote_board_now WHERE quote = NEW.quote
  ON CONFLICT (quote) DO UPDATE SET state = excluded.state, event_date = excluded.event_date, order_date = excluded.order_date, until = excluded.until, folded = NULL;
END;

-- Only where the client is erased: then the name is to go from here too.
CREATE TRIGGER quote_board_forgets AFTER UPDATE OF snapshot ON quote_revision
BEGIN
  UPDATE quote_board SET folded = NULL WHERE quote = NEW.quote;
END;

CREATE TRIGGER quote_board_moves AFTER UPDATE OF year, state, newest, accepted ON quote
BEGIN
  UPDATE quote_board SET folded = NULL, (state, event_date, order_date, until) = (SELECT state, event_date, order_date, until FROM quote_board_now WHERE quote = NEW.id)
  WHERE quote = NEW.id AND EXISTS (SELECT 1 FROM quote_board_now WHERE quote = NEW.id);
END;

-- What the options of a revision are called and come to, so that a list need
-- not read the snapshots: they are long.
CREATE TABLE quote_face (
  quote    INTEGER NOT NULL REFERENCES quote ON DELETE CASCADE,
  revision INTEGER NOT NULL,
  options  TEXT CHECK (json_valid(options)),  -- [{"name": "Two tiers", "total": "480.00"}]; NULL: a single offer
  PRIMARY KEY (quote, revision)
) STRICT, WITHOUT ROWID;

CREATE VIEW quote_face_now AS
SELECT quote, revision, iif(options > 0, (
    SELECT json_group_array(json_object('name', option, 'total', total)) FROM (
      SELECT option, total FROM quote_sale s WHERE s.quote = r.quote AND s.revision = r.revision ORDER BY choice)), NULL) AS options
FROM quote_revision r;

INSERT INTO quote_face SELECT * FROM quote_face_now;

CREATE TRIGGER quote_face_made AFTER INSERT ON quote_revision
BEGIN
  INSERT INTO quote_face SELECT * FROM quote_face_now WHERE quote = NEW.quote AND revision = NEW.revision;
END;
CREATE TRIGGER quote_face_gone AFTER DELETE ON quote_revision
BEGIN
  DELETE FROM quote_face WHERE quote = OLD.quote AND revision = OLD.revision;
END;
