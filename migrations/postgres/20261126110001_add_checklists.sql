-- The criteria that a team adds to the checklists, every edition of each kind of gear.
CREATE TABLE checklist (
    team_id  UUID NOT NULL REFERENCES team (id),
    kind     TEXT COLLATE "C" NOT NULL,
    revision BIGINT NOT NULL,
    id       UUID NOT NULL,
    record   TEXT NOT NULL,
    PRIMARY KEY (team_id, kind, revision)
);
