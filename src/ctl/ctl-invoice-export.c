/* invoice export: issued invoices in full, as JSON, as CSV a line, as one PDF of the run, or as
 * electronic ones. */
#include "ctl-invoice.h"

#include "core-money.h"
#include "exchange-csv.h"

#include <string.h>

static void
add_field (GString *csv, const char *text)
{
  td_csv_append_cell (csv, text != NULL ? text : "", TD_CSV_SPREADSHEET);
  g_string_append_c (csv, ',');
}

/* A figure stands bare: "-12.50". */
static void
add_money (GString *csv, gint64 minor, const char *currency)
{
  g_autofree char *text = td_money_to_plain_text (minor, currency);

  g_string_append_printf (csv, "%s,", text);
}

static void
add_milli (GString *csv, gint64 milli)
{
  guint64 rest = milli < 0 ? -(guint64) milli : (guint64) milli;

  g_string_append_printf (csv, "%s%" G_GUINT64_FORMAT ".%03d,", milli < 0 ? "-" : "", rest / 1000, (int) (rest % 1000));
}

static void
add_csv (GString *csv, const TdInvoice *invoice)
{
  g_autofree char *issued = td_date_to_text (invoice->issued);
  g_autofree char *due = td_date_to_text (invoice->due);

  for (guint i = 0; i < invoice->lines->len; i++)
    {
      const TdInvoiceLine *line = &g_array_index (invoice->lines, TdInvoiceLine, i);
      g_autofree char *date = td_date_to_text (line->date);

      add_field (csv, invoice->number);
      add_field (csv, td_invoice_kind_to_text (invoice->kind));
      add_field (csv, invoice->credits);
      g_string_append_printf (csv, "%s,%s,", issued, due);
      add_field (csv, invoice->account);
      add_field (csv, invoice->payer.name);
      add_field (csv, invoice->payer.purchase_order);
      add_field (csv, line->report);
      add_field (csv, line->site);
      g_string_append_printf (csv, "%s,", date);
      add_field (csv, line->text);
      add_milli (csv, line->quantity_milli);
      add_field (csv, line->unit);
      add_money (csv, line->unit_price_minor, invoice->currency);
      add_money (csv, line->net_minor, invoice->currency);
      add_field (csv, td_tax_to_text (line->category));
      add_milli (csv, line->percent_milli);
      g_string_append_printf (csv, "%s\r\n", invoice->currency);
    }
}

static gboolean
is_wanted (const TdInvoiceRow *row, const TdCtlInvoice *options)
{
  return (options->from_day == TD_DATE_NONE || row->issued >= options->from_day)
         && (options->to_day == TD_DATE_NONE || row->issued <= options->to_day);
}

/* Numbers of all that fit, oldest first. */
static GPtrArray *
list_numbers (TdBook *book, const TdCtlInvoice *options, GError **error)
{
  const TdInvoicesFilter filter = { .account_id = options->account,
                                    .open_only = options->open,
                                    .overdue_only = options->overdue,
                                    .today = options->day,
                                    .order = TD_INVOICES_BY_ISSUED };
  g_autoptr (GPtrArray) rows = td_book_list_invoices (book, &filter, error);
  GPtrArray *numbers;

  if (rows == NULL)
    return NULL;
  numbers = g_ptr_array_new_with_free_func (g_free);
  for (guint i = 0; i < rows->len; i++)
    if (is_wanted (g_ptr_array_index (rows, i), options))
      g_ptr_array_add (numbers, g_strdup (((TdInvoiceRow *) g_ptr_array_index (rows, i))->number));
  return numbers;
}

gboolean
td_ctl_invoice_export (TdBook *book, const TdCtlInvoice *options, char **words, GError **error)
{
  g_autoptr (GPtrArray) numbers = list_numbers (book, options, error);
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();
  g_autoptr (GString) csv
      = g_string_new ("number,kind,credits,issued,due,account,bill_to,purchase_order,report,site,date,text,quantity,unit,"
                      "unit_price,net,tax_category,tax_percent,currency\r\n");

  (void) words;
  if (numbers == NULL)
    return FALSE;
  if (options->format != NULL)
    return td_ctl_invoice_write_ubl (book, numbers, options, error);
  if (options->out != NULL && g_str_has_suffix (options->out, ".pdf"))
    return td_ctl_invoice_paint (book, numbers, options, error);
  td_json_builder_begin_array (builder);
  for (guint i = 0; i < numbers->len; i++)
    {
      g_autoptr (TdInvoiceRecord) record = td_book_load_invoice (book, g_ptr_array_index (numbers, i), error);

      if (record == NULL)
        return FALSE;
      td_ctl_invoice_build (builder, record);
      add_csv (csv, record->invoice);
    }
  td_json_builder_end (builder);
  if (options->out != NULL && g_str_has_suffix (options->out, ".csv"))
    return g_file_set_contents (options->out, csv->str, (gssize) csv->len, error);
  return td_ctl_invoice_put (builder, options->out, error);
}
