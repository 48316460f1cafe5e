-- The keys that sign a team's checkpoints; what they are made from is not in any database.
CREATE TABLE ledger_key (
    team_id UUID NOT NULL REFERENCES team (id),
    number  BIGINT NOT NULL,
    seq     BIGINT NOT NULL,
    record  TEXT NOT NULL,
    PRIMARY KEY (team_id, number)
);
-- Signed notes of how far the ledger had grown. No records of gear: each can be held against the ledger.
CREATE TABLE checkpoint (
    team_id UUID NOT NULL REFERENCES team (id),
    size    BIGINT NOT NULL,
    made_at TIMESTAMPTZ NOT NULL,
    note    TEXT NOT NULL,
    PRIMARY KEY (team_id, size)
);
-- Who else is asked to sign them: by key.
CREATE TABLE witness (
    team_id  UUID NOT NULL REFERENCES team (id),
    id       UUID NOT NULL,
    record   TEXT NOT NULL,
    PRIMARY KEY (team_id, id)
);
