-- One row an event, never changed and never taken away. Times are milliseconds since 1970 in UTC.
CREATE TABLE event (
  place INTEGER PRIMARY KEY,   -- from 1, without gaps
  clock INTEGER NOT NULL,      -- how often the store's clock had been found set back
  time INTEGER NOT NULL,       -- the time it counts for
  received INTEGER NOT NULL,   -- by the store's clock
  at INTEGER NOT NULL,         -- by the client's clock
  id TEXT NOT NULL UNIQUE,     -- made by the client
  lathe TEXT,
  job TEXT,
  person TEXT,
  kind TEXT NOT NULL,
  parts INTEGER,               -- of parts-made, which are most events and say nothing else
  detail TEXT,                 -- JSON of all others
  note TEXT
) STRICT;

CREATE INDEX event_order ON event (clock, time, place);
CREATE INDEX event_lathe ON event (lathe, clock, time, place);
CREATE INDEX event_job ON event (job, clock, time, place);
CREATE INDEX event_kind ON event (kind, clock, time, place) WHERE kind <> 'parts-made';
CREATE INDEX event_size ON event (job, clock, time, place) WHERE kind = 'size-measured';
CREATE INDEX event_heat
  ON event (coalesce(json_extract(detail, '$.heat'), json_extract(detail, '$.instead.detail.heat')))
  WHERE kind IN ('bar-loaded', 'put-on-rack', 'corrected');

CREATE TRIGGER event_stays BEFORE DELETE ON event
BEGIN SELECT raise(ABORT, 'events are never taken away; record a correction'); END;
CREATE TRIGGER event_is_final BEFORE UPDATE ON event
BEGIN SELECT raise(ABORT, 'events are never changed; record a correction'); END;

-- States that need not be folded again. They follow from the events and may go at any time.
CREATE TABLE snapshot (
  through INTEGER PRIMARY KEY, -- the last place in the log that it knows
  state TEXT NOT NULL
) STRICT;

-- What the store notes about itself.
CREATE TABLE mark (
  name TEXT PRIMARY KEY,
  value INTEGER NOT NULL
) STRICT;
