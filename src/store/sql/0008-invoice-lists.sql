-- Lists of invoices are searched, filtered and sorted along indexes that hold all they ask for: a row of an invoice
-- holds its whole body and takes a page of the file each.

DROP INDEX invoice_by_bill_to;
DROP INDEX invoice_by_issued;
DROP INDEX invoice_by_total;
CREATE INDEX invoice_by_number ON invoice (number, account, due, code, bill_to);
CREATE INDEX invoice_by_issued ON invoice (issued, number, account, due, code, bill_to);
CREATE INDEX invoice_by_bill_to ON invoice (bill_to, number DESC, account, due, code);
CREATE INDEX invoice_by_total ON invoice (total_minor, number, account, due, code, bill_to);
