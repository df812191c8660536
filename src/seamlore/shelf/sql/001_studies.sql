CREATE TABLE studies (
  id INTEGER PRIMARY KEY,
  name TEXT NOT NULL COLLATE NOCASE UNIQUE,
  made TEXT NOT NULL,
  -- The last change that stands; what lies beyond it was undone and can be redone.
  position INTEGER NOT NULL DEFAULT 0
) STRICT;

CREATE TABLE sections (
  study INTEGER NOT NULL REFERENCES studies (id) ON DELETE CASCADE,
  name TEXT NOT NULL,
  revision INTEGER NOT NULL,
  value TEXT,
  PRIMARY KEY (study, name)
) STRICT, WITHOUT ROWID;

CREATE TABLE changes (
  study INTEGER NOT NULL REFERENCES studies (id) ON DELETE CASCADE,
  number INTEGER NOT NULL,
  section TEXT NOT NULL,
  before TEXT,
  after TEXT,
  says TEXT NOT NULL,
  made TEXT NOT NULL,
  -- A new change after an undo sets the undone ones aside; they are kept and never redone.
  aside INTEGER NOT NULL DEFAULT 0,
  id INTEGER PRIMARY KEY
) STRICT;

CREATE UNIQUE INDEX changes_in_order ON changes (study, number) WHERE aside = 0;
