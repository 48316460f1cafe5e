CREATE TABLE team (
    id         BLOB NOT NULL PRIMARY KEY,
    name       TEXT NOT NULL,
    rulebook   TEXT NOT NULL,
    created_at TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE person (
    team_id BLOB    NOT NULL REFERENCES team (id),
    id      BLOB    NOT NULL,
    name    TEXT    NOT NULL,
    sign_in TEXT    NOT NULL UNIQUE,
    role    TEXT    NOT NULL,
    active  INTEGER NOT NULL,
    PRIMARY KEY (team_id, id)
) STRICT, WITHOUT ROWID;

-- The Argon2 hash of a password. No record: it never enters the ledger.
CREATE TABLE credential (
    team_id       BLOB NOT NULL,
    person_id     BLOB NOT NULL,
    password_hash TEXT NOT NULL,
    changed_at    TEXT NOT NULL,
    PRIMARY KEY (team_id, person_id),
    FOREIGN KEY (team_id, person_id) REFERENCES person (team_id, id)
) STRICT, WITHOUT ROWID;

-- Only the SHA-256 of the cookie's value, so that a copy of the database signs nobody in.
CREATE TABLE session (
    hash       BLOB NOT NULL PRIMARY KEY,
    team_id    BLOB NOT NULL,
    person_id  BLOB NOT NULL,
    created_at TEXT NOT NULL,
    expires_at TEXT NOT NULL,
    FOREIGN KEY (team_id, person_id) REFERENCES person (team_id, id)
) STRICT, WITHOUT ROWID;
CREATE INDEX session_of_person ON session (team_id, person_id);
CREATE INDEX session_by_end ON session (expires_at);

-- Failed attempts to sign in.
CREATE TABLE sign_in_attempt (
    id           BLOB NOT NULL PRIMARY KEY,
    sign_in      TEXT NOT NULL,
    address      TEXT NOT NULL,
    attempted_at TEXT NOT NULL
) STRICT, WITHOUT ROWID;
CREATE INDEX sign_in_attempt_by_name ON sign_in_attempt (sign_in, attempted_at);
CREATE INDEX sign_in_attempt_by_address ON sign_in_attempt (address, attempted_at);
CREATE INDEX sign_in_attempt_by_time ON sign_in_attempt (attempted_at);

CREATE TABLE api_token (
    team_id    BLOB NOT NULL,
    id         BLOB NOT NULL,
    person_id  BLOB NOT NULL,
    label      TEXT NOT NULL,
    role       TEXT NOT NULL,
    hash       BLOB NOT NULL UNIQUE,
    created_at TEXT NOT NULL,
    expires_at TEXT,
    revoked_at TEXT,
    PRIMARY KEY (team_id, id),
    FOREIGN KEY (team_id, person_id) REFERENCES person (team_id, id)
) STRICT, WITHOUT ROWID;

CREATE TABLE preference (
    team_id   BLOB NOT NULL,
    person_id BLOB NOT NULL,
    units     TEXT NOT NULL,
    theme     TEXT NOT NULL,
    PRIMARY KEY (team_id, person_id),
    FOREIGN KEY (team_id, person_id) REFERENCES person (team_id, id)
) STRICT, WITHOUT ROWID;

-- The lock of a team's writers, and the tree as far as it has grown.
CREATE TABLE ledger_head (
    team_id  BLOB    NOT NULL PRIMARY KEY REFERENCES team (id),
    size     INTEGER NOT NULL,
    root     BLOB    NOT NULL,
    frontier BLOB    NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE ledger_entry (
    team_id     BLOB    NOT NULL REFERENCES team (id),
    seq         INTEGER NOT NULL,
    recorded_at TEXT    NOT NULL,
    actor_id    BLOB    NOT NULL,
    kind        TEXT    NOT NULL,
    payload     TEXT    NOT NULL,
    leaf_hash   BLOB    NOT NULL,
    root        BLOB    NOT NULL,
    PRIMARY KEY (team_id, seq)
) STRICT, WITHOUT ROWID;

CREATE TABLE ledger_subject (
    team_id    BLOB    NOT NULL,
    subject_id BLOB    NOT NULL,
    seq        INTEGER NOT NULL,
    PRIMARY KEY (team_id, subject_id, seq),
    FOREIGN KEY (team_id, seq) REFERENCES ledger_entry (team_id, seq)
) STRICT, WITHOUT ROWID;

-- Answers to posts that carried an Idempotency-Key.
CREATE TABLE posted (
    team_id      BLOB    NOT NULL REFERENCES team (id),
    key          TEXT    NOT NULL,
    request_hash BLOB    NOT NULL,
    status       INTEGER NOT NULL,
    body         TEXT    NOT NULL,
    posted_at    TEXT    NOT NULL,
    PRIMARY KEY (team_id, key)
) STRICT, WITHOUT ROWID;
CREATE INDEX posted_by_time ON posted (posted_at);

-- A file between its rehearsal and its import.
CREATE TABLE import_draft (
    team_id    BLOB NOT NULL,
    id         BLOB NOT NULL,
    person_id  BLOB NOT NULL,
    created_at TEXT NOT NULL,
    file_name  TEXT NOT NULL,
    bytes      BLOB NOT NULL,
    mapping    TEXT NOT NULL,
    PRIMARY KEY (team_id, id),
    FOREIGN KEY (team_id, person_id) REFERENCES person (team_id, id)
) STRICT;
CREATE INDEX import_draft_by_time ON import_draft (created_at);
