-- Plans that a team keeps complete sets for, without a job.
CREATE TABLE pin (
    team_id  BLOB NOT NULL REFERENCES team (id),
    id       BLOB NOT NULL,
    record   TEXT NOT NULL,
    PRIMARY KEY (team_id, id)
) STRICT, WITHOUT ROWID;
