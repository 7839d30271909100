-- Control charts kept with a recipe: which chart, its limits frozen, by whom and why; alarms that its
-- points raised, once each; and what people replied to them. And the chain of records takes in openings
-- and closings of lots, units set aside, frozen charts and replies (docs/ledger.md).

CREATE TABLE frozen_chart (
    id              INTEGER PRIMARY KEY,
    recipe          TEXT NOT NULL,
    recipe_revision TEXT NOT NULL,
    step            TEXT NOT NULL,
    name            TEXT NOT NULL,
    key             TEXT NOT NULL,
    channel         INTEGER,
    frequency       INTEGER,
    stage           TEXT NOT NULL CHECK (stage IN ('as found', 'as left')),
    unit            TEXT NOT NULL,
    kind            TEXT NOT NULL CHECK (kind IN ('individuals', 'means-and-ranges',
                                                  'means-and-deviations', 'weighted', 'sums', 'none')),
    rules           TEXT NOT NULL,
    size            INTEGER NOT NULL CHECK (size > 0),
    lambda          REAL NOT NULL,
    width           REAL NOT NULL,
    slack           REAL NOT NULL,
    decision        REAL NOT NULL,
    centre          REAL NOT NULL,
    sigma           REAL NOT NULL CHECK (sigma > 0),
    points          INTEGER NOT NULL,
    after_run       INTEGER NOT NULL,
    at              INTEGER NOT NULL,
    who             TEXT NOT NULL CHECK (who <> ''),
    why             TEXT NOT NULL CHECK (why <> '')
);
CREATE INDEX frozen_chart_of ON frozen_chart (recipe, recipe_revision);

CREATE TABLE chart_alarm (
    id     INTEGER PRIMARY KEY,
    chart  INTEGER NOT NULL REFERENCES frozen_chart (id),
    run    INTEGER NOT NULL REFERENCES run (id),
    line   TEXT NOT NULL,
    signal TEXT NOT NULL CHECK (signal <> ''),
    value  REAL NOT NULL,
    low    REAL NOT NULL,
    high   REAL NOT NULL,
    found  INTEGER NOT NULL
);
CREATE UNIQUE INDEX chart_alarm_once ON chart_alarm (chart, run, line);

CREATE TABLE alarm_reply (
    id    INTEGER PRIMARY KEY,
    alarm INTEGER NOT NULL REFERENCES chart_alarm (id),
    at    INTEGER NOT NULL,
    who   TEXT NOT NULL CHECK (who <> ''),
    why   TEXT NOT NULL CHECK (why <> '')
);
CREATE INDEX alarm_reply_of ON alarm_reply (alarm);

-- Up to which run a frozen chart has been looked at; the newest row is in force.
CREATE TABLE chart_look (
    id    INTEGER PRIMARY KEY,
    chart INTEGER NOT NULL REFERENCES frozen_chart (id),
    run   INTEGER NOT NULL,
    at    INTEGER NOT NULL
);
CREATE INDEX chart_look_of ON chart_look (chart, run);

CREATE VIEW alarm_book AS
SELECT chart_alarm.id AS alarm,
       frozen_chart.recipe AS recipe,
       frozen_chart.recipe_revision AS recipe_revision,
       frozen_chart.name AS name,
       frozen_chart.key AS key,
       frozen_chart.channel AS channel,
       frozen_chart.frequency AS frequency,
       run.serial AS serial,
       strftime('%Y-%m-%dT%H:%M:%fZ', run.started / 1000.0, 'unixepoch') AS at,
       chart_alarm.line AS line,
       chart_alarm.signal AS signal,
       chart_alarm.value AS value,
       alarm_reply.who AS replied_by,
       alarm_reply.why AS reply
FROM chart_alarm
JOIN frozen_chart ON frozen_chart.id = chart_alarm.chart
JOIN run ON run.id = chart_alarm.run
LEFT JOIN alarm_reply ON alarm_reply.id = (SELECT max(newest.id) FROM alarm_reply AS newest
                                           WHERE newest.alarm = chart_alarm.id);

CREATE TRIGGER frozen_chart_unedited BEFORE UPDATE ON frozen_chart
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER frozen_chart_undeleted BEFORE DELETE ON frozen_chart
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER chart_alarm_unedited BEFORE UPDATE ON chart_alarm
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER chart_alarm_undeleted BEFORE DELETE ON chart_alarm
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER alarm_reply_unedited BEFORE UPDATE ON alarm_reply
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER alarm_reply_undeleted BEFORE DELETE ON alarm_reply
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER chart_look_unedited BEFORE UPDATE ON chart_look
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER chart_look_undeleted BEFORE DELETE ON chart_look
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;

-- The same links with more kinds.
CREATE TABLE record_link_11 (
    sequence    INTEGER PRIMARY KEY,
    kind        TEXT NOT NULL CHECK (kind IN ('beginning', 'decisions before', 'run', 'disposition',
                                              'removal', 'new key', 'break', 'acts begin', 'opening',
                                              'closing', 'set aside', 'frozen chart', 'alarm',
                                              'alarm reply')),
    subject     INTEGER NOT NULL,
    observation BLOB,
    content     BLOB NOT NULL,
    link        BLOB NOT NULL,
    seal        BLOB NOT NULL
);
INSERT INTO record_link_11 SELECT sequence, kind, subject, observation, content, link, seal FROM record_link;
DROP TABLE record_link;
ALTER TABLE record_link_11 RENAME TO record_link;
CREATE UNIQUE INDEX record_link_of ON record_link (kind, subject)
WHERE kind NOT IN ('beginning', 'decisions before', 'new key', 'break', 'acts begin');
CREATE TRIGGER record_link_unedited BEFORE UPDATE ON record_link
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER record_link_undeleted BEFORE DELETE ON record_link
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
