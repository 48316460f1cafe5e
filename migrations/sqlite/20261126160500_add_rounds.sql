-- Rounds of examinations. What became of each item is worked out from its examinations.
CREATE TABLE examination_round (
    team_id BLOB    NOT NULL REFERENCES team (id),
    id      BLOB    NOT NULL,
    from_on TEXT    NOT NULL,
    closed  INTEGER NOT NULL,
    record  TEXT    NOT NULL,
    PRIMARY KEY (team_id, id)
) STRICT;
CREATE INDEX examination_round_by_day ON examination_round (team_id, from_on, id);
