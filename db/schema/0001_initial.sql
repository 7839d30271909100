-- The ledger of a station: lots, runs, what was observed, what was derived, what was decided.
-- docs/ledger.md explains every table. Rows are only ever added; triggers at the end hold that.
-- Times are milliseconds since 1970-01-01T00:00:00 UTC. Words are those of docs/ledger.md.

CREATE TABLE station (
    id   INTEGER PRIMARY KEY,
    name TEXT NOT NULL UNIQUE
);

-- A plan's text is stored once, under its hash (SHA-256, hexadecimal).
CREATE TABLE plan (
    hash            TEXT NOT NULL PRIMARY KEY,
    text            TEXT NOT NULL,
    recipe          TEXT NOT NULL,
    recipe_revision TEXT NOT NULL,
    product         TEXT NOT NULL,
    fixture         TEXT NOT NULL
) WITHOUT ROWID;

CREATE TABLE lot (
    id           INTEGER PRIMARY KEY,
    station      INTEGER NOT NULL REFERENCES station (id),
    name         TEXT NOT NULL,
    measure_only INTEGER NOT NULL CHECK (measure_only IN (0, 1)),
    UNIQUE (station, name, measure_only)
);

-- Each time the station takes a lot up. A lot is open while its newest opening has no closing.
CREATE TABLE lot_opening (
    id       INTEGER PRIMARY KEY,
    lot      INTEGER NOT NULL REFERENCES lot (id),
    plan     TEXT NOT NULL REFERENCES plan (hash),
    operator TEXT NOT NULL,
    at       INTEGER NOT NULL
);
CREATE INDEX lot_opening_of_lot ON lot_opening (lot);

CREATE TABLE lot_closing (
    opening INTEGER PRIMARY KEY REFERENCES lot_opening (id),
    at      INTEGER NOT NULL
);

-- Units that left a lot without a run.
CREATE TABLE set_aside (
    id      INTEGER PRIMARY KEY,
    opening INTEGER NOT NULL REFERENCES lot_opening (id),
    lot     INTEGER NOT NULL REFERENCES lot (id),
    nest    INTEGER NOT NULL,
    serial  TEXT NOT NULL,
    label   TEXT NOT NULL,
    reason  TEXT NOT NULL,
    at      INTEGER NOT NULL
);
CREATE INDEX set_aside_of_lot ON set_aside (lot);

-- One attempt at one unit. A later attempt at the same serial in the same lot names the first.
-- A run without a serial is a unit of its own.
CREATE TABLE run (
    id        INTEGER PRIMARY KEY,
    opening   INTEGER NOT NULL REFERENCES lot_opening (id),
    lot       INTEGER NOT NULL REFERENCES lot (id),
    nest      INTEGER NOT NULL,
    serial    TEXT NOT NULL,
    label     TEXT NOT NULL,
    attempt   INTEGER NOT NULL CHECK (attempt >= 1),
    first_run INTEGER REFERENCES run (id),
    started   INTEGER NOT NULL,
    CHECK ((attempt = 1) = (first_run IS NULL))
);
CREATE INDEX run_of_lot ON run (lot, serial);
CREATE INDEX run_of_serial ON run (serial);
CREATE INDEX run_of_label ON run (label);

-- Durable before the first byte reaches the unit.
CREATE TABLE write_intent (
    run INTEGER PRIMARY KEY REFERENCES run (id),
    at  INTEGER NOT NULL
);

-- Register values a channel: as the unit was found, and about to be written.
CREATE TABLE write_intent_trim (
    run          INTEGER NOT NULL REFERENCES write_intent (run),
    channel      INTEGER NOT NULL,
    found_gain   INTEGER,
    found_offset INTEGER,
    gain         INTEGER,
    "offset"     INTEGER,
    PRIMARY KEY (run, channel)
) WITHOUT ROWID;

-- Stages in the order reached; none without an intent.
CREATE TABLE write_stage (
    id    INTEGER PRIMARY KEY,
    run   INTEGER NOT NULL REFERENCES write_intent (run),
    stage TEXT NOT NULL CHECK (stage IN ('intended', 'written', 'read back', 'committed',
                                         'power-cycled', 'verified')),
    UNIQUE (run, stage)
);

-- A run ends by finishing, or is settled after a stop of the station cut it off.
CREATE TABLE run_end (
    run             INTEGER PRIMARY KEY REFERENCES run (id),
    how             TEXT NOT NULL CHECK (how IN ('finished', 'settled')),
    at              INTEGER NOT NULL,
    verdict         TEXT NOT NULL CHECK (verdict IN ('pass', 'fail', 'inconclusive', 'no verdict')),
    stage           TEXT NOT NULL CHECK (stage IN ('untouched', 'intended', 'written', 'read back',
                                                   'committed', 'power-cycled', 'verified')),
    reason          TEXT NOT NULL,
    next_step       TEXT NOT NULL,
    formula_version TEXT NOT NULL,
    CHECK (how = 'finished' OR verdict = 'no verdict')
);

-- What becomes of the unit: the station's proposal at the run's end, then a person's decisions.
CREATE TABLE disposition (
    id          INTEGER PRIMARY KEY,
    run         INTEGER NOT NULL REFERENCES run_end (run),
    at          INTEGER NOT NULL,
    disposition TEXT NOT NULL CHECK (disposition IN ('undecided', 'released', 'rework', 'scrap',
                                                     'quarantined')),
    who         TEXT NOT NULL,
    reason      TEXT NOT NULL
);
CREATE INDEX disposition_of_run ON disposition (run);

-- The run's raw observations, packed as docs/ledger.md says.
CREATE TABLE observation (
    run    INTEGER PRIMARY KEY REFERENCES run_end (run),
    packed BLOB NOT NULL
);

-- NULL stands for "does not apply" in channel, frequency, low and high, and for "not a number" in
-- the other numbers.
CREATE TABLE check_result (
    run                  INTEGER NOT NULL REFERENCES run_end (run),
    number               INTEGER NOT NULL,
    step                 TEXT NOT NULL,
    name                 TEXT NOT NULL,
    key                  TEXT NOT NULL,
    channel              INTEGER,
    frequency            INTEGER,
    stage                TEXT NOT NULL CHECK (stage IN ('as found', 'as left')),
    value                REAL,
    unit                 TEXT NOT NULL,
    standard_uncertainty REAL,
    coverage_factor      REAL,
    expanded_uncertainty REAL,
    low                  REAL,
    high                 REAL,
    margin               REAL,
    verdict              TEXT NOT NULL CHECK (verdict IN ('pass', 'fail', 'inconclusive',
                                                          'no verdict')),
    traceability         TEXT NOT NULL CHECK (traceability IN ('traceable', 'comparable',
                                                               'indication')),
    note                 TEXT NOT NULL,
    PRIMARY KEY (run, number)
) WITHOUT ROWID;

-- The straight line of a channel, as found. Gains in counts/pF, offsets in counts.
CREATE TABLE channel_line (
    run                INTEGER NOT NULL REFERENCES run_end (run),
    number             INTEGER NOT NULL,
    channel            INTEGER NOT NULL,
    frequency          INTEGER NOT NULL,
    key                TEXT NOT NULL,
    gain               REAL,
    "offset"           REAL,
    gain_standard      REAL,
    offset_standard    REAL,
    covariance         REAL,
    gain_expanded      REAL,
    offset_expanded    REAL,
    degrees_of_freedom REAL,
    PRIMARY KEY (run, number)
) WITHOUT ROWID;

-- Views for people and their tools.

CREATE VIEW run_book AS
SELECT run.id AS run,
       station.name AS station,
       lot.name AS lot,
       lot.measure_only AS measure_only,
       plan.recipe AS recipe,
       plan.recipe_revision AS recipe_revision,
       plan.product AS product,
       plan.fixture AS fixture,
       plan.hash AS plan_hash,
       run.nest AS nest,
       run.serial AS serial,
       run.label AS label,
       run.attempt AS attempt,
       coalesce(run.first_run, run.id) AS unit,
       strftime('%Y-%m-%dT%H:%M:%fZ', run.started / 1000.0, 'unixepoch') AS started,
       strftime('%Y-%m-%dT%H:%M:%fZ', run_end.at / 1000.0, 'unixepoch') AS ended,
       run_end.how AS how,
       run_end.verdict AS verdict,
       (SELECT disposition FROM disposition WHERE disposition.run = run.id ORDER BY id DESC LIMIT 1)
           AS disposition,
       coalesce(run_end.stage,
                (SELECT stage FROM write_stage WHERE write_stage.run = run.id
                 ORDER BY id DESC LIMIT 1),
                'untouched') AS write_stage,
       run_end.reason AS reason,
       run_end.next_step AS next_step,
       run_end.formula_version AS formula_version
FROM run
JOIN lot ON lot.id = run.lot
JOIN station ON station.id = lot.station
JOIN lot_opening ON lot_opening.id = run.opening
JOIN plan ON plan.hash = lot_opening.plan
LEFT JOIN run_end ON run_end.run = run.id;

-- Each unit of each lot once: its newest ended run.
CREATE VIEW unit_book AS
SELECT run_book.*
FROM run_book
WHERE run_book.run IN (SELECT max(run.id)
                       FROM run
                       JOIN run_end ON run_end.run = run.id
                       GROUP BY coalesce(run.first_run, run.id));

CREATE VIEW unfinished_run AS
SELECT run, station, lot, nest, serial, started, write_stage FROM run_book WHERE ended IS NULL;

CREATE VIEW failed_check AS
SELECT run_book.lot, run_book.serial, run_book.attempt, check_result.*
FROM check_result
JOIN run_book ON run_book.run = check_result.run
WHERE check_result.verdict <> 'pass';

-- First try and last word of each unit that has ended a run. A run without a verdict is not a try:
-- a fault of the station never counts against the unit. first_try and last_try are NULL where no
-- run gave a verdict.
CREATE VIEW unit_tries AS
SELECT run.lot AS lot,
       coalesce(run.first_run, run.id) AS unit,
       min(run.id) FILTER (WHERE run_end.verdict <> 'no verdict') AS first_try,
       max(run.id) FILTER (WHERE run_end.verdict <> 'no verdict') AS last_try,
       count(*) FILTER (WHERE run_end.verdict <> 'no verdict') AS tries
FROM run
JOIN run_end ON run_end.run = run.id
GROUP BY coalesce(run.first_run, run.id);

CREATE VIEW lot_yield AS
SELECT station.name AS station,
       lot.name AS lot,
       lot.measure_only AS measure_only,
       count(first.run) AS units,
       count(*) FILTER (WHERE first.verdict = 'pass') AS first_pass,
       count(*) FILTER (WHERE last.verdict = 'pass') AS final_pass,
       count(*) FILTER (WHERE first.run IS NULL) AS without_verdict
FROM unit_tries
LEFT JOIN run_end AS first ON first.run = unit_tries.first_try
LEFT JOIN run_end AS last ON last.run = unit_tries.last_try
JOIN lot ON lot.id = unit_tries.lot
JOIN station ON station.id = lot.station
GROUP BY lot.id;

-- No stored row is ever edited.

CREATE TRIGGER station_unedited BEFORE UPDATE ON station
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER station_undeleted BEFORE DELETE ON station
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER plan_unedited BEFORE UPDATE ON plan
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER plan_undeleted BEFORE DELETE ON plan
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER lot_unedited BEFORE UPDATE ON lot
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER lot_undeleted BEFORE DELETE ON lot
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER lot_opening_unedited BEFORE UPDATE ON lot_opening
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER lot_opening_undeleted BEFORE DELETE ON lot_opening
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER lot_closing_unedited BEFORE UPDATE ON lot_closing
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER lot_closing_undeleted BEFORE DELETE ON lot_closing
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER set_aside_unedited BEFORE UPDATE ON set_aside
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER set_aside_undeleted BEFORE DELETE ON set_aside
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER run_unedited BEFORE UPDATE ON run
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER run_undeleted BEFORE DELETE ON run
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER write_intent_unedited BEFORE UPDATE ON write_intent
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER write_intent_undeleted BEFORE DELETE ON write_intent
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER write_intent_trim_unedited BEFORE UPDATE ON write_intent_trim
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER write_intent_trim_undeleted BEFORE DELETE ON write_intent_trim
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER write_stage_unedited BEFORE UPDATE ON write_stage
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER write_stage_undeleted BEFORE DELETE ON write_stage
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER run_end_unedited BEFORE UPDATE ON run_end
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER run_end_undeleted BEFORE DELETE ON run_end
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER disposition_unedited BEFORE UPDATE ON disposition
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER disposition_undeleted BEFORE DELETE ON disposition
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER observation_unedited BEFORE UPDATE ON observation
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER observation_undeleted BEFORE DELETE ON observation
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER check_result_unedited BEFORE UPDATE ON check_result
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER check_result_undeleted BEFORE DELETE ON check_result
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER channel_line_unedited BEFORE UPDATE ON channel_line
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER channel_line_undeleted BEFORE DELETE ON channel_line
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
