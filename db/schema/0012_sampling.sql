-- Sampling of slow steps: plans for a product's step, which units of a lot they chose, and what was
-- found. Which inspection the next lot gets follows from these rows (docs/quality.md).

CREATE TABLE sampling_plan (
    id            INTEGER PRIMARY KEY,
    product       TEXT NOT NULL,
    step          TEXT NOT NULL CHECK (step <> ''),
    level         TEXT NOT NULL CHECK (level IN ('S-1', 'S-2', 'S-3', 'S-4', 'I', 'II', 'III')),
    quality_limit REAL NOT NULL CHECK (quality_limit > 0),
    at            INTEGER NOT NULL,
    who           TEXT NOT NULL CHECK (who <> ''),
    why           TEXT NOT NULL CHECK (why <> '')
);

CREATE TABLE sampled_lot (
    id       INTEGER PRIMARY KEY,
    plan     INTEGER NOT NULL REFERENCES sampling_plan (id),
    lot      TEXT NOT NULL CHECK (lot <> ''),
    size     INTEGER NOT NULL CHECK (size > 1),
    severity TEXT NOT NULL CHECK (severity IN ('normal', 'tightened', 'reduced')),
    letter   TEXT NOT NULL,
    sample   INTEGER NOT NULL CHECK (sample > 0),
    accept   INTEGER NOT NULL CHECK (accept >= 0),
    seed     INTEGER NOT NULL,
    at       INTEGER NOT NULL
);
CREATE UNIQUE INDEX sampled_lot_once ON sampled_lot (plan, lot);

CREATE TABLE sampled_lot_result (
    sampled_lot   INTEGER PRIMARY KEY REFERENCES sampled_lot (id),
    nonconforming INTEGER NOT NULL CHECK (nonconforming >= 0),
    tighter       INTEGER NOT NULL CHECK (tighter IN (0, 1)),
    at            INTEGER NOT NULL,
    who           TEXT NOT NULL CHECK (who <> '')
);

-- A person lets inspection go on that had been stopped.
CREATE TABLE sampling_resumption (
    id        INTEGER PRIMARY KEY,
    plan      INTEGER NOT NULL REFERENCES sampling_plan (id),
    after_lot INTEGER NOT NULL,
    at        INTEGER NOT NULL,
    who       TEXT NOT NULL CHECK (who <> ''),
    why       TEXT NOT NULL CHECK (why <> '')
);

CREATE TRIGGER sampling_plan_unedited BEFORE UPDATE ON sampling_plan
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER sampling_plan_undeleted BEFORE DELETE ON sampling_plan
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER sampled_lot_unedited BEFORE UPDATE ON sampled_lot
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER sampled_lot_undeleted BEFORE DELETE ON sampled_lot
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER sampled_lot_result_unedited BEFORE UPDATE ON sampled_lot_result
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER sampled_lot_result_undeleted BEFORE DELETE ON sampled_lot_result
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER sampling_resumption_unedited BEFORE UPDATE ON sampling_resumption
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER sampling_resumption_undeleted BEFORE DELETE ON sampling_resumption
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
