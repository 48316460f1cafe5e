-- Links by which outside auditors get in, from the ledger. counted: how many reads the ledger has taken up.
CREATE TABLE guest_link (
    team_id BLOB    NOT NULL REFERENCES team (id),
    id      BLOB    NOT NULL,
    by_id   BLOB    NOT NULL,
    counted INTEGER NOT NULL,
    record  TEXT    NOT NULL,
    PRIMARY KEY (team_id, id),
    FOREIGN KEY (team_id, by_id) REFERENCES person (team_id, id)
) STRICT, WITHOUT ROWID;
-- What opens a link, of which only the hash is kept, and how far its reads have come. No record: it stays out of the
-- ledger.
CREATE TABLE guest_key (
    team_id      BLOB    NOT NULL,
    link_id      BLOB    NOT NULL,
    hash         BLOB    NOT NULL UNIQUE,
    reads        INTEGER NOT NULL,
    chain        BLOB    NOT NULL,
    last_read_at TEXT,
    PRIMARY KEY (team_id, link_id),
    FOREIGN KEY (team_id, link_id) REFERENCES guest_link (team_id, id)
) STRICT, WITHOUT ROWID;
-- Only the SHA-256 of the cookie's value, as with sessions.
CREATE TABLE guest_sitting (
    hash       BLOB NOT NULL PRIMARY KEY,
    team_id    BLOB NOT NULL,
    link_id    BLOB NOT NULL,
    opened_at  TEXT NOT NULL,
    expires_at TEXT NOT NULL,
    FOREIGN KEY (team_id, link_id) REFERENCES guest_link (team_id, id)
) STRICT, WITHOUT ROWID;
CREATE INDEX guest_sitting_by_end ON guest_sitting (expires_at);
-- What was read by a link, each row held to the one before it by its chain. Rows are added and never changed.
CREATE TABLE guest_read (
    team_id BLOB    NOT NULL,
    link_id BLOB    NOT NULL,
    number  INTEGER NOT NULL,
    read_at TEXT    NOT NULL,
    method  TEXT    NOT NULL,
    path    TEXT    NOT NULL,
    status  INTEGER NOT NULL,
    file    TEXT,
    chain   BLOB    NOT NULL,
    PRIMARY KEY (team_id, link_id, number),
    FOREIGN KEY (team_id, link_id) REFERENCES guest_link (team_id, id)
) STRICT, WITHOUT ROWID;
