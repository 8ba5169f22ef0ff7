-- Which clients look like one, kept as clients are written: it is asked about on
-- every client's page. What a client is recognised by cannot be worked out in
-- SQL, so triggers mark who was written; the program follows in the transaction
-- that marked them, and at the latest before it is asked who looks like whom.

CREATE TABLE client_written (
  -- Clients who are new, changed or gone since they were last compared.
  client INTEGER PRIMARY KEY
) STRICT;

CREATE TABLE client_trait (
  -- What a client is recognised by. Of those who share a trait the one with the
  -- lowest number is its first.
  why    TEXT    NOT NULL CHECK (why IN ('same email', 'same phone', 'same name')),
  trait  TEXT    NOT NULL,  -- as it is compared: in lower case, digits alone, words in order
  client INTEGER NOT NULL,
  PRIMARY KEY (why, trait, client)
) STRICT, WITHOUT ROWID;
CREATE UNIQUE INDEX client_trait_of ON client_trait (client, why);

CREATE TABLE client_remainder (
  -- A name, and that name without each of its letters: two that are one slip of
  -- the keys apart share one. It is kept for the first of each name.
  remainder INTEGER NOT NULL,  -- a hash
  client    INTEGER NOT NULL,
  PRIMARY KEY (remainder, client)
) STRICT, WITHOUT ROWID;

CREATE TABLE client_double (
  -- Two clients that look like one. Of more than two who share a trait each is
  -- paired with its first; near names are paired by the first of each.
  first  INTEGER NOT NULL,
  second INTEGER NOT NULL CHECK (second > first),
  why    TEXT    NOT NULL CHECK (why IN ('same email', 'same phone', 'same name', 'near name')),
  PRIMARY KEY (first, second, why)
) STRICT, WITHOUT ROWID;
CREATE INDEX client_double_second ON client_double (second, first);

INSERT INTO client_written SELECT id FROM client;
CREATE TRIGGER client_written_new AFTER INSERT ON client
BEGIN
  INSERT INTO client_written VALUES (NEW.id) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER client_written_again AFTER UPDATE OF id, name, email, phone ON client
WHEN (OLD.id, OLD.name, OLD.email, OLD.phone) IS NOT (NEW.id, NEW.name, NEW.email, NEW.phone)
BEGIN
  INSERT INTO client_written VALUES (OLD.id), (NEW.id) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER client_written_gone AFTER DELETE ON client
BEGIN
  INSERT INTO client_written VALUES (OLD.id) ON CONFLICT DO NOTHING;
END;
