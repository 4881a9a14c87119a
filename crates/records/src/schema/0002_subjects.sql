-- Ids of the parts, conditions, causes and facts that a question was about, with spaces between.
ALTER TABLE event ADD COLUMN subjects TEXT NOT NULL DEFAULT '';
