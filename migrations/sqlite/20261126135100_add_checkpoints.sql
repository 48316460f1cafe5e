-- The keys that sign a team's checkpoints; what they are made from is not in any database.
CREATE TABLE ledger_key (
    team_id BLOB NOT NULL REFERENCES team (id),
    number  INTEGER NOT NULL,
    seq     INTEGER NOT NULL,
    record  TEXT NOT NULL,
    PRIMARY KEY (team_id, number)
) STRICT, WITHOUT ROWID;
-- Signed notes of how far the ledger had grown. No records of gear: each can be held against the ledger.
CREATE TABLE checkpoint (
    team_id BLOB NOT NULL REFERENCES team (id),
    size    INTEGER NOT NULL,
    made_at TEXT NOT NULL,
    note    TEXT NOT NULL,
    PRIMARY KEY (team_id, size)
) STRICT, WITHOUT ROWID;
-- Who else is asked to sign them: by key.
CREATE TABLE witness (
    team_id  BLOB NOT NULL REFERENCES team (id),
    id       BLOB NOT NULL,
    record   TEXT NOT NULL,
    PRIMARY KEY (team_id, id)
) STRICT, WITHOUT ROWID;
