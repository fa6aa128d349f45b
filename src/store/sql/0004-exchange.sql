-- What electronic invoices tell of the company, and by which codes an accounting program knows the ledger.

ALTER TABLE company ADD COLUMN city TEXT; -- Town of the address, null where not given, as all that follow.
ALTER TABLE company ADD COLUMN postcode TEXT; -- Postal code of the address.
ALTER TABLE company ADD COLUMN region TEXT; -- State or county of the address.
ALTER TABLE company ADD COLUMN country TEXT; -- Country by ISO 3166-1, two letters.
ALTER TABLE company ADD COLUMN email TEXT; -- Where questions about invoices go.
ALTER TABLE company ADD COLUMN contact TEXT; -- Who answers questions about invoices.
ALTER TABLE company ADD COLUMN registration TEXT; -- Number in the register of companies.
ALTER TABLE company ADD COLUMN endpoint TEXT; -- Electronic address with its scheme in front, such as EM:bills@example.org.
ALTER TABLE company ADD COLUMN iban TEXT; -- Account to be paid to, by ISO 13616.
ALTER TABLE company ADD COLUMN bic TEXT; -- Bank of that account, by ISO 9362.

CREATE TABLE ledger_account ( -- Codes of the accounting program for what the ledger posts to.
  id INTEGER PRIMARY KEY, -- Local key.
  uuid BLOB NOT NULL UNIQUE CHECK (length (uuid) = 16), -- Shared identifier.
  slug TEXT NOT NULL UNIQUE, -- What is posted, such as receivable, revenue-part or tax-13.5.
  code TEXT NOT NULL, -- The account's code or name there.
  rev INTEGER NOT NULL, -- Raised by one at each change.
  deleted INTEGER NOT NULL CHECK (deleted IN (0, 1)) -- 1 where it was taken back.
) STRICT;
