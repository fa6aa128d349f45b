#include "desk-print.h"

static void
draw_page_cb (GtkPrintOperation *print, GtkPrintContext *context, int index, gpointer data)
{
  GPtrArray *documents = data;
  guint page = (guint) index;

  for (guint i = 0; i < documents->len; i++)
    {
      const TdPages *pages = g_ptr_array_index (documents, i);

      if (page < td_pages_get_count (pages))
        {
          td_pages_draw (pages, page, gtk_print_context_get_cairo_context (context));
          return;
        }
      page -= td_pages_get_count (pages);
    }
}

static GtkPageSetup *
make_page_setup (const TdPaper *paper)
{
  GtkPageSetup *setup = gtk_page_setup_new ();
  GtkPaperSize *size
    = gtk_paper_size_new (paper->kind == TD_PAPER_LETTER ? GTK_PAPER_NAME_LETTER : GTK_PAPER_NAME_A4);

  gtk_page_setup_set_paper_size (setup, size);
  gtk_paper_size_free (size);
  return setup;
}

guint
td_print_count_pages (const GPtrArray *documents)
{
  guint n = 0;

  g_return_val_if_fail (documents != NULL, 0);
  for (guint i = 0; i < documents->len; i++)
    n += td_pages_get_count (g_ptr_array_index (documents, i));
  return n;
}

static void
free_closure (gpointer data, GClosure *closure)
{
  g_ptr_array_unref (data);
}

GtkPrintOperation *
td_print_new (GPtrArray *documents, const char *name)
{
  g_autoptr (GtkPageSetup) setup = NULL;
  GtkPrintOperation *print;

  g_return_val_if_fail (documents != NULL && documents->len > 0 && name != NULL, NULL);
  print = gtk_print_operation_new ();
  setup = make_page_setup (td_pages_get_paper (g_ptr_array_index (documents, 0)));
  gtk_print_operation_set_default_page_setup (print, setup);
  gtk_print_operation_set_job_name (print, name);
  gtk_print_operation_set_unit (print, GTK_UNIT_POINTS);
  /* Our pages have their own margins. */
  gtk_print_operation_set_use_full_page (print, TRUE);
  gtk_print_operation_set_n_pages (print, (int) td_print_count_pages (documents));
  g_signal_connect_data (print, "draw-page", G_CALLBACK (draw_page_cb), g_ptr_array_ref (documents), free_closure, 0);
  return print;
}
