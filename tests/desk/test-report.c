/* The report in the window: read, enlarged, exported, printed. */
#include "desk-book.h"
#include "desk-document-view.h"
#include "desk-drive.h"
#include "desk-notice.h"
#include "desk-visit-page.h"

#include <glib/gstdio.h>
#include <string.h>

#define CLOSED_VISIT "019eced0-a200-7001-9b01-54554e444001"
#define OPEN_VISIT "019ed40f-b620-7002-9b02-54554e444002"

/* The first page has been fitted to the window. */
static gboolean
is_fitted (TdDrive *drive, gpointer data)
{
  GtkWidget *papers = td_drive_look (drive, NULL, "papers");
  GtkWidget *first = papers != NULL ? gtk_widget_get_first_child (papers) : NULL;

  return first != NULL && gtk_widget_get_width (first) > 900;
}

static TdDrive *
start (const char *visit)
{
  TdDrive *drive = td_drive_new (1024, 600, FALSE);
  g_autofree char *path = td_drive_path (drive, "b.tundish");
  g_autofree char *place = g_strconcat ("visit:", visit, NULL);

  td_test_book_make (path, 12);
  td_drive_open (drive, path);
  td_drive_act (drive, GTK_WIDGET (drive->window), "win.show-visit", g_variant_new_string (visit));
  td_drive_until_place (drive, place);
  td_drive_act (drive, td_window_get_page (drive->window), "visit.show", g_variant_new_string ("report"));
  td_drive_until (drive, is_fitted, NULL, "the report");
  return drive;
}

static void
test_zoom (void)
{
  TdDrive *drive = start (CLOSED_VISIT);
  GtkWidget *view = td_drive_find (drive, NULL, "report");
  GtkWidget *papers = td_drive_find (drive, NULL, "papers");
  GtkWidget *first = gtk_widget_get_first_child (papers);
  int fitted = gtk_widget_get_width (first);
  double zoom = -1;

  g_assert_cmpuint (td_document_view_get_n_pages (TD_DOCUMENT_VIEW (view)), >=, 3);
  /* As wide as the window allows, and no wider. */
  g_assert_cmpint (fitted, <=, 1024);
  td_drive_click (drive, td_drive_find (drive, NULL, "zoom_out"));
  g_assert_cmpint (gtk_widget_get_width (first), <, fitted);
  td_drive_click (drive, td_drive_find (drive, NULL, "zoom_in"));
  g_assert_cmpint (ABS (gtk_widget_get_width (first) - fitted), <=, 1);
  td_drive_key (drive, "<Control>plus");
  g_assert_cmpint (gtk_widget_get_width (first), >, fitted);
  td_drive_key (drive, "<Control>0");
  g_assert_cmpint (gtk_widget_get_width (first), ==, fitted);
  g_object_get (view, "zoom", &zoom, NULL);
  g_assert_cmpfloat (zoom, ==, 0);
  for (int i = 0; i < 12; i++)
    td_drive_key (drive, "<Control>minus");
  g_assert_cmpint (gtk_widget_get_width (first), >=, 297); /* half a pixel to a point */
  td_drive_free (drive);
}

static void
test_export (void)
{
  TdDrive *drive = start (CLOSED_VISIT);
  TdDocumentView *view = TD_DOCUMENT_VIEW (td_drive_find (drive, NULL, "report"));
  g_autofree char *path = td_drive_path (drive, "report.pdf");
  g_autofree char *again = td_drive_path (drive, "again.pdf");
  g_autofree char *first = NULL;
  g_autofree char *second = NULL;
  gsize n_first = 0, n_second = 0;

  g_assert_true (td_document_view_export (view, path));
  td_drive_until_notice (drive, "Written: report.pdf");
  td_drive_assert_pdf (path, 20000);
  g_assert_true (td_document_view_export (view, again));
  g_file_get_contents (path, &first, &n_first, NULL);
  g_file_get_contents (again, &second, &n_second, NULL);
  g_assert_cmpmem (first, n_first, second, n_second);
  g_assert_false (td_document_view_export (view, "/nowhere/report.pdf"));
  td_drive_until_notice (drive, "The PDF was not written.\n");
  td_drive_free (drive);
}

/* GtkPrintOperation itself, into a file: no printer needed. */
static void
test_print (void)
{
  TdDrive *drive = start (CLOSED_VISIT);
  TdDocumentView *view = TD_DOCUMENT_VIEW (td_drive_find (drive, NULL, "report"));
  g_autoptr (GtkPrintOperation) print = td_document_view_make_print (view);
  g_autofree char *path = td_drive_path (drive, "printed.pdf");
  g_autoptr (GError) error = NULL;
  int n_pages = 0;

  gtk_print_operation_set_export_filename (print, path);
  g_assert_cmpint (gtk_print_operation_run (print, GTK_PRINT_OPERATION_ACTION_EXPORT, GTK_WINDOW (drive->window), &error),
                   ==, GTK_PRINT_OPERATION_RESULT_APPLY);
  g_assert_no_error (error);
  g_object_get (print, "n-pages", &n_pages, NULL);
  g_assert_cmpuint ((guint) n_pages, ==, td_document_view_get_n_pages (view));
  td_drive_assert_pdf (path, 10000);
  td_drive_free (drive);
}

/* Paper and units follow the preferences at once. */
static void
test_preferences (void)
{
  TdDrive *drive = start (CLOSED_VISIT);
  GSettings *settings = td_context_get_settings (td_window_get_context (drive->window));
  GtkWidget *first = gtk_widget_get_first_child (td_drive_find (drive, NULL, "papers"));
  double letter = (double) gtk_widget_get_height (first) / gtk_widget_get_width (first), a4;

  g_settings_set_string (settings, "paper", "a4");
  td_drive_settle (drive, 20);
  td_drive_until (drive, is_fitted, NULL, "the report anew");
  first = gtk_widget_get_first_child (td_drive_find (drive, NULL, "papers"));
  a4 = (double) gtk_widget_get_height (first) / gtk_widget_get_width (first);
  g_assert_cmpfloat_with_epsilon (letter, 11 / 8.5, 0.01);
  g_assert_cmpfloat_with_epsilon (a4, 297.0 / 210, 0.01);
  g_settings_reset (settings, "paper");
  td_drive_free (drive);
}

/* The report of an open visit is a draft that follows what is done. */
static void
test_draft (void)
{
  TdDrive *drive = start (OPEN_VISIT);
  TdDocumentView *view = TD_DOCUMENT_VIEW (td_drive_find (drive, NULL, "report"));

  g_assert_cmpuint (td_document_view_get_n_pages (view), >=, 2);
  td_drive_free (drive);
}

int
main (int argc, char **argv)
{
  td_drive_init (&argc, &argv);
  g_test_add_func ("/report/zoom", test_zoom);
  g_test_add_func ("/report/export", test_export);
  g_test_add_func ("/report/print", test_print);
  g_test_add_func ("/report/preferences", test_preferences);
  g_test_add_func ("/report/draft", test_draft);
  return g_test_run ();
}
