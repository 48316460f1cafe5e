-- The full subtrees of each ledger's tree, so that a proof reads a few hashes and not the ledger. Leaves stand in
-- ledger_entry. What is not here, because an older program appended it, is folded of what is below it.
CREATE TABLE ledger_subtree (
    team_id BLOB NOT NULL REFERENCES team (id),
    level   INTEGER NOT NULL,
    place   INTEGER NOT NULL,
    hash    BLOB NOT NULL,
    PRIMARY KEY (team_id, level, place)
) STRICT, WITHOUT ROWID;
