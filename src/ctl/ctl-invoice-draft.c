/* invoice draft, waiting, issue. */
#include "ctl-invoice.h"

#include "core-invoice-json.h"
#include "core-money.h"

#include <stdio.h>
#include <string.h>

static TdDraftFilter
make_filter (const TdCtlInvoice *options)
{
  TdDraftFilter filter = { .account_id = options->account,
                           .until = options->until_day,
                           .has_until = options->until_day != TD_DATE_NONE,
                           .keys = (const char *const *) options->keys };

  return filter;
}

static gboolean
print_json (const GPtrArray *drafts, GError **error)
{
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();

  td_json_builder_begin_array (builder);
  for (guint i = 0; i < drafts->len; i++)
    {
      const TdInvoiceDraft *draft = g_ptr_array_index (drafts, i);

      td_json_builder_begin_object (builder);
      td_json_builder_member_string (builder, "key", draft->key);
      td_invoice_build_json (draft->invoice, builder);
      td_json_builder_end (builder);
    }
  td_json_builder_end (builder);
  return td_ctl_invoice_put (builder, NULL, error);
}

static void
print_table (const TdInvoiceDrafts *drafts)
{
  for (guint i = 0; i < drafts->drafts->len; i++)
    {
      const TdInvoiceDraft *draft = g_ptr_array_index (drafts->drafts, i);
      g_autofree char *net = td_money_to_text (draft->invoice->net_minor, draft->invoice->currency);
      g_autofree char *total = td_money_to_text (draft->invoice->total_minor, draft->invoice->currency);

      printf ("%-11s  net %s, to pay %s  %s, %s  (key %s)\n", td_invoice_kind_to_text (draft->invoice->kind), net, total,
              draft->invoice->account, draft->invoice->payer.name, draft->key);
    }
  if (drafts->waiting->len > 0)
    printf ("%u more cannot be drafted; 'tundishctl invoice waiting' says why\n", drafts->waiting->len);
}

gboolean
td_ctl_invoice_draft (TdBook *book, const TdCtlInvoice *options, char **words, GError **error)
{
  const TdDraftFilter filter = make_filter (options);
  g_autoptr (TdInvoiceDrafts) drafts = td_book_draft_invoices (book, &filter, error);

  (void) words;
  if (drafts == NULL)
    return FALSE;
  if (options->out != NULL && !td_ctl_invoice_paint_drafts (drafts->drafts, options, error))
    return FALSE;
  if (options->json)
    return print_json (drafts->drafts, error);
  if (options->out == NULL)
    print_table (drafts);
  return TRUE;
}

/* Whole days that a hold has stood. */
static gint64
get_age (TdBook *book, const TdWaiting *waiting)
{
  return (td_clock_get_now_ms (td_book_get_clock (book)) - waiting->since_ms) / G_GINT64_CONSTANT (86400000);
}

static void
build_waiting (TdJsonBuilder *builder, TdBook *book, const TdWaiting *waiting)
{
  g_autofree char *id = td_uuid_to_text (&waiting->visit);
  g_autofree char *date = td_date_to_text (waiting->date);

  td_json_builder_begin_object (builder);
  td_json_builder_member_string (builder, "visit", id);
  td_json_builder_member_string (builder, "number", waiting->number);
  td_json_builder_member_string (builder, "account", waiting->account);
  td_json_builder_member_string (builder, "site", waiting->site);
  td_json_builder_member_string (builder, "date", date);
  td_json_builder_member_string (builder, "why", td_waiting_why_to_text (waiting->why));
  td_json_builder_member_string (builder, "text", waiting->text);
  if (waiting->why == TD_WAITING_HOLD)
    td_json_builder_member_integer (builder, "days", get_age (book, waiting));
  td_json_builder_end (builder);
}

gboolean
td_ctl_invoice_waiting (TdBook *book, const TdCtlInvoice *options, char **words, GError **error)
{
  const TdDraftFilter filter = make_filter (options);
  g_autoptr (TdInvoiceDrafts) drafts = td_book_draft_invoices (book, &filter, error);
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();

  (void) words;
  if (drafts == NULL)
    return FALSE;
  td_json_builder_begin_array (builder);
  for (guint i = 0; i < drafts->waiting->len; i++)
    {
      const TdWaiting *waiting = g_ptr_array_index (drafts->waiting, i);
      g_autofree char *date = td_date_to_text (waiting->date);

      build_waiting (builder, book, waiting);
      if (!options->json && waiting->why == TD_WAITING_HOLD)
        printf ("%s  %s  %s: held for %" G_GINT64_FORMAT " days, %s\n", date, waiting->number, waiting->account,
                get_age (book, waiting), waiting->text);
      else if (!options->json)
        printf ("%s  %s  %s: %s\n", date, waiting->number, waiting->account, waiting->text);
    }
  td_json_builder_end (builder);
  return !options->json || td_ctl_invoice_put (builder, NULL, error);
}

static gboolean
print_issued (TdBook *book, const GPtrArray *numbers, const TdCtlInvoice *options, GError **error)
{
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();

  td_json_builder_begin_array (builder);
  for (guint i = 0; i < numbers->len; i++)
    {
      g_autoptr (TdInvoiceRecord) record = td_book_load_invoice (book, g_ptr_array_index (numbers, i), error);
      g_autofree char *total = NULL;

      if (record == NULL)
        return FALSE;
      td_ctl_invoice_build (builder, record);
      total = td_money_to_text (record->row->total_minor, record->row->currency);
      if (!options->json)
        printf ("%s  %-11s  %s  %s\n", record->row->number, td_invoice_kind_to_text (record->row->kind), total,
                record->row->bill_to);
    }
  td_json_builder_end (builder);
  return !options->json || td_ctl_invoice_put (builder, NULL, error);
}

gboolean
td_ctl_invoice_issue (TdBook *book, const TdCtlInvoice *options, char **words, GError **error)
{
  const TdDraftFilter filter = make_filter (options);
  g_autoptr (GPtrArray) numbers = NULL;

  (void) words;
  if (!options->all && options->account == NULL && options->keys == NULL)
    {
      g_set_error_literal (error, G_OPTION_ERROR, G_OPTION_ERROR_BAD_VALUE,
                           "say what to issue: --all, --account ACCOUNT or --key KEY");
      return FALSE;
    }
  numbers = td_book_issue_invoices (book, &filter, options->day, error);
  if (numbers == NULL || !print_issued (book, numbers, options, error))
    return FALSE;
  return options->out == NULL || numbers->len == 0 || td_ctl_invoice_paint (book, numbers, options, error);
}
