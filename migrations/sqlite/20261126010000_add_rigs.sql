-- A team's own rig in its newest version; one that was withdrawn is not offered, but keeps its key.
CREATE TABLE rig (
    team_id      BLOB    NOT NULL REFERENCES team (id),
    id           BLOB    NOT NULL,
    revision     INTEGER NOT NULL,
    key          TEXT    NOT NULL,
    title_folded TEXT    NOT NULL,
    withdrawn    INTEGER NOT NULL,
    record       TEXT    NOT NULL,
    PRIMARY KEY (team_id, id),
    UNIQUE (team_id, key)
) STRICT;

-- Every version of it, since a job keeps the one that it was planned with.
CREATE TABLE rig_version (
    team_id     BLOB    NOT NULL,
    rig_id      BLOB    NOT NULL,
    revision    INTEGER NOT NULL,
    person_id   BLOB    NOT NULL,
    recorded_at TEXT    NOT NULL,
    record      TEXT    NOT NULL,
    PRIMARY KEY (team_id, rig_id, revision),
    FOREIGN KEY (team_id, rig_id) REFERENCES rig (team_id, id),
    FOREIGN KEY (team_id, person_id) REFERENCES person (team_id, id)
) STRICT;
