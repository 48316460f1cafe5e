-- Webhooks. The key is what messages are signed with, so it is kept as it is. seq is as far as each has been told of
-- its team's ledger.
CREATE TABLE hook (
    team_id    BLOB    NOT NULL,
    id         BLOB    NOT NULL,
    person_id  BLOB    NOT NULL,
    address    TEXT    NOT NULL,
    topics     TEXT    NOT NULL,
    sign_key   BLOB    NOT NULL,
    added_at   TEXT    NOT NULL,
    seq        INTEGER NOT NULL,
    failing_at TEXT,
    off_at     TEXT,
    removed_at TEXT,
    PRIMARY KEY (team_id, id),
    FOREIGN KEY (team_id, person_id) REFERENCES person (team_id, id)
) STRICT;
