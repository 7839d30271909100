-- Every finished record under a digest that holds the one before it, so that a record changed, put in
-- or taken out afterwards is found and named. docs/ledger.md, "The chain of records", tells what is
-- digested. Records of before this migration are not in the chain; its first link says how many.

CREATE TABLE record_link (
    sequence    INTEGER PRIMARY KEY,
    kind        TEXT NOT NULL CHECK (kind IN ('beginning', 'decisions before', 'run', 'disposition',
                                              'removal', 'new key', 'break')),
    subject     INTEGER NOT NULL,
    observation BLOB,
    content     BLOB NOT NULL,
    link        BLOB NOT NULL,
    seal        BLOB NOT NULL
);
CREATE UNIQUE INDEX record_link_of ON record_link (kind, subject)
WHERE kind IN ('run', 'disposition', 'removal');

CREATE TRIGGER record_link_unedited BEFORE UPDATE ON record_link
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
CREATE TRIGGER record_link_undeleted BEFORE DELETE ON record_link
BEGIN SELECT raise(ABORT, 'stored rows are never edited'); END;
