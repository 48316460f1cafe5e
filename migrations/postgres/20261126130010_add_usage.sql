-- The log of use. seq is that of the ledger entry: it orders what was done on one day.
CREATE TABLE usage_entry (
    team_id UUID   NOT NULL,
    id      UUID   NOT NULL,
    item_id UUID   NOT NULL,
    used_on DATE   NOT NULL,
    seq     BIGINT NOT NULL,
    record  TEXT   NOT NULL,
    PRIMARY KEY (team_id, id),
    FOREIGN KEY (team_id, item_id) REFERENCES item (team_id, id)
);
CREATE INDEX usage_entry_of_item ON usage_entry (team_id, item_id, used_on, seq);
