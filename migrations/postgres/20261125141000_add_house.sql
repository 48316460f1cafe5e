-- One row at most: the code that the first visitor types, until the first team is made.
CREATE TABLE house (
    one        BIGINT NOT NULL PRIMARY KEY CHECK (one = 1),
    setup_code TEXT   NOT NULL,
    set_up_at  TIMESTAMPTZ
);
