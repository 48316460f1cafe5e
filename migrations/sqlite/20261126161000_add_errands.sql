-- What the server is to do by itself. lease_ends_at is how long whoever has taken it up may take; attempts counts the
-- taking up. once makes it one, however many servers ask for it.
CREATE TABLE errand (
    team_id     BLOB    NOT NULL REFERENCES team (id),
    id          BLOB    NOT NULL,
    kind        TEXT    NOT NULL,
    about_id    BLOB    NOT NULL,
    once        TEXT    NOT NULL,
    payload     TEXT    NOT NULL,
    state       TEXT    NOT NULL,
    attempts    INTEGER NOT NULL,
    due_at      TEXT    NOT NULL,
    lease_ends_at TEXT,
    told        TEXT    NOT NULL,
    asked_at    TEXT    NOT NULL,
    ended_at    TEXT,
    PRIMARY KEY (team_id, id),
    UNIQUE (team_id, kind, once)
) STRICT;
CREATE INDEX errand_by_due ON errand (state, due_at, id);
CREATE INDEX errand_by_asking ON errand (team_id, asked_at, id);
CREATE INDEX errand_by_state ON errand (team_id, state, asked_at, id);
CREATE INDEX errand_about ON errand (team_id, about_id, asked_at, id);
