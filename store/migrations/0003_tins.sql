-- The tins that the studio owns, and moulds that are measured by the water they
-- hold and then need no sizes.

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

ALTER TABLE mould RENAME TO sized_mould;
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
INSERT INTO mould (component, shape, diameter, side, length, width, area, perimeter, height)
SELECT component, shape, diameter, side, length, width, area, perimeter, height FROM sized_mould;
DROP TABLE sized_mould;
