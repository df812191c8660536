-- Who a study is, wherever it goes: what leaves the shelf and comes back is known by it.
ALTER TABLE studies ADD COLUMN identity TEXT NOT NULL DEFAULT '';
UPDATE studies SET identity = lower(hex(randomblob(16)));
CREATE UNIQUE INDEX studies_by_identity ON studies (identity);

-- When a study was set aside; empty while it stands on the shelf.
ALTER TABLE studies ADD COLUMN aside TEXT NOT NULL DEFAULT '';
CREATE INDEX studies_by_change ON studies (aside, changed DESC, id DESC);

-- What a study is found by, made from its sections by whoever knows them, and made again when they changed.
CREATE TABLE cards (
  study INTEGER PRIMARY KEY REFERENCES studies (id) ON DELETE CASCADE,
  -- Of how cards are made, and the study's moves when this one was.
  version INTEGER NOT NULL,
  moves INTEGER NOT NULL,
  -- The moves when its figures were worked out; -1 when they never were.
  worked INTEGER NOT NULL,
  accession TEXT NOT NULL,
  first_year INTEGER,
  last_year INTEGER,
  -- In square inches.
  area REAL
) STRICT;

-- What lists show, apart from what they are found by: searches pass it by.
CREATE TABLE facts (
  study INTEGER PRIMARY KEY REFERENCES studies (id) ON DELETE CASCADE,
  value TEXT NOT NULL
) STRICT;

CREATE TABLE marks (
  study INTEGER NOT NULL REFERENCES studies (id) ON DELETE CASCADE,
  kind TEXT NOT NULL,
  value TEXT NOT NULL COLLATE NOCASE,
  PRIMARY KEY (kind, value, study)
) STRICT, WITHOUT ROWID;
CREATE INDEX marks_of_study ON marks (study);

CREATE VIRTUAL TABLE words USING fts5 (
  name, rest, tokenize = "unicode61 remove_diacritics 2", prefix = '1 2 3'
);

-- Studies that were deleted for good, so that an empty shelf is not taken for a lost one, and the photographs that are
-- to go with them.
CREATE TABLE gone (identity TEXT PRIMARY KEY, made TEXT NOT NULL) STRICT;
CREATE TABLE unwanted (reference TEXT PRIMARY KEY) STRICT;
