/* make-invoice: an invoice, a credit note, a statement or a bound document without a book, to be looked at.
 *
 * make-invoice KIND FILE.pdf; KIND: draft, invoice, many, credit, statement, bound.  The sums were worked out by
 * hand: see the lines. */
#include "document-invoice.h"
#include "document-pdf.h"
#include "document-report-pages.h"
#include "visit-cases.h"

#include <string.h>

#define SEAL "00112233445566778899aabbccddeeff00112233445566778899aabbccddeeff"
/* 2026-06-02 and 2026-06-30, by GNU date. */
#define DAY 20606
#define ISSUED 20634
#define DAY_MS G_GINT64_CONSTANT (86400000)

static const struct
{
  const char *text, *report, *line;
  gint64 quantity_milli;
  const char *unit;
  gint64 price_minor;
  TdTaxCategory category;
  gint64 percent_milli;
  const char *tax_text;
  TdItem item;
} rows[] = {
  { "Visit", "A-0007", NULL, 1000, TD_UNIT_ONE, 1500, TD_TAX_S, 23000, NULL, TD_ITEM_VISIT },
  { "Line Front bar 1: caustic clean, circulating", "A-0007", "L1", 1000, TD_UNIT_ONE, 333, TD_TAX_S, 23000, NULL,
    TD_ITEM_LINE },
  { "Line Front bar 2: caustic clean, circulating", "A-0007", "L2", 1000, TD_UNIT_ONE, 333, TD_TAX_S, 23000, NULL,
    TD_ITEM_LINE },
  { "Minutes beyond 60", "A-0007", NULL, 17000, TD_UNIT_MINUTE, 85, TD_TAX_S, 23000, NULL, TD_ITEM_MINUTES },
  /* 12.5 % of 15.00 + 3.33 + 3.33 + 14.45 = 36.11: 4.51375, so 4.51. */
  { "Discount of 12.5 %", "A-0007", NULL, -1000, TD_UNIT_ONE, 451, TD_TAX_S, 23000, NULL, TD_ITEM_DISCOUNT },
  { "Faucet washer", "A-0007", "L1", 3000, TD_UNIT_ONE, 180, TD_TAX_S, 13500, NULL, TD_ITEM_PART },
  /* 0.350 L at 7.42: 2.597, so 2.60. */
  { "Caustic line cleaner", "A-0007", NULL, 350, TD_UNIT_LITRE, 742, TD_TAX_S, 13500, NULL, TD_ITEM_CHEMICAL },
  { "Line Cellar 3: acid clean, static", "A-0011", "L3", 1000, TD_UNIT_ONE, 1450, TD_TAX_E, 0,
    "Exempt: training of the payer's own staff", TD_ITEM_LINE },
};

/* The texts are borrowed: nobody frees them. */
static const TdSeller seller = { .name = (char *) "Fenwright Line Service",
                                 .address = (char *) "Unit 4, Tannery Court, Port Larrick",
                                 .phone = (char *) "+353 20 912 0140",
                                 .tax_id = (char *) "IE 9900042 F",
                                 .payment = (char *) "Transfer to the account on file, with the number of the invoice" };
static const TdPayer owner = { .id = (char *) "owner",
                               .name = (char *) "Tin Heron Inns",
                               .address = (char *) "1 Heron Quay\nPort Larrick",
                               .country = (char *) "IE",
                               .contact = (char *) "Accounts",
                               .tax_id = (char *) "IE 9900020 A",
                               .purchase_order = (char *) "TH-7" };

static void
add_row (TdInvoice *invoice, guint i, guint copy)
{
  g_autoptr (GError) error = NULL;
  TdInvoiceLine line = { .item = rows[i].item, .text = g_strdup (rows[i].text), .unit = rows[i].unit,
                         .quantity_milli = rows[i].quantity_milli, .unit_price_minor = rows[i].price_minor,
                         .category = rows[i].category, .percent_milli = rows[i].percent_milli,
                         .tax_text = g_strdup (rows[i].tax_text), .line = g_strdup (rows[i].line),
                         .site = g_strdup ("The Tin Heron"), .date = DAY + (int) copy, .of = -1 };

  line.report = copy == 0 ? g_strdup (rows[i].report) : g_strdup_printf ("A-%04u", 100 + copy);
  line.visit = g_strdup_printf ("019eced0-a200-7001-9b01-54554e44%04u", copy + (strcmp (rows[i].report, "A-0011") == 0 ? 5000 : 0));
  td_invoice_take_line (invoice, &line, &error);
  g_assert_no_error (error);
}

static TdInvoice *
make_draft (guint copies)
{
  g_autoptr (GError) error = NULL;
  TdInvoice *invoice = td_invoice_new (TD_INVOICE_INVOICE, "tin-heron-inns", "Tin Heron Inns", &owner, "EUR");

  invoice->terms_days = 30;
  invoice->place = g_strdup ("Port Larrick");
  for (guint copy = 0; copy < copies; copy++)
    for (guint i = 0; i < G_N_ELEMENTS (rows); i++)
      add_row (invoice, i, copy);
  td_invoice_sum (invoice, &error);
  g_assert_no_error (error);
  return invoice;
}

static TdInvoice *
make_issued (guint copies)
{
  TdInvoice *invoice = make_draft (copies);

  td_invoice_issue (invoice, "INV-00042", ISSUED, &seller);
  return invoice;
}

static TdInvoice *
make_credit (void)
{
  static const guint lines[] = { 0, 5 };
  g_autoptr (TdInvoice) invoice = make_issued (1);
  g_autoptr (GError) error = NULL;
  TdInvoice *credit = td_invoice_credit (invoice, lines, G_N_ELEMENTS (lines), "The tap was out of order", &error);

  g_assert_no_error (error);
  td_invoice_issue (credit, "INV-00043", ISSUED + 5, &seller);
  return credit;
}

static TdPages *
lay_out (TdInvoice *owned, gboolean issued, gboolean balance, TdFonts *fonts)
{
  g_autoptr (TdInvoice) invoice = owned;
  g_autoptr (GError) error = NULL;
  const TdInvoiceContext context = { .seal = issued ? SEAL : NULL,
                                     .has_balance = balance,
                                     .paid_minor = 1000,
                                     .open_minor = invoice->total_minor - 1000 };
  TdPages *pages = td_invoice_to_pages (invoice, &context, fonts, TD_PAPER_A4, &error);

  g_assert_no_error (error);
  return pages;
}

static TdPages *
lay_out_statement (TdFonts *fonts)
{
  const TdStatementLine lines[] = {
    { ISSUED, g_strdup ("invoice"), g_strdup ("INV-00042"), g_strdup ("Tin Heron Inns"), g_strdup ("EUR"), 6245, 6745, NULL,
      ISSUED + 30 },
    { ISSUED + 5, g_strdup ("credit-note"), g_strdup ("INV-00043"), g_strdup ("Tin Heron Inns"), g_strdup ("EUR"), -2458,
      4287, NULL, TD_DATE_NONE },
    { ISSUED + 9, g_strdup ("payment"), g_strdup ("INV-00042"), g_strdup ("Tin Heron Inns"), g_strdup ("EUR"), -1000, 3287,
      g_strdup ("Transfer 118"), TD_DATE_NONE },
    { ISSUED + 9, g_strdup ("invoice"), g_strdup ("INV-00044"), g_strdup ("Sawmill Ales"), g_strdup ("JPY"), 12000, 12000,
      NULL, ISSUED + 39 },
  };
  const TdStatementBalance balances[] = { { g_strdup ("EUR"), 500, 3287 }, { g_strdup ("JPY"), 0, 12000 } };
  g_autoptr (TdAccountStatement) statement = td_account_statement_new ("tin-heron-inns", DAY, ISSUED + 30);
  g_autoptr (TdMasters) masters = td_masters_new ();
  g_autoptr (GError) error = NULL;
  TdPages *pages;

  td_party_fill (td_company_fields, masters, td_seller_fields, &seller);
  statement->account = g_strdup ("Tin Heron Inns");
  g_array_append_vals (statement->lines, lines, G_N_ELEMENTS (lines));
  g_array_append_vals (statement->balances, balances, G_N_ELEMENTS (balances));
  pages = td_statement_to_pages (statement, masters, fonts, TD_PAPER_A4, &error);
  g_assert_no_error (error);
  return pages;
}

static TdPages *
lay_out_report (void)
{
  VisitCase one = visit_case_load ("02-tin-heron-routine", 0);
  TdReportContext context = TD_REPORT_CONTEXT_INIT;
  g_autoptr (TdReport) report = NULL;
  g_autoptr (GError) error = NULL;
  TdPages *pages;

  context.number = "A-0042"; /* as make-report has it */
  context.now_ms = one.visit->arrived.utc_ms + 3600000;
  g_autofree char *seal = visit_case_seal (&one);
  context.seal = seal;
  report = td_report_new (one.visit, one.findings, &context, TD_UNITS_METRIC);
  pages = td_report_to_pages (report, TD_PAPER_A4, &error);
  g_assert_no_error (error);
  visit_case_clear (&one);
  return pages;
}

static void
fill (GPtrArray *documents, const char *kind, TdFonts *fonts)
{
  if (strcmp (kind, "draft") == 0)
    g_ptr_array_add (documents, lay_out (make_draft (1), FALSE, FALSE, fonts));
  else if (strcmp (kind, "credit") == 0)
    g_ptr_array_add (documents, lay_out (make_credit (), TRUE, FALSE, fonts));
  else if (strcmp (kind, "statement") == 0)
    g_ptr_array_add (documents, lay_out_statement (fonts));
  else if (strcmp (kind, "many") == 0)
    g_ptr_array_add (documents, lay_out (make_issued (12), TRUE, FALSE, fonts));
  else
    g_ptr_array_add (documents, lay_out (make_issued (1), TRUE, TRUE, fonts));
  if (strcmp (kind, "bound") == 0)
    g_ptr_array_add (documents, lay_out_report ());
}

int
main (int argc, char **argv)
{
  const TdPdfInfo info = { .title = "An invoice", .author = "Fenwright Line Service", .language = "en",
                           .utc_ms = ISSUED * DAY_MS };
  g_autoptr (GPtrArray) documents = g_ptr_array_new_with_free_func ((GDestroyNotify) td_pages_free);
  g_autoptr (GError) error = NULL;
  g_autoptr (TdFonts) fonts = td_fonts_new ("en", &error);

  g_assert_no_error (error);
  if (argc != 3)
    g_error ("usage: make-invoice KIND FILE.pdf");
  fill (documents, argv[1], fonts);
  td_pdf_write_bound (documents, argv[2], &info, &error);
  g_assert_no_error (error);
  return 0;
}
