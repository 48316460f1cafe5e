-- Who is competent to examine what, and whether a second person confirms a return from quarantine.
CREATE TABLE qualification (
    team_id UUID NOT NULL REFERENCES team (id),
    id      UUID NOT NULL,
    record  TEXT NOT NULL,
    PRIMARY KEY (team_id, id)
);

ALTER TABLE team ADD COLUMN return_by_two BOOLEAN NOT NULL DEFAULT FALSE;
