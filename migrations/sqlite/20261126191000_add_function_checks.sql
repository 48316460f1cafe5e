-- A function check, signed by one person. seq is that of the ledger entry: two signatures in a row are one list.
CREATE TABLE function_check (
    team_id BLOB    NOT NULL,
    id      BLOB    NOT NULL,
    job_id  BLOB    NOT NULL,
    seq     INTEGER NOT NULL,
    record  TEXT    NOT NULL,
    PRIMARY KEY (team_id, id),
    FOREIGN KEY (team_id, job_id) REFERENCES job (team_id, id)
) STRICT;
CREATE INDEX function_check_of_job ON function_check (team_id, job_id, seq);
