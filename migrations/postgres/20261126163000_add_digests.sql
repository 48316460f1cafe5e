-- Who gets a letter on what falls due, and how often. asked_on is the day of the last one that was asked for.
CREATE TABLE digest (
    team_id    UUID    NOT NULL,
    person_id  UUID    NOT NULL,
    address    TEXT    NOT NULL,
    every      TEXT    NOT NULL,
    day        BIGINT  NOT NULL,
    when_quiet BOOLEAN NOT NULL,
    since_on   DATE    NOT NULL,
    asked_on   DATE,
    PRIMARY KEY (team_id, person_id),
    FOREIGN KEY (team_id, person_id) REFERENCES person (team_id, id)
);
