-- Photos and documents. Their bytes are kept beside the database, under their hash. bearer_id is the record that one is on:
-- an item, a model, an examination or an event. seq is that of the ledger entry.
CREATE TABLE attachment (
    team_id   UUID    NOT NULL,
    id        UUID    NOT NULL,
    item_id   UUID,
    model_id  UUID,
    bearer_id UUID    NOT NULL,
    seq       BIGINT  NOT NULL,
    withdrawn BOOLEAN NOT NULL,
    record    TEXT    NOT NULL,
    PRIMARY KEY (team_id, id),
    FOREIGN KEY (team_id, item_id) REFERENCES item (team_id, id),
    FOREIGN KEY (team_id, model_id) REFERENCES model (team_id, id)
);
CREATE INDEX attachment_of_item ON attachment (team_id, item_id, seq);
CREATE INDEX attachment_of_bearer ON attachment (team_id, bearer_id, seq);
