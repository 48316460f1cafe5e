-- Links by which outside auditors get in, from the ledger. counted: how many reads the ledger has taken up.
CREATE TABLE guest_link (
    team_id UUID   NOT NULL REFERENCES team (id),
    id      UUID    NOT NULL,
    by_id   UUID    NOT NULL,
    counted BIGINT NOT NULL,
    record  TEXT    NOT NULL,
    PRIMARY KEY (team_id, id),
    FOREIGN KEY (team_id, by_id) REFERENCES person (team_id, id)
);
-- What opens a link, of which only the hash is kept, and how far its reads have come. No record: it stays out of the
-- ledger.
CREATE TABLE guest_key (
    team_id      UUID    NOT NULL,
    link_id      UUID    NOT NULL,
    hash         BYTEA    NOT NULL UNIQUE,
    reads        BIGINT NOT NULL,
    chain        BYTEA    NOT NULL,
    last_read_at TIMESTAMPTZ,
    PRIMARY KEY (team_id, link_id),
    FOREIGN KEY (team_id, link_id) REFERENCES guest_link (team_id, id)
);
-- Only the SHA-256 of the cookie's value, as with sessions.
CREATE TABLE guest_sitting (
    hash       BYTEA NOT NULL PRIMARY KEY,
    team_id    UUID NOT NULL,
    link_id    UUID NOT NULL,
    opened_at  TIMESTAMPTZ NOT NULL,
    expires_at TIMESTAMPTZ NOT NULL,
    FOREIGN KEY (team_id, link_id) REFERENCES guest_link (team_id, id)
);
CREATE INDEX guest_sitting_by_end ON guest_sitting (expires_at);
-- What was read by a link, each row held to the one before it by its chain. Rows are added and never changed.
CREATE TABLE guest_read (
    team_id UUID    NOT NULL,
    link_id UUID    NOT NULL,
    number  BIGINT NOT NULL,
    read_at TIMESTAMPTZ    NOT NULL,
    method  TEXT    NOT NULL,
    path    TEXT    NOT NULL,
    status  BIGINT NOT NULL,
    file    TEXT,
    chain   BYTEA    NOT NULL,
    PRIMARY KEY (team_id, link_id, number),
    FOREIGN KEY (team_id, link_id) REFERENCES guest_link (team_id, id)
);
