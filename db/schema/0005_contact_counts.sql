-- How often contacts worked. The newest row of a coil is its total since it was replaced; a row that
-- names a replacement starts at 0.

CREATE TABLE contact_replacement (
    id      INTEGER PRIMARY KEY,
    station INTEGER NOT NULL REFERENCES station (id),
    fixture TEXT NOT NULL,
    at      INTEGER NOT NULL,
    who     TEXT NOT NULL CHECK (who <> ''),
    why     TEXT NOT NULL CHECK (why <> '')
);

CREATE TABLE contact_count (
    id          INTEGER PRIMARY KEY,
    station     INTEGER NOT NULL REFERENCES station (id),
    fixture     TEXT NOT NULL,
    coil        INTEGER NOT NULL,
    at          INTEGER NOT NULL,
    operations  INTEGER NOT NULL CHECK (operations >= 0),
    replacement INTEGER REFERENCES contact_replacement (id),
    CHECK (replacement IS NULL OR operations = 0)
);
CREATE INDEX contact_count_of_coil ON contact_count (station, fixture, coil, id);

-- Every coil once, as it stands. With max(), SQLite takes the other columns from that row.
CREATE VIEW contact_book AS
SELECT station.name AS station,
       contact_count.fixture AS fixture,
       contact_count.coil AS coil,
       contact_count.operations AS operations,
       strftime('%Y-%m-%dT%H:%M:%fZ', contact_count.at / 1000.0, 'unixepoch') AS counted,
       max(contact_count.id) AS newest
FROM contact_count
JOIN station ON station.id = contact_count.station
GROUP BY contact_count.station, contact_count.fixture, contact_count.coil;

CREATE TRIGGER contact_replacement_unedited BEFORE UPDATE ON contact_replacement
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER contact_replacement_undeleted BEFORE DELETE ON contact_replacement
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER contact_count_unedited BEFORE UPDATE ON contact_count
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER contact_count_undeleted BEFORE DELETE ON contact_count
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
