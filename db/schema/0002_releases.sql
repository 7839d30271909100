-- Which plans may run in production: releases, deviation permits, and by what right each opening
-- of a lot ran. Openings before this migration have no row in opening_permission.

CREATE TABLE release (
    id   INTEGER PRIMARY KEY,
    plan TEXT NOT NULL REFERENCES plan (hash),
    at   INTEGER NOT NULL,
    who  TEXT NOT NULL CHECK (who <> ''),
    why  TEXT NOT NULL CHECK (why <> '')
);
CREATE INDEX release_of_plan ON release (plan);

CREATE TABLE withdrawal (
    release INTEGER PRIMARY KEY REFERENCES release (id),
    at      INTEGER NOT NULL,
    who     TEXT NOT NULL CHECK (who <> ''),
    why     TEXT NOT NULL CHECK (why <> '')
);

-- A plan that deviates from a release, let through before a time or for so many units.
CREATE TABLE permit (
    id       INTEGER PRIMARY KEY,
    name     TEXT NOT NULL CHECK (name <> ''),
    plan     TEXT NOT NULL REFERENCES plan (hash),
    release  INTEGER NOT NULL REFERENCES release (id),
    changes  TEXT NOT NULL,
    until    INTEGER,
    quantity INTEGER CHECK (quantity > 0),
    at       INTEGER NOT NULL,
    who      TEXT NOT NULL CHECK (who <> ''),
    why      TEXT NOT NULL CHECK (why <> ''),
    CHECK (until IS NOT NULL OR quantity IS NOT NULL)
);
CREATE INDEX permit_of_plan ON permit (plan);

CREATE TABLE opening_permission (
    opening INTEGER PRIMARY KEY REFERENCES lot_opening (id),
    kind    TEXT NOT NULL CHECK (kind IN ('released', 'permit', 'draft')),
    release INTEGER REFERENCES release (id),
    permit  INTEGER REFERENCES permit (id),
    CHECK ((kind = 'released') = (release IS NOT NULL)),
    CHECK ((kind = 'permit') = (permit IS NOT NULL))
);
CREATE INDEX opening_of_permit ON opening_permission (permit);

-- The units that a permit let through, and what became of them.
CREATE VIEW permit_book AS
SELECT permit.id AS permit,
       permit.name AS name,
       run_book.unit AS unit,
       run_book.run AS run,
       run_book.lot AS lot,
       run_book.serial AS serial,
       run_book.started AS started,
       run_book.verdict AS verdict,
       run_book.disposition AS disposition
FROM permit
JOIN opening_permission ON opening_permission.permit = permit.id
JOIN run ON run.opening = opening_permission.opening
JOIN run_book ON run_book.run = run.id;

-- Every result of a lot that ran on a draft.
CREATE VIEW draft_book AS
SELECT run_book.*
FROM run_book
JOIN run ON run.id = run_book.run
JOIN opening_permission ON opening_permission.opening = run.opening
WHERE opening_permission.kind = 'draft';

CREATE TRIGGER release_unedited BEFORE UPDATE ON release
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER release_undeleted BEFORE DELETE ON release
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER withdrawal_unedited BEFORE UPDATE ON withdrawal
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER withdrawal_undeleted BEFORE DELETE ON withdrawal
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER permit_unedited BEFORE UPDATE ON permit
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER permit_undeleted BEFORE DELETE ON permit
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER opening_permission_unedited BEFORE UPDATE ON opening_permission
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER opening_permission_undeleted BEFORE DELETE ON opening_permission
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
