-- What belongs in a bag, which is a store with a list; and how it was looked through.
CREATE TABLE bag (
    team_id  BLOB NOT NULL REFERENCES team (id),
    store_id BLOB NOT NULL,
    revision INTEGER NOT NULL,
    record   TEXT NOT NULL,
    PRIMARY KEY (team_id, store_id)
) STRICT;
CREATE TABLE bag_check (
    team_id  BLOB NOT NULL REFERENCES team (id),
    id       BLOB NOT NULL,
    store_id BLOB NOT NULL,
    seq      INTEGER NOT NULL,
    record   TEXT NOT NULL,
    PRIMARY KEY (team_id, id)
) STRICT;
CREATE INDEX bag_check_by_store ON bag_check (team_id, store_id, seq);
