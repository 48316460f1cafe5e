-- Rounds of examinations. What became of each item is worked out from its examinations.
CREATE TABLE examination_round (
    team_id UUID    NOT NULL REFERENCES team (id),
    id      UUID    NOT NULL,
    from_on DATE    NOT NULL,
    closed  BOOLEAN NOT NULL,
    record  TEXT    NOT NULL,
    PRIMARY KEY (team_id, id)
);
CREATE INDEX examination_round_by_day ON examination_round (team_id, from_on, id);
