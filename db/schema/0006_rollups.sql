-- What the quality team asks, counted when a run ends, in the same transaction: units, failing checks
-- and values by lot, by day and by month. Everything in rollup_... follows from the tables before
-- and may be made again at any time (Ledger::rebuild_rollups), so that these rows, unlike all
-- others, change. docs/ledger.md, "Rollups", says which attempts count, and where.

-- The order in which runs ended. Ledgers of before this migration know only the time.
CREATE TABLE ending (
    sequence INTEGER PRIMARY KEY,
    run      INTEGER NOT NULL UNIQUE REFERENCES run_end (run)
);
INSERT INTO ending (run) SELECT run FROM run_end ORDER BY at, run;

-- When a station's shifts begin, in minutes after midnight UTC. In force for runs and set-aside
-- units with a higher id; the newest row counts. A station without one has 06:00, 14:00 and 22:00.
CREATE TABLE shift_hours (
    id              INTEGER PRIMARY KEY,
    station         INTEGER NOT NULL REFERENCES station (id),
    after_run       INTEGER NOT NULL,
    after_set_aside INTEGER NOT NULL,
    at              INTEGER NOT NULL,
    who             TEXT NOT NULL CHECK (who <> ''),
    why             TEXT NOT NULL CHECK (why <> '')
);
CREATE INDEX shift_hours_of_station ON shift_hours (station, id);

CREATE TABLE shift_begin (
    hours  INTEGER NOT NULL REFERENCES shift_hours (id),
    shift  INTEGER NOT NULL CHECK (shift >= 1),
    minute INTEGER NOT NULL CHECK (minute BETWEEN 0 AND 1439),
    PRIMARY KEY (hours, shift)
) WITHOUT ROWID;

-- Which formula filled the rollups; none: they are still to be filled.
CREATE TABLE rollup_version (
    version INTEGER NOT NULL
);

CREATE TABLE rollup_origin (
    id              INTEGER PRIMARY KEY,
    station         INTEGER NOT NULL,
    product         TEXT NOT NULL,
    recipe          TEXT NOT NULL,
    recipe_revision TEXT NOT NULL,
    fixture         TEXT NOT NULL,
    measure_only    INTEGER NOT NULL,
    draft           INTEGER NOT NULL,
    UNIQUE (station, product, recipe, recipe_revision, fixture, measure_only, draft)
);

-- What rows are counted together. Days are days since 1970-01-01 UTC; 0 where the family leaves a
-- column out, and the first of the month in the family 'month'.
CREATE TABLE rollup_scope (
    id        INTEGER PRIMARY KEY,
    family    TEXT NOT NULL CHECK (family IN ('lot', 'day', 'month')),
    origin    INTEGER NOT NULL,
    lot       INTEGER NOT NULL,
    day       INTEGER NOT NULL,
    shift     INTEGER NOT NULL,
    shift_day INTEGER NOT NULL,
    nest      INTEGER NOT NULL,
    UNIQUE (family, day, origin, lot, shift, shift_day, nest)
);
CREATE INDEX rollup_scope_of_lot ON rollup_scope (lot) WHERE family = 'lot';

-- Where a check belongs. -1 stands for "does not apply", or in rollup_failure for "any".
CREATE TABLE rollup_place (
    id        INTEGER PRIMARY KEY,
    step      TEXT NOT NULL,
    name      TEXT NOT NULL,
    key       TEXT NOT NULL,
    channel   INTEGER NOT NULL,
    frequency INTEGER NOT NULL,
    stage     TEXT NOT NULL,
    unit      TEXT NOT NULL,
    UNIQUE (step, name, key, channel, frequency, stage, unit)
);

CREATE TABLE rollup_units (
    scope           INTEGER PRIMARY KEY,
    runs            INTEGER NOT NULL,
    units           INTEGER NOT NULL,
    first_pass      INTEGER NOT NULL,
    final_pass      INTEGER NOT NULL,
    retested        INTEGER NOT NULL,
    rejected_first  INTEGER NOT NULL,
    recovered       INTEGER NOT NULL,
    without_verdict INTEGER NOT NULL,
    pass            INTEGER NOT NULL,
    fail            INTEGER NOT NULL,
    inconclusive    INTEGER NOT NULL,
    no_verdict      INTEGER NOT NULL,
    removed         INTEGER NOT NULL
);

-- later: 0 a unit's first try, 1 its later ones.
CREATE TABLE rollup_failure (
    scope         INTEGER NOT NULL,
    place         INTEGER NOT NULL,
    later         INTEGER NOT NULL,
    failed        INTEGER NOT NULL,
    inconclusive  INTEGER NOT NULL,
    first_failing INTEGER NOT NULL,
    recovered     INTEGER NOT NULL,
    PRIMARY KEY (scope, place, later)
) WITHOUT ROWID;

CREATE TABLE rollup_value (
    scope         INTEGER NOT NULL,
    place         INTEGER NOT NULL,
    later         INTEGER NOT NULL,
    count         INTEGER NOT NULL,
    mean          REAL,
    squares       REAL,
    lowest        REAL,
    highest       REAL,
    pass          INTEGER NOT NULL,
    fail          INTEGER NOT NULL,
    inconclusive  INTEGER NOT NULL,
    no_verdict    INTEGER NOT NULL,
    low           REAL,
    high          REAL,
    limit_changes INTEGER NOT NULL,
    histogram     BLOB NOT NULL,
    PRIMARY KEY (scope, place, later)
) WITHOUT ROWID;

-- The same with names.

CREATE VIEW rollup_scope_book AS
SELECT rollup_scope.id AS scope,
       rollup_scope.family AS family,
       station.name AS station,
       rollup_origin.product AS product,
       rollup_origin.recipe AS recipe,
       rollup_origin.recipe_revision AS recipe_revision,
       rollup_origin.fixture AS fixture,
       rollup_origin.measure_only AS measure_only,
       rollup_origin.draft AS draft,
       lot.name AS lot,
       date(rollup_scope.day * 86400, 'unixepoch') AS day,
       nullif(rollup_scope.shift, 0) AS shift,
       CASE WHEN rollup_scope.family <> 'month'
            THEN date(rollup_scope.shift_day * 86400, 'unixepoch') END AS shift_began,
       nullif(rollup_scope.nest, 0) AS nest
FROM rollup_scope
JOIN rollup_origin ON rollup_origin.id = rollup_scope.origin
JOIN station ON station.id = rollup_origin.station
LEFT JOIN lot ON lot.id = rollup_scope.lot;

CREATE VIEW unit_rollup AS
SELECT rollup_scope_book.*, rollup_units.runs, rollup_units.units, rollup_units.first_pass,
       rollup_units.final_pass, rollup_units.retested, rollup_units.rejected_first,
       rollup_units.recovered, rollup_units.without_verdict, rollup_units.pass, rollup_units.fail,
       rollup_units.inconclusive, rollup_units.no_verdict, rollup_units.removed
FROM rollup_scope_book
JOIN rollup_units ON rollup_units.scope = rollup_scope_book.scope;

CREATE VIEW failure_rollup AS
SELECT rollup_scope_book.*, rollup_place.step, rollup_place.name, rollup_place.key,
       rollup_place.stage,
       CASE rollup_failure.later WHEN 0 THEN 'first' ELSE 'later' END AS tries,
       rollup_failure.failed, rollup_failure.inconclusive, rollup_failure.first_failing,
       rollup_failure.recovered
FROM rollup_scope_book
JOIN rollup_failure ON rollup_failure.scope = rollup_scope_book.scope
JOIN rollup_place ON rollup_place.id = rollup_failure.place;

CREATE VIEW value_rollup AS
SELECT rollup_scope_book.*, rollup_place.step, rollup_place.name, rollup_place.key,
       nullif(rollup_place.channel, -1) AS channel,
       nullif(rollup_place.frequency, -1) AS frequency,
       rollup_place.stage, rollup_place.unit,
       CASE rollup_value.later WHEN 0 THEN 'first' ELSE 'later' END AS tries,
       rollup_value.count, rollup_value.mean,
       CASE WHEN rollup_value.count > 1
            THEN rollup_value.squares / (rollup_value.count - 1) END AS variance,
       rollup_value.lowest, rollup_value.highest, rollup_value.pass, rollup_value.fail,
       rollup_value.inconclusive, rollup_value.no_verdict, rollup_value.low, rollup_value.high,
       rollup_value.limit_changes
FROM rollup_scope_book
JOIN rollup_value ON rollup_value.scope = rollup_scope_book.scope
JOIN rollup_place ON rollup_place.id = rollup_value.place;

-- First-pass and final yield of production, day by day.
CREATE VIEW yield_by_day AS
SELECT day, station, product, recipe, recipe_revision,
       sum(units) AS units, sum(first_pass) AS first_pass, sum(final_pass) AS final_pass,
       1.0 * sum(first_pass) / sum(units) AS first_pass_yield,
       1.0 * sum(final_pass) / sum(units) AS final_yield
FROM unit_rollup
WHERE family = 'day' AND measure_only = 0 AND draft = 0
GROUP BY day, station, product, recipe, recipe_revision
HAVING sum(units) > 0;

CREATE TRIGGER ending_unedited BEFORE UPDATE ON ending
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER ending_undeleted BEFORE DELETE ON ending
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER shift_hours_unedited BEFORE UPDATE ON shift_hours
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER shift_hours_undeleted BEFORE DELETE ON shift_hours
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER shift_begin_unedited BEFORE UPDATE ON shift_begin
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER shift_begin_undeleted BEFORE DELETE ON shift_begin
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
