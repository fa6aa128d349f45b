/* Tables out of the book: what rows there are, that they come one by one, and that an end of it ends it. */
#include "book-bench.h"

#include "store-agreement.h"
#include "store-export.h"
#include "store-invoice.h"
#include "store-ledger.h"
#include "store-query.h"

#include "core-error.h"

#include <string.h>

/* 2026-03-02, the bench's day, by GNU date: 1772409600 / 86400. */
#define DAY 20514

/* The good visit cleans three lines of 12.50 and costs 20.00: 57.50, 23 % of it 13.225, so 13.23; 70.73. */
#define AGREEMENT \
  "{\"format\":\"tundish-agreement/1\",\"account\":\"%s\",\"from\":\"2026-01-01\",\"currency\":\"EUR\"," \
  "\"payers\":[{\"id\":\"owner\",\"name\":\"Owner\",\"address\":\"1 Quay\"}]," \
  "\"prices\":{\"visit_minor\":2000},\"lines\":[{\"unit_minor\":1250}]," \
  "\"taxes\":[{\"category\":\"S\",\"percent_milli\":23000}]}"

/* What came: rows joined by "|", cells by ";". */
typedef struct
{
  GString *text;
  guint rows;
  guint stop_at; /* fails at that row, 0: never */
  guint width;   /* cells of the first row, as many as every other has */
} Heard;

static gboolean
hear (gpointer data, const char *const *cells, guint n, GError **error)
{
  Heard *heard = data;

  heard->rows++;
  heard->width = heard->rows == 1 ? n : heard->width;
  g_assert_cmpuint (n, ==, heard->width);
  if (heard->rows == heard->stop_at)
    {
      g_set_error_literal (error, G_FILE_ERROR, G_FILE_ERROR_NOSPC, "no room");
      return FALSE;
    }
  g_string_append (heard->text, heard->rows > 1 ? "|" : "");
  for (guint i = 0; i < n; i++)
    g_string_append_printf (heard->text, "%s%s", i > 0 ? ";" : "", cells[i]);
  return TRUE;
}

static BookBench *
new_invoiced (void)
{
  BookBench *bench = book_bench_new ();
  TdUuid visit = book_bench_visit (1);
  g_autofree char *text = g_strdup_printf (AGREEMENT, bench->bench->context.site->account_name);
  g_autoptr (TdJson) json = td_json_parse (text, -1, NULL);
  g_autoptr (GError) error = NULL;

  g_assert_true (td_book_import_agreement (bench->book, json, NULL, &error));
  book_bench_add_closed (bench, &visit);
  g_autoptr (GPtrArray) numbers = td_book_issue_invoices (bench->book, NULL, DAY + 10, &error);
  g_assert_no_error (error);
  g_assert_cmpuint (numbers->len, ==, 1);
  g_assert_true (td_book_pay_invoice (bench->book, "INV-00001", 5000, DAY + 12, "a;b", &error));
  return bench;
}

/* Days: 2026-03-02 is DAY, so the invoice is of the 12th and the payment of the 14th. */
static const struct
{
  TdExport table;
  TdDate from, to;
  guint rows;        /* without the names of the columns */
  const char *piece; /* that must stand in it; NULL */
} cases[] = {
  { TD_EXPORT_ACCOUNTS, TD_DATE_NONE, TD_DATE_NONE, 1, NULL },
  { TD_EXPORT_VISITS, TD_DATE_NONE, TD_DATE_NONE, 1, ";2026-03-02;" },
  { TD_EXPORT_VISITS, DAY, DAY, 1, ";closed;" },
  { TD_EXPORT_VISITS, DAY + 1, TD_DATE_NONE, 0, NULL },
  { TD_EXPORT_VISITS, TD_DATE_NONE, DAY - 1, 0, NULL },
  { TD_EXPORT_INVOICES, TD_DATE_NONE, TD_DATE_NONE, 1,
    "INV-00001;invoice;;2026-03-12;2026-03-26;" },
  { TD_EXPORT_INVOICES, DAY + 10, DAY + 10, 1, ";EUR;57.50;13.23;70.73;50.00;0.00;20.73" },
  { TD_EXPORT_INVOICES, DAY, DAY + 9, 0, NULL },
  { TD_EXPORT_INVOICE_LINES, TD_DATE_NONE, TD_DATE_NONE, 4, ";1;C62;12.50;12.50;S;23;EUR" },
  { TD_EXPORT_PAYMENTS, TD_DATE_NONE, TD_DATE_NONE, 1, ";EUR;50.00;a;b" },
  { TD_EXPORT_PAYMENTS, TD_DATE_NONE, DAY + 11, 0, NULL },
  { TD_EXPORT_CHEMICALS, TD_DATE_NONE, TD_DATE_NONE, 1, "2026-03-02;use;" },
  { TD_EXPORT_LEDGER, TD_DATE_NONE, TD_DATE_NONE, 6,
    "|1;2026-03-12;invoice;INV-00001;Owner;;assets:receivable;receivable;70.73;;EUR;;|"
    "1;2026-03-12;invoice;INV-00001;Owner;;income:work;revenue-visit;;20.00;EUR;S;23|" },
  { TD_EXPORT_LEDGER, DAY + 11, TD_DATE_NONE, 2,
    "|1;2026-03-14;payment;INV-00001;Owner;a;b;assets:bank;bank;50.00;;EUR;;|"
    "1;2026-03-14;payment;INV-00001;Owner;a;b;assets:receivable;receivable;;50.00;EUR;;" },
};

static void
test_tables (void)
{
  g_autoptr (BookBench) bench = new_invoiced ();

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      Heard heard = { g_string_new (NULL), 0, 0, 0 };
      g_autoptr (GError) error = NULL;

      g_assert_true (
        td_book_export (bench->book, cases[i].table, cases[i].from, cases[i].to, hear, &heard, &error));
      g_assert_no_error (error);
      g_assert_cmpuint (heard.rows, ==, cases[i].rows + 1);
      if (cases[i].piece != NULL && strstr (heard.text->str, cases[i].piece) == NULL)
        g_error ("%s lacks %s", heard.text->str, cases[i].piece);
      g_string_free (heard.text, TRUE);
    }
}

/* Every table has a row of names, and each row as many cells. */
static void
test_widths (void)
{
  g_autoptr (BookBench) bench = new_invoiced ();

  for (guint table = 0; table < TD_N_EXPORTS; table++)
    {
      Heard heard = { g_string_new (NULL), 0, 0, 0 };
      TdExport again = TD_N_EXPORTS;

      g_assert_true (td_export_from_text (td_export_to_text (table), &again));
      g_assert_cmpint (again, ==, table);
      g_assert_true (td_book_export (bench->book, table, TD_DATE_NONE, TD_DATE_NONE, hear, &heard, NULL));
      g_assert_cmpuint (heard.rows, >, 1);
      g_string_free (heard.text, TRUE);
    }
  TdExport none = TD_N_EXPORTS;
  g_assert_false (td_export_from_text ("soap", &none));
}

static guint
count_pieces (BookBench *bench, TdExport table, const char *piece)
{
  Heard heard = { g_string_new (NULL), 0, 0, 0 };
  guint n = 0;

  g_assert_true (td_book_export (bench->book, table, TD_DATE_NONE, TD_DATE_NONE, hear, &heard, NULL));
  for (const char *at = heard.text->str; (at = strstr (at, piece)) != NULL; at += strlen (piece))
    n++;
  g_string_free (heard.text, TRUE);
  return n;
}

/* As what is due: an amendment counts from its closing on, and what it amends until then. */
static void
test_amended (void)
{
  g_autoptr (BookBench) bench = new_invoiced ();
  TdUuid first = book_bench_visit (1), second = book_bench_visit (2);
  g_autofree char *id = td_uuid_to_text (&first);
  g_autofree char *line = g_strdup_printf ("09:00 arrival site=two-lanterns-bar work=amendment amends=%s", id);
  guint done = count_pieces (bench, TD_EXPORT_LINES, ";2026-03-02;");

  g_assert_cmpuint (done, >, 0);
  book_bench_add (bench, &second, line);
  g_assert_cmpuint (count_pieces (bench, TD_EXPORT_LINES, ";2026-03-02;"), ==, done);
  book_bench_add (bench, &second, "09:01 line-left-out lines=A2,A4,B6 reason='Written on the wrong sheet'");
  book_bench_add (bench, &second, "09:04 signature name=Ines meaning=work-done");
  book_bench_add (bench, &second, "09:04 countersignature meaning=nobody-present reason='Amended in the office'");
  g_assert_cmpuint (count_pieces (bench, TD_EXPORT_LINES, ";2026-03-02;"), ==, done);
  book_bench_add (bench, &second, "09:05 closing");
  g_assert_cmpuint (count_pieces (bench, TD_EXPORT_LINES, ";2026-03-02;"), <, done);
}

/* Who takes the rows may end it at any of them; the book can be worked with afterwards. */
static void
test_stopped (void)
{
  g_autoptr (BookBench) bench = new_invoiced ();

  for (guint table = 0; table < TD_N_EXPORTS; table++)
    for (guint at = 1; at <= 2; at++)
      {
        Heard heard = { g_string_new (NULL), 0, at, 0 };
        g_autoptr (GError) error = NULL;

        g_assert_false (td_book_export (bench->book, table, TD_DATE_NONE, TD_DATE_NONE, hear, &heard, &error));
        g_assert_error (error, G_FILE_ERROR, G_FILE_ERROR_NOSPC);
        g_assert_cmpuint (heard.rows, ==, at);
        g_string_free (heard.text, TRUE);
      }
  g_assert_true (td_book_pay_invoice (bench->book, "INV-00001", 100, DAY + 13, NULL, NULL));
  book_bench_check (bench);
}

/* A body that was changed behind the book's back ends the export with the invoice's number. */
static void
test_damaged (void)
{
  g_autoptr (BookBench) bench = new_invoiced ();
  Heard heard = { g_string_new (NULL), 0, 0, 0 };
  g_autoptr (GError) error = NULL;
  g_autofree char *message = NULL;

  book_bench_close (bench);
  message = book_bench_tamper (bench->path, "UPDATE invoice SET body = '{}'");
  g_assert_null (message);
  book_bench_reopen (bench);
  g_assert_false (td_book_export (bench->book, TD_EXPORT_LEDGER, TD_DATE_NONE, TD_DATE_NONE, hear, &heard, &error));
  g_assert_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_DAMAGED);
  g_assert_nonnull (strstr (error->message, "INV-00001"));
  g_string_free (heard.text, TRUE);
}

/* What the company and the newest agreement know today completes an invoice; what is frozen stays. */
static void
test_to_send (void)
{
  g_autoptr (BookBench) bench = new_invoiced ();
  g_autoptr (GError) error = NULL;
  g_autoptr (TdInvoice) before = td_book_get_invoice_to_send (bench->book, "INV-00001", &error);
  g_autoptr (TdJson) company = td_json_parse (
    "{\"format\":\"tundish-company/1\",\"company\":{\"name\":\"Other\",\"country\":\"IE\",\"tax_id\":\"IE1\"}}", -1, NULL);
  g_autoptr (TdMasters) masters = td_masters_from_json (company, NULL);

  g_assert_no_error (error);
  g_assert_null (before->seller.country);
  g_autofree char *text = g_strdup_printf (AGREEMENT, bench->bench->context.site->account_name);
  g_autoptr (GString) longer = g_string_new (text);
  g_string_replace (longer, "\"address\":\"1 Quay\"", "\"address\":\"9 Quay\",\"country\":\"NL\"", 1);
  g_autoptr (TdJson) agreement = td_json_parse (longer->str, -1, NULL);
  g_assert_true (td_book_import_agreement (bench->book, agreement, NULL, &error));
  g_assert_true (td_book_import_company (bench->book, masters, NULL, &error));
  g_autoptr (TdInvoice) after = td_book_get_invoice_to_send (bench->book, "INV-00001", &error);
  g_assert_no_error (error);
  g_assert_cmpstr (after->seller.country, ==, "IE");
  g_assert_cmpstr (after->seller.name, ==, before->seller.name);
  g_assert_cmpstr (after->seller.tax_id, ==, before->seller.tax_id);
  g_assert_cmpstr (after->payer.country, ==, "NL");
  g_assert_cmpstr (after->payer.address, ==, "1 Quay");
  g_assert_null (td_book_get_invoice_to_send (bench->book, "INV-00009", &error));
  g_assert_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_MISSING);
  book_bench_check (bench);
}

static void
test_sheet (void)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  g_autoptr (GPtrArray) sites = td_book_list_sites (bench->book, NULL);
  const char *id = ((TdSiteRow *) g_ptr_array_index (sites, 0))->id;
  g_autoptr (GError) error = NULL;
  g_autofree char *text = td_book_get_sheet_text (bench->book, id, &error);
  g_autofree char *stored = NULL;

  g_assert_no_error (error);
  g_assert_true (g_str_has_suffix (text, "}\n"));
  g_assert_true (strchr (text, '\n') == text + strlen (text) - 1); /* one line */
  /* What visits are bound to is the hash of the same bytes. */
  text[strlen (text) - 1] = '\0';
  stored = g_compute_checksum_for_string (G_CHECKSUM_SHA256, text, -1);
  g_autofree char *sql = g_strdup_printf ("SELECT count (*) FROM sheet WHERE lower (hex (sha256)) = '%s'", stored);
  g_assert_cmpint (book_bench_ask_sql (bench->path, sql), ==, 1);
  g_assert_null (td_book_get_sheet_text (bench->book, "nope", &error));
  g_assert_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_MISSING);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/export/tables", test_tables);
  g_test_add_func ("/export/widths", test_widths);
  g_test_add_func ("/export/amended", test_amended);
  g_test_add_func ("/export/stopped", test_stopped);
  g_test_add_func ("/export/damaged", test_damaged);
  g_test_add_func ("/export/to-send", test_to_send);
  g_test_add_func ("/export/sheet", test_sheet);
  return g_test_run ();
}
