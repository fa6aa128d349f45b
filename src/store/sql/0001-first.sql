-- The first version of the service book.
--
-- Conventions: *_ms is UTC milliseconds since 1970; a date is a count of days since 1970-01-01; *_milli
-- are thousandths; uuid is the 16 bytes of a version 7 identifier (RFC 9562), for what may one day be
-- shared between books; slug is the short text by which entries and files name a row.  Rows with rev
-- and deleted are master data, changed in place by one function that raises rev; nothing is erased.
-- Every table and every column carries one sentence on its own line; a test holds them to it.

CREATE TABLE device ( -- Each copy of the book that was ever worked in, this one included.
  id INTEGER PRIMARY KEY, -- Local key.
  uuid BLOB NOT NULL UNIQUE CHECK (length (uuid) = 16), -- Identifies the device in envelopes of entries.
  prefix TEXT NOT NULL UNIQUE CHECK (length (prefix) = 4), -- Stands before the numbers of its reports.
  created_ms INTEGER NOT NULL -- When the book was made on it or restored to it.
) STRICT;

CREATE TABLE book ( -- What this file is, in exactly one row.
  id INTEGER PRIMARY KEY CHECK (id = 1), -- Always 1.
  uuid BLOB NOT NULL CHECK (length (uuid) = 16), -- Identifies the book through all its copies.
  test INTEGER NOT NULL CHECK (test IN (0, 1)), -- 1 marks a demonstration or test book, on which alone a clock may be pinned.
  device INTEGER NOT NULL REFERENCES device (id), -- The device that this copy writes as.
  projections INTEGER NOT NULL, -- Version of the code that the projections were made by.
  created_ms INTEGER NOT NULL -- When the book was first made.
) STRICT;

CREATE TABLE company ( -- Who does the work, as printed on reports, in one row.
  id INTEGER PRIMARY KEY CHECK (id = 1), -- Always 1.
  name TEXT, -- Name of the company, null until it is given.
  address TEXT, -- Postal address in several lines.
  phone TEXT, -- Telephone of the office.
  emergency_phone TEXT, -- Telephone that is printed beside the cautions.
  rev INTEGER NOT NULL, -- Raised by one at each change.
  deleted INTEGER NOT NULL CHECK (deleted IN (0, 1)) -- Always 0, the company cannot be taken away.
) STRICT;

CREATE TABLE product ( -- Cleaning chemicals as their labels describe them.
  id INTEGER PRIMARY KEY, -- Local key.
  uuid BLOB NOT NULL UNIQUE CHECK (length (uuid) = 16), -- Shared identifier.
  slug TEXT NOT NULL UNIQUE, -- Names the product in entries.
  name TEXT NOT NULL, -- Name on the label.
  kind TEXT NOT NULL, -- One of caustic, caustic-chlorinated, acid, other.
  substance TEXT NOT NULL, -- Active substance, such as naoh.
  percent_milli INTEGER NOT NULL, -- Strength of the concentrate in its basis.
  density_kg_m3 INTEGER NOT NULL, -- Density of the concentrate at 20 C, 0 where the label does not say.
  basis TEXT NOT NULL CHECK (basis IN ('w/w', 'w/v', 'v/v')), -- What its percentages are a share of.
  target_percent_milli INTEGER NOT NULL, -- Working strength that the label asks for.
  caution TEXT, -- The label's own words for the people at the site.
  rev INTEGER NOT NULL, -- Raised by one at each change.
  deleted INTEGER NOT NULL CHECK (deleted IN (0, 1)) -- 1 hides it from choices.
) STRICT;

CREATE TABLE lot ( -- Batches of a product as they were bought.
  id INTEGER PRIMARY KEY, -- Local key.
  uuid BLOB NOT NULL UNIQUE CHECK (length (uuid) = 16), -- Shared identifier.
  slug TEXT NOT NULL UNIQUE, -- Names the lot in entries.
  product INTEGER NOT NULL REFERENCES product (id), -- Whose batch it is.
  code TEXT NOT NULL, -- As printed on the container.
  received INTEGER, -- Date on which it came, null where not said.
  expiry INTEGER, -- Date after which it must not be used, null where not said.
  recalled INTEGER NOT NULL CHECK (recalled IN (0, 1)), -- 1 where the maker called it back.
  rev INTEGER NOT NULL, -- Raised by one at each change.
  deleted INTEGER NOT NULL CHECK (deleted IN (0, 1)) -- 1 hides it from choices.
) STRICT;

CREATE TABLE technician ( -- People who do the work.
  id INTEGER PRIMARY KEY, -- Local key.
  uuid BLOB NOT NULL UNIQUE CHECK (length (uuid) = 16), -- Shared identifier.
  slug TEXT NOT NULL UNIQUE, -- Names the person in entries.
  name TEXT NOT NULL, -- Name as printed.
  certificate TEXT, -- Certificate of training, null where there is none.
  certificate_expiry INTEGER, -- Date on which the certificate runs out, null where it does not.
  rev INTEGER NOT NULL, -- Raised by one at each change.
  deleted INTEGER NOT NULL CHECK (deleted IN (0, 1)) -- 1 hides the person from choices.
) STRICT;

CREATE TABLE instrument ( -- What readings are taken with.
  id INTEGER PRIMARY KEY, -- Local key.
  uuid BLOB NOT NULL UNIQUE CHECK (length (uuid) = 16), -- Shared identifier.
  slug TEXT NOT NULL UNIQUE, -- Names the instrument in entries.
  name TEXT NOT NULL, -- Name as printed.
  kind TEXT NOT NULL, -- What it measures with, such as ph-meter.
  calibrated INTEGER, -- Date of the last calibration, null where not said.
  calibration_due INTEGER, -- Date of the next, null where it needs none.
  rev INTEGER NOT NULL, -- Raised by one at each change.
  deleted INTEGER NOT NULL CHECK (deleted IN (0, 1)) -- 1 hides it from choices.
) STRICT;

CREATE TABLE account ( -- Customers.
  id INTEGER PRIMARY KEY, -- Local key.
  uuid BLOB NOT NULL UNIQUE CHECK (length (uuid) = 16), -- Shared identifier.
  slug TEXT NOT NULL UNIQUE, -- Names the account on the command line.
  name TEXT NOT NULL UNIQUE, -- Name as printed; imports find an account by it.
  address TEXT, -- Postal address.
  contact TEXT, -- Whom to ask for.
  email TEXT, -- Address for letters by mail.
  phone TEXT, -- Telephone.
  note TEXT, -- Anything else.
  rev INTEGER NOT NULL, -- Raised by one at each change.
  deleted INTEGER NOT NULL CHECK (deleted IN (0, 1)) -- 1 hides it from choices.
) STRICT;

CREATE TABLE sheet ( -- Site sheets as text that never changes; a visit keeps the one it began with.
  sha256 BLOB PRIMARY KEY CHECK (length (sha256) = 32), -- Hash of the text's bytes.
  text TEXT NOT NULL -- The sheet in the site format, on one line.
) STRICT, WITHOUT ROWID;

CREATE TABLE site ( -- Places that are visited.
  id INTEGER PRIMARY KEY, -- Local key.
  uuid BLOB NOT NULL UNIQUE CHECK (length (uuid) = 16), -- Shared identifier.
  slug TEXT NOT NULL UNIQUE, -- Names the site in entries; never changes.
  account INTEGER NOT NULL REFERENCES account (id), -- Whose site it is.
  name TEXT NOT NULL, -- Name as printed.
  address TEXT, -- Where it stands.
  zone TEXT NOT NULL, -- IANA name of its time zone.
  sheet BLOB NOT NULL REFERENCES sheet (sha256), -- The newest sheet.
  rev INTEGER NOT NULL, -- Raised by one at each new sheet.
  deleted INTEGER NOT NULL CHECK (deleted IN (0, 1)) -- 1 hides it from choices.
) STRICT;
CREATE INDEX site_by_account ON site (account, name);

CREATE TABLE site_sheet ( -- Which sheet held for a site from when on.
  site INTEGER NOT NULL REFERENCES site (id), -- The site.
  rev INTEGER NOT NULL, -- Its revision from this sheet on.
  sheet BLOB NOT NULL REFERENCES sheet (sha256), -- The sheet.
  since_ms INTEGER NOT NULL, -- When it came into the book.
  PRIMARY KEY (site, rev)
) STRICT, WITHOUT ROWID;

CREATE TABLE setting ( -- Figures that the company or a site sets instead of the defaults.
  id INTEGER PRIMARY KEY, -- Local key.
  site INTEGER REFERENCES site (id), -- The site that it holds for, null for the company.
  key TEXT NOT NULL, -- Stable key of the setting, which ends in its unit.
  value INTEGER NOT NULL, -- The figure.
  rev INTEGER NOT NULL, -- Raised by one at each change.
  deleted INTEGER NOT NULL CHECK (deleted IN (0, 1)) -- 1 where it was taken back.
) STRICT;
CREATE UNIQUE INDEX setting_by_key ON setting (ifnull (site, 0), key);

CREATE TABLE visit ( -- Visits, each begun by its arrival; what became of one is told by its entries alone.
  id INTEGER PRIMARY KEY, -- Local key.
  uuid BLOB NOT NULL UNIQUE CHECK (length (uuid) = 16), -- Identifier that the writer chose.
  site INTEGER NOT NULL REFERENCES site (id), -- Where.
  sheet BLOB NOT NULL REFERENCES sheet (sha256), -- The sheet that held when the visit began, for the whole visit.
  device INTEGER NOT NULL REFERENCES device (id), -- Where it was begun.
  amends INTEGER REFERENCES visit (id) -- The closed visit that this one supersedes, null for most.
) STRICT;
CREATE UNIQUE INDEX visit_by_amends ON visit (amends) WHERE amends IS NOT NULL;

CREATE TABLE entry ( -- The journal: appended, never changed.
  visit INTEGER NOT NULL REFERENCES visit (id), -- Whose entry it is.
  seq INTEGER NOT NULL CHECK (seq >= 1), -- Counts from 1 without a gap within the visit.
  kind TEXT NOT NULL, -- Code of the kind, such as tag-hung.
  version INTEGER NOT NULL, -- Version of the body's format.
  happened_ms INTEGER NOT NULL, -- When the person says that it happened.
  offset_min INTEGER NOT NULL, -- Minutes east of UTC that the person's clock showed.
  zone TEXT NOT NULL, -- IANA name of the site's zone.
  recorded_ms INTEGER NOT NULL, -- The machine's clock at the commit, which nobody can enter.
  boot_id TEXT NOT NULL, -- Run of the machine within which boot times compare.
  boottime_ms INTEGER NOT NULL, -- Milliseconds since that run began, suspend included.
  person TEXT NOT NULL, -- Slug of a technician, or a name that the book does not know.
  device INTEGER NOT NULL REFERENCES device (id), -- Where it was entered.
  body TEXT NOT NULL, -- Canonical JSON, the very bytes that the seal is made over.
  digest BLOB NOT NULL CHECK (length (digest) = 32), -- SHA-256 over envelope and body, so that damage shows before sealing too.
  PRIMARY KEY (visit, seq)
) STRICT, WITHOUT ROWID;

CREATE TABLE seal ( -- Closed visits, numbered and chained for each device; a row here is what closes a visit.
  device INTEGER NOT NULL REFERENCES device (id), -- Where the visit was closed.
  number INTEGER NOT NULL CHECK (number >= 1), -- Of the report, from 1 without a gap for each device.
  visit INTEGER NOT NULL UNIQUE REFERENCES visit (id), -- The closed visit.
  previous BLOB CHECK (length (previous) = 32), -- Seal of the device's number before, null for its first.
  seal BLOB NOT NULL CHECK (length (seal) = 32), -- SHA-256 of the sealed text.
  PRIMARY KEY (device, number)
) STRICT, WITHOUT ROWID;

CREATE TABLE attachment ( -- Photos, named by entries through their hash.
  sha256 BLOB PRIMARY KEY CHECK (length (sha256) = 32), -- Hash of the bytes.
  media TEXT NOT NULL, -- Media type, such as image/jpeg.
  bytes BLOB NOT NULL -- The content.
) STRICT;

-- Frozen: refused are UPDATE, DELETE, and an INSERT of what is there already.  The last is told apart
-- before the conflict is resolved, so that INSERT OR REPLACE finds no way round, whatever the
-- connection's recursive_triggers says.

CREATE TRIGGER device_no_update BEFORE UPDATE ON device BEGIN SELECT RAISE (ABORT, 'a device is never changed'); END;
CREATE TRIGGER device_no_delete BEFORE DELETE ON device BEGIN SELECT RAISE (ABORT, 'a device is never taken away'); END;
CREATE TRIGGER device_no_replace BEFORE INSERT ON device
WHEN EXISTS (SELECT 1 FROM device WHERE id = NEW.id OR uuid = NEW.uuid OR prefix = NEW.prefix)
BEGIN SELECT RAISE (ABORT, 'a device is never replaced'); END;

CREATE TRIGGER sheet_no_update BEFORE UPDATE ON sheet BEGIN SELECT RAISE (ABORT, 'a sheet is never changed'); END;
CREATE TRIGGER sheet_no_delete BEFORE DELETE ON sheet BEGIN SELECT RAISE (ABORT, 'a sheet is never taken away'); END;
CREATE TRIGGER sheet_no_replace BEFORE INSERT ON sheet
WHEN EXISTS (SELECT 1 FROM sheet WHERE sha256 = NEW.sha256)
BEGIN SELECT RAISE (ABORT, 'a sheet is never replaced'); END;

CREATE TRIGGER site_sheet_no_update BEFORE UPDATE ON site_sheet BEGIN SELECT RAISE (ABORT, 'the history of a site is never changed'); END;
CREATE TRIGGER site_sheet_no_delete BEFORE DELETE ON site_sheet BEGIN SELECT RAISE (ABORT, 'the history of a site is never taken away'); END;
CREATE TRIGGER site_sheet_no_replace BEFORE INSERT ON site_sheet
WHEN EXISTS (SELECT 1 FROM site_sheet WHERE site = NEW.site AND rev = NEW.rev)
BEGIN SELECT RAISE (ABORT, 'the history of a site is never replaced'); END;

CREATE TRIGGER visit_no_update BEFORE UPDATE ON visit BEGIN SELECT RAISE (ABORT, 'a visit is never changed'); END;
CREATE TRIGGER visit_no_delete BEFORE DELETE ON visit BEGIN SELECT RAISE (ABORT, 'a visit is never taken away'); END;
CREATE TRIGGER visit_no_replace BEFORE INSERT ON visit
WHEN EXISTS (SELECT 1 FROM visit WHERE id = NEW.id OR uuid = NEW.uuid)
BEGIN SELECT RAISE (ABORT, 'a visit is never replaced'); END;
CREATE TRIGGER visit_amends_closed BEFORE INSERT ON visit
WHEN NEW.amends IS NOT NULL AND NOT EXISTS (SELECT 1 FROM seal WHERE visit = NEW.amends)
BEGIN SELECT RAISE (ABORT, 'only a closed visit can be amended'); END;

CREATE TRIGGER entry_no_update BEFORE UPDATE ON entry BEGIN SELECT RAISE (ABORT, 'an entry is never changed'); END;
CREATE TRIGGER entry_no_delete BEFORE DELETE ON entry BEGIN SELECT RAISE (ABORT, 'an entry is never taken away'); END;
CREATE TRIGGER entry_in_order BEFORE INSERT ON entry
WHEN NEW.seq IS NOT (SELECT ifnull (max (seq), 0) + 1 FROM entry WHERE visit = NEW.visit)
BEGIN SELECT RAISE (ABORT, 'entries of a visit are numbered without a gap'); END;
CREATE TRIGGER entry_not_after_closing BEFORE INSERT ON entry
WHEN EXISTS (SELECT 1 FROM seal WHERE visit = NEW.visit)
BEGIN SELECT RAISE (ABORT, 'a closed visit takes no further entry'); END;

CREATE TRIGGER seal_no_update BEFORE UPDATE ON seal BEGIN SELECT RAISE (ABORT, 'a seal is never changed'); END;
CREATE TRIGGER seal_no_delete BEFORE DELETE ON seal BEGIN SELECT RAISE (ABORT, 'a seal is never taken away'); END;
CREATE TRIGGER seal_no_replace BEFORE INSERT ON seal
WHEN EXISTS (SELECT 1 FROM seal WHERE visit = NEW.visit)
BEGIN SELECT RAISE (ABORT, 'a seal is never replaced'); END;
CREATE TRIGGER seal_in_order BEFORE INSERT ON seal
WHEN NEW.number IS NOT (SELECT ifnull (max (number), 0) + 1 FROM seal WHERE device = NEW.device)
  OR NEW.previous IS NOT (SELECT seal FROM seal WHERE device = NEW.device AND number = NEW.number - 1)
BEGIN SELECT RAISE (ABORT, 'seals of a device are numbered and chained without a gap'); END;
CREATE TRIGGER seal_after_closing BEFORE INSERT ON seal
WHEN (SELECT kind FROM entry WHERE visit = NEW.visit ORDER BY seq DESC LIMIT 1) IS NOT 'closing'
BEGIN SELECT RAISE (ABORT, 'only a visit whose last entry closes it is sealed'); END;

CREATE TRIGGER attachment_no_update BEFORE UPDATE ON attachment BEGIN SELECT RAISE (ABORT, 'an attachment is never changed'); END;
CREATE TRIGGER attachment_no_delete BEFORE DELETE ON attachment BEGIN SELECT RAISE (ABORT, 'an attachment is never taken away'); END;
CREATE TRIGGER attachment_no_replace BEFORE INSERT ON attachment
WHEN EXISTS (SELECT 1 FROM attachment WHERE sha256 = NEW.sha256)
BEGIN SELECT RAISE (ABORT, 'an attachment is never replaced'); END;

-- Projections: what lists, the round and the accounts read.  All of it follows from the tables above and
-- can be made again at any time; the check makes it again and compares.

CREATE TABLE line_now ( -- Faucets of each site by its newest sheet, side faucets included.
  site INTEGER NOT NULL REFERENCES site (id), -- The site.
  outlet INTEGER NOT NULL, -- Place in the sheet, from 0.
  line TEXT NOT NULL, -- Id of the line or side faucet.
  number INTEGER NOT NULL, -- As painted on the faucet, 0 where there is none.
  tower TEXT NOT NULL, -- Id of its tower.
  product TEXT, -- Beer that it pours, null where not said.
  since INTEGER NOT NULL, -- Date on which the first sheet with this line came into the book.
  PRIMARY KEY (site, outlet)
) STRICT, WITHOUT ROWID;

CREATE TABLE visit_row ( -- One row of a list of visits.
  visit INTEGER PRIMARY KEY REFERENCES visit (id), -- The visit.
  site INTEGER NOT NULL REFERENCES site (id), -- Where.
  person TEXT NOT NULL, -- Who arrived, by name.
  arrived_ms INTEGER NOT NULL, -- When.
  date INTEGER NOT NULL, -- Civil date of the arrival in the site's zone.
  closed INTEGER NOT NULL CHECK (closed IN (0, 1)), -- 1 once it is sealed.
  closed_ms INTEGER, -- When it was closed, null while it is open.
  number TEXT, -- Report number with the device's prefix, null while it is open.
  entries INTEGER NOT NULL, -- How many entries it has.
  stops INTEGER NOT NULL, -- Findings that keep it from being closed.
  reasons INTEGER NOT NULL, -- Findings that ask for a written reason.
  advice INTEGER NOT NULL -- Findings of advice.
) STRICT;
CREATE INDEX visit_row_by_arrival ON visit_row (arrived_ms DESC);
CREATE INDEX visit_row_by_state ON visit_row (closed, arrived_ms DESC);
CREATE INDEX visit_row_by_site ON visit_row (site, arrived_ms DESC);

CREATE TABLE visit_line ( -- What became of each faucet of the site in a visit.
  visit INTEGER NOT NULL REFERENCES visit (id), -- The visit.
  outlet INTEGER NOT NULL, -- Place in the visit's sheet, from 0.
  line TEXT NOT NULL, -- Id of the line or side faucet.
  caustic INTEGER NOT NULL CHECK (caustic IN (0, 1)), -- 1 where a caustic clean of it was agreed.
  acid INTEGER NOT NULL CHECK (acid IN (0, 1)), -- 1 where an acid clean of it was agreed.
  method TEXT NOT NULL, -- One of none, circulating, static, by the last pass.
  circuit INTEGER NOT NULL, -- Number of its circuit, 0 where none.
  direction TEXT NOT NULL, -- One of in, out, as run.
  contact_s INTEGER, -- Contact of the last pass in whole seconds, null where none ended.
  required_s INTEGER, -- Contact that was asked for.
  rinse_ph_milli INTEGER, -- Last reading at the outlet, null where there is none.
  tap_ph_milli INTEGER, -- The tap reading that it is held against.
  rinsed INTEGER NOT NULL CHECK (rinsed IN (0, 1)), -- 1 where that rinse passed.
  left_out TEXT, -- Reason why it was left out, null where it was not.
  out_of_service TEXT, -- Reason why it was left out of service, null where it was not.
  PRIMARY KEY (visit, outlet)
) STRICT, WITHOUT ROWID;

CREATE TABLE visit_finding ( -- What the rules found, of an open visit as of its last entry.
  visit INTEGER NOT NULL REFERENCES visit (id), -- The visit.
  n INTEGER NOT NULL, -- Place in the list, from 0.
  code TEXT NOT NULL, -- Stable code of the rule.
  severity TEXT NOT NULL, -- One of stop, reason, advice.
  line TEXT, -- Id of the faucet, null where it is the whole visit's.
  circuit INTEGER NOT NULL, -- Number of the circuit, 0 where none.
  seq INTEGER NOT NULL, -- The entry that it hangs on, 0 where none.
  text TEXT NOT NULL, -- The sentence with its figures.
  reason TEXT, -- As given, null where none was.
  PRIMARY KEY (visit, n)
) STRICT, WITHOUT ROWID;
CREATE INDEX visit_finding_by_code ON visit_finding (code, visit);

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
  PRIMARY KEY (visit, n)
) STRICT, WITHOUT ROWID;
CREATE INDEX visit_use_by_product ON visit_use (product, date);

CREATE TABLE visit_task ( -- Recurring tasks that a visit did on a faucet.
  visit INTEGER NOT NULL REFERENCES visit (id), -- The visit.
  site INTEGER NOT NULL REFERENCES site (id), -- Where.
  line TEXT NOT NULL, -- Id of the line or side faucet.
  task TEXT NOT NULL, -- One of caustic, acid, faucets, fob-coupler.
  date INTEGER NOT NULL, -- Civil date on which it was done, in the site's zone.
  PRIMARY KEY (visit, line, task)
) STRICT, WITHOUT ROWID;
CREATE INDEX visit_task_by_line ON visit_task (site, line, task, date);
