/* The ledger: entries by hand, always balanced; ids and codes. */
#include "core-error.h"
#include "core-ledger.h"

#include <string.h>

typedef struct
{
  TdItem item;
  gint64 quantity_milli;
  gint64 price_minor;
  TdTaxCategory category;
  gint64 percent_milli;
} Line;

static TdInvoice *
make_invoice (TdInvoiceKind kind, const Line *lines, gsize n)
{
  TdPayer payer = { .id = (char *) "owner", .name = (char *) "Weir Club", .address = (char *) "1 Weir" };
  const TdSeller seller = { .name = (char *) "Seller" };
  TdInvoice *invoice = td_invoice_new (kind, "weir", "Weir Club", &payer, "EUR");

  for (gsize i = 0; i < n; i++)
    {
      TdInvoiceLine line = { .item = lines[i].item, .text = g_strdup ("text"), .quantity_milli = lines[i].quantity_milli,
                             .unit = TD_UNIT_ONE, .unit_price_minor = lines[i].price_minor,
                             .category = lines[i].category, .percent_milli = lines[i].percent_milli,
                             .date = TD_DATE_NONE, .of = -1 };

      g_assert_true (td_invoice_take_line (invoice, &line, NULL));
    }
  g_assert_true (td_invoice_sum (invoice, NULL));
  td_invoice_issue (invoice, "N-7", 20600, &seller);
  return invoice;
}

static char *
dump (const TdLedgerEntry *entry)
{
  GString *text = g_string_new (NULL);

  for (guint i = 0; i < entry->postings->len; i++)
    {
      const TdPosting *posting = &g_array_index (entry->postings, TdPosting, i);

      g_string_append_printf (text, "%s%s %" G_GINT64_FORMAT " %" G_GINT64_FORMAT, i > 0 ? "; " : "", posting->id,
                              posting->debit_minor, posting->credit_minor);
      if (posting->taxed)
        g_string_append_printf (text, " %s", td_tax_to_text (posting->category));
    }
  return g_string_free (text, FALSE);
}

/* 3 x 3.33 = 9.99 less 1.25 at 23 %: 8.74, tax 2.01; 2 x 1.80 at 13.5 %: 3.60, tax 0.49 (0.486); 14.84. */
static const Line mixed[] = {
  { TD_ITEM_LINE, 3000, 333, TD_TAX_S, 23000 },
  { TD_ITEM_DISCOUNT, -1000, 125, TD_TAX_S, 23000 },
  { TD_ITEM_PART, 2000, 180, TD_TAX_S, 13500 },
};
/* Nothing is posted for nothing. */
static const Line nothing[] = { { TD_ITEM_NO_CHARGE, 1000, 0, TD_TAX_E, 0 } };
/* More is taken off than charged: the seller owes. */
static const Line negative[] = { { TD_ITEM_CONTRACT, -2000, 5000, TD_TAX_AE, 0 }, { TD_ITEM_LINE, 1000, 900, TD_TAX_AE, 0 } };

static const struct
{
  const char *name;
  TdInvoiceKind kind;
  const Line *lines;
  gsize n;
  const char *expected; /* id, debit, credit, tax category */
} cases[] = {
  { "invoice", TD_INVOICE_INVOICE, mixed, G_N_ELEMENTS (mixed),
    "receivable 1484 0; revenue-line 0 999 S; revenue-part 0 360 S; revenue-discount 125 0 S; tax-23 0 201 S; "
    "tax-13.5 0 49 S" },
  { "credit-note", TD_INVOICE_CREDIT, mixed, G_N_ELEMENTS (mixed),
    "receivable 0 1484; revenue-line 999 0 S; revenue-part 360 0 S; revenue-discount 0 125 S; tax-23 201 0 S; "
    "tax-13.5 49 0 S" },
  { "nothing", TD_INVOICE_INVOICE, nothing, G_N_ELEMENTS (nothing), "" },
  { "negative", TD_INVOICE_INVOICE, negative, G_N_ELEMENTS (negative),
    "receivable 0 9100; revenue-line 0 900 AE; revenue-contract 10000 0 AE" },
};

static void
test_invoices (void)
{
  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (TdInvoice) invoice = make_invoice (cases[i].kind, cases[i].lines, cases[i].n);
      g_autoptr (GError) error = NULL;
      g_autoptr (TdLedgerEntry) entry = td_ledger_from_invoice (invoice, &error);
      g_autofree char *text = NULL;

      g_assert_no_error (error);
      text = dump (entry);
      g_assert_cmpstr (text, ==, cases[i].expected);
      g_assert_cmpstr (entry->document, ==, "N-7");
      g_assert_cmpstr (entry->party, ==, "Weir Club");
      g_assert_true (td_ledger_entry_check (entry, NULL));
    }
}

static void
test_payments (void)
{
  g_autoptr (TdLedgerEntry) in = td_ledger_from_payment ("N-7", "Weir Club", "EUR", 20601, 500, "transfer");
  g_autoptr (TdLedgerEntry) out = td_ledger_from_payment ("N-7", "Weir Club", "EUR", 20602, -500, NULL);
  g_autofree char *paid = dump (in);
  g_autofree char *bounced = dump (out);

  g_assert_cmpstr (paid, ==, "bank 500 0; receivable 0 500");
  g_assert_cmpstr (bounced, ==, "bank 0 500; receivable 500 0");
  g_assert_cmpstr (td_ledger_kind_to_text (in->kind), ==, "payment");
}

/* Sums that do not follow from the lines make no entry. */
static void
test_unbalanced (void)
{
  g_autoptr (TdInvoice) invoice = make_invoice (TD_INVOICE_INVOICE, mixed, G_N_ELEMENTS (mixed));
  g_autoptr (GError) error = NULL;

  invoice->total_minor++;
  g_assert_null (td_ledger_from_invoice (invoice, &error));
  g_assert_error (error, TD_ERROR, TD_ERROR_IMPOSSIBLE);
  g_assert_nonnull (strstr (error->message, "N-7"));
}

static void
test_ids (void)
{
  static const char *const good[] = { "receivable", "bank", "revenue", "tax", "revenue-part", "revenue-discount",
                                      "tax-23", "tax-13.5", "tax-0" };
  static const char *const bad[] = { "", "Bank", "revenues", "revenue-", "revenue-no-charge", "revenue-soap", "tax-",
                                     "tax-13.50", "tax-013", "tax--1", "tax-101", "tax-2.1234", "bank-1" };
  g_autofree char *long_code = g_strnfill (101, 'a');

  for (gsize i = 0; i < G_N_ELEMENTS (good); i++)
    g_assert_true (td_ledger_is_id (good[i]));
  for (gsize i = 0; i < G_N_ELEMENTS (bad); i++)
    g_assert_false (td_ledger_is_id (bad[i]));
  g_assert_true (td_ledger_is_code ("1400"));
  g_assert_true (td_ledger_is_code ("income: work of 19 %"));
  g_assert_false (td_ledger_is_code (""));
  g_assert_false (td_ledger_is_code (" 1"));
  g_assert_false (td_ledger_is_code ("1 "));
  g_assert_false (td_ledger_is_code ("a  b"));
  g_assert_false (td_ledger_is_code ("a\nb"));
  g_assert_false (td_ledger_is_code (long_code));
}

/* The most special code holds; what is not mapped has the standard. */
static void
test_codes (void)
{
  g_autoptr (TdJson) json = td_json_parse ("{\"format\": \"tundish-company/1\", \"ledger\": ["
                                           "{\"id\": \"tax-13.5\", \"code\": \"1775\"}, {\"id\": \"tax\", \"code\": \"1776\"},"
                                           "{\"id\": \"revenue-part\", \"code\": \"8401\"}]}",
                                           -1, NULL);
  g_autoptr (GError) error = NULL;
  g_autoptr (TdMasters) masters = td_masters_from_json (json, &error);
  g_autoptr (TdJson) bad_id = td_json_parse (
    "{\"format\": \"tundish-company/1\", \"ledger\": [{\"id\": \"soap\", \"code\": \"1\"}]}", -1, NULL);
  g_autoptr (TdJson) bad_code = td_json_parse (
    "{\"format\": \"tundish-company/1\", \"ledger\": [{\"id\": \"bank\", \"code\": \"1 \"}]}", -1, NULL);

  g_assert_no_error (error);
  g_assert_cmpstr (td_ledger_find_code (masters, "tax-13.5"), ==, "1775");
  g_assert_cmpstr (td_ledger_find_code (masters, "tax-23"), ==, "1776");
  g_assert_cmpstr (td_ledger_find_code (masters, "revenue-part"), ==, "8401");
  g_assert_cmpstr (td_ledger_find_code (masters, "revenue-line"), ==, "income:work");
  g_assert_cmpstr (td_ledger_find_code (masters, "receivable"), ==, "assets:receivable");
  g_assert_null (td_masters_from_json (bad_id, &error));
  g_assert_error (error, TD_ERROR, TD_ERROR_REFERENCE);
  g_clear_error (&error);
  g_assert_null (td_masters_from_json (bad_code, &error));
  g_assert_error (error, TD_ERROR, TD_ERROR_SHAPE);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/ledger/invoices", test_invoices);
  g_test_add_func ("/ledger/payments", test_payments);
  g_test_add_func ("/ledger/unbalanced", test_unbalanced);
  g_test_add_func ("/ledger/ids", test_ids);
  g_test_add_func ("/ledger/codes", test_codes);
  return g_test_run ();
}
