-- How the studio's papers look, and the pictures that they show.

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

ALTER TABLE studio ADD COLUMN look_stated INTEGER NOT NULL DEFAULT 0 CHECK (look_stated IN (0, 1));
ALTER TABLE studio ADD COLUMN accent TEXT CHECK (look_stated AND accent GLOB '#??????' OR accent IS NULL);
ALTER TABLE studio ADD COLUMN paper  TEXT CHECK (look_stated AND paper IN ('a4', 'letter') OR paper IS NULL);
ALTER TABLE studio ADD COLUMN logo   TEXT REFERENCES picture CHECK (look_stated OR logo IS NULL);
