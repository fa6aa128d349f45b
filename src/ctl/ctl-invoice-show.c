/* invoice show, list. */
#include "ctl-invoice.h"

#include "core-invoice-json.h"
#include "core-money.h"

#include <stdio.h>

static void
build_payments (TdJsonBuilder *builder, const TdInvoiceRecord *record)
{
  td_json_builder_key (builder, "payments");
  td_json_builder_begin_array (builder);
  for (guint i = 0; i < record->payments->len; i++)
    {
      const TdPayment *payment = &g_array_index (record->payments, TdPayment, i);
      g_autofree char *day = td_date_to_text (payment->day);

      td_json_builder_begin_object (builder);
      td_json_builder_member_string (builder, "date", day);
      td_json_builder_member_integer (builder, "amount_minor", payment->amount_minor);
      td_json_builder_member_string (builder, "text", payment->text);
      td_json_builder_end (builder);
    }
  td_json_builder_end (builder);
}

static void
build_balance (TdJsonBuilder *builder, const TdInvoiceRow *row)
{
  td_json_builder_member_integer (builder, "paid_minor", row->paid_minor);
  td_json_builder_member_integer (builder, "credited_minor", row->credited_minor);
  td_json_builder_member_integer (builder, "open_minor", row->open_minor);
}

void
td_ctl_invoice_build (TdJsonBuilder *builder, const TdInvoiceRecord *record)
{
  td_json_builder_begin_object (builder);
  td_invoice_build_json (record->invoice, builder);
  build_payments (builder, record);
  build_balance (builder, record->row);
  td_json_builder_member_string (builder, "seal", record->seal);
  td_json_builder_member_string (builder, "previous_seal", record->previous_seal);
  td_json_builder_end (builder);
}

static void
print_text (const TdInvoiceRecord *record)
{
  const TdInvoice *invoice = record->invoice;
  g_autofree char *issued = td_date_to_text (invoice->issued);
  g_autofree char *due = td_date_to_text (invoice->due);
  g_autofree char *total = td_money_to_text (invoice->total_minor, invoice->currency);
  g_autofree char *open = td_money_to_text (record->row->open_minor, invoice->currency);

  printf ("%s %s of %s, to %s, due %s\n", td_invoice_kind_to_text (invoice->kind), invoice->number, issued,
          invoice->payer.name, due);
  for (guint i = 0; i < invoice->lines->len; i++)
    {
      const TdInvoiceLine *line = &g_array_index (invoice->lines, TdInvoiceLine, i);
      g_autofree char *net = td_money_to_text (line->net_minor, invoice->currency);

      printf ("%4u  %-10s  %-50s  %s\n", i + 1, line->report != NULL ? line->report : "", line->text, net);
    }
  printf ("total %s, open %s\n", total, open);
}

gboolean
td_ctl_invoice_show (TdBook *book, const TdCtlInvoice *options, char **words, GError **error)
{
  g_autoptr (TdInvoiceRecord) record = td_book_load_invoice (book, words[0], error);
  g_autoptr (GPtrArray) numbers = g_ptr_array_new ();

  if (record == NULL)
    return FALSE;
  g_ptr_array_add (numbers, record->row->number);
  if (options->format != NULL || (options->out != NULL && g_str_has_suffix (options->out, ".xml")))
    return td_ctl_invoice_write_ubl (book, numbers, options, error);
  if (options->out != NULL && !td_ctl_invoice_paint (book, numbers, options, error))
    return FALSE;
  if (options->json)
    {
      g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();

      td_ctl_invoice_build (builder, record);
      return td_ctl_invoice_put (builder, NULL, error);
    }
  if (options->out == NULL)
    print_text (record);
  return TRUE;
}

static void
build_row (TdJsonBuilder *builder, const TdInvoiceRow *row)
{
  g_autofree char *issued = td_date_to_text (row->issued);
  g_autofree char *due = td_date_to_text (row->due);

  td_json_builder_begin_object (builder);
  td_json_builder_member_string (builder, "number", row->number);
  td_json_builder_member_string (builder, "kind", td_invoice_kind_to_text (row->kind));
  td_json_builder_member_string (builder, "account", row->account);
  td_json_builder_member_string (builder, "account_id", row->account_id);
  td_json_builder_member_string (builder, "bill_to", row->bill_to);
  td_json_builder_member_string (builder, "currency", row->currency);
  td_json_builder_member_string (builder, "issued", issued);
  td_json_builder_member_string (builder, "due", due);
  td_json_builder_member_integer (builder, "net_minor", row->net_minor);
  td_json_builder_member_integer (builder, "tax_minor", row->tax_minor);
  td_json_builder_member_integer (builder, "total_minor", row->total_minor);
  td_json_builder_member_string (builder, "credits", row->credits);
  build_balance (builder, row);
  td_json_builder_end (builder);
}

static void
print_row (const TdInvoiceRow *row)
{
  g_autofree char *issued = td_date_to_text (row->issued);
  g_autofree char *total = td_money_to_text (row->total_minor, row->currency);
  g_autofree char *open = td_money_to_text (row->open_minor, row->currency);

  printf ("%s  %s  %-11s  %14s  open %14s  %s\n", row->number, issued, td_invoice_kind_to_text (row->kind), total, open,
          row->bill_to);
}

gboolean
td_ctl_invoice_list (TdBook *book, const TdCtlInvoice *options, char **words, GError **error)
{
  const TdInvoicesFilter filter = { .account_id = options->account,
                                    .open_only = options->open,
                                    .overdue_only = options->overdue,
                                    .today = options->day,
                                    .order = TD_INVOICES_BY_ISSUED };
  g_autoptr (GPtrArray) rows = td_book_list_invoices (book, &filter, error);
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();

  (void) words;
  if (rows == NULL)
    return FALSE;
  td_json_builder_begin_array (builder);
  for (guint i = 0; i < rows->len; i++)
    if (options->json)
      build_row (builder, g_ptr_array_index (rows, i));
    else
      print_row (g_ptr_array_index (rows, i));
  td_json_builder_end (builder);
  return !options->json || td_ctl_invoice_put (builder, NULL, error);
}
