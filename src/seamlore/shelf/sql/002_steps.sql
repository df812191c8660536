-- When a study was last changed, so that the list need not look through every history.
ALTER TABLE studies ADD COLUMN changed TEXT NOT NULL DEFAULT '';
UPDATE studies SET changed = coalesce((SELECT max(made) FROM changes WHERE changes.study = studies.id), made);

-- How often anything was changed, undone or redone, and what the last of these was: a repeated undo is known by it.
ALTER TABLE studies ADD COLUMN moves INTEGER NOT NULL DEFAULT 0;
ALTER TABLE studies ADD COLUMN moved TEXT NOT NULL DEFAULT '';

-- The page on which it was done.
ALTER TABLE changes ADD COLUMN place TEXT NOT NULL DEFAULT '';

-- Changes that were made at once have one number: they are one step of undo.
DROP INDEX changes_in_order;
CREATE INDEX changes_in_order ON changes (study, number, id) WHERE aside = 0;

-- A study holds a list of photographs.
UPDATE sections SET name = 'photographs' WHERE name = 'photograph';
UPDATE changes SET section = 'photographs' WHERE section = 'photograph';
