#include "desk-bill-paper.h"

#include "desk-i18n.h"
#include "document-invoice.h"
#include "document-pdf.h"
#include "document-words.h"
#include "document-report-pages.h"
#include "store-master.h"
#include "store-query.h"

#include <string.h>

#define DAY_MS G_GINT64_CONSTANT (86400000)

void
td_bill_paper_free (gpointer data)
{
  TdBillPaper *paper = data;

  g_clear_pointer (&paper->documents, g_ptr_array_unref);
  g_free (paper->name);
  g_free (paper->title);
  g_free (paper->author);
  g_free (paper);
}

void
td_bill_paper_asked_free (gpointer data)
{
  TdBillPaperAsked *asked = data;

  g_free (asked->keys);
  g_free (asked->number);
  g_free (asked->draft);
  g_free (asked->account_id);
  g_free (asked->path);
  g_free (asked);
}

void
td_bill_loaded_free (gpointer data)
{
  TdBillLoaded *loaded = data;

  g_clear_pointer (&loaded->invoice, td_invoice_unref);
  g_clear_pointer (&loaded->record, td_invoice_record_free);
  g_clear_pointer (&loaded->credited, g_array_unref);
  g_clear_pointer (&loaded->paper, td_bill_paper_free);
  g_free (loaded);
}

gboolean
td_bill_paper_write (gpointer document, const char *path, GError **error)
{
  const TdBillPaper *paper = document;
  const TdPdfInfo info = { .title = paper->title, .author = paper->author, .language = td_document_language (), .utc_ms = paper->utc_ms };

  return td_pdf_write_bound (paper->documents, path, &info, error);
}

static TdBillPaper *
new_paper (void)
{
  TdBillPaper *paper = g_new0 (TdBillPaper, 1);

  paper->documents = g_ptr_array_new_with_free_func ((GDestroyNotify) td_pages_free);
  return paper;
}

static gboolean
add (TdBillPaper *paper, TdPages *pages)
{
  if (pages != NULL)
    g_ptr_array_add (paper->documents, pages);
  return pages != NULL;
}

/* The number of a report that a visit amends or is amended by. */
static char *
find_number (TdBook *book, gboolean is, const TdUuid *visit)
{
  g_autoptr (TdVisitRecord) record = is ? td_book_load_visit (book, visit, NULL) : NULL;

  return record != NULL ? g_strdup (record->row->number) : NULL;
}

static gboolean
add_report (TdBook *book, TdBillPaper *paper, const char *id, const TdBillPaperAsked *asked, GError **error)
{
  TdUuid visit;
  g_autoptr (TdVisitRecord) record
    = td_uuid_parse (id, &visit, error) ? td_book_load_visit (book, &visit, error) : NULL;
  g_autofree char *amends = NULL;
  g_autofree char *amended_by = NULL;
  g_autoptr (TdReport) report = NULL;
  TdReportContext context = TD_REPORT_CONTEXT_INIT;

  if (record == NULL)
    return FALSE;
  amends = find_number (book, record->row->amends, &record->row->amends_id);
  amended_by = find_number (book, record->row->amended, &record->row->amended_by);
  context.number = record->row->number;
  context.seal = record->seal;
  context.previous_seal = record->previous_seal;
  context.amends_number = amends;
  context.amended_by = amended_by;
  context.now_ms = td_clock_get_now_ms (td_book_get_clock (book));
  report = td_report_new (record->visit, record->findings, &context, asked->units);
  return add (paper, td_report_to_pages (report, asked->kind, error));
}

static gboolean
add_reports (TdBook *book, TdBillPaper *paper, const TdInvoice *invoice, const TdBillPaperAsked *asked, GError **error)
{
  g_autoptr (GPtrArray) visits = td_invoice_list_visits (invoice);

  for (guint i = 0; asked->with_reports && i < visits->len; i++)
    if (!add_report (book, paper, g_ptr_array_index (visits, i), asked, error))
      return FALSE;
  return TRUE;
}

static gboolean
add_invoice (TdBook *book, TdBillPaper *paper, const TdInvoice *invoice, const TdInvoiceContext *context,
             TdFonts *fonts, const TdBillPaperAsked *asked, GError **error)
{
  paper->utc_ms = MAX (paper->utc_ms, (gint64) (invoice->issued != TD_DATE_NONE ? invoice->issued : 0) * DAY_MS);
  if (paper->author == NULL)
    paper->author = g_strdup (invoice->seller.name);
  return add (paper, td_invoice_to_pages (invoice, context, fonts, asked->kind, error))
         && add_reports (book, paper, invoice, asked, error);
}

static gboolean
add_record (TdBook *book, TdBillPaper *paper, const TdInvoiceRecord *record, TdFonts *fonts,
            const TdBillPaperAsked *asked, GError **error)
{
  const TdInvoiceContext context = { .seal = record->seal,
                                     .has_balance = TRUE,
                                     .paid_minor = record->row->paid_minor,
                                     .credited_minor = record->row->credited_minor,
                                     .open_minor = record->row->open_minor };

  return add_invoice (book, paper, record->invoice, &context, fonts, asked, error);
}

static gboolean
load_issued (TdBook *book, TdBillLoaded *loaded, TdFonts *fonts, const TdBillPaperAsked *asked, GError **error)
{
  loaded->record = td_book_load_invoice (book, asked->number, error);
  if (loaded->record == NULL)
    return FALSE;
  loaded->invoice = td_invoice_ref (loaded->record->invoice);
  loaded->credited = td_book_list_credited_lines (book, asked->number, error);
  return loaded->credited != NULL && add_record (book, loaded->paper, loaded->record, fonts, asked, error);
}

/* A draft is made anew: what it was may have changed or gone. */
static gboolean
load_draft (TdBook *book, TdBillLoaded *loaded, TdFonts *fonts, const TdBillPaperAsked *asked, GError **error)
{
  g_autofree char *account = g_strndup (asked->draft, strcspn (asked->draft, "/"));
  const TdDraftFilter filter = { .account_id = account };
  g_autoptr (TdInvoiceDrafts) drafts = td_book_draft_invoices (book, &filter, error);

  for (guint i = 0; drafts != NULL && i < drafts->drafts->len && loaded->invoice == NULL; i++)
    {
      const TdInvoiceDraft *draft = g_ptr_array_index (drafts->drafts, i);

      if (strcmp (draft->key, asked->draft) == 0)
        loaded->invoice = td_invoice_ref (draft->invoice);
    }
  if (drafts != NULL && loaded->invoice == NULL)
    g_set_error_literal (error, TD_BOOK_ERROR, TD_BOOK_ERROR_MISSING,
                         "This draft is no longer there: it was issued, or its visits were held or amended; look at "
                         "the list of drafts");
  return loaded->invoice != NULL && add_invoice (book, loaded->paper, loaded->invoice, NULL, fonts, asked, error);
}

gboolean
td_bill_load_job (TdBook *book, gpointer data, gpointer *result_out, GError **error)
{
  const TdBillPaperAsked *asked = data;
  g_autoptr (TdFonts) fonts = td_fonts_new (td_document_language (), error);
  TdBillLoaded *loaded;

  if (fonts == NULL)
    return FALSE;
  loaded = g_new0 (TdBillLoaded, 1);
  loaded->paper = new_paper ();
  if (!(asked->number != NULL ? load_issued : load_draft) (book, loaded, fonts, asked, error))
    {
      td_bill_loaded_free (loaded);
      return FALSE;
    }
  loaded->paper->title = td_invoice_make_title (loaded->invoice);
  /* Translators: the name of a file: who pays, and that the invoice is not issued. */
  loaded->paper->name = asked->number != NULL ? g_strdup (asked->number)
                                              : g_strdup_printf (_ ("%s draft"), loaded->invoice->payer.name);
  *result_out = loaded;
  return TRUE;
}

static gboolean
fill_run (TdBook *book, TdBillPaper *paper, const TdBillPaperAsked *asked, GError **error)
{
  g_autoptr (TdFonts) fonts = td_fonts_new (td_document_language (), error);

  for (guint i = 0; fonts != NULL && i < asked->n_keys; i++)
    {
      g_autoptr (TdInvoiceRow) row = td_book_get_invoice_row (book, asked->keys[i], error);
      g_autoptr (TdInvoiceRecord) record = row != NULL ? td_book_load_invoice (book, row->number, error) : NULL;

      if (record == NULL || !add_record (book, paper, record, fonts, asked, error))
        return FALSE;
      if (asked->n_keys == 1)
        {
          paper->title = td_invoice_make_title (record->invoice);
          paper->name = g_strdup (row->number);
        }
    }
  return fonts != NULL;
}

gboolean
td_bill_paper_job (TdBook *book, gpointer data, gpointer *result_out, GError **error)
{
  const TdBillPaperAsked *asked = data;
  TdBillPaper *paper = new_paper ();

  if (!fill_run (book, paper, asked, error))
    {
      td_bill_paper_free (paper);
      return FALSE;
    }
  if (paper->title == NULL)
    paper->title = g_strdup_printf (_ ("%u invoices and credit notes"), asked->n_keys);
  if (paper->name == NULL)
    paper->name = g_strdup (_ ("Invoices"));
  *result_out = paper;
  return TRUE;
}

gboolean
td_bill_paper_file_job (TdBook *book, gpointer data, gpointer *result_out, GError **error)
{
  const TdBillPaperAsked *asked = data;
  gpointer paper = NULL;
  gboolean ok = td_bill_paper_job (book, data, &paper, error) && td_bill_paper_write (paper, asked->path, error);

  g_clear_pointer (&paper, td_bill_paper_free);
  return ok;
}

gboolean
td_bill_statement_job (TdBook *book, gpointer data, gpointer *result_out, GError **error)
{
  const TdBillPaperAsked *asked = data;
  g_autoptr (TdAccountStatement) statement
    = td_book_make_statement (book, asked->account_id, asked->from, asked->to, error);
  g_autoptr (TdMasters) masters = statement != NULL ? td_book_get_masters (book, error) : NULL;
  g_autoptr (TdFonts) fonts = masters != NULL ? td_fonts_new (td_document_language (), error) : NULL;
  TdBillPaper *paper;

  if (fonts == NULL)
    return FALSE;
  paper = new_paper ();
  if (!add (paper, td_statement_to_pages (statement, masters, fonts, asked->kind, error)))
    {
      td_bill_paper_free (paper);
      return FALSE;
    }
  paper->title = g_strdup_printf (_ ("Statement of account, %s"), statement->account);
  paper->name = g_strdup (paper->title);
  paper->author = g_strdup (masters->company);
  paper->utc_ms = (gint64) statement->to * DAY_MS;
  *result_out = paper;
  return TRUE;
}
