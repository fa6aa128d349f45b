#include "store-export.h"

#include "store-agreement.h"
#include "store-export-private.h"
#include "store-ledger.h"
#include "store-master-read.h"
#include "store-query.h"

#include "core-json-build.h"
#include "core-ledger.h"
#include "core-money.h"

#include <string.h>

/* Dates are 32 bits, so these lie beyond all of them. */
#define LONG_AGO G_MININT32
#define FAR_OFF G_MAXINT32
/* Most columns of a table that is read from one statement. */
#define MAX_COLUMNS 24
#define DAY_MS G_GINT64_CONSTANT (86400000)

/* How a column of a statement becomes a cell. */
typedef enum
{
  CELL_TEXT,
  CELL_INTEGER,
  CELL_MILLI,
  CELL_DATE,
  CELL_MOMENT,
  CELL_UUID,
  CELL_MONEY /* in the currency that stands in the column before the first amount */
} Cell;

typedef struct
{
  const char *name;
  Cell cell;
} Column;

static const Column account_columns[] = {
  { "account", CELL_TEXT }, { "name", CELL_TEXT },  { "address", CELL_TEXT },  { "contact", CELL_TEXT },
  { "email", CELL_TEXT },   { "phone", CELL_TEXT }, { "note", CELL_TEXT },     { "sites", CELL_INTEGER },
  { "retired", CELL_TEXT }, { NULL, CELL_TEXT },
};

static const Column line_columns[] = {
  { "account", CELL_TEXT }, { "site", CELL_TEXT },    { "site_name", CELL_TEXT },    { "line", CELL_TEXT },
  { "number", CELL_TEXT },  { "tower", CELL_TEXT },   { "product", CELL_TEXT },      { "since", CELL_DATE },
  { "last_caustic", CELL_DATE }, { "last_acid", CELL_DATE }, { "last_faucet_strip", CELL_DATE },
  { "last_fob_coupler_strip", CELL_DATE }, { NULL, CELL_TEXT },
};

static const Column visit_columns[] = {
  { "report", CELL_TEXT },   { "visit", CELL_UUID },     { "account", CELL_TEXT },  { "site", CELL_TEXT },
  { "site_name", CELL_TEXT }, { "date", CELL_DATE },     { "arrived", CELL_MOMENT }, { "closed", CELL_MOMENT },
  { "state", CELL_TEXT },    { "person", CELL_TEXT },    { "lines_cleaned", CELL_INTEGER },
  { "entries", CELL_INTEGER }, { "stops", CELL_INTEGER }, { "reasons", CELL_INTEGER }, { "advice", CELL_INTEGER },
  { "amends", CELL_UUID },   { "amended_by", CELL_UUID }, { NULL, CELL_TEXT },
};

static const Column invoice_columns[] = {
  { "number", CELL_TEXT },   { "kind", CELL_TEXT },      { "credits", CELL_TEXT },  { "issued", CELL_DATE },
  { "due", CELL_DATE },      { "account", CELL_TEXT },   { "bill_to", CELL_TEXT },  { "currency", CELL_TEXT },
  { "net", CELL_MONEY },     { "tax", CELL_MONEY },      { "total", CELL_MONEY },   { "paid", CELL_MONEY },
  { "credited", CELL_MONEY }, { "open", CELL_MONEY },    { NULL, CELL_TEXT },
};

static const Column payment_columns[] = {
  { "date", CELL_DATE },     { "invoice", CELL_TEXT },   { "account", CELL_TEXT },  { "bill_to", CELL_TEXT },
  { "currency", CELL_TEXT }, { "amount", CELL_MONEY },   { "text", CELL_TEXT },     { NULL, CELL_TEXT },
};

static const Column chemical_columns[] = {
  { "date", CELL_DATE },     { "kind", CELL_TEXT },      { "product", CELL_TEXT },  { "product_name", CELL_TEXT },
  { "lot", CELL_TEXT },      { "lot_code", CELL_TEXT },  { "place", CELL_TEXT },    { "to_place", CELL_TEXT },
  { "concentrate_ml", CELL_INTEGER }, { "adjusted_ml", CELL_INTEGER }, { "water_ml", CELL_INTEGER },
  { "percent", CELL_MILLI }, { "basis", CELL_TEXT },     { "known", CELL_TEXT },    { "disposed_solution_ml", CELL_INTEGER },
  { "person", CELL_TEXT },   { "report", CELL_TEXT },    { "visit", CELL_UUID },    { "site", CELL_TEXT },
  { "reason", CELL_TEXT },   { NULL, CELL_TEXT },
};

static const struct
{
  const char *name;
  gboolean has_days;
  const Column *columns; /* of one statement; NULL: made by a function */
  TdSql sql;
  const char *const *made_columns;
  gboolean (*make) (const TdExporter *exporter, GError **error);
} tables[] = {
  [TD_EXPORT_ACCOUNTS] = { "accounts", FALSE, account_columns, TD_SQL_EXPORT_ACCOUNTS, NULL, NULL },
  [TD_EXPORT_LINES] = { "lines", FALSE, line_columns, TD_SQL_EXPORT_LINES, NULL, NULL },
  [TD_EXPORT_VISITS] = { "visits", TRUE, visit_columns, TD_SQL_EXPORT_VISITS, NULL, NULL },
  [TD_EXPORT_INVOICES] = { "invoices", TRUE, invoice_columns, TD_SQL_EXPORT_INVOICES, NULL, NULL },
  [TD_EXPORT_INVOICE_LINES]
  = { "invoice-lines", TRUE, NULL, TD_N_SQL, td_export_invoice_line_columns, td_export_invoice_lines },
  [TD_EXPORT_PAYMENTS] = { "payments", TRUE, payment_columns, TD_SQL_EXPORT_PAYMENTS, NULL, NULL },
  [TD_EXPORT_CHEMICALS] = { "chemicals", TRUE, chemical_columns, TD_SQL_EXPORT_CHEMICALS, NULL, NULL },
  [TD_EXPORT_LEDGER] = { "ledger", TRUE, NULL, TD_N_SQL, td_export_ledger_columns, td_export_ledger },
};
G_STATIC_ASSERT (G_N_ELEMENTS (tables) == TD_N_EXPORTS);

const char *
td_export_to_text (TdExport table)
{
  g_return_val_if_fail (table < TD_N_EXPORTS, NULL);
  return tables[table].name;
}

gboolean
td_export_from_text (const char *text, TdExport *table_out)
{
  g_return_val_if_fail (text != NULL && table_out != NULL, FALSE);
  for (guint i = 0; i < TD_N_EXPORTS; i++)
    if (strcmp (tables[i].name, text) == 0)
      {
        *table_out = (TdExport) i;
        return TRUE;
      }
  return FALSE;
}

gboolean
td_export_has_days (TdExport table)
{
  g_return_val_if_fail (table < TD_N_EXPORTS, FALSE);
  return tables[table].has_days;
}

/* A damaged book may hold any number. */
static gboolean
is_day (gint64 value)
{
  return value >= td_date_make (1, 1, 2) && value < td_date_make (9999, 12, 31);
}

static char *
make_cell (TdStatement *row, int column, Cell cell, const char *currency)
{
  if (td_statement_is_null (row, column))
    return g_strdup ("");
  gint64 value = cell == CELL_TEXT || cell == CELL_UUID ? 0 : td_statement_get_integer (row, column);
  switch (cell)
    {
    case CELL_TEXT:
      return td_statement_dup_text (row, column);
    case CELL_INTEGER:
      return g_strdup_printf ("%" G_GINT64_FORMAT, value);
    case CELL_MILLI:
      return td_milli_to_text (value);
    case CELL_DATE:
      return is_day (value) ? td_date_to_text ((TdDate) value) : g_strdup ("");
    case CELL_MOMENT:
      {
        const TdMoment moment = { value, 0 };
        return is_day (value / DAY_MS) ? td_moment_to_text (&moment) : g_strdup ("");
      }
    case CELL_UUID:
      {
        TdUuid uuid = td_statement_get_uuid (row, column);
        return td_uuid_to_text (&uuid);
      }
    case CELL_MONEY:
      return td_money_to_plain_text (value, currency != NULL ? currency : "");
    default:
      g_assert_not_reached ();
    }
}

static gboolean
hand_row (const TdExporter *exporter, TdStatement *row, const Column *columns, GError **error)
{
  char *cells[MAX_COLUMNS + 1] = { NULL };
  const char *currency = NULL;
  guint n = 0;
  for (; columns[n].name != NULL; n++)
    {
      g_assert (n < MAX_COLUMNS);
      cells[n] = make_cell (row, (int) n, columns[n].cell, currency);
      if (strcmp (columns[n].name, "currency") == 0)
        currency = cells[n];
    }
  gboolean ok = exporter->row (exporter->data, (const char *const *) cells, n, error);
  for (guint i = 0; i < n; i++)
    g_free (cells[i]);
  return ok;
}

static gboolean
export_statement (const TdExporter *exporter, TdExport table, GError **error)
{
  g_autoptr (TdStatement) row = td_statement_get (exporter->book, tables[table].sql, error);
  if (row == NULL)
    return FALSE;
  if (tables[table].has_days)
    {
      td_statement_bind_integer (row, ":from", exporter->from);
      td_statement_bind_integer (row, ":to", exporter->to);
    }
  TdStep step;
  while ((step = td_statement_step (row, error)) == TD_STEP_ROW)
    if (!hand_row (exporter, row, tables[table].columns, error))
      return FALSE;
  return step == TD_STEP_DONE;
}

static gboolean
hand_names (const TdExporter *exporter, TdExport table, GError **error)
{
  const char *names[MAX_COLUMNS + 1] = { NULL };
  guint n = 0;
  if (tables[table].columns == NULL)
    return exporter->row (exporter->data, tables[table].made_columns,
                          g_strv_length ((char **) tables[table].made_columns), error);
  for (; tables[table].columns[n].name != NULL; n++)
    names[n] = tables[table].columns[n].name;
  return exporter->row (exporter->data, names, n, error);
}

gboolean
td_book_export (TdBook *book, TdExport table, TdDate from, TdDate to, TdExportRow row, gpointer data, GError **error)
{
  td_book_assert_owner (book);
  g_return_val_if_fail (table < TD_N_EXPORTS && row != NULL, FALSE);
  const TdExporter exporter = { book, from != TD_DATE_NONE ? from : LONG_AGO, to != TD_DATE_NONE ? to : FAR_OFF, row, data };
  if (!td_book_begin_read (book, error))
    return FALSE;
  gboolean ok = hand_names (&exporter, table, error) &&
                (tables[table].make != NULL ? tables[table].make (&exporter, error)
                                            : export_statement (&exporter, table, error));
  td_book_end_read (book);
  return ok;
}

/* The payer as the newest agreement that knows it has it; NULL where none does. @agreements: newest first. */
static const TdPayer *
find_payer (const GPtrArray *agreements, const char *id)
{
  for (guint i = 0; i < agreements->len; i++)
    {
      const TdAgreementRow *row = g_ptr_array_index (agreements, i);
      for (guint p = 0; p < row->agreement->payers->len; p++)
        if (strcmp (g_array_index (row->agreement->payers, TdPayer, p).id, id) == 0)
          return &g_array_index (row->agreement->payers, TdPayer, p);
    }
  return NULL;
}

TdInvoice *
td_book_get_invoice_to_send (TdBook *book, const char *number, GError **error)
{
  td_book_assert_owner (book);
  g_autoptr (TdInvoiceRecord) record = td_book_load_invoice (book, number, error);
  g_autoptr (GPtrArray) agreements
    = record != NULL ? td_book_list_agreements (book, record->row->account_id, error) : NULL;
  g_autoptr (TdMasters) masters = agreements != NULL ? td_book_get_masters (book, error) : NULL;
  if (masters == NULL)
    return NULL;
  td_invoice_complete (record->invoice, masters, find_payer (agreements, record->invoice->payer.id));
  return g_steal_pointer (&record->invoice);
}

char *
td_book_get_sheet_text (TdBook *book, const char *site_id, GError **error)
{
  td_book_assert_owner (book);
  g_autoptr (TdSite) site = td_book_get_site (book, site_id, error);
  g_autoptr (TdJson) json = site != NULL ? td_site_to_json (site) : NULL;
  g_autofree char *text = json != NULL ? td_json_to_text (json, FALSE) : NULL;
  return text != NULL ? g_strconcat (text, "\n", NULL) : NULL;
}
