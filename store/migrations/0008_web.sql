-- Who may use the pages from other machines. One row, or none: then the pages
-- are served to this machine alone.
CREATE TABLE web_access (
  id         INTEGER PRIMARY KEY CHECK (id = 1),
  passphrase TEXT NOT NULL CHECK (passphrase GLOB '$argon2id$*'),  -- its hash, never itself
  set_at     TEXT NOT NULL
) STRICT;
