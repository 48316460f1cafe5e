-- Who does what on a job. seq is that of the ledger entry: the last one stands.
CREATE TABLE crew_plan (
    team_id UUID    NOT NULL,
    id      UUID    NOT NULL,
    job_id  UUID    NOT NULL,
    seq     BIGINT  NOT NULL,
    record  TEXT    NOT NULL,
    PRIMARY KEY (team_id, id),
    FOREIGN KEY (team_id, job_id) REFERENCES job (team_id, id)
);
CREATE INDEX crew_plan_of_job ON crew_plan (team_id, job_id, seq);
