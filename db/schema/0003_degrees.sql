-- What a value's standard uncertainty rests on, so that its verdict can be given again for other
-- limits. 'Inf' (9e999) where nothing was estimated; NULL in results of before this migration.
ALTER TABLE check_result ADD COLUMN degrees_of_freedom REAL;
