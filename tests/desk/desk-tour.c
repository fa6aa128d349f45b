#include "desk-tour.h"

#include "desk-bills.h"
#include "desk-book.h"
#include "desk-document-view.h"
#include "desk-listing-view.h"
#include "desk-editor.h"
#include "desk-history-view.h"
#include "desk-records-page.h"
#include "desk-preferences.h"
#include "desk-tour-wizard.h"

#include "store-safety.h"
#include "store-stock.h"

#include <libintl.h>

#define CLOSED_VISIT "019eced0-a200-7001-9b01-54554e444001"
#define OPEN_VISIT "019ed40f-b620-7002-9b02-54554e444002"
/* The second visit is left open before its last entries, so that stops stand. */
#define KEPT_OPEN 12

typedef struct
{
  TdDrive *drive;
  TdTourStop stop;
  gpointer data;
} Tour;

static void
look (Tour *tour, const char *name)
{
  /* Until scrollbars have faded in and the focus ring is where it stays. */
  td_drive_settle (tour->drive, 150);
  tour->stop (tour->drive, name, GTK_WIDGET (tour->drive->window), tour->data);
}

static GtkWidget *
page (Tour *tour)
{
  return td_window_get_page (tour->drive->window);
}

static void
go_to_site (Tour *tour, const char *site)
{
  g_autofree char *place = g_strconcat ("site:", site, NULL);

  td_drive_act (tour->drive, GTK_WIDGET (tour->drive->window), "win.show-site", g_variant_new_string (site));
  td_drive_until_place (tour->drive, place);
}

static void
go_to_visit (Tour *tour, const char *visit)
{
  g_autofree char *place = g_strconcat ("visit:", visit, NULL);

  td_drive_act (tour->drive, GTK_WIDGET (tour->drive->window), "win.show-visit", g_variant_new_string (visit));
  td_drive_until_place (tour->drive, place);
}

static gboolean
has_company_form (TdDrive *drive, gpointer data)
{
  return td_drive_look (drive, NULL, "company") != NULL;
}

static void
tour_books (Tour *tour)
{
  g_autofree char *empty = td_drive_path (tour->drive, "empty.tundish");

  td_drive_until_place (tour->drive, "start");
  look (tour, "start");
  td_window_open_book (tour->drive->window, "/nowhere/b.tundish", TD_OPEN_EXISTING);
  td_drive_until_notice (tour->drive, dgettext ("tundish", "The book could not be opened."));
  look (tour, "start-error");
  td_window_open_book (tour->drive->window, empty, TD_OPEN_NEW_TEST);
  td_drive_until (tour->drive, has_company_form, NULL, "the form of an empty book");
  look (tour, "empty-book");
}

static void
until_sites (Tour *tour, guint n)
{
  g_autofree char *text = g_strdup_printf (dngettext ("tundish", "%u site", "%u sites", n), n);

  td_drive_until_label (tour->drive, NULL, text);
}

static void
tour_sites (Tour *tour)
{
  TdDrive *drive = tour->drive;

  look (tour, "round");
  td_drive_fill (drive, td_drive_find (drive, NULL, "search"), "zzz");
  until_sites (tour, 0);
  look (tour, "round-nothing");
  td_drive_key (drive, "Escape");
  until_sites (tour, 7);
  go_to_site (tour, "two-lanterns-bar");
  g_object_set (page (tour), "chosen", 3, NULL);
  look (tour, "site");
  td_drive_act (drive, page (tour), "site.show", g_variant_new_string ("visits"));
  look (tour, "site-visits");
  td_drive_act (drive, page (tour), "site.begin", NULL);
  look (tour, "begin");
  go_to_site (tour, "gravel-pier-hall");
  look (tour, "site-large");
}

static gboolean
is_loaded (TdDrive *drive, gpointer data)
{
  gboolean loaded = FALSE;

  g_object_get (data, "loaded", &loaded, NULL);
  return loaded;
}

static gboolean
has_papers (TdDrive *drive, gpointer data)
{
  GtkWidget *papers = td_drive_look (drive, data, "papers");
  GtkWidget *first = papers != NULL ? gtk_widget_get_first_child (papers) : NULL;

  return first != NULL && gtk_widget_get_mapped (first) && gtk_widget_get_width (first) > 0;
}

static void
find_table (GtkWidget *widget, gpointer data)
{
  if (TD_IS_LISTING_VIEW (widget) && gtk_widget_get_mapped (widget))
    *(GtkWidget **) data = widget;
}

static void
find_choice (GtkWidget *widget, gpointer data)
{
  GtkWidget **found = data;

  if (GTK_IS_DROP_DOWN (widget) && *found == NULL)
    *found = widget;
}

/* Chooses a row of the exceptions, and a lot that went somewhere. */
static void
choose_some (TdDrive *drive, GtkWidget *root, guint choice)
{
  GtkWidget *table = NULL, *drop = NULL;

  if (choice == 0)
    td_drive_walk (root, find_table, &table);
  else
    td_drive_walk (root, find_choice, &drop);
  if (table != NULL)
    g_signal_emit_by_name (table, "row-activated", G_GINT64_CONSTANT (1));
  if (drop != NULL)
    gtk_drop_down_set_selected (GTK_DROP_DOWN (drop), choice);
  td_drive_settle (drive, 100);
}

/* A receipt, so that there is something to count, and a lot that was called back. */
static gboolean
stock_job (TdBook *book, gpointer data, gpointer *result_out, GError **error)
{
  TdStockDraft draft = { .kind = TD_MOVE_RECEIPT, .place = TD_STORE_ID, .product = "caustic-30", .lot = "caustic-2603",
                         .amount_ml = 20000, .container_ml = 10000, .cost_minor = 9000, .currency = "EUR",
                         .person = "nora", .happened = { G_GINT64_CONSTANT (1781000000000), 60 } };

  return td_book_add_movement (book, &draft, NULL, error) && td_book_recall_lot (book, "caustic-2604", TRUE, error);
}

static void
stocked_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  g_autoptr (GError) error = NULL;

  g_assert_true (td_queue_run_finish (result, NULL, &error));
  g_assert_no_error (error);
}

static void
tour_chemicals (Tour *tour)
{
  TdDrive *drive = tour->drive;
  GtkWidget *view;

  td_context_run_async (td_window_get_context (drive->window), TD_JOB_WRITE, stock_job, NULL, NULL, NULL, NULL,
                        stocked_cb, NULL);
  td_drive_act (drive, GTK_WIDGET (drive->window), "win.show-chemicals", NULL);
  td_drive_until_place (drive, "chemicals");
  td_drive_until (drive, is_loaded, page (tour), "the account");
  look (tour, "chemicals");
  view = td_drive_find (drive, NULL, "sums");
  g_object_set (view, "by", 6, NULL);
  look (tour, "chemicals-months");
  td_drive_act (drive, page (tour), "chem.show", g_variant_new_string ("pages"));
  td_drive_until (drive, has_papers, td_drive_find (drive, NULL, "pages"), "the account's pages");
  look (tour, "chemicals-pages");
  td_drive_act (drive, page (tour), "chem.show", g_variant_new_string ("stock"));
  look (tour, "chemicals-stock");
  td_drive_act (drive, td_drive_find (drive, NULL, "stock"), "stock.enter", g_variant_new_string ("receipt"));
  look (tour, "chemicals-form");
  td_drive_act (drive, page (tour), "chem.show", g_variant_new_string ("exceptions"));
  choose_some (drive, td_drive_find (drive, NULL, "exceptions"), 0);
  look (tour, "chemicals-exceptions");
  td_drive_act (drive, page (tour), "chem.show", g_variant_new_string ("trace"));
  choose_some (drive, td_drive_find (drive, NULL, "trace"), 3);
  look (tour, "chemicals-trace");
  go_to_site (tour, "two-lanterns-bar");
  td_drive_act (drive, page (tour), "site.show", g_variant_new_string ("extract"));
  td_drive_until (drive, has_papers, td_drive_find (drive, NULL, "extract"), "the inspector's extract");
  look (tour, "site-inspection");
}

static gboolean
report_is_fitted (TdDrive *drive, gpointer data)
{
  GtkWidget *papers = td_drive_look (drive, NULL, "papers");
  GtkWidget *first = papers != NULL ? gtk_widget_get_first_child (papers) : NULL;

  return first != NULL && gtk_widget_get_width (first) > 900;
}

static void
tour_visits (Tour *tour)
{
  TdDrive *drive = tour->drive;

  go_to_visit (tour, CLOSED_VISIT);
  td_drive_act (drive, page (tour), "visit.show", g_variant_new_string ("record"));
  look (tour, "record");
  td_drive_act (drive, page (tour), "visit.show", g_variant_new_string ("report"));
  td_drive_until (drive, report_is_fitted, NULL, "the report");
  look (tour, "report");
  go_to_visit (tour, OPEN_VISIT);
  td_drive_act (drive, page (tour), "visit.show", g_variant_new_string ("record"));
  look (tour, "record-open");
}

static gboolean
is_laid_out (TdDrive *drive, gpointer data)
{
  GtkWidget *papers = td_drive_look (drive, NULL, "papers");

  return papers != NULL && gtk_widget_get_first_child (papers) != NULL
         && gtk_widget_get_width (gtk_widget_get_first_child (papers)) > 300;
}

static void
show_bills (Tour *tour, const char *list)
{
  td_drive_act (tour->drive, page (tour), "bills.list", g_variant_new_string (list));
  td_drive_settle (tour->drive, 100);
}

static void
tour_bills (Tour *tour)
{
  TdDrive *drive = tour->drive;
  g_autofree char *path = td_drive_path (drive, "bills.tundish");
  g_autofree char *issued = td_drive_path (drive, "issued.tundish");
  GtkSelectionModel *choice;

  td_test_bills_make (path, FALSE);
  td_drive_open (drive, path);
  td_drive_act (drive, GTK_WIDGET (drive->window), "win.show-invoices", NULL);
  td_drive_until_place (drive, "invoices");
  look (tour, "invoices-visits");
  show_bills (tour, "drafts");
  choice = gtk_list_view_get_model (GTK_LIST_VIEW (td_drive_find (drive, NULL, "view")));
  gtk_selection_model_select_range (choice, 0, 2, TRUE);
  td_drive_act (drive, page (tour), "bills.issue", NULL);
  look (tour, "invoices-issue");

  td_test_bills_make (issued, TRUE);
  td_drive_open (drive, issued);
  td_drive_act (drive, GTK_WIDGET (drive->window), "win.show-invoices", NULL);
  td_drive_until_place (drive, "invoices");
  show_bills (tour, "held");
  look (tour, "invoices-held");
  show_bills (tour, "issued");
  look (tour, "invoices-issued");
  show_bills (tour, "accounts");
  look (tour, "invoices-accounts");
}

static void
tour_bill (Tour *tour)
{
  TdDrive *drive = tour->drive;

  td_drive_act (drive, GTK_WIDGET (drive->window), "win.show-invoice", g_variant_new_string ("INV-00002"));
  td_drive_until_place (drive, "invoice:INV-00002");
  td_drive_until (drive, is_laid_out, NULL, "the invoice");
  look (tour, "invoice");
  td_drive_act (drive, page (tour), "bill.credit", NULL);
  look (tour, "invoice-credit");
  td_drive_act (drive, page (tour), "bill.account", NULL);
  td_drive_settle (drive, 200);
  look (tour, "account");
  td_drive_act (drive, page (tour), "account.show", g_variant_new_string ("invoices"));
  look (tour, "account-invoices");
  td_drive_act (drive, page (tour), "account.show", g_variant_new_string ("statement"));
  td_drive_until (drive, is_laid_out, NULL, "the statement");
  look (tour, "account-statement");
}

static gboolean
is_drawn (TdDrive *drive, gpointer data)
{
  return gtk_widget_get_mapped (data) && gtk_widget_get_width (data) > 0;
}

static void
tour_preferences (Tour *tour)
{
  GSettings *settings = td_context_get_settings (td_window_get_context (tour->drive->window));
  GtkWidget *preferences = td_preferences_new (settings);

  gtk_window_set_transient_for (GTK_WINDOW (preferences), GTK_WINDOW (tour->drive->window));
  gtk_window_present (GTK_WINDOW (preferences));
  td_drive_until (tour->drive, is_drawn, preferences, "the preferences");
  td_drive_settle (tour->drive, 150);
  tour->stop (tour->drive, "preferences", preferences, tour->data);
  gtk_window_destroy (GTK_WINDOW (preferences));
}

static void
find_editor (GtkWidget *widget, gpointer data)
{
  if (TD_IS_EDITOR (widget))
    *(GtkWidget **) data = widget;
}

static gboolean
has_editor (TdDrive *drive, gpointer data)
{
  GtkWidget *editor = NULL;

  td_drive_walk (td_window_get_page (drive->window), find_editor, &editor);
  return editor != NULL;
}

static gboolean
has_records (TdDrive *drive, gpointer data)
{
  gboolean loaded = FALSE;

  if (TD_IS_RECORDS_PAGE (td_window_get_page (drive->window)))
    g_object_get (td_window_get_page (drive->window), "loaded", &loaded, NULL);
  return loaded;
}

static void
find_history (GtkWidget *widget, gpointer data)
{
  if (TD_IS_HISTORY_VIEW (widget))
    *(GtkWidget **) data = widget;
}

static void
find_filled_listing (GtkWidget *widget, gpointer data)
{
  if (TD_IS_LISTING_VIEW (widget) && td_listing_view_get_length (TD_LISTING_VIEW (widget)) > 0)
    *(gboolean *) data = TRUE;
}

static gboolean
has_history (TdDrive *drive, gpointer data)
{
  gboolean filled = FALSE;

  td_drive_walk (td_window_get_page (drive->window), find_filled_listing, &filled);
  return filled;
}

static void
find_line_button (GtkWidget *widget, gpointer data)
{
  GtkWidget **found = data;

  if (*found == NULL && gtk_widget_has_css_class (widget, "row-button")
      && td_drive_look_label (widget, "A1") != NULL)
    *found = widget;
}

static void
tour_records (Tour *tour)
{
  TdDrive *drive = tour->drive;
  GtkWidget *found = NULL;

  td_drive_act (drive, GTK_WIDGET (drive->window), "win.show-records", g_variant_new_string ("lots"));
  td_drive_until (drive, has_records, NULL, "the lots");
  look (tour, "records");
  td_drive_act (drive, GTK_WIDGET (drive->window), "win.show-records",
                g_variant_new_string ("sites:two-lanterns-bar"));
  td_drive_until (drive, has_editor, NULL, "the site's form");
  look (tour, "record-site");
  td_drive_walk (page (tour), find_line_button, &found);
  g_signal_emit_by_name (found, "clicked");
  look (tour, "record-line");
  go_to_site (tour, "two-lanterns-bar");
  td_drive_act (drive, page (tour), "site.show", g_variant_new_string ("history"));
  td_drive_until (drive, has_history, NULL, "the history");
  td_drive_walk (page (tour), find_history, &found);
  td_history_view_choose (TD_HISTORY_VIEW (found), 1);
  /* The tables find their height once the widths of their columns stand. */
  td_drive_settle (drive, 300);
  look (tour, "site-history");
  td_drive_act (drive, page (tour), "site.labels", NULL);
  look (tour, "site-labels");
}

void
td_tour (TdDrive *drive, TdTourStop stop, gpointer data)
{
  Tour tour = { drive, stop, data };
  g_autofree char *path = td_drive_path (drive, "b.tundish");

  tour_books (&tour);
  td_test_book_make (path, KEPT_OPEN);
  td_drive_open (drive, path);
  tour_sites (&tour);
  tour_visits (&tour);
  tour_bills (&tour);
  tour_bill (&tour);
  tour_records (&tour);
  tour_chemicals (&tour);
  td_tour_wizard (drive, stop, data);
  tour_preferences (&tour);
}
