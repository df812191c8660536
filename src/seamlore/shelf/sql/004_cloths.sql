-- What the cloth of a study is known again by in others, and what the whole quilt looks like: made from its photograph
-- by whoever knows how, and made again when what it rests on changed.
CREATE TABLE cloths (
  study INTEGER PRIMARY KEY REFERENCES studies (id) ON DELETE CASCADE,
  version INTEGER NOT NULL,
  rests_on TEXT NOT NULL,
  -- Rows of numbers, one for each cloth; the shelf does not look into them.
  described BLOB NOT NULL,
  looks BLOB NOT NULL
) STRICT;
