-- Units whose first try failed and that were tried again: what retests recover is a share of these.
ALTER TABLE rollup_units ADD COLUMN retried INTEGER NOT NULL DEFAULT 0;
ALTER TABLE rollup_failure ADD COLUMN retried INTEGER NOT NULL DEFAULT 0;

-- Values of units' first tries as columns, for questions that need every one of them (docs/ledger.md,
-- "Columns"). Derived, as rollups are: rollups of version 2 have them.
CREATE TABLE rollup_column (
    scope    INTEGER NOT NULL,
    place    INTEGER NOT NULL,
    "values" BLOB NOT NULL,
    PRIMARY KEY (scope, place)
) WITHOUT ROWID;

-- Closed lots, whose columns are written.
CREATE TABLE rollup_column_lot (
    lot INTEGER PRIMARY KEY
);
