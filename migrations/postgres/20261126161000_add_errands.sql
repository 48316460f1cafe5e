-- What the server is to do by itself. lease_ends_at is how long whoever has taken it up may take; attempts counts the
-- taking up. once makes it one, however many servers ask for it.
CREATE TABLE errand (
    team_id     UUID    NOT NULL REFERENCES team (id),
    id          UUID    NOT NULL,
    kind        TEXT    NOT NULL,
    about_id    UUID    NOT NULL,
    once        TEXT    NOT NULL,
    payload     TEXT    NOT NULL,
    state       TEXT    NOT NULL,
    attempts    BIGINT  NOT NULL,
    due_at      TIMESTAMPTZ NOT NULL,
    lease_ends_at TIMESTAMPTZ,
    told        TEXT    NOT NULL,
    asked_at    TIMESTAMPTZ NOT NULL,
    ended_at    TIMESTAMPTZ,
    PRIMARY KEY (team_id, id),
    UNIQUE (team_id, kind, once)
);
CREATE INDEX errand_by_due ON errand (state, due_at, id);
CREATE INDEX errand_by_asking ON errand (team_id, asked_at, id);
CREATE INDEX errand_by_state ON errand (team_id, state, asked_at, id);
CREATE INDEX errand_about ON errand (team_id, about_id, asked_at, id);
