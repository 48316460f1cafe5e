-- Codes on items. What a code is called is the same however it was scanned, and stands on one item of the team.
CREATE TABLE tag (
    team_id UUID NOT NULL,
    id      UUID NOT NULL,
    item_id UUID NOT NULL,
    tag_key TEXT COLLATE "C" NOT NULL,
    record  TEXT NOT NULL,
    PRIMARY KEY (team_id, id),
    UNIQUE (team_id, tag_key),
    FOREIGN KEY (team_id, item_id) REFERENCES item (team_id, id)
);
CREATE INDEX tag_of_item ON tag (team_id, item_id);
