/* Tables that are read out of the frozen invoices: their lines, and the ledger. */
#include "store-export-private.h"

#include "store-cache.h"

#include "core-invoice-json.h"
#include "core-ledger.h"
#include "core-money.h"

#define N_LINE_COLUMNS 19
#define N_LEDGER_COLUMNS 13

const char *const td_export_invoice_line_columns[]
  = { "number", "kind", "credits", "issued", "due", "account", "bill_to", "purchase_order", "report", "site",
      "date", "text", "quantity", "unit", "unit_price", "net", "tax_category", "tax_percent", "currency", NULL };
G_STATIC_ASSERT (G_N_ELEMENTS (td_export_invoice_line_columns) == N_LINE_COLUMNS + 1);

const char *const td_export_ledger_columns[]
  = { "entry", "date", "kind", "document", "party", "text", "account", "item", "debit", "credit", "currency",
      "tax_category", "tax_percent", NULL };
G_STATIC_ASSERT (G_N_ELEMENTS (td_export_ledger_columns) == N_LEDGER_COLUMNS + 1);

static TdInvoice *
read_invoice (TdBook *book, TdStatement *row, int code_column, int body_column, GError **error)
{
  g_autoptr (GError) why = NULL;
  TdInvoice *invoice = td_invoice_from_body (td_statement_get_text (row, body_column), &why);
  if (invoice == NULL)
    g_set_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_DAMAGED,
                 "Invoice %s in “%s” can no longer be read (%s); nothing was changed; restore the newest backup that "
                 "passes the check", td_statement_get_text (row, code_column), book->path, why->message);
  return invoice;
}

static const char *
or_empty (const char *text)
{
  return text != NULL ? text : "";
}

static gboolean
hand_line (const TdExporter *exporter, const TdInvoice *invoice, const TdInvoiceLine *line, GError **error)
{
  g_autofree char *issued = td_date_to_text (invoice->issued);
  g_autofree char *due = td_date_to_text (invoice->due);
  g_autofree char *date = line->date != TD_DATE_NONE ? td_date_to_text (line->date) : NULL;
  g_autofree char *quantity = td_milli_to_text (line->quantity_milli);
  g_autofree char *price = td_money_to_plain_text (line->unit_price_minor, invoice->currency);
  g_autofree char *net = td_money_to_plain_text (line->net_minor, invoice->currency);
  g_autofree char *percent = td_milli_to_text (line->percent_milli);
  const char *const cells[N_LINE_COLUMNS]
    = { invoice->number, td_invoice_kind_to_text (invoice->kind), or_empty (invoice->credits), issued, due, invoice->account,
        invoice->payer.name, or_empty (invoice->payer.purchase_order), or_empty (line->report), or_empty (line->site),
        or_empty (date), line->text, quantity, line->unit, price, net, td_tax_to_text (line->category), percent,
        invoice->currency };
  return exporter->row (exporter->data, cells, N_LINE_COLUMNS, error);
}

gboolean
td_export_invoice_lines (const TdExporter *exporter, GError **error)
{
  g_autoptr (TdStatement) row = td_statement_get (exporter->book, TD_SQL_EXPORT_INVOICE_BODIES, error);
  if (row == NULL)
    return FALSE;
  td_statement_bind_integer (row, ":from", exporter->from);
  td_statement_bind_integer (row, ":to", exporter->to);
  TdStep step;
  while ((step = td_statement_step (row, error)) == TD_STEP_ROW)
    {
      g_autoptr (TdInvoice) invoice = read_invoice (exporter->book, row, 0, 1, error);
      if (invoice == NULL)
        return FALSE;
      for (guint i = 0; i < invoice->lines->len; i++)
        if (!hand_line (exporter, invoice, &g_array_index (invoice->lines, TdInvoiceLine, i), error))
          return FALSE;
    }
  return step == TD_STEP_DONE;
}

/* "" for 0: a posting has one of both. */
static char *
format_side (gint64 minor, const char *currency)
{
  return minor != 0 ? td_money_to_plain_text (minor, currency) : g_strdup ("");
}

static gboolean
hand_posting (const TdExporter *exporter, const TdMasters *masters, guint number, const TdLedgerEntry *entry,
              const TdPosting *posting, GError **error)
{
  g_autofree char *n = g_strdup_printf ("%u", number);
  g_autofree char *day = td_date_to_text (entry->day);
  g_autofree char *debit = format_side (posting->debit_minor, entry->currency);
  g_autofree char *credit = format_side (posting->credit_minor, entry->currency);
  g_autofree char *percent = posting->taxed ? td_milli_to_text (posting->percent_milli) : NULL;
  const char *const cells[N_LEDGER_COLUMNS]
    = { n, day, td_ledger_kind_to_text (entry->kind), entry->document, entry->party, or_empty (entry->text),
        td_ledger_find_code (masters, posting->id), posting->id, debit, credit, entry->currency,
        posting->taxed ? td_tax_to_text (posting->category) : "", or_empty (percent) };
  return exporter->row (exporter->data, cells, N_LEDGER_COLUMNS, error);
}

/* Columns: day, kind, code, bill-to, currency, amount and text of a payment, body of an invoice. */
static TdLedgerEntry *
make_entry (TdBook *book, TdStatement *row, GError **error)
{
  if (td_statement_is_null (row, 7))
    return td_ledger_from_payment (td_statement_get_text (row, 2), td_statement_get_text (row, 3),
                                   td_statement_get_text (row, 4), (TdDate) td_statement_get_integer (row, 0),
                                   td_statement_get_integer (row, 5),
                                   td_statement_is_null (row, 6) ? NULL : td_statement_get_text (row, 6));
  g_autoptr (TdInvoice) invoice = read_invoice (book, row, 2, 7, error);
  return invoice != NULL ? td_ledger_from_invoice (invoice, error) : NULL;
}

gboolean
td_export_ledger (const TdExporter *exporter, GError **error)
{
  if (!td_cache_refresh (exporter->book, error))
    return FALSE;
  const TdMasters *masters = td_cache_get_masters (exporter->book, error);
  g_autoptr (TdStatement) row
    = masters != NULL ? td_statement_get (exporter->book, TD_SQL_EXPORT_LEDGER_EVENTS, error) : NULL;
  if (row == NULL)
    return FALSE;
  td_statement_bind_integer (row, ":from", exporter->from);
  td_statement_bind_integer (row, ":to", exporter->to);
  guint number = 0;
  TdStep step;
  while ((step = td_statement_step (row, error)) == TD_STEP_ROW)
    {
      g_autoptr (TdLedgerEntry) entry = make_entry (exporter->book, row, error);
      if (entry == NULL)
        return FALSE;
      number += entry->postings->len > 0;
      for (guint i = 0; i < entry->postings->len; i++)
        if (!hand_posting (exporter, masters, number, entry, &g_array_index (entry->postings, TdPosting, i), error))
          return FALSE;
    }
  return step == TD_STEP_DONE;
}
