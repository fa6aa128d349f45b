/* Drafting and issuing 400 visits, and their documents as PDF, each as a ratio to a floor of the same run: what
 * only reading and folding those visits costs, and what a page with a single word costs.
 *
 * usage: bench-invoice [VISITS]. Times are processor times. */
#include "demo-book.h"
#include "document-invoice.h"
#include "document-pdf.h"
#include "store-invoice.h"
#include "store-ledger.h"
#include "store-query.h"

#include <glib/gstdio.h>
#include <stdlib.h>
#include <time.h>

/* 2026-06-15, the demonstration's day, by GNU date. */
#define DAY 20619
#define DAY_MS G_GINT64_CONSTANT (86400000)

/* Processor time of this process, microseconds: what else the machine does is no matter of ours. */
static gint64
now (void)
{
  return (gint64) ((double) clock () * G_USEC_PER_SEC / CLOCKS_PER_SEC);
}

static double
since (gint64 start)
{
  return (double) (now () - start) / G_USEC_PER_SEC;
}

static double
read_visits (TdBook *book, guint *n_out)
{
  const TdVisitsFilter filter = { .state = TD_VISITS_CLOSED };
  g_autoptr (GError) error = NULL;
  gint64 start = now ();
  g_autoptr (GPtrArray) rows = td_book_list_visits (book, &filter, &error);

  g_assert_no_error (error);
  for (guint i = 0; i < rows->len; i++)
    {
      g_autoptr (TdVisitRecord) record
          = td_book_load_visit (book, &((TdVisitRow *) g_ptr_array_index (rows, i))->id, &error);

      g_assert_no_error (error);
    }
  *n_out = rows->len;
  return since (start);
}

static double
draft_all (TdBook *book)
{
  g_autoptr (GError) error = NULL;
  gint64 start = now ();
  g_autoptr (TdInvoiceDrafts) drafts = td_book_draft_invoices (book, NULL, &error);

  g_assert_no_error (error);
  return since (start);
}

static double
issue_all (TdBook *book, GPtrArray **numbers_out)
{
  g_autoptr (GError) error = NULL;
  gint64 start = now ();

  *numbers_out = td_book_issue_invoices (book, NULL, DAY, &error);
  g_assert_no_error (error);
  return since (start);
}

static void
make_pdf (TdPages *pages)
{
  const TdPdfInfo info = { .title = "Benchmark", .language = "en", .utc_ms = DAY * DAY_MS };
  g_autoptr (GError) error = NULL;
  g_autoptr (GBytes) bytes = td_pdf_make (pages, &info, &error);

  g_assert_no_error (error);
  td_pages_free (pages);
}

static double
paint_all (TdBook *book, const GPtrArray *numbers, TdFonts *fonts)
{
  gint64 start = now ();

  for (guint i = 0; i < numbers->len; i++)
    {
      g_autoptr (GError) error = NULL;
      g_autoptr (TdInvoiceRecord) record = td_book_load_invoice (book, g_ptr_array_index (numbers, i), &error);
      const TdInvoiceContext context = { .seal = record->seal };

      make_pdf (td_invoice_to_pages (record->invoice, &context, fonts, TD_PAPER_A4, &error));
    }
  return since (start);
}

static double
paint_words (guint n, TdFonts *fonts)
{
  const TdPaper paper = td_paper_get (TD_PAPER_A4);
  const TdFurniture furniture = { 0 };
  gint64 start = now ();

  for (guint i = 0; i < n; i++)
    {
      TdFlow *flow = td_flow_new (&paper, fonts);

      td_flow_add_paragraph (flow, "word", &td_style_text);
      make_pdf (td_pages_new (flow, &furniture, NULL));
    }
  return since (start);
}

int
main (int argc, char **argv)
{
  guint visits = argc > 1 ? (guint) strtoul (argv[1], NULL, 10) : 400, read = 0;
  g_autofree char *folder = g_dir_make_tmp ("tundish-bench-XXXXXX", NULL);
  g_autofree char *path = g_build_filename (folder, "b.tundish", NULL);
  g_autoptr (GError) error = NULL;
  g_autoptr (GPtrArray) numbers = NULL;
  TdBook *book = td_demo_book_create (path, DAY * DAY_MS, visits, &error);
  g_autoptr (TdFonts) fonts = td_fonts_new ("en", &error);

  g_assert_no_error (error);
  double reading = read_visits (book, &read);
  double drafting = draft_all (book);
  double issuing = issue_all (book, &numbers);
  double words = paint_words (numbers->len, fonts);
  double painting = paint_all (book, numbers, fonts);

  g_print ("reading %u visits      %7.3f s  (the floor)\n", read, reading);
  g_print ("drafting them          %7.3f s  %.2f x\n", drafting, drafting / reading);
  g_print ("drafting and issuing   %7.3f s  %.2f x  %u documents\n", issuing, issuing / reading, numbers->len);
  g_print ("a word a page          %7.0f documents/s  (the floor)\n", numbers->len / words);
  g_print ("invoices as PDF        %7.0f documents/s  %.2f x the floor's time\n", numbers->len / painting,
           painting / words);
  td_book_close (book);
  g_unlink (path);
  g_rmdir (folder);
  return 0;
}
