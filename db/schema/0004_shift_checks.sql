-- How a station watches itself: shift checks with their control charts, restarts of charts, and
-- what the newest check said when a lot was opened. Openings before this migration, and those of
-- fixtures without check standards, have no row in opening_readiness.

CREATE TABLE shift_check (
    id          INTEGER PRIMARY KEY,
    station     INTEGER NOT NULL REFERENCES station (id),
    fixture     TEXT NOT NULL,
    product     TEXT NOT NULL,
    certificate TEXT NOT NULL,
    at          INTEGER NOT NULL,
    who         TEXT NOT NULL,
    decision    TEXT NOT NULL CHECK (decision IN ('ready', 'blocked')),
    cause       TEXT NOT NULL,
    next_step   TEXT NOT NULL,
    baseline    INTEGER NOT NULL CHECK (baseline >= 2),
    learned     INTEGER NOT NULL CHECK (learned >= 0)
);
CREATE INDEX shift_check_of_station ON shift_check (station, fixture);

-- The measuring-only lots whose runs the check decided from.
CREATE TABLE shift_check_lot (
    shift_check INTEGER NOT NULL REFERENCES shift_check (id),
    lot         INTEGER NOT NULL REFERENCES lot (id),
    PRIMARY KEY (shift_check, lot)
) WITHOUT ROWID;

CREATE TABLE shift_check_unit (
    shift_check INTEGER NOT NULL REFERENCES shift_check (id),
    number      INTEGER NOT NULL,
    serial      TEXT NOT NULL,
    nest        INTEGER NOT NULL,
    challenge   INTEGER NOT NULL CHECK (challenge IN (0, 1)),
    verdict     TEXT NOT NULL CHECK (verdict IN ('pass', 'fail', 'inconclusive', 'no verdict')),
    as_wanted   INTEGER NOT NULL CHECK (as_wanted IN (0, 1)),
    reason      TEXT NOT NULL,
    PRIMARY KEY (shift_check, number)
) WITHOUT ROWID;

-- low and high are the limits in force for this point; both NULL while the chart learns. sigma is 0
-- where limits are stated.
CREATE TABLE chart_point (
    shift_check INTEGER NOT NULL REFERENCES shift_check (id),
    number      INTEGER NOT NULL,
    serial      TEXT NOT NULL,
    nest        INTEGER NOT NULL,
    step        TEXT NOT NULL,
    name        TEXT NOT NULL,
    key         TEXT NOT NULL,
    channel     INTEGER,
    frequency   INTEGER,
    value       REAL NOT NULL,
    unit        TEXT NOT NULL,
    state       TEXT NOT NULL CHECK (state IN ('learning', 'within', 'beyond')),
    centre      REAL NOT NULL,
    sigma       REAL NOT NULL,
    low         REAL,
    high        REAL,
    PRIMARY KEY (shift_check, number)
) WITHOUT ROWID;

-- Charts of this station and fixture learn anew from checks after `after`.
CREATE TABLE chart_restart (
    id      INTEGER PRIMARY KEY,
    station INTEGER NOT NULL REFERENCES station (id),
    fixture TEXT NOT NULL,
    after   INTEGER NOT NULL,
    at      INTEGER NOT NULL,
    who     TEXT NOT NULL CHECK (who <> ''),
    why     TEXT NOT NULL CHECK (why <> '')
);

CREATE TABLE opening_readiness (
    opening     INTEGER PRIMARY KEY REFERENCES lot_opening (id),
    state       TEXT NOT NULL CHECK (state IN ('ready', 'needs check', 'blocked')),
    shift_check INTEGER REFERENCES shift_check (id)
);

-- Checks as people ask for them.
CREATE VIEW shift_check_book AS
SELECT shift_check.id AS shift_check,
       station.name AS station,
       shift_check.fixture AS fixture,
       strftime('%Y-%m-%dT%H:%M:%fZ', shift_check.at / 1000.0, 'unixepoch') AS at,
       shift_check.who AS who,
       shift_check.decision AS decision,
       shift_check.cause AS cause,
       shift_check.next_step AS next_step,
       (SELECT count(*) FROM chart_point WHERE chart_point.shift_check = shift_check.id) AS points,
       (SELECT count(*) FROM chart_point
        WHERE chart_point.shift_check = shift_check.id AND chart_point.state = 'beyond') AS beyond
FROM shift_check
JOIN station ON station.id = shift_check.station;

CREATE TRIGGER shift_check_unedited BEFORE UPDATE ON shift_check
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER shift_check_undeleted BEFORE DELETE ON shift_check
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER shift_check_lot_unedited BEFORE UPDATE ON shift_check_lot
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER shift_check_lot_undeleted BEFORE DELETE ON shift_check_lot
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER shift_check_unit_unedited BEFORE UPDATE ON shift_check_unit
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER shift_check_unit_undeleted BEFORE DELETE ON shift_check_unit
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER chart_point_unedited BEFORE UPDATE ON chart_point
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER chart_point_undeleted BEFORE DELETE ON chart_point
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER chart_restart_unedited BEFORE UPDATE ON chart_restart
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER chart_restart_undeleted BEFORE DELETE ON chart_restart
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER opening_readiness_unedited BEFORE UPDATE ON opening_readiness
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER opening_readiness_undeleted BEFORE DELETE ON opening_readiness
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
