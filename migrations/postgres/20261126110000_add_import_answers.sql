-- What a team last said about a list with these headings, so that a mended list need not be answered anew.
CREATE TABLE import_answer (
    team_id   UUID NOT NULL,
    headings  BYTEA NOT NULL,
    person_id UUID NOT NULL,
    kept_at   TIMESTAMPTZ NOT NULL,
    file_name TEXT NOT NULL,
    answers   TEXT NOT NULL,
    PRIMARY KEY (team_id, headings),
    FOREIGN KEY (team_id, person_id) REFERENCES person (team_id, id)
);
