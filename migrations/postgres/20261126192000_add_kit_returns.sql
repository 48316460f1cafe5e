-- What was counted back of an issue. seq is that of the ledger entry.
CREATE TABLE kit_return (
    team_id UUID    NOT NULL,
    id      UUID    NOT NULL,
    job_id  UUID    NOT NULL,
    seq     BIGINT  NOT NULL,
    record  TEXT    NOT NULL,
    PRIMARY KEY (team_id, id),
    FOREIGN KEY (team_id, job_id) REFERENCES job (team_id, id)
);
CREATE INDEX kit_return_of_job ON kit_return (team_id, job_id, seq);

-- Whether whoever counted it back wants it looked at.
ALTER TABLE item ADD COLUMN look_asked BOOLEAN NOT NULL DEFAULT FALSE;
CREATE INDEX item_by_look_asked ON item (team_id, look_asked, mark_folded, id);
