-- Questions over a span of days find their runs without looking at those of all years.
CREATE INDEX run_started ON run (started);
