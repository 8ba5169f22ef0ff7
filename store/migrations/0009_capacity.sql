-- What the studio can do in a day: its hours, working days and holidays, and the
-- minutes that roles and appliances have. One row, or none: then nothing is
-- stated. It is one JSON object, since it is only ever read whole; the ids in it
-- are checked when it is written, and those whose role has gone since are told
-- by who reads it.
CREATE TABLE capacity (
  id     INTEGER PRIMARY KEY CHECK (id = 1),
  stated TEXT NOT NULL CHECK (json_type(stated) IS 'object'),
  set_at TEXT NOT NULL
) STRICT;
