-- The rulebooks of a team's own, every version of each.
CREATE TABLE rulebook (
    team_id      UUID NOT NULL REFERENCES team (id),
    id           UUID NOT NULL,
    revision     BIGINT NOT NULL,
    rulebook_key TEXT COLLATE "C" NOT NULL,
    record       TEXT NOT NULL,
    PRIMARY KEY (team_id, id, revision),
    UNIQUE (team_id, rulebook_key, revision)
);
