-- Who gets a letter on what falls due, and how often. asked_on is the day of the last one that was asked for.
CREATE TABLE digest (
    team_id    BLOB    NOT NULL,
    person_id  BLOB    NOT NULL,
    address    TEXT    NOT NULL,
    every      TEXT    NOT NULL,
    day        INTEGER NOT NULL,
    when_quiet INTEGER NOT NULL,
    since_on   TEXT    NOT NULL,
    asked_on   TEXT,
    PRIMARY KEY (team_id, person_id),
    FOREIGN KEY (team_id, person_id) REFERENCES person (team_id, id)
) STRICT, WITHOUT ROWID;
