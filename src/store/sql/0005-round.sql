-- Bundles between books, and the round: who goes where when, what was missed or moved, the calendar.

CREATE TABLE bundle ( -- Bundles that were taken in, so that one that comes again is known.
  sha256 BLOB PRIMARY KEY CHECK (length (sha256) = 32), -- Hash of the bundle's content.
  device BLOB NOT NULL CHECK (length (device) = 16), -- Identifier of the device that wrote it.
  prefix TEXT NOT NULL, -- Prefix of that device.
  written_ms INTEGER NOT NULL, -- When it was written, by the writer's clock.
  taken_ms INTEGER NOT NULL, -- When it was taken in.
  visits INTEGER NOT NULL -- Closed visits that came with it and were new.
) STRICT, WITHOUT ROWID;

CREATE TABLE peer ( -- What another copy of the book was known to hold by its last bundle: these visits need not be sent again.
  peer BLOB NOT NULL CHECK (length (peer) = 16), -- Identifier of the device that wrote the bundle.
  prefix TEXT NOT NULL, -- Its prefix.
  device BLOB NOT NULL CHECK (length (device) = 16), -- Identifier of the device that sealed visits.
  number INTEGER NOT NULL CHECK (number >= 1), -- Last report number of it that the peer holds; it holds all before.
  PRIMARY KEY (peer, device)
) STRICT, WITHOUT ROWID;

CREATE TABLE master_version ( -- Versions of master rows that were in this book or in one it met, by which a change is told from a conflict.
  kind TEXT NOT NULL, -- Kind of the row, such as product.
  slug TEXT NOT NULL, -- Names the row among its kind.
  sha256 BLOB NOT NULL CHECK (length (sha256) = 32), -- Hash of the version's canonical text.
  rev INTEGER NOT NULL, -- Its revision.
  PRIMARY KEY (kind, slug, sha256)
) STRICT, WITHOUT ROWID;

CREATE TABLE conflict ( -- Master rows that two books changed apart: both versions, and which of them holds.
  kind TEXT NOT NULL, -- Kind of the row, such as product.
  slug TEXT NOT NULL, -- Names the row among its kind.
  kept_sha256 BLOB NOT NULL CHECK (length (kept_sha256) = 32), -- Hash of the version that holds since.
  other_sha256 BLOB NOT NULL CHECK (length (other_sha256) = 32), -- Hash of the version that gave way.
  kept_rev INTEGER NOT NULL, -- Revision of the version that holds.
  other_rev INTEGER NOT NULL, -- Revision of the other.
  kept TEXT NOT NULL, -- The version that holds, canonical JSON.
  other TEXT NOT NULL, -- The other, canonical JSON.
  met_ms INTEGER NOT NULL, -- When they met.
  PRIMARY KEY (kind, slug, kept_sha256, other_sha256)
) STRICT, WITHOUT ROWID;

CREATE TABLE round_site ( -- How a site stands in the round.
  id INTEGER PRIMARY KEY, -- Local key.
  site INTEGER NOT NULL UNIQUE REFERENCES site (id), -- The site.
  area TEXT, -- Name of its area, null where not said.
  technician TEXT, -- Slug of who goes there, null where anyone does.
  from_min INTEGER CHECK (from_min BETWEEN 0 AND 1440), -- Minute of the day from which the site lets work begin, null where any time does.
  to_min INTEGER CHECK (to_min BETWEEN 0 AND 1440), -- Minute of the day by which work must be done, such as opening, null where any time does.
  rev INTEGER NOT NULL, -- Raised by one at each change.
  deleted INTEGER NOT NULL CHECK (deleted IN (0, 1)) -- 1 where it was taken back.
) STRICT;

CREATE TABLE round_technician ( -- Working hours of a technician.
  id INTEGER PRIMARY KEY, -- Local key.
  technician TEXT NOT NULL UNIQUE, -- Slug of the technician.
  area TEXT, -- Area where the day begins, null where not said.
  from_min INTEGER NOT NULL CHECK (from_min BETWEEN 0 AND 1440), -- Minute of the day at which work begins.
  to_min INTEGER NOT NULL CHECK (to_min BETWEEN 0 AND 1440), -- Minute of the day at which it ends.
  rev INTEGER NOT NULL, -- Raised by one at each change.
  deleted INTEGER NOT NULL CHECK (deleted IN (0, 1)) -- 1 where it was taken back.
) STRICT;

CREATE TABLE round_travel ( -- Minutes on the road between two areas, or within one.
  id INTEGER PRIMARY KEY, -- Local key.
  area_a TEXT NOT NULL, -- One area; the one that sorts first.
  area_b TEXT NOT NULL, -- The other, which may be the same.
  minutes INTEGER NOT NULL CHECK (minutes BETWEEN 0 AND 1440), -- How long, either way.
  rev INTEGER NOT NULL, -- Raised by one at each change.
  deleted INTEGER NOT NULL CHECK (deleted IN (0, 1)), -- 1 where it was taken back.
  UNIQUE (area_a, area_b)
) STRICT;

CREATE TABLE round_note ( -- Planned visits that were missed or moved: appended, never changed.
  id INTEGER PRIMARY KEY, -- Local key, in the order of writing.
  uuid BLOB NOT NULL UNIQUE CHECK (length (uuid) = 16), -- Shared identifier.
  site INTEGER NOT NULL REFERENCES site (id), -- The site.
  day INTEGER NOT NULL, -- Date on which the visit was to be.
  moved_to INTEGER, -- Date that it was moved to, null where it was missed.
  cause TEXT NOT NULL CHECK (cause IN ('ours', 'theirs')), -- Whose doing it was; a contract takes off what was ours.
  reason TEXT NOT NULL, -- Why.
  person TEXT NOT NULL, -- Who wrote it down.
  recorded_ms INTEGER NOT NULL, -- When.
  device INTEGER NOT NULL REFERENCES device (id) -- Where.
) STRICT;
CREATE INDEX round_note_by_site ON round_note (site, recorded_ms DESC);

CREATE TABLE calendar_event ( -- Appointments as the calendar last told them, so that a change raises their sequence.
  uid TEXT PRIMARY KEY, -- As in the calendar file.
  sequence INTEGER NOT NULL CHECK (sequence >= 0), -- Raised by one at each change.
  cancelled INTEGER NOT NULL CHECK (cancelled IN (0, 1)), -- 1 once it no longer stands.
  changed_ms INTEGER NOT NULL, -- When it last changed.
  date INTEGER NOT NULL, -- Its day.
  summary TEXT NOT NULL, -- What it is.
  location TEXT NOT NULL, -- Where.
  description TEXT NOT NULL -- What else it says.
) STRICT, WITHOUT ROWID;

CREATE TRIGGER bundle_no_update BEFORE UPDATE ON bundle BEGIN SELECT RAISE (ABORT, 'a bundle taken in is never changed'); END;
CREATE TRIGGER bundle_no_delete BEFORE DELETE ON bundle BEGIN SELECT RAISE (ABORT, 'a bundle taken in is never forgotten'); END;
CREATE TRIGGER conflict_no_update BEFORE UPDATE ON conflict BEGIN SELECT RAISE (ABORT, 'a conflict is never changed'); END;
CREATE TRIGGER conflict_no_delete BEFORE DELETE ON conflict BEGIN SELECT RAISE (ABORT, 'a conflict is never taken away'); END;
CREATE TRIGGER round_note_no_update BEFORE UPDATE ON round_note BEGIN SELECT RAISE (ABORT, 'a note of the round is never changed'); END;
CREATE TRIGGER round_note_no_delete BEFORE DELETE ON round_note BEGIN SELECT RAISE (ABORT, 'a note of the round is never taken away'); END;
CREATE TRIGGER round_note_no_replace BEFORE INSERT ON round_note
WHEN EXISTS (SELECT 1 FROM round_note WHERE id = NEW.id OR uuid = NEW.uuid)
BEGIN SELECT RAISE (ABORT, 'a note of the round is never replaced'); END;
