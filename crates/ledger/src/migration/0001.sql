-- Form 1 of the shop. Nothing here is ever changed: a later form is a later file.
-- Times are milliseconds since 1970 (UTC), given by the caller. Big texts and bytes stand last in their rows, so that
-- lists do not read past them.

-- A document as it is now; it repeats its newest revision, so that lists need no history.
CREATE TABLE document (
    id          INTEGER PRIMARY KEY,
    kind        TEXT    NOT NULL,
    name        TEXT    NOT NULL,
    head        INTEGER NOT NULL,
    state       INTEGER NOT NULL,
    is_deleted  INTEGER NOT NULL,
    at          INTEGER NOT NULL,
    by          TEXT    NOT NULL,
    answered    INTEGER,
    title       TEXT    NOT NULL,
    UNIQUE (kind, name)
) STRICT;

-- What is searched of a document, apart from it so that lists do not read past it. `text` repeats what the newest revision
-- shows; title, notes and findings are what the caller last told.
CREATE TABLE searched (
    document    INTEGER PRIMARY KEY REFERENCES document (id),
    name        TEXT    NOT NULL,
    title       TEXT    NOT NULL,
    notes       TEXT    NOT NULL,
    findings    TEXT    NOT NULL,
    text        TEXT    NOT NULL
) STRICT;

-- Every revision. `state` is the revision whose content this one shows: itself, unless it undoes, redoes or renames.
-- `parent` is the state it was made from. A text is whole where `base` is null; else it is the first `front` bytes of
-- the base's text, then `text`, then the last `back` bytes of the base's text.
CREATE TABLE revision (
    id          INTEGER PRIMARY KEY,
    document    INTEGER NOT NULL REFERENCES document (id),
    number      INTEGER NOT NULL CHECK (number >= 1),
    act         TEXT    NOT NULL,
    state       INTEGER NOT NULL,
    parent      INTEGER,
    name        TEXT    NOT NULL,
    is_deleted  INTEGER NOT NULL,
    at          INTEGER NOT NULL,
    by          TEXT    NOT NULL,
    note        TEXT    NOT NULL,
    seal        BLOB    NOT NULL,
    base        INTEGER,
    depth       INTEGER NOT NULL,
    front       INTEGER NOT NULL,
    back        INTEGER NOT NULL,
    text        TEXT    NOT NULL,
    UNIQUE (document, number)
) STRICT;

-- The few that gave a name away, to find who had it.
CREATE INDEX revision_renamed ON revision (document) WHERE act = 'renamed';

CREATE TRIGGER revision_stays BEFORE UPDATE ON revision
BEGIN SELECT RAISE(ABORT, 'history is never rewritten'); END;
CREATE TRIGGER revision_is_kept BEFORE DELETE ON revision
BEGIN SELECT RAISE(ABORT, 'history is never rewritten'); END;
CREATE TRIGGER document_is_kept BEFORE DELETE ON document
BEGIN SELECT RAISE(ABORT, 'a document is never taken away, only marked as deleted'); END;

-- What happened, in order.
CREATE TABLE change (
    seq      INTEGER PRIMARY KEY,
    subject  TEXT    NOT NULL,
    id       INTEGER NOT NULL,
    number   INTEGER,
    at       INTEGER NOT NULL,
    by       TEXT    NOT NULL
) STRICT;

CREATE TRIGGER change_stays BEFORE UPDATE ON change
BEGIN SELECT RAISE(ABORT, 'history is never rewritten'); END;
CREATE TRIGGER change_is_kept BEFORE DELETE ON change
BEGIN SELECT RAISE(ABORT, 'history is never rewritten'); END;

-- Programming runs. One without outcome waits to be taken up; an order has at most one of those.
CREATE TABLE run (
    id        INTEGER PRIMARY KEY,
    document  INTEGER NOT NULL REFERENCES document (id),
    at        INTEGER NOT NULL,
    by        TEXT    NOT NULL,
    note      TEXT    NOT NULL,
    outcome   TEXT,
    ended_at  INTEGER
) STRICT;

CREATE INDEX run_document ON run (document);
CREATE UNIQUE INDEX run_unfinished ON run (document) WHERE outcome IS NULL;

CREATE TRIGGER run_ends_once BEFORE UPDATE ON run
WHEN old.outcome IS NOT NULL OR new.outcome IS NULL OR new.id <> old.id OR new.document <> old.document
     OR new.at <> old.at OR new.by <> old.by OR new.note <> old.note
BEGIN SELECT RAISE(ABORT, 'history is never rewritten'); END;
CREATE TRIGGER run_is_kept BEFORE DELETE ON run
BEGIN SELECT RAISE(ABORT, 'history is never rewritten'); END;

CREATE TABLE entry (
    run     INTEGER NOT NULL REFERENCES run (id),
    number  INTEGER NOT NULL CHECK (number >= 1),
    at      INTEGER NOT NULL,
    seal    BLOB    NOT NULL,
    line    TEXT    NOT NULL,
    PRIMARY KEY (run, number)
) STRICT, WITHOUT ROWID;

CREATE TRIGGER entry_stays BEFORE UPDATE ON entry
BEGIN SELECT RAISE(ABORT, 'history is never rewritten'); END;
CREATE TRIGGER entry_is_kept BEFORE DELETE ON entry
BEGIN SELECT RAISE(ABORT, 'history is never rewritten'); END;

-- Everything read from a decoder at one moment.
CREATE TABLE snapshot (
    id        INTEGER PRIMARY KEY,
    document  INTEGER NOT NULL REFERENCES document (id),
    run       INTEGER REFERENCES run (id),
    decoder   TEXT    NOT NULL,
    at        INTEGER NOT NULL,
    by        TEXT    NOT NULL,
    note      TEXT    NOT NULL,
    readings  INTEGER NOT NULL,
    seal      BLOB    NOT NULL
) STRICT;

CREATE INDEX snapshot_document ON snapshot (document, at);

-- `page` is CV31 * 256 + CV32, or -1 for a plain CV. `value` is null where the decoder gave no confirmed value.
CREATE TABLE reading (
    snapshot  INTEGER NOT NULL REFERENCES snapshot (id),
    page      INTEGER NOT NULL CHECK (page BETWEEN -1 AND 65535),
    cv        INTEGER NOT NULL CHECK (cv BETWEEN 1 AND 1024),
    value     INTEGER CHECK (value BETWEEN 0 AND 255),
    PRIMARY KEY (snapshot, page, cv)
) STRICT, WITHOUT ROWID;

CREATE INDEX reading_content ON reading (cv, page, value, snapshot);

CREATE TRIGGER snapshot_stays BEFORE UPDATE ON snapshot
BEGIN SELECT RAISE(ABORT, 'a snapshot is never changed'); END;
CREATE TRIGGER snapshot_is_kept BEFORE DELETE ON snapshot
BEGIN SELECT RAISE(ABORT, 'a snapshot is never changed'); END;
CREATE TRIGGER reading_stays BEFORE UPDATE ON reading
BEGIN SELECT RAISE(ABORT, 'a snapshot is never changed'); END;
CREATE TRIGGER reading_is_kept BEFORE DELETE ON reading
BEGIN SELECT RAISE(ABORT, 'a snapshot is never changed'); END;

-- Photos: the bytes once, however often they are attached.
CREATE TABLE picture (
    id      INTEGER PRIMARY KEY,
    digest  BLOB    NOT NULL UNIQUE,
    format  TEXT    NOT NULL,
    width   INTEGER NOT NULL,
    height  INTEGER NOT NULL,
    size    INTEGER NOT NULL,
    bytes   BLOB    NOT NULL
) STRICT;

CREATE TABLE photo (
    id         INTEGER PRIMARY KEY,
    document   INTEGER NOT NULL REFERENCES document (id),
    step       TEXT    NOT NULL,
    caption    TEXT    NOT NULL,
    picture    INTEGER NOT NULL REFERENCES picture (id),
    at         INTEGER NOT NULL,
    by         TEXT    NOT NULL,
    is_hidden  INTEGER NOT NULL
) STRICT;

CREATE INDEX photo_document ON photo (document, step);

CREATE TRIGGER picture_stays BEFORE UPDATE ON picture
BEGIN SELECT RAISE(ABORT, 'a photo is never changed'); END;
CREATE TRIGGER picture_is_kept BEFORE DELETE ON picture
BEGIN SELECT RAISE(ABORT, 'a photo is never taken away, only hidden'); END;
CREATE TRIGGER photo_is_kept BEFORE DELETE ON photo
BEGIN SELECT RAISE(ABORT, 'a photo is never taken away, only hidden'); END;

-- Parts that came and went.
CREATE TABLE movement (
    id        INTEGER PRIMARY KEY,
    part      TEXT    NOT NULL,
    pieces    INTEGER NOT NULL,
    document  INTEGER REFERENCES document (id),
    at        INTEGER NOT NULL,
    by        TEXT    NOT NULL,
    note      TEXT    NOT NULL
) STRICT;

CREATE INDEX movement_part ON movement (part, pieces);

CREATE TRIGGER movement_stays BEFORE UPDATE ON movement
BEGIN SELECT RAISE(ABORT, 'history is never rewritten'); END;
CREATE TRIGGER movement_is_kept BEFORE DELETE ON movement
BEGIN SELECT RAISE(ABORT, 'history is never rewritten'); END;

-- The work board: answers, told by the caller, who can tell them again at any time.
CREATE TABLE board (
    document    INTEGER PRIMARY KEY REFERENCES document (id),
    number      TEXT    NOT NULL,
    number_key  TEXT    NOT NULL,
    model       TEXT    NOT NULL,
    waits_for   TEXT    NOT NULL,
    stops       INTEGER NOT NULL,
    reworks     INTEGER NOT NULL,
    opens       INTEGER NOT NULL,
    notes       INTEGER NOT NULL
) STRICT;

CREATE INDEX board_number ON board (number_key, document);
CREATE INDEX board_waits ON board (waits_for, number_key, document);

-- The index over what is searched.
CREATE VIRTUAL TABLE search USING fts5 (
    name, title, notes, findings, text,
    content = 'searched', content_rowid = 'document',
    tokenize = 'unicode61 remove_diacritics 2',
    prefix = '1 2 3'
);

-- A hit in the name weighs more than one in the title, and so on; the order is that of the columns.
INSERT INTO search (search, rank) VALUES ('rank', 'bm25(16.0, 8.0, 3.0, 1.5, 1.0)');

CREATE TRIGGER searched_is_found AFTER INSERT ON searched
BEGIN
    INSERT INTO search (rowid, name, title, notes, findings, text)
    VALUES (new.document, new.name, new.title, new.notes, new.findings, new.text);
END;
CREATE TRIGGER searched_is_found_anew AFTER UPDATE ON searched
BEGIN
    INSERT INTO search (search, rowid, name, title, notes, findings, text)
    VALUES ('delete', old.document, old.name, old.title, old.notes, old.findings, old.text);
    INSERT INTO search (rowid, name, title, notes, findings, text)
    VALUES (new.document, new.name, new.title, new.notes, new.findings, new.text);
END;
