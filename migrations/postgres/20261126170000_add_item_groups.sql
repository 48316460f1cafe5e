-- What items are counted by: the lot, and for what and on which day one was retired, as text. retired_for is empty where
-- it was not, and ? until the next start has worked all of these out.
ALTER TABLE item ADD COLUMN lot TEXT COLLATE "C" NOT NULL DEFAULT '';
ALTER TABLE item ADD COLUMN lot_folded TEXT COLLATE "C" NOT NULL DEFAULT '';
ALTER TABLE item ADD COLUMN retired_for TEXT COLLATE "C" NOT NULL DEFAULT '?';
ALTER TABLE item ADD COLUMN retired_order TEXT COLLATE "C" NOT NULL DEFAULT '';
CREATE INDEX item_by_cohort ON item (team_id, life_order, made_order, model_id, state);
CREATE INDEX item_by_lot ON item (team_id, lot_folded, model_id, lot, id);
CREATE INDEX item_by_retirement ON item (team_id, retired_for, retired_order, kind);
