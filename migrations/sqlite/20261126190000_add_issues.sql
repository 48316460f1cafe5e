-- A job's kit, handed out. The record is frozen but for whether it is still out. seq is that of the ledger entry.
CREATE TABLE kit_issue (
    team_id BLOB    NOT NULL,
    id      BLOB    NOT NULL,
    job_id  BLOB    NOT NULL,
    seq     INTEGER NOT NULL,
    record  TEXT    NOT NULL,
    PRIMARY KEY (team_id, id),
    FOREIGN KEY (team_id, job_id) REFERENCES job (team_id, id)
) STRICT;
CREATE INDEX kit_issue_of_job ON kit_issue (team_id, job_id, seq);

-- What is with a crew. The key is why no two jobs have one item out.
CREATE TABLE item_out (
    team_id  BLOB NOT NULL,
    item_id  BLOB NOT NULL,
    job_id   BLOB NOT NULL,
    issue_id BLOB NOT NULL,
    PRIMARY KEY (team_id, item_id),
    FOREIGN KEY (team_id, item_id) REFERENCES item (team_id, id),
    FOREIGN KEY (team_id, issue_id) REFERENCES kit_issue (team_id, id)
) STRICT;
CREATE INDEX item_out_of_job ON item_out (team_id, job_id);
