/* Agreements, drafts, issue, credit, payment in a book: what is refused, what is frozen, what is seen. */
#include "book-bench.h"

#include "store-agreement.h"
#include "store-invoice.h"
#include "store-ledger.h"
#include "store-migrate.h"
#include "store-private.h"

#include "core-error.h"

#include <string.h>

/* 2026-03-02, the bench's day, by GNU date: 1772409600 / 86400. */
#define DAY 20514

/* Each cleaned line 12.50 and the visit 20.00; acid and B6 are the brewery's. The good visit cleans A4, A2 and
 * B6 with caustic: the owner pays 20.00 + 2 x 12.50 = 45.00 + 10.35 = 55.35, the brewery 12.50 + 2.88 = 15.38. */
#define AGREEMENT(account, line) \
  "{\"format\":\"tundish-agreement/1\",\"account\":\"" account "\",\"from\":\"2026-01-01\",\"currency\":\"EUR\"," \
  "\"payers\":[{\"id\":\"owner\",\"name\":\"Owner\",\"address\":\"1 Quay\"}," \
  "{\"id\":\"brewery\",\"name\":\"Brewery\",\"address\":\"2 Mill\"}]," \
  "\"payer_rules\":[{\"payer\":\"brewery\",\"lines\":[\"B6\"]}]," \
  "\"prices\":{\"visit_minor\":2000},\"lines\":[{\"unit_minor\":" line "}]," \
  "\"taxes\":[{\"category\":\"S\",\"percent_milli\":23000}]}"

static void
take_text (BookBench *bench, const char *text, GError **error)
{
  g_autoptr (TdJson) json = td_json_parse (text, -1, NULL);

  g_assert_nonnull (json);
  td_book_import_agreement (bench->book, json, NULL, error);
}

static void
take (BookBench *bench, const char *line)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *text = g_strdup_printf (AGREEMENT ("%s", "%s"), bench->bench->context.site->account_name, line);

  take_text (bench, text, &error);
  g_assert_no_error (error);
}

static TdInvoiceDrafts *
draft (BookBench *bench)
{
  g_autoptr (GError) error = NULL;
  TdInvoiceDrafts *drafts = td_book_draft_invoices (bench->book, NULL, &error);

  g_assert_no_error (error);
  return drafts;
}

static GPtrArray *
issue (BookBench *bench, TdDate day)
{
  g_autoptr (GError) error = NULL;
  GPtrArray *numbers = td_book_issue_invoices (bench->book, NULL, day, &error);

  g_assert_no_error (error);
  return numbers;
}

static const TdInvoice *
drafted (const TdInvoiceDrafts *drafts, guint i)
{
  return ((TdInvoiceDraft *) g_ptr_array_index (drafts->drafts, i))->invoice;
}

static BookBench *
new_visited (void)
{
  BookBench *bench = book_bench_new ();
  TdUuid visit = book_bench_visit (1);

  take (bench, "1250");
  book_bench_add_closed (bench, &visit);
  return bench;
}

static void
test_issue (void)
{
  g_autoptr (BookBench) bench = new_visited ();
  TdUuid open = book_bench_visit (2);
  g_autoptr (GError) error = NULL;

  book_bench_add_visit (bench, &open, 3);
  g_autoptr (TdInvoiceDrafts) drafts = draft (bench);
  g_assert_cmpuint (drafts->drafts->len, ==, 2);
  g_assert_cmpint (drafted (drafts, 0)->total_minor, ==, 1538);
  g_assert_cmpint (drafted (drafts, 1)->total_minor, ==, 5535);
  g_autoptr (GPtrArray) numbers = issue (bench, DAY + 10);
  g_assert_cmpuint (numbers->len, ==, 2);
  g_assert_cmpstr (g_ptr_array_index (numbers, 0), ==, "INV-00001");
  /* Nothing is left, and nothing is issued twice. */
  g_autoptr (GPtrArray) none = issue (bench, DAY + 10);
  g_assert_cmpuint (none->len, ==, 0);
  g_autoptr (TdInvoiceRecord) record = td_book_load_invoice (bench->book, "INV-00002", &error);
  g_assert_no_error (error);
  g_assert_cmpint (record->invoice->total_minor, ==, 5535);
  g_assert_cmpint (record->invoice->due, ==, DAY + 10 + 14);
  g_assert_cmpstr (record->invoice->seller.name, ==, bench->bench->context.masters->company);
  g_assert_null (td_book_load_invoice (bench->book, "INV-00003", &error));
  g_assert_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_MISSING);
  book_bench_check (bench);
  g_clear_error (&error);
  /* No number may be older than the one before it. */
  g_assert_null (td_book_credit_invoice (bench->book, "INV-00001", NULL, 0, FALSE, "early", DAY + 9, &error));
  g_assert_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_REFUSED);
}

/* One draft chosen by its key: the visit stays until its other payer has been invoiced too. */
static void
test_chosen (void)
{
  g_autoptr (BookBench) bench = new_visited ();
  g_autoptr (TdInvoiceDrafts) drafts = draft (bench);
  g_autofree char *key = g_strdup (((TdInvoiceDraft *) g_ptr_array_index (drafts->drafts, 0))->key);
  const char *const keys[] = { key, NULL };
  const TdDraftFilter filter = { .keys = keys };
  g_autoptr (GError) error = NULL;

  g_autoptr (GPtrArray) first = td_book_issue_invoices (bench->book, &filter, DAY, &error);
  g_assert_no_error (error);
  g_assert_cmpuint (first->len, ==, 1);
  g_autoptr (GPtrArray) again = td_book_issue_invoices (bench->book, &filter, DAY, &error);
  g_assert_cmpuint (again->len, ==, 0);
  g_autoptr (GPtrArray) rest = issue (bench, DAY);
  g_assert_cmpuint (rest->len, ==, 1);
  book_bench_check (bench);
}

static const char *const frozen[] = {
  "UPDATE invoice SET total_minor = 1",
  "DELETE FROM invoice WHERE number = 2",
  "INSERT OR REPLACE INTO invoice SELECT * FROM invoice WHERE number = 2",
  "INSERT INTO invoice SELECT 9, 'X', kind, account, payer, bill_to, currency, issued, due, net_minor, tax_minor,"
  " total_minor, credits, issued_ms, body, previous, seal FROM invoice WHERE number = 2",
  "UPDATE invoice_visit SET payer = 'x'",
  "DELETE FROM invoice_visit",
  "INSERT OR REPLACE INTO invoice_visit SELECT visit, payer, round, 1 FROM invoice_visit LIMIT 1",
  "INSERT INTO invoice_visit SELECT visit, payer, 1, 1 FROM invoice_visit LIMIT 1",
  "INSERT INTO invoice_visit SELECT id, 'owner', 0, 1 FROM visit WHERE id NOT IN (SELECT visit FROM seal)",
  "UPDATE agreement SET until = 1",
  "DELETE FROM agreement",
  "INSERT OR REPLACE INTO agreement SELECT * FROM agreement LIMIT 1",
  "UPDATE payment SET amount_minor = 1",
  "DELETE FROM payment",
  "INSERT OR REPLACE INTO payment SELECT * FROM payment LIMIT 1",
};

static void
test_frozen (void)
{
  g_autoptr (BookBench) bench = new_visited ();
  TdUuid open = book_bench_visit (2);
  g_autoptr (GError) error = NULL;

  book_bench_add_visit (bench, &open, 3);
  g_autoptr (GPtrArray) numbers = issue (bench, DAY);
  td_book_pay_invoice (bench->book, "INV-00001", 500, DAY + 3, "cash", &error);
  g_assert_no_error (error);
  for (gsize i = 0; i < G_N_ELEMENTS (frozen); i++)
    {
      g_autofree char *message = book_bench_try_sql (bench->path, frozen[i]);
      if (message == NULL)
        g_error ("%s: was taken", frozen[i]);
    }
  book_bench_check (bench);
}

static const struct
{
  const char *sql;
  const char *part; /* of what the check says */
} spoils[] = {
  { "UPDATE invoice SET total_minor = total_minor + 1 WHERE number = 1", "total" },
  { "UPDATE invoice SET body = replace (body, '1250', '1251') WHERE number = 1", "sealed" },
  { "UPDATE invoice SET bill_to = 'X' WHERE number = 1", "bill-to" },
  { "UPDATE invoice SET previous = zeroblob (32) WHERE number = 2", "chained" },
  { "PRAGMA foreign_keys = OFF; DELETE FROM invoice_visit WHERE invoice = 1;"
    "DELETE FROM invoice_balance WHERE invoice = 1; DELETE FROM invoice WHERE number = 1", "missing" },
  { "UPDATE invoice_balance SET open_minor = 0 WHERE invoice = 1", "balance" },
  { "DELETE FROM invoice_visit WHERE invoice = 1", "not kept as invoiced" },
  { "UPDATE agreement SET text = replace (text, '1250', '1251')", "taken in" },
};

/* Runs SQL as if nothing were frozen, and freezes it again as it was: only what the rows say can tell. */
static void
thaw (const char *path, const char *sql)
{
  sqlite3 *db = NULL;
  sqlite3_stmt *row = NULL;
  g_autoptr (GString) down = g_string_new (NULL), up = g_string_new (NULL);

  g_assert_cmpint (sqlite3_open (path, &db), ==, SQLITE_OK);
  g_assert_cmpint (sqlite3_prepare_v2 (db, "SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'", -1, &row, NULL),
                   ==, SQLITE_OK);
  while (sqlite3_step (row) == SQLITE_ROW)
    {
      g_string_append_printf (down, "DROP TRIGGER %s;", (const char *) sqlite3_column_text (row, 0));
      g_string_append_printf (up, "%s;", (const char *) sqlite3_column_text (row, 1));
    }
  sqlite3_finalize (row);
  g_assert_cmpint (sqlite3_exec (db, down->str, NULL, NULL, NULL), ==, SQLITE_OK);
  g_assert_cmpint (sqlite3_exec (db, sql, NULL, NULL, NULL), ==, SQLITE_OK);
  g_assert_cmpint (sqlite3_exec (db, up->str, NULL, NULL, NULL), ==, SQLITE_OK);
  g_assert_cmpint (sqlite3_close (db), ==, SQLITE_OK);
}

static void
test_check (void)
{
  for (gsize i = 0; i < G_N_ELEMENTS (spoils); i++)
    {
      g_autoptr (BookBench) bench = new_visited ();
      g_autoptr (GPtrArray) numbers = issue (bench, DAY);

      book_bench_check (bench);
      thaw (bench->path, spoils[i].sql);
      book_bench_check_fails (bench, spoils[i].part);
    }
}

/* Whole sums: 55.35 paid in two parts, one bounced. */
static void
test_pay (void)
{
  g_autoptr (BookBench) bench = new_visited ();
  g_autoptr (GPtrArray) numbers = issue (bench, DAY);
  g_autoptr (GError) error = NULL;

  g_assert_true (td_book_pay_invoice (bench->book, "INV-00002", 3000, DAY + 1, NULL, &error));
  g_assert_false (td_book_pay_invoice (bench->book, "INV-00002", 2536, DAY + 2, NULL, &error));
  g_assert_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_REFUSED);
  g_clear_error (&error);
  g_assert_false (td_book_pay_invoice (bench->book, "INV-00002", -3001, DAY + 2, NULL, &error));
  g_clear_error (&error);
  g_assert_true (td_book_pay_invoice (bench->book, "INV-00002", 2535, DAY + 2, "rest", &error));
  g_assert_true (td_book_pay_invoice (bench->book, "INV-00002", -2535, DAY + 3, "bounced", &error));
  g_autoptr (TdInvoiceRecord) record = td_book_load_invoice (bench->book, "INV-00002", &error);
  g_assert_cmpint (record->row->open_minor, ==, 2535);
  g_assert_cmpuint (record->payments->len, ==, 3);
  const TdInvoicesFilter overdue = { .overdue_only = TRUE, .today = DAY + 15 };
  const TdInvoicesFilter early = { .overdue_only = TRUE, .today = DAY + 14 };
  const TdInvoicesFilter search = { .search = "brew" };
  const TdInvoicesFilter no_wild = { .search = "b%w" };
  g_autoptr (GPtrArray) late = td_book_list_invoices (bench->book, &overdue, &error);
  g_autoptr (GPtrArray) none = td_book_list_invoices (bench->book, &early, &error);
  g_autoptr (GPtrArray) found = td_book_list_invoices (bench->book, &search, &error);
  g_autoptr (GPtrArray) wild = td_book_list_invoices (bench->book, &no_wild, &error);
  g_assert_cmpuint (late->len, ==, 2);
  g_assert_cmpuint (none->len, ==, 0);
  g_assert_cmpuint (found->len, ==, 1);
  g_assert_cmpuint (wild->len, ==, 0);
  /* 15.38 + 55.35 - 30.00 = 40.73 before day 2, then - 25.35 + 25.35 */
  g_autoptr (TdAccountStatement) statement
      = td_book_make_statement (bench->book, record->row->account_id, DAY + 2, DAY + 9, &error);
  g_assert_no_error (error);
  g_assert_cmpuint (statement->lines->len, ==, 2);
  const TdStatementBalance *balance = &g_array_index (statement->balances, TdStatementBalance, 0);
  g_assert_cmpint (balance->opening_minor, ==, 4073);
  g_assert_cmpint (balance->closing_minor, ==, 4073);
  book_bench_check (bench);
}

/* Credited for good it stays credited; credited again it is drafted again, at the price of then. */
static void
test_credit (void)
{
  g_autoptr (BookBench) bench = new_visited ();
  g_autoptr (GPtrArray) numbers = issue (bench, DAY);
  const guint first[] = { 0 };
  g_autoptr (GError) error = NULL;

  g_autofree char *part = td_book_credit_invoice (bench->book, "INV-00002", first, 1, FALSE, "goodwill", DAY, &error);
  g_assert_no_error (error);
  g_assert_cmpstr (part, ==, "INV-00003");
  g_assert_null (td_book_credit_invoice (bench->book, "INV-00002", first, 1, FALSE, "twice", DAY, &error));
  g_assert_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_REFUSED);
  g_clear_error (&error);
  g_assert_null (td_book_credit_invoice (bench->book, "INV-00003", NULL, 0, FALSE, "of a credit", DAY, &error));
  g_clear_error (&error);
  g_autoptr (TdInvoiceRecord) record = td_book_load_invoice (bench->book, "INV-00002", &error);
  /* 20.00 + 4.60 = 24.60 of 55.35 */
  g_assert_cmpint (record->row->open_minor, ==, 5535 - 2460);
  g_autoptr (TdInvoiceDrafts) still = draft (bench);
  g_assert_cmpuint (still->drafts->len, ==, 0);
  take (bench, "1300");
  g_autofree char *rest = td_book_credit_invoice (bench->book, "INV-00002", NULL, 0, TRUE, "wrong price", DAY, &error);
  g_assert_no_error (error);
  g_autoptr (TdInvoiceDrafts) again = draft (bench);
  g_assert_cmpuint (again->drafts->len, ==, 1);
  g_assert_cmpstr (drafted (again, 0)->payer.id, ==, "owner");
  /* 20.00 + 26.00 = 46.00 + 10.58 = 56.58 */
  g_assert_cmpint (drafted (again, 0)->total_minor, ==, 5658);
  g_autoptr (GPtrArray) new_numbers = issue (bench, DAY);
  g_assert_cmpstr (g_ptr_array_index (new_numbers, 0), ==, "INV-00005");
  g_autoptr (TdInvoiceDrafts) nothing = draft (bench);
  g_assert_cmpuint (nothing->drafts->len, ==, 0);
  book_bench_check (bench);
}

static void
add_amendment (BookBench *bench, const TdUuid *amendment, const TdUuid *amended)
{
  g_autofree char *id = td_uuid_to_text (amended);

  for (guint i = 0; bench_good_visit[i] != NULL; i++)
    {
      g_autofree char *line = g_strdup (bench_good_visit[i]);
      if (i == 0)
        {
          g_auto (GStrv) words = g_strsplit (line, "work=routine", 2);
          g_assert_nonnull (words[1]);
          g_free (line);
          line = g_strconcat (words[0], "work=amendment amends=", id, words[1], NULL);
        }
      book_bench_add (bench, amendment, line);
    }
}

/* The amended visit's invoices are credited and the newest is invoiced in its place; nothing before it is closed. */
static void
test_amended (void)
{
  g_autoptr (BookBench) bench = new_visited ();
  TdUuid visit = book_bench_visit (1), amendment = book_bench_visit (2);
  g_autoptr (GPtrArray) numbers = issue (bench, DAY);

  add_amendment (bench, &amendment, &visit);
  g_autoptr (TdInvoiceDrafts) open = draft (bench);
  g_assert_cmpuint (open->drafts->len, ==, 0);
  book_bench_add (bench, &amendment, "07:28 closing");
  g_autoptr (TdInvoiceDrafts) drafts = draft (bench);
  g_assert_cmpuint (drafts->drafts->len, ==, 4);
  g_assert_cmpint (drafted (drafts, 0)->kind, ==, TD_INVOICE_CREDIT);
  g_assert_cmpint (drafted (drafts, 1)->kind, ==, TD_INVOICE_CREDIT);
  g_assert_cmpint (drafted (drafts, 2)->kind, ==, TD_INVOICE_INVOICE);
  g_assert_cmpint (drafted (drafts, 3)->total_minor, ==, 5535);
  g_autoptr (GPtrArray) new_numbers = issue (bench, DAY);
  g_assert_cmpuint (new_numbers->len, ==, 4);
  g_assert_cmpint (book_bench_ask_sql (bench->path, "SELECT sum (open_minor) FROM invoice_balance"), ==, 1538 + 5535);
  g_autoptr (TdInvoiceDrafts) nothing = draft (bench);
  g_assert_cmpuint (nothing->drafts->len, ==, 0);
  book_bench_check (bench);
}

/* Amended before it was invoiced: the old one is never drafted, and waits while the new one is open. */
static void
test_amended_before (void)
{
  g_autoptr (BookBench) bench = new_visited ();
  TdUuid visit = book_bench_visit (1), amendment = book_bench_visit (2);

  add_amendment (bench, &amendment, &visit);
  g_autoptr (TdInvoiceDrafts) open = draft (bench);
  g_assert_cmpuint (open->drafts->len, ==, 0);
  g_assert_cmpint (((TdWaiting *) g_ptr_array_index (open->waiting, 0))->why, ==, TD_WAITING_AMENDMENT);
  book_bench_add (bench, &amendment, "07:28 closing");
  g_autoptr (TdInvoiceDrafts) drafts = draft (bench);
  g_assert_cmpuint (drafts->drafts->len, ==, 2);
  g_assert_cmpint (drafted (drafts, 0)->kind, ==, TD_INVOICE_INVOICE);
  g_autofree char *id = td_uuid_to_text (&amendment);
  g_assert_cmpstr (g_array_index (drafted (drafts, 0)->lines, TdInvoiceLine, 0).visit, ==, id);
}

static void
test_hold (void)
{
  g_autoptr (BookBench) bench = new_visited ();
  TdUuid visit = book_bench_visit (1), nobody = book_bench_visit (9);
  g_autoptr (GError) error = NULL;

  g_assert_true (td_book_hold_visit (bench->book, &visit, "order number missing", &error));
  g_assert_false (td_book_hold_visit (bench->book, &visit, "twice", &error));
  g_assert_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_REFUSED);
  g_clear_error (&error);
  g_assert_false (td_book_hold_visit (bench->book, &nobody, "who", &error));
  g_assert_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_MISSING);
  g_clear_error (&error);
  g_autoptr (TdInvoiceDrafts) held = draft (bench);
  g_assert_cmpuint (held->drafts->len, ==, 0);
  const TdWaiting *waiting = g_ptr_array_index (held->waiting, 0);
  g_assert_cmpint (waiting->why, ==, TD_WAITING_HOLD);
  g_assert_cmpstr (waiting->text, ==, "order number missing");
  g_assert_cmpint (waiting->since_ms, >, 0);
  g_assert_true (td_book_release_visit (bench->book, &visit, &error));
  g_assert_false (td_book_release_visit (bench->book, &visit, &error));
  g_autoptr (TdInvoiceDrafts) drafts = draft (bench);
  g_assert_cmpuint (drafts->drafts->len, ==, 2);
}

static void
test_waiting (void)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  TdUuid visit = book_bench_visit (1);
  g_autoptr (GError) error = NULL;

  book_bench_add_closed (bench, &visit);
  g_autoptr (TdInvoiceDrafts) drafts = draft (bench);
  g_assert_cmpint (((TdWaiting *) g_ptr_array_index (drafts->waiting, 0))->why, ==, TD_WAITING_AGREEMENT);
  /* An agreement may come before its account's sites. */
  take_text (bench, AGREEMENT ("Nobody yet", "1"), &error);
  g_assert_no_error (error);
  g_autoptr (GPtrArray) rows = td_book_list_agreements (bench->book, "nobody-yet", &error);
  g_assert_no_error (error);
  g_assert_cmpuint (rows->len, ==, 1);
  g_assert_null (td_book_list_agreements (bench->book, "nobody", &error));
  g_assert_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_MISSING);
}

/* B6 is the brewery's, under an account of its own; so is a flat 100.00 in February of two other accounts. */
#define COLLECTIVE \
  "{\"id\":\"brewery\",\"name\":\"Brewery\",\"address\":\"2 Mill\",\"account\":\"Mill Brewery\"}"
#define SHARED(account) \
  "{\"format\":\"tundish-agreement/1\",\"account\":\"" account "\",\"from\":\"2026-01-01\",\"currency\":\"EUR\"," \
  "\"payers\":[{\"id\":\"owner\",\"name\":\"Owner\",\"address\":\"1 Quay\"}," COLLECTIVE "]," \
  "\"payer_rules\":[{\"payer\":\"brewery\",\"lines\":[\"B6\"]}],\"prices\":{\"visit_minor\":2000}," \
  "\"lines\":[{\"unit_minor\":1250}],\"taxes\":[{\"category\":\"S\",\"percent_milli\":23000}]}"
#define FLAT(account) \
  "{\"format\":\"tundish-agreement/1\",\"account\":\"" account "\",\"from\":\"2026-02-01\",\"to\":\"2026-02-28\"," \
  "\"currency\":\"EUR\",\"payers\":[" COLLECTIVE "],\"contract\":{\"monthly_minor\":10000,\"visits\":1," \
  "\"missed_minor\":0,\"covers\":[\"visit\"]},\"taxes\":[{\"category\":\"S\",\"percent_milli\":23000}]}"

static TdInvoiceDrafts *
draft_account (BookBench *bench, const char *id)
{
  const TdDraftFilter filter = { .account_id = id };
  g_autoptr (GError) error = NULL;
  TdInvoiceDrafts *drafts = td_book_draft_invoices (bench->book, &filter, &error);

  g_assert_no_error (error);
  return drafts;
}

/* The owner 55.35 (as above); the brewery 2 x 100.00 + 46.00 for February, in one, and 15.38 for March. */
static BookBench *
new_collective (void)
{
  BookBench *bench = book_bench_new ();
  TdUuid visit = book_bench_visit (1);
  g_autofree char *shared = g_strdup_printf (SHARED ("%s"), bench->bench->context.site->account_name);

  const char *const texts[] = { shared, FLAT ("Alder Arms"), FLAT ("Birch Bar") };

  for (gsize i = 0; i < G_N_ELEMENTS (texts); i++)
    {
      g_autoptr (GError) error = NULL;

      take_text (bench, texts[i], &error);
      g_assert_no_error (error);
    }
  book_bench_add_closed (bench, &visit);
  return bench;
}

static void
test_collective (void)
{
  static const gint64 totals[] = { 5535, 24600, 1538 };
  g_autoptr (BookBench) bench = new_collective ();
  g_autoptr (TdInvoiceDrafts) drafts = draft (bench);
  g_autoptr (GError) error = NULL;

  g_assert_cmpuint (drafts->drafts->len, ==, G_N_ELEMENTS (totals));
  for (guint i = 0; i < G_N_ELEMENTS (totals); i++)
    {
      g_assert_cmpint (drafted (drafts, i)->total_minor, ==, totals[i]);
      g_assert_true (g_str_equal (drafted (drafts, i)->account_id, "mill-brewery") == (i > 0));
    }
  g_assert_cmpstr (g_array_index (drafted (drafts, 1)->lines, TdInvoiceLine, 0).account, ==, "alder-arms");
  g_assert_cmpstr (g_array_index (drafted (drafts, 1)->lines, TdInvoiceLine, 1).account, ==, "birch-bar");
  /* Whole, or not at all. */
  g_autoptr (TdInvoiceDrafts) brewery = draft_account (bench, "mill-brewery");
  g_assert_cmpuint (brewery->drafts->len, ==, 2);
  g_assert_cmpint (drafted (brewery, 0)->total_minor, ==, 24600);
  g_autoptr (TdInvoiceDrafts) served = draft_account (bench, "alder-arms");
  g_assert_cmpuint (served->drafts->len, ==, 0);

  g_autoptr (GPtrArray) numbers = issue (bench, DAY);
  g_assert_cmpuint (numbers->len, ==, 3);
  g_autoptr (GPtrArray) none = issue (bench, DAY);
  g_assert_cmpuint (none->len, ==, 0);
  g_autoptr (TdAccountStatement) statement = td_book_make_statement (bench->book, "mill-brewery", DAY - 1, DAY, &error);
  g_assert_no_error (error);
  g_assert_cmpuint (statement->lines->len, ==, 2);
  g_assert_cmpint (g_array_index (statement->balances, TdStatementBalance, 0).closing_minor, ==, 24600 + 1538);
  book_bench_check (bench);
}

/* One account's month is taken back and invoiced anew: the other's stays. */
static void
test_collective_credit (void)
{
  static const guint first = 0;
  g_autoptr (BookBench) bench = new_collective ();
  g_autoptr (GPtrArray) numbers = issue (bench, DAY);
  g_autoptr (GError) error = NULL;
  g_autofree char *credit
      = td_book_credit_invoice (bench->book, g_ptr_array_index (numbers, 1), &first, 1, TRUE, "again", DAY, &error);

  g_assert_no_error (error);
  g_assert_nonnull (credit);
  g_autoptr (TdInvoiceDrafts) drafts = draft (bench);
  g_assert_cmpuint (drafts->drafts->len, ==, 1);
  g_assert_cmpint (drafted (drafts, 0)->total_minor, ==, 12300);
  g_assert_cmpstr (g_array_index (drafted (drafts, 0)->lines, TdInvoiceLine, 0).account, ==, "alder-arms");
  g_autoptr (GArray) credited = td_book_list_credited_lines (bench->book, g_ptr_array_index (numbers, 1), &error);
  g_assert_no_error (error);
  g_assert_cmpuint (credited->len, ==, 1);
  g_autoptr (GPtrArray) balances = td_book_list_account_balances (bench->book, NULL, DAY + 20, &error);
  g_assert_no_error (error);
  g_assert_cmpuint (balances->len, ==, 2);
  book_bench_check (bench);
}

/* The account of a payer that went away under its name: the visit waits and says so, all else goes on. */
static void
test_collective_unknown (void)
{
  g_autoptr (BookBench) bench = new_collective ();

  g_free (book_bench_tamper (bench->path, "UPDATE account SET name = 'Other' WHERE slug = 'mill-brewery'"));
  book_bench_reopen (bench);
  g_autoptr (TdInvoiceDrafts) drafts = draft (bench);
  g_assert_cmpuint (drafts->drafts->len, ==, 0);
  g_assert_cmpuint (drafts->waiting->len, ==, 1);
  g_assert_nonnull (strstr (((TdWaiting *) g_ptr_array_index (drafts->waiting, 0))->text, "Mill Brewery"));
}

/* What is asked of many invoices: each order, search and filter finds what it should. */
static void
test_lists (void)
{
  g_autoptr (BookBench) bench = new_collective ();
  g_autoptr (GPtrArray) numbers = issue (bench, DAY);
  g_autoptr (GError) error = NULL;
  const struct
  {
    TdInvoicesFilter filter;
    guint n;
    gint64 first;
  } cases[] = {
    { { .order = TD_INVOICES_BY_NUMBER }, 3, 3 },
    { { .order = TD_INVOICES_BY_ISSUED }, 3, 1 },
    { { .order = TD_INVOICES_BY_BILL_TO }, 3, 3 },
    { { .order = TD_INVOICES_BY_TOTAL }, 3, 2 },
    { { .order = TD_INVOICES_BY_DUE }, 2, 1 },
    { { .open_only = TRUE }, 2, 3 },
    { { .overdue_only = TRUE, .today = DAY + 14 }, 0, 0 },
    { { .overdue_only = TRUE, .today = DAY + 15 }, 2, 3 },
    { { .search = "00002" }, 1, 2 },
    { { .search = "owner" }, 1, 1 },
    { { .search = "mill" }, 2, 3 }, /* the account's name */
    { { .search = "%" }, 0, 0 },
    { { .account_id = "mill-brewery" }, 2, 3 },
  };

  td_book_pay_invoice (bench->book, g_ptr_array_index (numbers, 1), 24600, DAY, NULL, &error);
  g_assert_no_error (error);
  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (GArray) keys = td_book_list_invoice_keys (bench->book, &cases[i].filter, &error);

      g_assert_no_error (error);
      g_assert_cmpuint (keys->len, ==, cases[i].n);
      if (keys->len > 0)
        g_assert_cmpint (g_array_index (keys, gint64, 0), ==, cases[i].first);
    }
}

/* A restored copy does not number until it is told to. */
static void
test_series (void)
{
  g_autoptr (BookBench) bench = new_visited ();
  gboolean here = FALSE;
  g_autoptr (GError) error = NULL;

  g_assert_true (td_book_set_invoice_series (bench->book, "R/1", &error) == FALSE);
  g_clear_error (&error);
  g_assert_true (td_book_set_invoice_series (bench->book, "26-", &error));
  g_assert_true (td_book_renew_device (bench->book, &error));
  g_autofree char *prefix = td_book_get_invoice_series (bench->book, &here, &error);
  g_assert_cmpstr (prefix, ==, "26-");
  g_assert_false (here);
  g_assert_null (td_book_issue_invoices (bench->book, NULL, DAY, &error));
  g_assert_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_REFUSED);
  g_clear_error (&error);
  g_assert_true (td_book_set_invoice_series (bench->book, NULL, &error));
  g_autoptr (GPtrArray) numbers = issue (bench, DAY);
  g_assert_cmpstr (g_ptr_array_index (numbers, 0), ==, "26-00001");
}

/* A book of the first version is brought up to date, with a copy of what it was beside it. */
static void
test_version_1 (void)
{
  g_autoptr (BookBench) bench = book_bench_new_empty ();
  g_autofree char *kept = g_test_build_filename (G_TEST_DIST, "data", "books", "v1.tundish", NULL);
  g_autofree char *old = book_bench_path (bench, "old.tundish");
  g_autofree char *bytes = NULL;
  gsize length = 0;
  g_autoptr (GError) error = NULL;

  g_assert_true (g_file_get_contents (kept, &bytes, &length, NULL));
  g_assert_true (g_file_set_contents (old, bytes, (gssize) length, NULL));
  g_assert_cmpint (book_bench_ask_sql (old, "PRAGMA user_version"), ==, 1);
  book_bench_close (bench);
  bench->book = td_book_open (old, bench->clock, &error);
  g_assert_no_error (error);
  g_assert_cmpint (book_bench_ask_sql (old, "PRAGMA user_version"), ==, td_migrate_get_version ());
  g_autofree char *copy = g_strconcat (old, ".version-1", NULL);
  g_assert_cmpint (book_bench_ask_sql (copy, "PRAGMA user_version"), ==, 1);
  book_bench_check (bench);
  g_autoptr (TdInvoiceDrafts) drafts = draft (bench);
  /* One closed visit, one open, and no agreement yet. */
  g_assert_cmpuint (drafts->waiting->len, ==, 1);
  take (bench, "1250");
  g_autoptr (GPtrArray) numbers = issue (bench, DAY);
  g_assert_cmpuint (numbers->len, ==, 2);
  book_bench_check (bench);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/invoice/issue", test_issue);
  g_test_add_func ("/invoice/chosen", test_chosen);
  g_test_add_func ("/invoice/frozen", test_frozen);
  g_test_add_func ("/invoice/check", test_check);
  g_test_add_func ("/invoice/pay", test_pay);
  g_test_add_func ("/invoice/credit", test_credit);
  g_test_add_func ("/invoice/amended", test_amended);
  g_test_add_func ("/invoice/amended-before", test_amended_before);
  g_test_add_func ("/invoice/hold", test_hold);
  g_test_add_func ("/invoice/waiting", test_waiting);
  g_test_add_func ("/invoice/collective", test_collective);
  g_test_add_func ("/invoice/collective-credit", test_collective_credit);
  g_test_add_func ("/invoice/collective-unknown", test_collective_unknown);
  g_test_add_func ("/invoice/lists", test_lists);
  g_test_add_func ("/invoice/series", test_series);
  g_test_add_func ("/invoice/version-1", test_version_1);
  return g_test_run ();
}
