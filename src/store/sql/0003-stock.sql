-- Stock of chemicals: places, movements, acknowledged exceptions; and of visits, what the chemical account
-- reads: who used a mix and how, which line held it from when to when, and who held the line's outlet.

CREATE TABLE place ( -- Where chemicals are kept between visits.
  id INTEGER PRIMARY KEY, -- Local key.
  uuid BLOB NOT NULL UNIQUE CHECK (length (uuid) = 16), -- Shared identifier.
  slug TEXT NOT NULL UNIQUE, -- Names the place on the command line.
  name TEXT NOT NULL, -- Name as printed.
  kind TEXT NOT NULL CHECK (kind IN ('store', 'van')), -- What it is; uses of people without a van come from the first store.
  rev INTEGER NOT NULL, -- Raised by one at each change.
  deleted INTEGER NOT NULL CHECK (deleted IN (0, 1)) -- 1 hides it from choices.
) STRICT;

CREATE TABLE place_holder ( -- From which place a technician takes chemicals, from which day on: appended, never changed.
  technician TEXT NOT NULL, -- Slug of the technician.
  since INTEGER NOT NULL, -- Date from which it holds.
  place INTEGER NOT NULL REFERENCES place (id), -- The place.
  PRIMARY KEY (technician, since)
) STRICT, WITHOUT ROWID;

CREATE TABLE stock_movement ( -- What came, went and was counted, uses of visits left out: appended, never changed.
  id INTEGER PRIMARY KEY, -- Local key, in the order of writing.
  uuid BLOB NOT NULL UNIQUE CHECK (length (uuid) = 16), -- Shared identifier.
  kind TEXT NOT NULL CHECK (kind IN ('receipt', 'transfer', 'disposal', 'count')), -- What happened.
  place INTEGER NOT NULL REFERENCES place (id), -- Where, of a transfer from where.
  to_place INTEGER REFERENCES place (id), -- Of a transfer to where, null otherwise.
  product INTEGER NOT NULL REFERENCES product (id), -- Of what.
  lot INTEGER REFERENCES lot (id), -- Of which lot, null where none is named.
  amount_ml INTEGER NOT NULL CHECK (amount_ml >= 0), -- Moved, of a count what was counted.
  adjusted_ml INTEGER NOT NULL, -- Of a count what was counted less what the book knew then, 0 otherwise.
  container_ml INTEGER CHECK (container_ml > 0), -- Size of one package, null where not said.
  cost_minor INTEGER CHECK (cost_minor >= 0), -- Of a receipt what it cost in minor units, null where not said.
  currency TEXT, -- ISO 4217 code of the cost, null without one.
  reason TEXT, -- Why, for a disposal and a count that differs.
  happened_ms INTEGER NOT NULL, -- When the person says that it happened.
  offset_min INTEGER NOT NULL, -- Minutes east of UTC that the person's clock showed.
  date INTEGER NOT NULL, -- Civil date of it there.
  person TEXT NOT NULL, -- Slug of who did it, or a name that the book does not know.
  recorded_ms INTEGER NOT NULL, -- The machine's clock at the commit.
  device INTEGER NOT NULL REFERENCES device (id), -- Where it was entered.
  digest BLOB NOT NULL CHECK (length (digest) = 32), -- SHA-256 over all of it, so that damage shows.
  CHECK ((kind = 'transfer') = (to_place IS NOT NULL)),
  CHECK (adjusted_ml = 0 OR kind = 'count')
) STRICT;
CREATE INDEX stock_movement_by_product ON stock_movement (product, lot, place);
CREATE INDEX stock_movement_by_lot ON stock_movement (lot);

CREATE TABLE acknowledgement ( -- Exceptions that somebody has looked into: appended, never changed.
  id INTEGER PRIMARY KEY, -- Local key, in the order of writing.
  exception TEXT NOT NULL, -- Key of the exception.
  person TEXT NOT NULL, -- Who looked into it.
  reason TEXT NOT NULL, -- What was found out.
  recorded_ms INTEGER NOT NULL -- When.
) STRICT;
CREATE INDEX acknowledgement_by_exception ON acknowledgement (exception, id);

CREATE TRIGGER place_holder_no_update BEFORE UPDATE ON place_holder BEGIN SELECT RAISE (ABORT, 'who takes from where is never changed'); END;
CREATE TRIGGER place_holder_no_delete BEFORE DELETE ON place_holder BEGIN SELECT RAISE (ABORT, 'who takes from where is never taken away'); END;
CREATE TRIGGER place_holder_no_replace BEFORE INSERT ON place_holder
WHEN EXISTS (SELECT 1 FROM place_holder WHERE technician = NEW.technician AND since = NEW.since)
BEGIN SELECT RAISE (ABORT, 'who takes from where is never replaced'); END;
CREATE TRIGGER stock_movement_no_update BEFORE UPDATE ON stock_movement BEGIN SELECT RAISE (ABORT, 'a movement of stock is never changed'); END;
CREATE TRIGGER stock_movement_no_delete BEFORE DELETE ON stock_movement BEGIN SELECT RAISE (ABORT, 'a movement of stock is never taken away'); END;
CREATE TRIGGER stock_movement_no_replace BEFORE INSERT ON stock_movement
WHEN EXISTS (SELECT 1 FROM stock_movement WHERE id = NEW.id OR uuid = NEW.uuid)
BEGIN SELECT RAISE (ABORT, 'a movement of stock is never replaced'); END;
CREATE TRIGGER acknowledgement_no_update BEFORE UPDATE ON acknowledgement BEGIN SELECT RAISE (ABORT, 'an acknowledgement is never changed'); END;
CREATE TRIGGER acknowledgement_no_delete BEFORE DELETE ON acknowledgement BEGIN SELECT RAISE (ABORT, 'an acknowledgement is never taken away'); END;
CREATE TRIGGER acknowledgement_no_replace BEFORE INSERT ON acknowledgement
WHEN EXISTS (SELECT 1 FROM acknowledgement WHERE id = NEW.id)
BEGIN SELECT RAISE (ABORT, 'an acknowledgement is never replaced'); END;

-- Projections.  What visits used is told by more than before; the rows are made again from the journal.

DROP TABLE visit_use;
CREATE TABLE visit_use ( -- Chemical that a visit used, one row a batch.
  visit INTEGER NOT NULL REFERENCES visit (id), -- The visit.
  n INTEGER NOT NULL, -- Place in the list, from 0.
  batch TEXT NOT NULL, -- Id of the batch within the visit.
  product TEXT, -- Slug of the product, null where the book does not know it.
  lot TEXT, -- Slug of the lot, null where none was named.
  mixed_ms INTEGER NOT NULL, -- When.
  date INTEGER NOT NULL, -- Civil date of it in the site's zone.
  concentrate_ml INTEGER, -- Concentrate, null where not said.
  water_ml INTEGER, -- Water, null where not said.
  percent_milli INTEGER, -- Strength as mixed, null where not said.
  basis TEXT NOT NULL, -- What the percentage is a share of.
  known TEXT NOT NULL, -- One of measured, accepted, estimated.
  disposed_ml INTEGER NOT NULL, -- Solution of this batch that was disposed of.
  person TEXT NOT NULL, -- Slug of who mixed it, or a name that the book does not know.
  method TEXT NOT NULL, -- How it was run: circulating, static, both, or none.
  lines INTEGER NOT NULL, -- In how many faucets' lines it was.
  expected_ml INTEGER, -- Concentrate that these lines ask for, null where that is not known.
  PRIMARY KEY (visit, n)
) STRICT, WITHOUT ROWID;
CREATE INDEX visit_use_by_product ON visit_use (product, known, date, concentrate_ml, expected_ml, water_ml);
CREATE INDEX visit_use_by_lot ON visit_use (lot, product);

CREATE TABLE visit_pass ( -- A mix's way through a faucet's line: what was in it, from when to when.
  visit INTEGER NOT NULL REFERENCES visit (id), -- The visit.
  outlet INTEGER NOT NULL, -- Place in the visit's sheet, from 0.
  n INTEGER NOT NULL, -- Place among the passes of the line, from 0.
  line TEXT NOT NULL, -- Id of the line or side faucet.
  use INTEGER, -- The row of visit_use with the mix, null where its mix was voided.
  clean TEXT NOT NULL, -- One of caustic, acid.
  method TEXT NOT NULL, -- One of circulating, static.
  circuit INTEGER NOT NULL, -- Number of the circuit, 0 where none.
  in_ms INTEGER NOT NULL, -- When it was sent in or first seen.
  out_ms INTEGER, -- When its rinse passed, the next mix followed or it was drained; null while it holds.
  PRIMARY KEY (visit, outlet, n)
) STRICT, WITHOUT ROWID;

CREATE TABLE visit_hold ( -- Who held an outlet, from when to when.
  visit INTEGER NOT NULL REFERENCES visit (id), -- The visit.
  n INTEGER NOT NULL, -- Place in the list, from 0.
  line TEXT NOT NULL, -- Id of the line or side faucet.
  tag TEXT NOT NULL, -- Name of the tag within the visit.
  kind TEXT NOT NULL, -- One of tag, lock, handle-removed, faucet-removed.
  person TEXT NOT NULL, -- Slug of its owner then, or of who stood there while it was lifted.
  lifted INTEGER NOT NULL CHECK (lifted IN (0, 1)), -- 1 where it was lifted and the person stood at the outlet.
  from_ms INTEGER NOT NULL, -- From when.
  until_ms INTEGER, -- Until when, null where it still is so.
  PRIMARY KEY (visit, n)
) STRICT, WITHOUT ROWID;

CREATE TABLE visit_exception ( -- What a visit shows a manager beyond the findings of the rules.
  visit INTEGER NOT NULL REFERENCES visit (id), -- The visit.
  n INTEGER NOT NULL, -- Place in the list, from 0.
  code TEXT NOT NULL, -- Stable code of the exception.
  text TEXT NOT NULL, -- The sentence with its figures.
  PRIMARY KEY (visit, n)
) STRICT, WITHOUT ROWID;
CREATE INDEX visit_exception_by_code ON visit_exception (code, visit);
