/* Invoices of a run as one PDF, each with the reports of its visits behind it where that is asked for. */
#include "ctl-invoice.h"

#include "ctl-paper.h"
#include "ctl-report.h"

#include "document-invoice.h"
#include "document-report-pages.h"
#include "document-words.h"

#define DAY_MS G_GINT64_CONSTANT (86400000)

static GPtrArray *
new_documents (void)
{
  return g_ptr_array_new_with_free_func ((GDestroyNotify) td_pages_free);
}

gboolean
td_ctl_invoice_write (const GPtrArray *documents, const char *path, const char *title, const char *author,
                      gint64 utc_ms, GError **error)
{
  const TdPdfInfo info = { .title = title, .author = author, .language = td_document_language (), .utc_ms = utc_ms };

  return td_ctl_write_bound (documents, path, &info, error);
}

static gboolean
add (GPtrArray *documents, TdPages *pages)
{
  if (pages != NULL)
    g_ptr_array_add (documents, pages);
  return pages != NULL;
}

static gboolean
fail_empty (GError **error)
{
  g_set_error_literal (error, TD_BOOK_ERROR, TD_BOOK_ERROR_MISSING,
                       "There is nothing to be written; no file was made; look at what is drafted or issued");
  return FALSE;
}

gboolean
td_ctl_invoice_paint_drafts (const GPtrArray *drafts, const TdCtlInvoice *options, GError **error)
{
  g_autoptr (GPtrArray) documents = new_documents ();
  g_autoptr (TdFonts) fonts = drafts->len > 0 ? td_fonts_new (td_document_language (), error) : NULL;

  if (drafts->len == 0)
    return fail_empty (error);
  for (guint i = 0; i < drafts->len; i++)
    if (fonts == NULL
        || !add (documents, td_invoice_to_pages (((TdInvoiceDraft *) g_ptr_array_index (drafts, i))->invoice, NULL,
                                                 fonts, options->paper_kind, error)))
      return FALSE;
  return td_ctl_invoice_write (documents, options->out, "Drafts of invoices", NULL, options->day * DAY_MS, error);
}

static gboolean
add_reports (GPtrArray *documents, TdBook *book, const TdInvoice *invoice, const TdCtlInvoice *options, GError **error)
{
  g_autoptr (GPtrArray) visits = td_invoice_list_visits (invoice);

  for (guint i = 0; i < visits->len; i++)
    {
      TdUuid visit;
      g_autoptr (TdReport) report = NULL;

      if (!td_uuid_parse (g_ptr_array_index (visits, i), &visit, error))
        return FALSE;
      report = td_ctl_make_report (book, &visit, TD_UNITS_METRIC, error);
      if (report == NULL || !add (documents, td_report_to_pages (report, options->paper_kind, error)))
        return FALSE;
    }
  return TRUE;
}

gboolean
td_ctl_invoice_paint (TdBook *book, const GPtrArray *numbers, const TdCtlInvoice *options, GError **error)
{
  g_autoptr (GPtrArray) documents = new_documents ();
  g_autoptr (TdFonts) fonts = numbers->len > 0 ? td_fonts_new (td_document_language (), error) : NULL;
  g_autofree char *title = NULL, *author = NULL;
  gint64 utc_ms = 0;

  if (numbers->len == 0)
    return fail_empty (error);
  for (guint i = 0; i < numbers->len; i++)
    {
      g_autoptr (TdInvoiceRecord) record
          = fonts != NULL ? td_book_load_invoice (book, g_ptr_array_index (numbers, i), error) : NULL;
      TdInvoiceContext context = { .has_balance = TRUE };

      if (record == NULL)
        return FALSE;
      context.seal = record->seal;
      context.paid_minor = record->row->paid_minor;
      context.credited_minor = record->row->credited_minor;
      context.open_minor = record->row->open_minor;
      if (!add (documents, td_invoice_to_pages (record->invoice, &context, fonts, options->paper_kind, error))
          || (options->with_reports && !add_reports (documents, book, record->invoice, options, error)))
        return FALSE;
      utc_ms = MAX (utc_ms, (gint64) record->invoice->issued * DAY_MS);
      if (title == NULL)
        title = numbers->len == 1 ? td_invoice_make_title (record->invoice)
                                  : g_strdup_printf ("%u invoices and credit notes", numbers->len);
      if (author == NULL)
        author = g_strdup (record->invoice->seller.name);
    }
  return td_ctl_invoice_write (documents, options->out, title, author, utc_ms, error);
}
