-- A function check, signed by one person. seq is that of the ledger entry: two signatures in a row are one list.
CREATE TABLE function_check (
    team_id UUID    NOT NULL,
    id      UUID    NOT NULL,
    job_id  UUID    NOT NULL,
    seq     BIGINT  NOT NULL,
    record  TEXT    NOT NULL,
    PRIMARY KEY (team_id, id),
    FOREIGN KEY (team_id, job_id) REFERENCES job (team_id, id)
);
CREATE INDEX function_check_of_job ON function_check (team_id, job_id, seq);
