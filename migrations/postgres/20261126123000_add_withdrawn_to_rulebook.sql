-- A rulebook that was withdrawn is not offered, but its versions stay for the jobs that name them. The same in every
-- version of one rulebook.
ALTER TABLE rulebook ADD COLUMN withdrawn BOOLEAN NOT NULL DEFAULT FALSE;
