-- Plans that a team keeps complete sets for, without a job.
CREATE TABLE pin (
    team_id  UUID NOT NULL REFERENCES team (id),
    id       UUID NOT NULL,
    record   TEXT NOT NULL,
    PRIMARY KEY (team_id, id)
);
