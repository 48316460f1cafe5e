-- The names behind the seals in the ledger's entries: seal is SHA-256 of salt and name. A name that was removed has no
-- row here, and nothing else tells what its seal stood for.
CREATE TABLE ledger_name (
    team_id UUID  NOT NULL REFERENCES team (id),
    seal    BYTEA NOT NULL,
    salt    BYTEA NOT NULL,
    name    TEXT COLLATE "C" NOT NULL,
    PRIMARY KEY (team_id, seal),
    UNIQUE (team_id, name)
);
