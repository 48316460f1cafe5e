-- The earliest day on which the record shows use of an item, by which a life is counted too; empty where it shows none,
-- and ? until the next start has looked it up in the ledger.
ALTER TABLE item ADD COLUMN use_shown TEXT NOT NULL DEFAULT '?';
CREATE INDEX item_by_use_shown ON item (team_id, use_shown);
