-- Lists read what they show and no more: indexes in the order of each list, and
-- what cannot be worked out in SQL (letters without accents, the order of an
-- alphabet, what is left of an account) kept beside what it is worked out from.
-- Triggers mark it as not made; the program makes it in the transaction that
-- marked it, and at the latest before a list is read.

-- Quotes

DROP INDEX quote_board_by_event;
DROP INDEX quote_board_by_order;
CREATE INDEX quote_board_by_event ON quote_board (state, event_date, quote, until);
CREATE INDEX quote_board_by_order ON quote_board (state, order_date, quote, until) WHERE order_date IS NOT NULL;
CREATE INDEX quote_board_by_until ON quote_board (state, until, quote);

UPDATE quote_board SET folded = NULL;

-- Runs of three letters, and where they occur. What a search finds by them is
-- looked at again as a whole.
CREATE VIRTUAL TABLE quote_words USING fts5 (folded, content = 'quote_board', content_rowid = 'quote', tokenize = 'trigram case_sensitive 1', detail = none, columnsize = 0);
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
INSERT INTO order_due (quote, known) SELECT id, 0 FROM quote WHERE accepted IS NOT NULL;
CREATE TRIGGER order_due_moves AFTER UPDATE OF state, accepted, choice ON quote WHEN NEW.accepted IS NOT NULL
BEGIN
  INSERT INTO order_due (quote, known) VALUES (NEW.id, 0) ON CONFLICT (quote) DO UPDATE SET known = 0;
END;
CREATE TRIGGER order_due_paid AFTER INSERT ON payment
BEGIN
  UPDATE order_due SET known = 0 WHERE quote = NEW.quote;
END;

-- Clients

ALTER TABLE client ADD COLUMN sorted TEXT;  -- where the name stands in the studio's alphabet; NULL: not made yet
CREATE INDEX client_by_name ON client (sorted, id);
CREATE INDEX client_unsorted ON client (id) WHERE sorted IS NULL;
CREATE TABLE client_order (
  id     INTEGER PRIMARY KEY CHECK (id = 1),
  locale TEXT NOT NULL  -- of the alphabet
) STRICT;
INSERT INTO client_order (id, locale) VALUES (1, '');
CREATE TRIGGER client_renamed AFTER UPDATE OF name ON client WHEN NEW.name <> OLD.name
BEGIN
  UPDATE client SET sorted = NULL WHERE id = NEW.id;
  UPDATE enquiry_board SET folded = NULL WHERE enquiry IN (SELECT id FROM enquiry WHERE client = NEW.id);
END;

CREATE VIRTUAL TABLE client_words USING fts5 (folded, content = 'client', content_rowid = 'id', tokenize = 'trigram case_sensitive 1', detail = none, columnsize = 0);
INSERT INTO client_words (rowid, folded) SELECT id, folded FROM client;
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

-- Enquiries

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

INSERT INTO enquiry_board (enquiry, state, day) SELECT enquiry, state, day FROM enquiry_board_now;

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
CREATE TRIGGER enquiry_words_follow AFTER UPDATE OF folded ON enquiry_board WHEN OLD.folded IS NOT NEW.folded
BEGIN
  INSERT INTO enquiry_words (enquiry_words, rowid, folded) SELECT 'delete', OLD.enquiry, OLD.folded WHERE OLD.folded IS NOT NULL;
  INSERT INTO enquiry_words (rowid, folded) SELECT NEW.enquiry, NEW.folded WHERE NEW.folded IS NOT NULL;
END;
CREATE TRIGGER enquiry_words_gone AFTER DELETE ON enquiry_board WHEN OLD.folded IS NOT NULL
BEGIN
  INSERT INTO enquiry_words (enquiry_words, rowid, folded) VALUES ('delete', OLD.enquiry, OLD.folded);
END;

-- Quotes and orders in the order in which anything of them changed: issued,
-- decided, paid, forgotten. Who remembers them reads on from where it was.
CREATE TABLE quote_moved (
  stamp INTEGER PRIMARY KEY,
  quote INTEGER NOT NULL REFERENCES quote ON DELETE CASCADE,
  paid  INTEGER NOT NULL CHECK (paid IN (0, 1))  -- 1: money came or went, and nothing else changed
) STRICT;
CREATE INDEX quote_moved_of_quote ON quote_moved (quote);
INSERT INTO quote_moved (quote, paid) SELECT quote, 0 FROM quote_trail ORDER BY at, quote, entry;
INSERT INTO quote_moved (quote, paid) SELECT quote, 1 FROM payment ORDER BY id;
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
