-- Raw observations may be removed when they are old, results stay: each removal says which, when, by whom
-- and why, and no observation goes without it. And when a station stood still, and why.

CREATE TABLE observation_removal (
    id         INTEGER PRIMARY KEY,
    ended_before INTEGER NOT NULL,
    at         INTEGER NOT NULL,
    who        TEXT NOT NULL CHECK (who <> ''),
    why        TEXT NOT NULL CHECK (why <> ''),
    CHECK (ended_before <= at)
);

CREATE TABLE removed_observation (
    run     INTEGER PRIMARY KEY REFERENCES run_end (run),
    removal INTEGER NOT NULL REFERENCES observation_removal (id),
    bytes   INTEGER NOT NULL
);
CREATE INDEX removed_observation_of ON removed_observation (removal);

DROP TRIGGER observation_undeleted;
CREATE TRIGGER observation_undeleted BEFORE DELETE ON observation
WHEN NOT EXISTS (SELECT 1 FROM removed_observation
                 JOIN observation_removal ON observation_removal.id = removed_observation.removal
                 JOIN run_end ON run_end.run = removed_observation.run
                 WHERE removed_observation.run = OLD.run
                 AND run_end.at < observation_removal.ended_before)
BEGIN SELECT raise(ABORT, 'observations are removed only when old, under a row of observation_removal'); END;

CREATE TABLE downtime (
    id      INTEGER PRIMARY KEY,
    station INTEGER NOT NULL REFERENCES station (id),
    began   INTEGER NOT NULL,
    planned INTEGER NOT NULL CHECK (planned IN (0, 1)),
    reason  TEXT NOT NULL CHECK (reason <> ''),
    who     TEXT NOT NULL CHECK (who <> ''),
    note    TEXT NOT NULL
);
CREATE INDEX downtime_of_station ON downtime (station, began);

CREATE TABLE downtime_end (
    downtime INTEGER PRIMARY KEY REFERENCES downtime (id),
    ended    INTEGER NOT NULL,
    who      TEXT NOT NULL CHECK (who <> '')
);

CREATE VIEW downtime_book AS
SELECT downtime.id AS downtime,
       station.name AS station,
       strftime('%Y-%m-%dT%H:%M:%fZ', downtime.began / 1000.0, 'unixepoch') AS began,
       strftime('%Y-%m-%dT%H:%M:%fZ', downtime_end.ended / 1000.0, 'unixepoch') AS ended,
       (downtime_end.ended - downtime.began) / 60000.0 AS minutes,
       downtime.planned AS planned,
       downtime.reason AS reason,
       downtime.who AS who,
       downtime.note AS note
FROM downtime
JOIN station ON station.id = downtime.station
LEFT JOIN downtime_end ON downtime_end.downtime = downtime.id;

CREATE TRIGGER observation_removal_unedited BEFORE UPDATE ON observation_removal
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER observation_removal_undeleted BEFORE DELETE ON observation_removal
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER removed_observation_unedited BEFORE UPDATE ON removed_observation
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER removed_observation_undeleted BEFORE DELETE ON removed_observation
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER downtime_unedited BEFORE UPDATE ON downtime
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER downtime_undeleted BEFORE DELETE ON downtime
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER downtime_end_unedited BEFORE UPDATE ON downtime_end
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER downtime_end_undeleted BEFORE DELETE ON downtime_end
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
