/* Stock in the book: what is written, refused, frozen; the account by two ways; amendments; traces. */
#include "book-bench.h"

#include "core-error.h"
#include "store-audit.h"
#include "store-stock.h"
#include "store-trace.h"

#include <string.h>

/* 2026-03-02, the bench's day. */
#define DAY ((TdDate) (BENCH_DAY_MS / 86400000))

static TdStockDraft
make_draft (TdMoveKind kind, const char *place, gint64 ml, int day)
{
  TdStockDraft draft = { .kind = kind, .place = place, .product = "lye", .lot = "LY1", .amount_ml = ml, .cost_minor = -1,
                         .person = "ida" };

  draft.happened.utc_ms = BENCH_DAY_MS + day * G_GINT64_CONSTANT (86400000) + 3600000;
  return draft;
}

static void
add (BookBench *bench, const TdStockDraft *draft, gint64 adjusted)
{
  g_autoptr (GError) error = NULL;
  gint64 posted = 0;

  g_assert_true (td_book_add_movement (bench->book, draft, &posted, &error));
  g_assert_no_error (error);
  g_assert_cmpint (posted, ==, adjusted);
}

static void
refuse (BookBench *bench, const TdStockDraft *draft, GQuark domain, int code)
{
  g_autoptr (GError) error = NULL;
  gint64 before = book_bench_ask_sql (bench->path, "SELECT count (*) FROM stock_movement");

  g_assert_false (td_book_add_movement (bench->book, draft, NULL, &error));
  g_assert_error (error, domain, code);
  g_assert_cmpint (book_bench_ask_sql (bench->path, "SELECT count (*) FROM stock_movement"), ==, before);
}

/* Ida's van takes 5,000 of 20,000 mL the day before the visit, which uses 1,030; 3,900 are counted in it the day
 * after: 70 are missing. */
static BookBench *
make_stocked (const TdUuid *visit)
{
  BookBench *bench = book_bench_new ();
  g_autoptr (GError) error = NULL;
  TdStockDraft receipt = make_draft (TD_MOVE_RECEIPT, TD_STORE_ID, 20000, -2);
  TdStockDraft transfer = make_draft (TD_MOVE_TRANSFER, TD_STORE_ID, 5000, -1);
  TdStockDraft count = make_draft (TD_MOVE_COUNT, "van-1", 3900, 1);

  g_assert_true (td_book_put_place (bench->book, "van-1", "Van 1", TRUE, &error));
  g_assert_true (td_book_assign_place (bench->book, "ida", "van-1", DAY - 30, &error));
  receipt.container_ml = 5000;
  receipt.cost_minor = 10000;
  receipt.currency = "EUR";
  add (bench, &receipt, 0);
  transfer.to = "van-1";
  add (bench, &transfer, 0);
  book_bench_add_closed (bench, visit);
  count.reason = "a can leaked";
  add (bench, &count, -70);
  return bench;
}

static TdAudit *
get_audit (BookBench *bench, TdDate from, TdDate to)
{
  g_autoptr (GError) error = NULL;
  TdAudit *audit = td_book_get_audit (bench->book, from, to, BENCH_DAY_MS + 2 * 86400000, &error);

  g_assert_no_error (error);
  return audit;
}

static guint
count_exceptions (const TdAudit *audit, TdExceptionId id)
{
  guint n = 0;

  for (guint i = 0; i < audit->exceptions->len; i++)
    n += ((const TdAuditException *) g_ptr_array_index (audit->exceptions, i))->id == id;
  return n;
}

static void
test_account (void)
{
  TdUuid visit = book_bench_visit (1);
  g_autoptr (BookBench) bench = make_stocked (&visit);
  g_autoptr (TdAudit) audit = get_audit (bench, DAY, DAY + 5);
  const TdAuditRow *row = &g_array_index (audit->products, TdAuditRow, 0);
  const TdAuditGroup *site = g_ptr_array_index (audit->groups[TD_AUDIT_SITES], 0);

  g_assert_cmpuint (audit->products->len, ==, 1);
  g_assert_cmpstr (row->name, ==, "Line lye 30");
  g_assert_cmpint (row->account.opening_ml, ==, 20000);
  g_assert_cmpint (row->account.received_ml, ==, 0);
  g_assert_cmpint (row->account.used_ml, ==, 1030);
  g_assert_cmpint (row->account.adjusted_ml, ==, -70);
  g_assert_cmpint (row->account.closing_ml, ==, 18900);
  g_assert_cmpint (row->account.counted_ml, ==, 3900);
  g_assert_cmpint (row->account.expected_ml, ==, 373);
  g_assert_cmpint (row->known_ml[0], ==, 1030);
  g_assert_cmpint (row->water_ml, ==, 20000);
  /* 1,030 of 20,000 mL that cost 100.00 */
  g_assert_cmpint (row->cost_minor, ==, 515);
  g_assert_cmpuint (audit->places->len, ==, 2);
  g_assert_cmpint (g_array_index (audit->places, TdAuditRow, 0).account.closing_ml, ==, 15000);
  g_assert_cmpint (g_array_index (audit->places, TdAuditRow, 1).account.closing_ml, ==, 3900);
  g_assert_cmpint (g_array_index (audit->places, TdAuditRow, 1).account.used_ml, ==, 1030);
  g_assert_cmpint (site->used_ml, ==, 1030);
  g_assert_cmpint (audit->lines, ==, 3);
  g_assert_cmpuint (count_exceptions (audit, TD_EXCEPTION_COUNT_DIFFERS), ==, 1);
  /* 1,030 of 373 mL expected */
  g_assert_cmpuint (count_exceptions (audit, TD_EXCEPTION_USE_OFF_EXPECTED), ==, 1);
  g_assert_cmpuint (count_exceptions (audit, TD_EXCEPTION_STOCK_NEGATIVE), ==, 0);
  book_bench_check (bench);
}

/* Of an amendment chain only the newest counts, also while it is open. */
static void
test_amendment (void)
{
  TdUuid visit = book_bench_visit (1), newer = book_bench_visit (2);
  g_autoptr (BookBench) bench = make_stocked (&visit);
  g_autofree char *id = td_uuid_to_text (&visit);
  g_autofree char *arrival = g_strdup_printf ("08:00 arrival site=two-lanterns-bar work=amendment amends=%s", id);

  book_bench_add (bench, &newer, arrival);
  book_bench_add (bench, &newer, "08:05 solution-mixed batch=K1 product=lye lot=LY1 concentrate_ml=400 water_ml=7000 "
                                 "percent_milli=2000 known=estimated");
  g_autoptr (TdAudit) audit = get_audit (bench, DAY, DAY);
  const TdAuditRow *row = &g_array_index (audit->products, TdAuditRow, 0);

  g_assert_cmpint (row->account.used_ml, ==, 400);
  g_assert_cmpint (row->known_ml[0], ==, 0);
  g_assert_cmpint (row->known_ml[2], ==, 400);
  g_assert_cmpint (row->uses, ==, 1);
  g_assert_cmpuint (count_exceptions (audit, TD_EXCEPTION_VISIT_OPEN), ==, 1);
  book_bench_check (bench);
  g_autoptr (TdAudit) later = get_audit (bench, DAY + 1, DAY + 1);
  g_assert_cmpint (g_array_index (later->products, TdAuditRow, 0).account.opening_ml, ==, 19600);
}

static void
test_negative (void)
{
  TdUuid visit = book_bench_visit (1);
  g_autoptr (BookBench) bench = book_bench_new ();

  book_bench_add_closed (bench, &visit);
  g_autoptr (TdAudit) audit = get_audit (bench, DAY, DAY);
  g_assert_cmpuint (count_exceptions (audit, TD_EXCEPTION_STOCK_NEGATIVE), ==, 1);
  g_assert_cmpint (g_array_index (audit->products, TdAuditRow, 0).account.closing_ml, ==, -1030);
}

static void
test_refused (void)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  TdStockDraft receipt = make_draft (TD_MOVE_RECEIPT, TD_STORE_ID, 20000, -2);
  TdStockDraft other = make_draft (TD_MOVE_RECEIPT, TD_STORE_ID, 100, -2);
  TdStockDraft bad;

  add (bench, &receipt, 0);
  other.lot = "LYOLD";
  add (bench, &other, 0);
  bad = make_draft (TD_MOVE_USE, TD_STORE_ID, 1, 0);
  refuse (bench, &bad, TD_ERROR, TD_ERROR_SHAPE);
  bad = make_draft (TD_MOVE_RECEIPT, "nowhere", 1, 0);
  refuse (bench, &bad, TD_BOOK_ERROR, TD_BOOK_ERROR_MISSING);
  bad = make_draft (TD_MOVE_RECEIPT, TD_STORE_ID, -1, 0);
  refuse (bench, &bad, TD_ERROR, TD_ERROR_RANGE);
  bad = make_draft (TD_MOVE_TRANSFER, TD_STORE_ID, 1, 0);
  refuse (bench, &bad, TD_ERROR, TD_ERROR_IMPOSSIBLE);
  bad = make_draft (TD_MOVE_DISPOSAL, TD_STORE_ID, 1, 0);
  refuse (bench, &bad, TD_ERROR, TD_ERROR_SHAPE);
  bad = make_draft (TD_MOVE_RECEIPT, TD_STORE_ID, 1, 0);
  bad.lot = "SO1"; /* of another product */
  refuse (bench, &bad, TD_ERROR, TD_ERROR_REFERENCE);
  bad.lot = NULL;
  refuse (bench, &bad, TD_ERROR, TD_ERROR_SHAPE);
  /* A difference needs its reason, and several lots have to be named. */
  bad = make_draft (TD_MOVE_COUNT, TD_STORE_ID, 5, 0);
  refuse (bench, &bad, TD_ERROR, TD_ERROR_SHAPE);
  bad.lot = NULL;
  refuse (bench, &bad, TD_ERROR, TD_ERROR_SHAPE);
  book_bench_check (bench);
}

static void
test_new_lot (void)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  TdStockDraft receipt = make_draft (TD_MOVE_RECEIPT, TD_STORE_ID, 20000, -2);

  receipt.lot = "LY9";
  refuse (bench, &receipt, TD_BOOK_ERROR, TD_BOOK_ERROR_MISSING);
  receipt.lot_code = "990";
  add (bench, &receipt, 0);
  g_assert_cmpint (book_bench_ask_sql (bench->path, "SELECT count (*) FROM lot WHERE slug = 'LY9' AND code = '990'"), ==,
                   1);
}

/* Nothing of the ledger can be changed, taken away or written over; damage done all the same is found. */
static void
test_frozen (void)
{
  static const char *const tries[] = {
    "UPDATE stock_movement SET amount_ml = 1", "DELETE FROM stock_movement",
    "INSERT OR REPLACE INTO stock_movement SELECT * FROM stock_movement LIMIT 1",
    "UPDATE place_holder SET since = 1", "DELETE FROM place_holder",
    "INSERT OR REPLACE INTO place_holder SELECT * FROM place_holder",
  };
  TdUuid visit = book_bench_visit (1);
  g_autoptr (BookBench) bench = make_stocked (&visit);

  for (gsize i = 0; i < G_N_ELEMENTS (tries); i++)
    {
      g_autofree char *message = book_bench_try_sql (bench->path, tries[i]);

      g_assert_nonnull (message);
      g_assert_nonnull (strstr (message, "never"));
    }
  book_bench_check (bench);
}

static void
test_tampered (void)
{
  static const struct
  {
    const char *sql;
    const char *part;
  } cases[] = {
    { "UPDATE stock_movement SET amount_ml = 19000 WHERE id = 1", "stock: movement" },
    { "UPDATE stock_movement SET date = date + 1 WHERE id = 2", "stock: movement" },
    { "UPDATE stock_movement SET lot = (SELECT id FROM lot WHERE slug = 'SO1') WHERE id = 1", "stock: movement" },
    { "UPDATE visit_pass SET out_ms = out_ms + 1 WHERE outlet = 3", "projections: visit" },
    { "DELETE FROM visit_hold", "projections: visit" },
    { "UPDATE visit_use SET expected_ml = 1", "projections: visit" },
    { "UPDATE use_day SET used_ml = used_ml + 1", "stock: the account of lye" },
    { "UPDATE use_day SET expected_ml = expected_ml - 1", "stock: the account of lye" },
    { "DELETE FROM use_day", "stock: the account" },
  };
  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      TdUuid visit = book_bench_visit (1);
      g_autoptr (BookBench) bench = make_stocked (&visit);

      book_bench_close (bench);
      g_autofree char *message = book_bench_tamper (bench->path, cases[i].sql);
      g_assert_cmpstr (message, ==, NULL);
      book_bench_reopen (bench);
      book_bench_check_fails (bench, cases[i].part);
    }
}

static void
test_acknowledge (void)
{
  TdUuid visit = book_bench_visit (1);
  g_autoptr (BookBench) bench = make_stocked (&visit);
  g_autoptr (GError) error = NULL;
  g_autoptr (TdAudit) audit = get_audit (bench, DAY, DAY + 5);
  const TdAuditException *first = g_ptr_array_index (audit->exceptions, 0);
  guint open = td_audit_count_open (audit);

  g_assert_false (td_book_acknowledge (bench->book, audit, "no-such:1", "ida", "seen", &error));
  g_assert_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_MISSING);
  g_clear_error (&error);
  g_assert_true (td_book_acknowledge (bench->book, audit, first->key, "ida", "looked into", &error));
  g_autoptr (TdAudit) again = get_audit (bench, DAY, DAY + 5);
  g_assert_cmpuint (td_audit_count_open (again), ==, open - 1);
  g_assert_cmpstr (((const TdAuditException *) g_ptr_array_index (again->exceptions, 0))->reason, ==, "looked into");
}

/* Forwards from the lot, backwards from the line; and what stood in B6 while its clock ran. */
static void
test_trace (void)
{
  TdUuid visit = book_bench_visit (1);
  g_autoptr (BookBench) bench = make_stocked (&visit);
  g_autoptr (GError) error = NULL;
  g_autoptr (GPtrArray) forwards = td_book_trace (bench->book, "LY1", NULL, NULL, &error);
  g_autoptr (GPtrArray) backwards = td_book_trace (bench->book, NULL, "two-lanterns-bar", "B6", &error);
  g_autoptr (TdMomentRow) moment
      = td_book_find_moment (bench->book, "two-lanterns-bar", "B6", bench_time ("06:50"), &error);
  g_autoptr (TdMomentRow) before
      = td_book_find_moment (bench->book, "two-lanterns-bar", "B6", bench_time ("06:13"), &error);

  g_assert_no_error (error);
  /* receipt, transfer, three lines, count */
  g_assert_cmpuint (forwards->len, ==, 6);
  g_assert_cmpstr (((const TdTraceRow *) g_ptr_array_index (forwards, 0))->kind, ==, "receipt");
  g_assert_cmpuint (backwards->len, ==, 1);
  g_assert_cmpstr (((const TdTraceRow *) g_ptr_array_index (backwards, 0))->lot, ==, "LY1");
  g_assert_true (moment->held);
  g_assert_cmpstr (moment->lot, ==, "LY1");
  g_assert_cmpstr (moment->method, ==, "static");
  g_assert_true (moment->tagged);
  g_assert_cmpstr (moment->person, ==, "Ida Brook");
  g_assert_true (before->has_visit);
  g_assert_false (before->held);
  g_assert_false (before->tagged);
  g_assert_null (td_book_trace (bench->book, "no-such", NULL, NULL, &error));
  g_assert_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_MISSING);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/stock/account", test_account);
  g_test_add_func ("/stock/amendment", test_amendment);
  g_test_add_func ("/stock/negative", test_negative);
  g_test_add_func ("/stock/refused", test_refused);
  g_test_add_func ("/stock/new-lot", test_new_lot);
  g_test_add_func ("/stock/frozen", test_frozen);
  g_test_add_func ("/stock/tampered", test_tampered);
  g_test_add_func ("/stock/acknowledge", test_acknowledge);
  g_test_add_func ("/stock/trace", test_trace);
  return g_test_run ();
}
