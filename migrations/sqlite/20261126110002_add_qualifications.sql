-- Who is competent to examine what, and whether a second person confirms a return from quarantine.
CREATE TABLE qualification (
    team_id BLOB NOT NULL REFERENCES team (id),
    id      BLOB NOT NULL,
    record  TEXT NOT NULL,
    PRIMARY KEY (team_id, id)
) STRICT;

ALTER TABLE team ADD COLUMN return_by_two INTEGER NOT NULL DEFAULT 0;
