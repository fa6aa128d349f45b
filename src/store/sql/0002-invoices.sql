-- Price agreements, invoices, payments.
--
-- An invoice is frozen as its bytes: body is canonical JSON, sealed in a chain through all numbers; the
-- columns beside it repeat what lists and accounts ask for, and the check compares them.  Amounts are
-- whole minor units of the row's currency.

ALTER TABLE company ADD COLUMN tax_id TEXT; -- Tax number of the company as the seller, null where not given.
ALTER TABLE company ADD COLUMN payment TEXT; -- Where and how to pay, as printed on invoices, null where not given.

CREATE TABLE agreement ( -- Price agreements, each version as it was taken in.
  id INTEGER PRIMARY KEY, -- Local key.
  uuid BLOB NOT NULL UNIQUE CHECK (length (uuid) = 16), -- Shared identifier.
  account INTEGER NOT NULL REFERENCES account (id), -- Whose prices.
  since INTEGER NOT NULL, -- First day on which it holds.
  version INTEGER NOT NULL CHECK (version >= 1), -- Counts the versions that begin on that day; the newest holds.
  until INTEGER, -- Last day on which it holds, null until another begins.
  sha256 BLOB NOT NULL CHECK (length (sha256) = 32), -- Hash of the text's bytes.
  text TEXT NOT NULL, -- The agreement in its format, canonical.
  taken_ms INTEGER NOT NULL, -- When it came into the book.
  UNIQUE (account, since, version)
) STRICT;

CREATE TABLE invoice_series ( -- The one place from which invoices are numbered, in one row.
  id INTEGER PRIMARY KEY CHECK (id = 1), -- Always 1.
  prefix TEXT NOT NULL, -- Stands before the number.
  device INTEGER NOT NULL REFERENCES device (id) -- The copy of the book that numbers; a restored copy must take it over first.
) STRICT;

CREATE TABLE invoice ( -- Issued invoices and credit notes.
  number INTEGER PRIMARY KEY CHECK (number >= 1), -- Counts from 1 without a gap.
  code TEXT NOT NULL UNIQUE, -- The number as printed, with its prefix.
  kind TEXT NOT NULL CHECK (kind IN ('invoice', 'credit-note')), -- What it is.
  account INTEGER NOT NULL REFERENCES account (id), -- For whose sites the work was done.
  payer TEXT NOT NULL, -- Id of the payer in the account's agreements.
  bill_to TEXT NOT NULL, -- Name of the payer.
  currency TEXT NOT NULL, -- By ISO 4217.
  issued INTEGER NOT NULL, -- Date of issue.
  due INTEGER NOT NULL, -- Date by which it is to be paid.
  net_minor INTEGER NOT NULL, -- Sum of the lines.
  tax_minor INTEGER NOT NULL, -- Sum of the taxes.
  total_minor INTEGER NOT NULL, -- What is to be paid, or of a credit note what is not.
  credits INTEGER REFERENCES invoice (number), -- The invoice that a credit note takes back, in part or whole.
  issued_ms INTEGER NOT NULL, -- The machine's clock at the issue.
  body TEXT NOT NULL, -- Canonical JSON, the very bytes that the seal is made over.
  previous BLOB CHECK (length (previous) = 32), -- Seal of the number before, null for the first.
  seal BLOB NOT NULL CHECK (length (seal) = 32), -- SHA-256 of the previous seal and the body.
  CHECK ((kind = 'credit-note') = (credits IS NOT NULL))
) STRICT;
CREATE INDEX invoice_by_account ON invoice (account, number DESC);
CREATE INDEX invoice_by_bill_to ON invoice (bill_to, number DESC);
CREATE INDEX invoice_by_issued ON invoice (issued, number);
CREATE INDEX invoice_by_total ON invoice (total_minor, number);
CREATE INDEX invoice_by_credits ON invoice (credits) WHERE credits IS NOT NULL;

CREATE TABLE invoice_visit ( -- Which visit was invoiced to which payer: at most once, or once again after a release.
  visit INTEGER NOT NULL REFERENCES visit (id), -- The closed visit.
  payer TEXT NOT NULL, -- Id of the payer.
  round INTEGER NOT NULL CHECK (round >= 0), -- How often it was released for invoicing before.
  invoice INTEGER NOT NULL REFERENCES invoice (number), -- The invoice that it stands on.
  PRIMARY KEY (visit, payer, round)
) STRICT, WITHOUT ROWID;
CREATE INDEX invoice_visit_by_invoice ON invoice_visit (invoice);

CREATE TABLE invoice_month ( -- Which month of a flat contract was invoiced to which payer.
  account INTEGER NOT NULL REFERENCES account (id), -- The account.
  payer TEXT NOT NULL, -- Id of the payer.
  month INTEGER NOT NULL, -- First day of the month.
  round INTEGER NOT NULL CHECK (round >= 0), -- How often it was released for invoicing before.
  invoice INTEGER NOT NULL REFERENCES invoice (number), -- The invoice that it stands on.
  PRIMARY KEY (account, payer, month, round)
) STRICT, WITHOUT ROWID;
CREATE INDEX invoice_month_by_invoice ON invoice_month (invoice);

CREATE TABLE invoice_release ( -- Visits and months that a credit note gave back to be invoiced again.
  credit INTEGER NOT NULL REFERENCES invoice (number), -- The credit note.
  n INTEGER NOT NULL CHECK (n >= 0), -- Place in its list.
  visit INTEGER REFERENCES visit (id), -- The visit, null for a month.
  account INTEGER REFERENCES account (id), -- The account of a month, null for a visit.
  month INTEGER, -- First day of the month, null for a visit.
  payer TEXT NOT NULL, -- Id of the payer.
  PRIMARY KEY (credit, n)
) STRICT, WITHOUT ROWID;
CREATE INDEX invoice_release_by_visit ON invoice_release (visit, payer) WHERE visit IS NOT NULL;
CREATE INDEX invoice_release_by_month ON invoice_release (account, payer, month) WHERE month IS NOT NULL;

CREATE TABLE credit_line ( -- Lines of invoices that were taken back, each at most once.
  invoice INTEGER NOT NULL REFERENCES invoice (number), -- The invoice.
  line INTEGER NOT NULL CHECK (line >= 0), -- Place of the line in it, from 0.
  credit INTEGER NOT NULL REFERENCES invoice (number), -- The credit note.
  PRIMARY KEY (invoice, line)
) STRICT, WITHOUT ROWID;

CREATE TABLE payment ( -- What was paid; a payment that bounced is one of a negative amount.
  id INTEGER PRIMARY KEY, -- Local key.
  invoice INTEGER NOT NULL REFERENCES invoice (number), -- What for.
  day INTEGER NOT NULL, -- Date of the payment.
  amount_minor INTEGER NOT NULL CHECK (amount_minor <> 0), -- How much, in the invoice's currency.
  text TEXT, -- Reference of the payment, null where none.
  recorded_ms INTEGER NOT NULL -- When it was written down.
) STRICT;
CREATE INDEX payment_by_invoice ON payment (invoice, day);

CREATE TABLE hold ( -- Visits that are not to be invoiced for now.
  id INTEGER PRIMARY KEY, -- Local key.
  visit INTEGER NOT NULL REFERENCES visit (id), -- The visit.
  reason TEXT NOT NULL, -- Why.
  since_ms INTEGER NOT NULL, -- From when on.
  released_ms INTEGER -- When it was let go again, null while it is held.
) STRICT;
CREATE UNIQUE INDEX hold_by_visit ON hold (visit) WHERE released_ms IS NULL;

-- Frozen, as in the first version.

CREATE TRIGGER agreement_no_update BEFORE UPDATE ON agreement BEGIN SELECT RAISE (ABORT, 'an agreement is never changed'); END;
CREATE TRIGGER agreement_no_delete BEFORE DELETE ON agreement BEGIN SELECT RAISE (ABORT, 'an agreement is never taken away'); END;
CREATE TRIGGER agreement_no_replace BEFORE INSERT ON agreement
WHEN EXISTS (SELECT 1 FROM agreement WHERE id = NEW.id OR uuid = NEW.uuid)
  OR EXISTS (SELECT 1 FROM agreement WHERE account = NEW.account AND since = NEW.since AND version = NEW.version)
BEGIN SELECT RAISE (ABORT, 'an agreement is never replaced'); END;

CREATE TRIGGER invoice_no_update BEFORE UPDATE ON invoice BEGIN SELECT RAISE (ABORT, 'an invoice is never changed'); END;
CREATE TRIGGER invoice_no_delete BEFORE DELETE ON invoice BEGIN SELECT RAISE (ABORT, 'an invoice is never taken away'); END;
CREATE TRIGGER invoice_in_order BEFORE INSERT ON invoice
WHEN NEW.number IS NOT (SELECT ifnull (max (number), 0) + 1 FROM invoice)
  OR NEW.previous IS NOT (SELECT seal FROM invoice WHERE number = NEW.number - 1)
  OR EXISTS (SELECT 1 FROM invoice WHERE code = NEW.code)
BEGIN SELECT RAISE (ABORT, 'invoices are numbered and chained without a gap'); END;

CREATE TRIGGER invoice_visit_no_update BEFORE UPDATE ON invoice_visit BEGIN SELECT RAISE (ABORT, 'what was invoiced is never changed'); END;
CREATE TRIGGER invoice_visit_no_delete BEFORE DELETE ON invoice_visit BEGIN SELECT RAISE (ABORT, 'what was invoiced is never taken away'); END;
CREATE TRIGGER invoice_visit_once BEFORE INSERT ON invoice_visit
WHEN NEW.round IS NOT (SELECT count (*) FROM invoice_release WHERE visit = NEW.visit AND visit IS NOT NULL AND payer = NEW.payer)
  OR EXISTS (SELECT 1 FROM invoice_visit WHERE visit = NEW.visit AND payer = NEW.payer AND round = NEW.round)
BEGIN SELECT RAISE (ABORT, 'a visit is invoiced once to each payer'); END;
CREATE TRIGGER invoice_visit_closed BEFORE INSERT ON invoice_visit
WHEN NOT EXISTS (SELECT 1 FROM seal WHERE visit = NEW.visit)
BEGIN SELECT RAISE (ABORT, 'only a closed visit is invoiced'); END;

CREATE TRIGGER invoice_month_no_update BEFORE UPDATE ON invoice_month BEGIN SELECT RAISE (ABORT, 'what was invoiced is never changed'); END;
CREATE TRIGGER invoice_month_no_delete BEFORE DELETE ON invoice_month BEGIN SELECT RAISE (ABORT, 'what was invoiced is never taken away'); END;
CREATE TRIGGER invoice_month_once BEFORE INSERT ON invoice_month
WHEN NEW.round IS NOT (SELECT count (*) FROM invoice_release
                       WHERE account = NEW.account AND payer = NEW.payer AND month = NEW.month AND month IS NOT NULL)
  OR EXISTS (SELECT 1 FROM invoice_month
             WHERE account = NEW.account AND payer = NEW.payer AND month = NEW.month AND round = NEW.round)
BEGIN SELECT RAISE (ABORT, 'a month of a contract is invoiced once'); END;

CREATE TRIGGER invoice_release_no_update BEFORE UPDATE ON invoice_release BEGIN SELECT RAISE (ABORT, 'a release is never changed'); END;
CREATE TRIGGER invoice_release_no_delete BEFORE DELETE ON invoice_release BEGIN SELECT RAISE (ABORT, 'a release is never taken away'); END;
CREATE TRIGGER invoice_release_no_replace BEFORE INSERT ON invoice_release
WHEN EXISTS (SELECT 1 FROM invoice_release WHERE credit = NEW.credit AND n = NEW.n)
BEGIN SELECT RAISE (ABORT, 'a release is never replaced'); END;

CREATE TRIGGER credit_line_no_update BEFORE UPDATE ON credit_line BEGIN SELECT RAISE (ABORT, 'a credit is never changed'); END;
CREATE TRIGGER credit_line_no_delete BEFORE DELETE ON credit_line BEGIN SELECT RAISE (ABORT, 'a credit is never taken away'); END;
CREATE TRIGGER credit_line_once BEFORE INSERT ON credit_line
WHEN EXISTS (SELECT 1 FROM credit_line WHERE invoice = NEW.invoice AND line = NEW.line)
BEGIN SELECT RAISE (ABORT, 'a line is credited once'); END;

CREATE TRIGGER payment_no_update BEFORE UPDATE ON payment BEGIN SELECT RAISE (ABORT, 'a payment is never changed'); END;
CREATE TRIGGER payment_no_delete BEFORE DELETE ON payment BEGIN SELECT RAISE (ABORT, 'a payment is never taken away'); END;
CREATE TRIGGER payment_no_replace BEFORE INSERT ON payment
WHEN EXISTS (SELECT 1 FROM payment WHERE id = NEW.id)
BEGIN SELECT RAISE (ABORT, 'a payment is never replaced'); END;

-- Projections.

CREATE TABLE invoice_balance ( -- What is still open of each invoice.
  invoice INTEGER PRIMARY KEY REFERENCES invoice (number), -- The invoice or credit note.
  paid_minor INTEGER NOT NULL, -- Sum of its payments.
  credited_minor INTEGER NOT NULL, -- Sum of its credit notes.
  open_minor INTEGER NOT NULL, -- Total less both; 0 for a credit note; below 0 what the payer has too much.
  due INTEGER NOT NULL -- Its due date.
) STRICT;
CREATE INDEX invoice_balance_open ON invoice_balance (due) WHERE open_minor <> 0;

CREATE TABLE visit_billed ( -- Closed visits that every payer has been invoiced for.
  visit INTEGER PRIMARY KEY REFERENCES visit (id) -- The visit.
) STRICT;
