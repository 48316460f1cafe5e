-- Private addresses of calendars, of which only the hash is kept: whoever has one reads what falls due, and no more.
CREATE TABLE calendar (
    team_id    BLOB NOT NULL,
    id         BLOB NOT NULL,
    person_id  BLOB NOT NULL,
    hash       BLOB NOT NULL UNIQUE,
    created_at TEXT NOT NULL,
    revoked_at TEXT,
    PRIMARY KEY (team_id, id),
    FOREIGN KEY (team_id, person_id) REFERENCES person (team_id, id)
) STRICT, WITHOUT ROWID;
