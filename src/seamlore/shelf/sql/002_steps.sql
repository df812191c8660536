-- Changes that were made at once have one number: they are one step of undo.
DROP INDEX changes_in_order;
CREATE INDEX changes_in_order ON changes (study, aside, number, id);

-- When a study was last changed, so that the list need not look through every history.
ALTER TABLE studies ADD COLUMN changed TEXT NOT NULL DEFAULT '';
UPDATE studies SET changed = coalesce((SELECT max(made) FROM changes WHERE changes.study = studies.id), made);

-- How often anything was changed, undone or redone, and what the last of these was: a repeated undo is known by it.
ALTER TABLE studies ADD COLUMN moves INTEGER NOT NULL DEFAULT 0;
ALTER TABLE studies ADD COLUMN moved TEXT NOT NULL DEFAULT '';

-- How often its sections were written, and how many changes are noted: with what these say themselves, it tells a file
-- that was copied half before and half after a change.
ALTER TABLE studies ADD COLUMN written INTEGER NOT NULL DEFAULT 0;
ALTER TABLE studies ADD COLUMN noted INTEGER NOT NULL DEFAULT 0;
UPDATE studies SET
  written = coalesce((SELECT sum(revision) FROM sections WHERE sections.study = studies.id), 0),
  noted = (SELECT count(*) FROM changes WHERE changes.study = studies.id);

-- The page on which it was done.
ALTER TABLE changes ADD COLUMN place TEXT NOT NULL DEFAULT '';

-- A study holds a list of photographs.
UPDATE sections SET name = 'photographs' WHERE name = 'photograph';
UPDATE changes SET section = 'photographs' WHERE section = 'photograph';
