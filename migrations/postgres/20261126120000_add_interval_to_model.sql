-- The months between examinations that bind the model's items under the team's rulebook, so that a change of either
-- shows which items fall due on another day. 0 is not worked out yet: the next start works it out.
ALTER TABLE model ADD COLUMN interval_months BIGINT NOT NULL DEFAULT 0;
ALTER TABLE model ADD COLUMN arduous_months BIGINT NOT NULL DEFAULT 0;
