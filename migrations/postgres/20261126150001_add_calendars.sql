-- Private addresses of calendars, of which only the hash is kept: whoever has one reads what falls due, and no more.
CREATE TABLE calendar (
    team_id    UUID NOT NULL,
    id         UUID NOT NULL,
    person_id  UUID NOT NULL,
    hash       BYTEA NOT NULL UNIQUE,
    created_at TIMESTAMPTZ NOT NULL,
    revoked_at TIMESTAMPTZ,
    PRIMARY KEY (team_id, id),
    FOREIGN KEY (team_id, person_id) REFERENCES person (team_id, id)
);
