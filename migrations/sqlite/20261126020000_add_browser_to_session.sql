-- So that somebody who is signed in at several places can tell them apart. A session that began before has neither.
ALTER TABLE session ADD COLUMN browser TEXT NOT NULL DEFAULT '';
ALTER TABLE session ADD COLUMN seen_at TEXT;
