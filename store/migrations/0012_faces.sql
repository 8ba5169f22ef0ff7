-- The faces of quotes again. SQLite before 3.41 holds NULL for no JSON, and a
-- trigger that goes through a view reads the whole snapshot three times, which
-- is most of what it takes to save a quote.

DROP TRIGGER quote_face_made;
DROP TRIGGER quote_face_gone;
DROP VIEW quote_face_now;
ALTER TABLE quote_face RENAME TO quote_face_old;
CREATE TABLE quote_face (
  quote    INTEGER NOT NULL REFERENCES quote ON DELETE CASCADE,
  revision INTEGER NOT NULL,
  options  TEXT CHECK (options IS NULL OR json_valid(options)),  -- [{"name": "Two tiers", "total": "480.00"}]; NULL: a single offer
  PRIMARY KEY (quote, revision)
) STRICT, WITHOUT ROWID;
INSERT INTO quote_face SELECT * FROM quote_face_old;
DROP TABLE quote_face_old;

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
