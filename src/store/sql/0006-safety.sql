-- What labels say of products, and their safety data sheets.

ALTER TABLE product ADD COLUMN classes TEXT; -- Codes of CLP classes with blanks between, null where not said.
ALTER TABLE product ADD COLUMN hazards TEXT; -- Codes of hazard statements with blanks between, null where not said.
ALTER TABLE product ADD COLUMN precautions TEXT; -- Codes of precautionary statements with blanks between, null where not said.
ALTER TABLE product ADD COLUMN protection TEXT; -- Codes of what to wear with blanks between, null where not said.
ALTER TABLE product ADD COLUMN never_with TEXT; -- Codes of what it must never meet with blanks between, null where not said.

CREATE TABLE safety_sheet ( -- Safety data sheets of products: appended, never changed; the newest revision holds.
  id INTEGER PRIMARY KEY, -- Local key, in the order of writing.
  product INTEGER NOT NULL REFERENCES product (id), -- Whose sheet it is.
  revised INTEGER NOT NULL, -- Date of its revision, as printed on it.
  sha256 BLOB NOT NULL REFERENCES attachment (sha256), -- The file.
  recorded_ms INTEGER NOT NULL, -- When it came into the book.
  UNIQUE (product, revised, sha256)
) STRICT;

CREATE TRIGGER safety_sheet_no_update BEFORE UPDATE ON safety_sheet BEGIN SELECT RAISE (ABORT, 'a safety data sheet is never changed'); END;
CREATE TRIGGER safety_sheet_no_delete BEFORE DELETE ON safety_sheet BEGIN SELECT RAISE (ABORT, 'a safety data sheet is never taken away'); END;
CREATE TRIGGER safety_sheet_no_replace BEFORE INSERT ON safety_sheet
WHEN EXISTS (SELECT 1 FROM safety_sheet WHERE id = NEW.id OR (product = NEW.product AND revised = NEW.revised AND sha256 = NEW.sha256))
BEGIN SELECT RAISE (ABORT, 'a safety data sheet is never replaced'); END;
