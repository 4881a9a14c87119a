-- What happened, one row an event, never changed: numbers and lists are computed from here.
CREATE TABLE event (
    seq         INTEGER PRIMARY KEY,
    id          TEXT NOT NULL UNIQUE CHECK (length(id) = 32),
    at_ms       INTEGER NOT NULL,
    learner     TEXT NOT NULL,
    kind        TEXT NOT NULL CHECK (kind IN (
        'learner_added', 'learner_renamed', 'run_started', 'answered', 'run_finished',
        'run_left', 'flagged')),
    -- The run and what it was made from; empty for events about a learner.
    run         TEXT,
    scenario    TEXT,
    hash        TEXT,
    title       TEXT,
    seed        TEXT,
    mode        TEXT,
    program     TEXT,
    recipe      TEXT,
    -- An answer.
    question    TEXT,
    answer      TEXT,
    points      REAL,
    max_points  REAL,
    confidence  TEXT,
    hinted      INTEGER,
    elapsed_ms  INTEGER,
    -- A name, or the note of a flag.
    note        TEXT
) STRICT;

CREATE INDEX event_of_learner ON event (learner, kind);
CREATE INDEX event_of_run ON event (run, kind);

CREATE TRIGGER event_stays BEFORE UPDATE ON event BEGIN
    SELECT RAISE(ABORT, 'an event is never changed');
END;
CREATE TRIGGER event_is_kept BEFORE DELETE ON event BEGIN
    SELECT RAISE(ABORT, 'an event is never deleted');
END;
