-- What is noted of an item's markings, as it is counted: yes, no or unknown; ? until the next start has worked it out.
ALTER TABLE item ADD COLUMN markings TEXT NOT NULL DEFAULT '?';
CREATE INDEX item_by_markings ON item (team_id, markings, state, kind);
