-- A place where items live.
CREATE TABLE store (
    team_id     BLOB    NOT NULL REFERENCES team (id),
    id          BLOB    NOT NULL,
    revision    INTEGER NOT NULL,
    name_folded TEXT    NOT NULL,
    record      TEXT    NOT NULL,
    PRIMARY KEY (team_id, id),
    UNIQUE (team_id, name_folded)
) STRICT;

CREATE TABLE model (
    team_id      BLOB    NOT NULL REFERENCES team (id),
    id           BLOB    NOT NULL,
    revision     INTEGER NOT NULL,
    kind         TEXT    NOT NULL,
    maker_folded TEXT    NOT NULL,
    title_folded TEXT    NOT NULL,
    search       TEXT    NOT NULL,
    record       TEXT    NOT NULL,
    PRIMARY KEY (team_id, id)
) STRICT;
CREATE INDEX model_by_title ON model (team_id, title_folded, id);
CREATE INDEX model_by_kind ON model (team_id, kind, title_folded, id);
CREATE INDEX model_by_maker ON model (team_id, maker_folded);

-- due_order and made_order are the day as text, or ~ where there is none, so that a list ends with those.
CREATE TABLE item (
    team_id     BLOB    NOT NULL,
    id          BLOB    NOT NULL,
    revision    INTEGER NOT NULL,
    model_id    BLOB    NOT NULL,
    store_id    BLOB    NOT NULL,
    kind        TEXT    NOT NULL,
    mark_folded TEXT    NOT NULL,
    state       TEXT    NOT NULL,
    due_order   TEXT    NOT NULL,
    made_order  TEXT    NOT NULL,
    record      TEXT    NOT NULL,
    PRIMARY KEY (team_id, id),
    UNIQUE (team_id, mark_folded),
    FOREIGN KEY (team_id, model_id) REFERENCES model (team_id, id),
    FOREIGN KEY (team_id, store_id) REFERENCES store (team_id, id)
) STRICT;
CREATE INDEX item_by_kind ON item (team_id, kind, mark_folded, id);
CREATE INDEX item_by_state ON item (team_id, state, mark_folded, id);
CREATE INDEX item_by_state_and_due ON item (team_id, state, due_order, id);
CREATE INDEX item_by_store ON item (team_id, store_id, mark_folded, id);
CREATE INDEX item_by_model ON item (team_id, model_id, mark_folded, id);
CREATE INDEX item_by_due ON item (team_id, due_order, id);
CREATE INDEX item_by_made ON item (team_id, made_order, id);

-- The words by which an item is found: those of its mark, serial and lot.
CREATE TABLE item_word (
    team_id BLOB NOT NULL,
    item_id BLOB NOT NULL,
    word    TEXT NOT NULL,
    PRIMARY KEY (team_id, item_id, word),
    FOREIGN KEY (team_id, item_id) REFERENCES item (team_id, id)
) STRICT, WITHOUT ROWID;
CREATE INDEX item_word_by_word ON item_word (team_id, word, item_id);

-- seq is that of the ledger entry: it orders what was done on one day.
CREATE TABLE examination (
    team_id     BLOB    NOT NULL,
    id          BLOB    NOT NULL,
    item_id     BLOB    NOT NULL,
    examined_on TEXT    NOT NULL,
    seq         INTEGER NOT NULL,
    kind        TEXT    NOT NULL,
    verdict     TEXT    NOT NULL,
    record      TEXT    NOT NULL,
    PRIMARY KEY (team_id, id),
    FOREIGN KEY (team_id, item_id) REFERENCES item (team_id, id)
) STRICT;
CREATE INDEX examination_of_item ON examination (team_id, item_id, examined_on, seq, kind, verdict);

CREATE TABLE event (
    team_id     BLOB    NOT NULL,
    id          BLOB    NOT NULL,
    item_id     BLOB    NOT NULL,
    happened_on TEXT    NOT NULL,
    seq         INTEGER NOT NULL,
    record      TEXT    NOT NULL,
    PRIMARY KEY (team_id, id),
    FOREIGN KEY (team_id, item_id) REFERENCES item (team_id, id)
) STRICT;
CREATE INDEX event_of_item ON event (team_id, item_id, happened_on, seq);

CREATE TABLE notice (
    team_id      BLOB NOT NULL REFERENCES team (id),
    id           BLOB NOT NULL,
    issued_on    TEXT NOT NULL,
    maker_folded TEXT NOT NULL,
    record       TEXT NOT NULL,
    PRIMARY KEY (team_id, id)
) STRICT;
CREATE INDEX notice_by_day ON notice (team_id, issued_on, id);
CREATE INDEX notice_by_maker ON notice (team_id, maker_folded);

CREATE TABLE notice_closing (
    team_id   BLOB    NOT NULL,
    item_id   BLOB    NOT NULL,
    notice_id BLOB    NOT NULL,
    seq       INTEGER NOT NULL,
    record    TEXT    NOT NULL,
    PRIMARY KEY (team_id, item_id, notice_id),
    FOREIGN KEY (team_id, item_id) REFERENCES item (team_id, id),
    FOREIGN KEY (team_id, notice_id) REFERENCES notice (team_id, id)
) STRICT;
CREATE INDEX notice_closing_of_notice ON notice_closing (team_id, notice_id, item_id);

CREATE TABLE job (
    team_id   BLOB    NOT NULL REFERENCES team (id),
    id        BLOB    NOT NULL,
    revision  INTEGER NOT NULL,
    state     TEXT    NOT NULL,
    starts_at TEXT    NOT NULL,
    ends_at   TEXT    NOT NULL,
    record    TEXT    NOT NULL,
    PRIMARY KEY (team_id, id)
) STRICT;
CREATE INDEX job_by_start ON job (team_id, starts_at, id);
CREATE INDEX job_by_state ON job (team_id, state, starts_at, id);

-- The job's time, and whether it still holds its items, are kept here too: so what holds an item now is one range
-- of an index, however many jobs it has been on.
CREATE TABLE kit_line (
    team_id   BLOB    NOT NULL,
    id        BLOB    NOT NULL,
    job_id    BLOB    NOT NULL,
    item_id   BLOB    NOT NULL,
    position  TEXT,
    holds     INTEGER NOT NULL,
    starts_at TEXT    NOT NULL,
    ends_at   TEXT    NOT NULL,
    record    TEXT    NOT NULL,
    PRIMARY KEY (team_id, id),
    UNIQUE (team_id, job_id, item_id),
    UNIQUE (team_id, job_id, position),
    FOREIGN KEY (team_id, job_id) REFERENCES job (team_id, id),
    FOREIGN KEY (team_id, item_id) REFERENCES item (team_id, id)
) STRICT;
CREATE INDEX kit_line_of_item ON kit_line (team_id, item_id, holds, ends_at);
