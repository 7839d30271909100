-- Who changed what over HTTP, or tried to: one row an act, with what it was about before and after.

CREATE TABLE audit (
    id      INTEGER PRIMARY KEY,
    station INTEGER NOT NULL REFERENCES station (id),
    at      INTEGER NOT NULL,
    who     TEXT NOT NULL,
    role    TEXT NOT NULL,
    address TEXT NOT NULL,
    act     TEXT NOT NULL CHECK (act <> ''),
    asked   TEXT NOT NULL,
    status  INTEGER NOT NULL,
    before  TEXT NOT NULL,
    after   TEXT NOT NULL
);
CREATE INDEX audit_at ON audit (at);

CREATE VIEW audit_book AS
SELECT audit.id AS id,
       station.name AS station,
       strftime('%Y-%m-%dT%H:%M:%fZ', audit.at / 1000.0, 'unixepoch') AS at,
       audit.who AS who,
       audit.role AS role,
       audit.address AS address,
       audit.act AS act,
       audit.asked AS asked,
       audit.status AS status,
       audit.before AS before,
       audit.after AS after
FROM audit
JOIN station ON station.id = audit.station;

CREATE TRIGGER audit_unedited BEFORE UPDATE ON audit
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER audit_undeleted BEFORE DELETE ON audit
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
