-- The first book. Every text is UTF-8; every moment is UTC, RFC 3339.
PRAGMA application_id = 1383036782; -- "Rown"

-- AUTOINCREMENT: the number of a farm is never given to another.
CREATE TABLE farms (
  id       INTEGER PRIMARY KEY AUTOINCREMENT,
  name     TEXT NOT NULL,
  contact  TEXT NOT NULL DEFAULT '',
  archived INTEGER NOT NULL DEFAULT 0 CHECK (archived IN (0, 1))
) STRICT;

-- Every document as it was saved; the highest number is the one in force.
CREATE TABLE versions (
  farm   INTEGER NOT NULL REFERENCES farms (id),
  number INTEGER NOT NULL CHECK (number > 0),
  hash   TEXT NOT NULL,
  saved  TEXT NOT NULL,
  who    TEXT NOT NULL,
  note   TEXT NOT NULL,
  text   BLOB NOT NULL, -- last: what stands behind a long text is slow to reach
  PRIMARY KEY (farm, number)
) STRICT;

-- A line of a journal, without its line feed. The same line counts once; different
-- lines under one device and sequence are all kept.
CREATE TABLE entries (
  row      INTEGER PRIMARY KEY AUTOINCREMENT,
  farm     INTEGER NOT NULL REFERENCES farms (id),
  device   TEXT NOT NULL,
  sequence INTEGER NOT NULL CHECK (sequence > 0),
  hash     BLOB NOT NULL,
  line     BLOB NOT NULL,
  UNIQUE (farm, device, sequence, hash)
) STRICT;
CREATE INDEX entries_of_farm ON entries (farm);

-- Files kept as they were given.
CREATE TABLE files (
  kind  TEXT NOT NULL CHECK (kind IN ('weather', 'catalogue')),
  name  TEXT NOT NULL,
  hash  TEXT NOT NULL,
  saved TEXT NOT NULL,
  data  BLOB NOT NULL,
  PRIMARY KEY (kind, name)
) STRICT;

CREATE TABLE people (
  name   TEXT NOT NULL PRIMARY KEY,
  units  TEXT NOT NULL CHECK (units IN ('us', 'metric')),
  theme  TEXT NOT NULL CHECK (theme IN ('auto', 'light', 'dark')),
  device TEXT NOT NULL,
  phone  TEXT NOT NULL
) STRICT;
-- Two people never write under one device: their entries would take each other's names.
CREATE UNIQUE INDEX people_devices ON people (device) WHERE device <> '';
