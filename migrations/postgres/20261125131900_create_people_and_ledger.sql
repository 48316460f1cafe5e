CREATE TABLE team (
    id         UUID NOT NULL PRIMARY KEY,
    name       TEXT COLLATE "C" NOT NULL,
    rulebook   TEXT NOT NULL,
    created_at TIMESTAMPTZ NOT NULL
);

CREATE TABLE person (
    team_id UUID NOT NULL REFERENCES team (id),
    id      UUID NOT NULL,
    name    TEXT COLLATE "C" NOT NULL,
    sign_in TEXT COLLATE "C" NOT NULL UNIQUE,
    role    TEXT NOT NULL,
    active  BOOLEAN NOT NULL,
    PRIMARY KEY (team_id, id)
);

-- The Argon2 hash of a password. No record: it never enters the ledger.
CREATE TABLE credential (
    team_id       UUID NOT NULL,
    person_id     UUID NOT NULL,
    password_hash TEXT NOT NULL,
    changed_at    TIMESTAMPTZ NOT NULL,
    PRIMARY KEY (team_id, person_id),
    FOREIGN KEY (team_id, person_id) REFERENCES person (team_id, id)
);

-- Only the SHA-256 of the cookie's value, so that a copy of the database signs nobody in.
CREATE TABLE session (
    hash       BYTEA NOT NULL PRIMARY KEY,
    team_id    UUID NOT NULL,
    person_id  UUID NOT NULL,
    created_at TIMESTAMPTZ NOT NULL,
    expires_at TIMESTAMPTZ NOT NULL,
    FOREIGN KEY (team_id, person_id) REFERENCES person (team_id, id)
);
CREATE INDEX session_of_person ON session (team_id, person_id);
CREATE INDEX session_by_end ON session (expires_at);

-- Failed attempts to sign in.
CREATE TABLE sign_in_attempt (
    id           UUID NOT NULL PRIMARY KEY,
    sign_in      TEXT COLLATE "C" NOT NULL,
    address      TEXT NOT NULL,
    attempted_at TIMESTAMPTZ NOT NULL
);
CREATE INDEX sign_in_attempt_by_name ON sign_in_attempt (sign_in, attempted_at);
CREATE INDEX sign_in_attempt_by_address ON sign_in_attempt (address, attempted_at);
CREATE INDEX sign_in_attempt_by_time ON sign_in_attempt (attempted_at);

CREATE TABLE api_token (
    team_id    UUID NOT NULL,
    id         UUID NOT NULL,
    person_id  UUID NOT NULL,
    label      TEXT NOT NULL,
    role       TEXT NOT NULL,
    hash       BYTEA NOT NULL UNIQUE,
    created_at TIMESTAMPTZ NOT NULL,
    expires_at TIMESTAMPTZ,
    revoked_at TIMESTAMPTZ,
    PRIMARY KEY (team_id, id),
    FOREIGN KEY (team_id, person_id) REFERENCES person (team_id, id)
);

CREATE TABLE preference (
    team_id   UUID NOT NULL,
    person_id UUID NOT NULL,
    units     TEXT NOT NULL,
    theme     TEXT NOT NULL,
    PRIMARY KEY (team_id, person_id),
    FOREIGN KEY (team_id, person_id) REFERENCES person (team_id, id)
);

-- The lock of a team's writers, and the tree as far as it has grown.
CREATE TABLE ledger_head (
    team_id  UUID NOT NULL PRIMARY KEY REFERENCES team (id),
    size     BIGINT NOT NULL,
    root     BYTEA NOT NULL,
    frontier BYTEA NOT NULL
);

CREATE TABLE ledger_entry (
    team_id     UUID NOT NULL REFERENCES team (id),
    seq         BIGINT NOT NULL,
    recorded_at TIMESTAMPTZ NOT NULL,
    actor_id    UUID NOT NULL,
    kind        TEXT COLLATE "C" NOT NULL,
    payload     TEXT NOT NULL,
    leaf_hash   BYTEA NOT NULL,
    root        BYTEA NOT NULL,
    PRIMARY KEY (team_id, seq)
);

CREATE TABLE ledger_subject (
    team_id    UUID NOT NULL,
    subject_id UUID NOT NULL,
    seq        BIGINT NOT NULL,
    PRIMARY KEY (team_id, subject_id, seq),
    FOREIGN KEY (team_id, seq) REFERENCES ledger_entry (team_id, seq)
);

-- Answers to posts that carried an Idempotency-Key.
CREATE TABLE posted (
    team_id      UUID NOT NULL REFERENCES team (id),
    key          TEXT COLLATE "C" NOT NULL,
    request_hash BYTEA NOT NULL,
    status       BIGINT NOT NULL,
    body         TEXT NOT NULL,
    posted_at    TIMESTAMPTZ NOT NULL,
    PRIMARY KEY (team_id, key)
);
CREATE INDEX posted_by_time ON posted (posted_at);

-- A file between its rehearsal and its import.
CREATE TABLE import_draft (
    team_id    UUID NOT NULL,
    id         UUID NOT NULL,
    person_id  UUID NOT NULL,
    created_at TIMESTAMPTZ NOT NULL,
    file_name  TEXT NOT NULL,
    bytes      BYTEA NOT NULL,
    mapping    TEXT NOT NULL,
    PRIMARY KEY (team_id, id),
    FOREIGN KEY (team_id, person_id) REFERENCES person (team_id, id)
);
CREATE INDEX import_draft_by_time ON import_draft (created_at);
