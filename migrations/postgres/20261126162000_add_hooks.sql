-- Webhooks. The key is what messages are signed with, so it is kept as it is. seq is as far as each has been told of
-- its team's ledger.
CREATE TABLE hook (
    team_id    UUID    NOT NULL,
    id         UUID    NOT NULL,
    person_id  UUID    NOT NULL,
    address    TEXT    NOT NULL,
    topics     TEXT    NOT NULL,
    sign_key   BYTEA   NOT NULL,
    added_at   TIMESTAMPTZ NOT NULL,
    seq        BIGINT  NOT NULL,
    failing_at TIMESTAMPTZ,
    off_at     TIMESTAMPTZ,
    removed_at TIMESTAMPTZ,
    PRIMARY KEY (team_id, id),
    FOREIGN KEY (team_id, person_id) REFERENCES person (team_id, id)
);
