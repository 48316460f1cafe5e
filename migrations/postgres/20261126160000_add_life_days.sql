-- The limits of life that bind the model's items under the team's rulebook, and the first day on which an item may no
-- longer be used, or ~ where there is none. Empty terms are not worked out yet: the next start works them out.
ALTER TABLE model ADD COLUMN life_terms TEXT NOT NULL DEFAULT '';
ALTER TABLE item ADD COLUMN life_order TEXT COLLATE "C" NOT NULL DEFAULT '~';
-- What falls due and what ends, counted by day, store and kind from the index alone.
CREATE INDEX item_due_counted ON item (team_id, state, due_order, store_id, kind);
CREATE INDEX item_life_counted ON item (team_id, state, life_order, store_id, kind);
CREATE INDEX item_by_life ON item (team_id, life_order, id);
