-- What belongs in a bag, which is a store with a list; and how it was looked through.
CREATE TABLE bag (
    team_id  UUID NOT NULL REFERENCES team (id),
    store_id UUID NOT NULL,
    revision BIGINT NOT NULL,
    record   TEXT NOT NULL,
    PRIMARY KEY (team_id, store_id)
);
CREATE TABLE bag_check (
    team_id  UUID NOT NULL REFERENCES team (id),
    id       UUID NOT NULL,
    store_id UUID NOT NULL,
    seq      BIGINT NOT NULL,
    record   TEXT NOT NULL,
    PRIMARY KEY (team_id, id)
);
CREATE INDEX bag_check_by_store ON bag_check (team_id, store_id, seq);
