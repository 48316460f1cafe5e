-- A team's own rig in its newest version; one that was withdrawn is not offered, but keeps its key.
CREATE TABLE rig (
    team_id      UUID NOT NULL REFERENCES team (id),
    id           UUID NOT NULL,
    revision     BIGINT NOT NULL,
    key          TEXT COLLATE "C" NOT NULL,
    title_folded TEXT COLLATE "C" NOT NULL,
    withdrawn    BOOLEAN NOT NULL,
    record       TEXT NOT NULL,
    PRIMARY KEY (team_id, id),
    UNIQUE (team_id, key)
);

-- Every version of it, since a job keeps the one that it was planned with.
CREATE TABLE rig_version (
    team_id     UUID NOT NULL,
    rig_id      UUID NOT NULL,
    revision    BIGINT NOT NULL,
    person_id   UUID NOT NULL,
    recorded_at TIMESTAMPTZ NOT NULL,
    record      TEXT NOT NULL,
    PRIMARY KEY (team_id, rig_id, revision),
    FOREIGN KEY (team_id, rig_id) REFERENCES rig (team_id, id),
    FOREIGN KEY (team_id, person_id) REFERENCES person (team_id, id)
);
