/* Checks of agreements and invoices: hashes, numbers, seals, sums, what was invoiced to whom, balances. */
#include "store-check-private.h"

#include "store-invoice-private.h"

#include "core-invoice-json.h"

#include <string.h>

gboolean
td_check_agreements (TdBook *book, TdChecking *checking, GError **error)
{
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_LIST_AGREEMENT_TEXTS, error);
  if (row == NULL)
    return FALSE;
  TdStep step;
  while ((step = td_statement_step (row, error)) == TD_STEP_ROW)
    {
      g_autofree char *kept = td_statement_get_hash (row, 1);
      const char *text = td_statement_get_text (row, 2);
      g_autofree char *sha256 = g_compute_checksum_for_string (G_CHECKSUM_SHA256, text, -1);
      g_autoptr (TdJson) json = td_json_parse (text, -1, NULL);
      g_autoptr (TdAgreement) agreement = json != NULL ? td_agreement_from_json (json, NULL) : NULL;
      checking->count++;
      if (g_strcmp0 (kept, sha256) != 0)
        td_checking_fail (checking, "agreement %" G_GINT64_FORMAT " is not as it was taken in",
                          td_statement_get_integer (row, 0));
      else if (agreement == NULL)
        td_checking_fail (checking, "agreement %" G_GINT64_FORMAT " cannot be read", td_statement_get_integer (row, 0));
    }
  return step == TD_STEP_DONE;
}

/* The columns beside the body say what it says. */
static const char *
find_difference (TdStatement *row, const TdInvoice *invoice)
{
  const struct
  {
    const char *what;
    const char *there;
    int column;
  } texts[] = { { "number", invoice->number, 1 }, { "kind", td_invoice_kind_to_text (invoice->kind), 2 },
                { "account", invoice->account_id, 3 }, { "payer", invoice->payer.id, 4 },
                { "bill-to", invoice->payer.name, 5 }, { "currency", invoice->currency, 6 },
                { "credited invoice", invoice->credits, 12 } };
  const struct
  {
    const char *what;
    gint64 there;
    int column;
  } figures[] = { { "date", invoice->issued, 7 }, { "due date", invoice->due, 8 }, { "net sum", invoice->net_minor, 9 },
                  { "tax", invoice->tax_minor, 10 }, { "total", invoice->total_minor, 11 } };
  for (gsize i = 0; i < G_N_ELEMENTS (texts); i++)
    if (strcmp (texts[i].there != NULL ? texts[i].there : "", td_statement_get_text (row, texts[i].column)) != 0)
      return texts[i].what;
  for (gsize i = 0; i < G_N_ELEMENTS (figures); i++)
    if (figures[i].there != td_statement_get_integer (row, figures[i].column))
      return figures[i].what;
  return NULL;
}

static void
check_balance (TdStatement *row, const TdInvoice *invoice, TdChecking *checking)
{
  gint64 paid = td_statement_get_integer (row, 20);
  gint64 credited = td_statement_get_integer (row, 21);
  gint64 open = invoice->kind == TD_INVOICE_INVOICE ? invoice->total_minor - paid - credited : 0;
  if (td_statement_get_integer (row, 16) != paid || td_statement_get_integer (row, 17) != credited ||
      td_statement_get_integer (row, 18) != open || td_statement_get_integer (row, 19) != invoice->due)
    td_checking_fail (checking, "the balance of invoice %s does not follow from its payments and credit notes",
                      invoice->number);
}

/* Visits of the lines are those that are kept as invoiced. */
static gboolean
check_visits (TdBook *book, gint64 number, const TdInvoice *invoice, TdChecking *checking, GError **error)
{
  g_autoptr (GPtrArray) visits = td_invoice_list_visits (invoice);
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_LIST_INVOICE_VISITS, error);
  guint n = 0, expected = invoice->kind == TD_INVOICE_INVOICE ? visits->len : 0;
  if (row == NULL)
    return FALSE;
  td_statement_bind_integer (row, ":invoice", number);
  TdStep step;
  while ((step = td_statement_step (row, error)) == TD_STEP_ROW)
    {
      TdUuid uuid = td_statement_get_uuid (row, 0);
      g_autofree char *id = td_uuid_to_text (&uuid);
      n++;
      if (!g_ptr_array_find_with_equal_func (visits, id, g_str_equal, NULL) ||
          g_strcmp0 (td_statement_get_text (row, 1), invoice->payer.id) != 0)
        td_checking_fail (checking, "visit %s is kept as invoiced by %s, which does not name it", id, invoice->number);
    }
  if (step == TD_STEP_DONE && n != expected)
    td_checking_fail (checking, "invoice %s names visits that are not kept as invoiced", invoice->number);
  return step == TD_STEP_DONE;
}

/* One row: chain and seal, then what the body says. @before: seal of the number before. */
static gboolean
check_row (TdBook *book, TdStatement *row, char **before, TdChecking *checking, GError **error)
{
  const char *body = td_statement_get_text (row, 13);
  const char *code = td_statement_get_text (row, 1);
  g_autofree char *previous = td_statement_get_hash (row, 14);
  g_autofree char *kept = td_statement_get_hash (row, 15);
  g_autofree char *seal = td_invoice_make_seal (previous, body);
  g_autoptr (GError) why = NULL;
  g_autoptr (TdInvoice) invoice = td_invoice_from_body (body, &why);
  const char *difference = invoice != NULL ? find_difference (row, invoice) : NULL;
  if (g_strcmp0 (previous, *before) != 0)
    td_checking_fail (checking, "invoice %s is not chained to the one before", code);
  if (g_strcmp0 (seal, kept) != 0)
    td_checking_fail (checking, "invoice %s is not as it was sealed", code);
  else if (invoice == NULL)
    td_checking_fail (checking, "invoice %s cannot be read: %s", code, why->message);
  else if (difference != NULL)
    td_checking_fail (checking, "invoice %s: its row has another %s than it was sealed with", code, difference);
  else if (!td_invoice_check (invoice, &why))
    td_checking_fail (checking, "%s", why->message);
  g_free (*before);
  *before = g_steal_pointer (&kept);
  if (invoice == NULL)
    return TRUE;
  check_balance (row, invoice, checking);
  return check_visits (book, td_statement_get_integer (row, 0), invoice, checking, error);
}

gboolean
td_check_invoices (TdBook *book, TdChecking *checking, GError **error)
{
  gint64 expected = 1;
  g_autofree char *before = NULL;
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_LIST_CHECK_INVOICES, error);
  g_autoptr (TdStatement) stray = row != NULL ? td_statement_get (book, TD_SQL_FIND_STRAY_BILLED, error) : NULL;
  if (stray == NULL)
    return FALSE;
  TdStep step;
  while ((step = td_statement_step (row, error)) == TD_STEP_ROW)
    {
      checking->count++;
      if (td_statement_get_integer (row, 0) != expected)
        td_checking_fail (checking, "the invoice of count %" G_GINT64_FORMAT " is missing", expected);
      expected = td_statement_get_integer (row, 0) + 1;
      if (!check_row (book, row, &before, checking, error))
        return FALSE;
    }
  if (step == TD_STEP_DONE && (step = td_statement_ask (stray, error)) == TD_STEP_ROW)
    td_checking_fail (checking, "a visit is marked as invoiced that stands on no invoice");
  return step != TD_STEP_FAILED;
}
