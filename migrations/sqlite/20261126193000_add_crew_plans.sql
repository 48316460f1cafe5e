-- Who does what on a job. seq is that of the ledger entry: the last one stands.
CREATE TABLE crew_plan (
    team_id BLOB    NOT NULL,
    id      BLOB    NOT NULL,
    job_id  BLOB    NOT NULL,
    seq     INTEGER NOT NULL,
    record  TEXT    NOT NULL,
    PRIMARY KEY (team_id, id),
    FOREIGN KEY (team_id, job_id) REFERENCES job (team_id, id)
) STRICT;
CREATE INDEX crew_plan_of_job ON crew_plan (team_id, job_id, seq);
