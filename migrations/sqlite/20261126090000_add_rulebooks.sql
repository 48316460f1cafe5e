-- The rulebooks of a team's own, every version of each.
CREATE TABLE rulebook (
    team_id      BLOB    NOT NULL REFERENCES team (id),
    id           BLOB    NOT NULL,
    revision     INTEGER NOT NULL,
    rulebook_key TEXT    NOT NULL,
    record       TEXT    NOT NULL,
    PRIMARY KEY (team_id, id, revision),
    UNIQUE (team_id, rulebook_key, revision)
) STRICT;
