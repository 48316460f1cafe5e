-- How far a person has proved that an address is theirs. hash is that of the code in the letter that asks, which holds
-- until ends_at and is used once; counted_from_at and letters limit how often a letter asks.
CREATE TABLE address_proof (
    team_id         UUID    NOT NULL,
    person_id       UUID    NOT NULL,
    address         TEXT    NOT NULL,
    state           TEXT    NOT NULL,
    asked_at        TIMESTAMPTZ,
    hash            BYTEA,
    ends_at         TIMESTAMPTZ,
    counted_from_at TIMESTAMPTZ,
    letters         BIGINT  NOT NULL,
    PRIMARY KEY (team_id, person_id),
    FOREIGN KEY (team_id, person_id) REFERENCES person (team_id, id)
);
-- Letters went to these before anybody was asked. Whoever is signed in chose them for themselves, each letter says how it
-- is ended, and one that stopped without a word would hide what falls due: they stay in use.
INSERT INTO address_proof (team_id, person_id, address, state, letters)
SELECT team_id, person_id, address, 'before', 0
  FROM digest
 WHERE address <> '';
