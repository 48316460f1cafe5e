-- The criteria that a team adds to the checklists, every edition of each kind of gear.
CREATE TABLE checklist (
    team_id  BLOB    NOT NULL REFERENCES team (id),
    kind     TEXT    NOT NULL,
    revision INTEGER NOT NULL,
    id       BLOB    NOT NULL,
    record   TEXT    NOT NULL,
    PRIMARY KEY (team_id, kind, revision)
) STRICT;
