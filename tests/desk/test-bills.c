/* The Invoices place by pointer and keyboard: what is chosen, asked, issued, held, paid, credited, written. */
#include "desk-bills.h"
#include "desk-bills-page.h"
#include "desk-document-view.h"
#include "desk-drive.h"
#include "desk-export.h"
#include "desk-notice.h"
#include "store-host.h"
#include "store-invoice.h"
#include "store-ledger.h"

#include <string.h>

typedef struct
{
  TdDrive *drive;
  char *book;
} Fixture;

static void
start (Fixture *fixture, gboolean issued)
{
  TdDrive *drive = fixture->drive = td_drive_new (1024, 600, FALSE);

  fixture->book = td_drive_path (drive, "b.tundish");
  td_test_bills_make (fixture->book, issued);
  td_drive_open (drive, fixture->book);
  td_drive_click (drive, td_drive_find (drive, NULL, "place_invoices"));
  td_drive_until_place (drive, "invoices");
}

static void
set_up_drafts (Fixture *fixture, gconstpointer data)
{
  start (fixture, FALSE);
}

static void
set_up_issued (Fixture *fixture, gconstpointer data)
{
  start (fixture, TRUE);
}

static void
tear_down (Fixture *fixture, gconstpointer data)
{
  td_drive_free (fixture->drive);
  g_free (fixture->book);
}

static GtkWidget *
page (Fixture *fixture)
{
  return td_window_get_page (fixture->drive->window);
}

/* An answer of the form that is open. */
static GtkWidget *
answer (Fixture *fixture, const char *id)
{
  GtkWidget *widget = td_drive_look_named (fixture->drive, td_drive_find (fixture->drive, NULL, "form"), id);

  g_assert_nonnull (widget);
  return widget;
}

static guint
count_rows (Fixture *fixture)
{
  GtkListView *view = GTK_LIST_VIEW (td_drive_find (fixture->drive, NULL, "view"));

  return g_list_model_get_n_items (G_LIST_MODEL (gtk_list_view_get_model (view)));
}

static guint
count_chosen (Fixture *fixture)
{
  GtkListView *view = GTK_LIST_VIEW (td_drive_find (fixture->drive, NULL, "view"));
  g_autoptr (GtkBitset) chosen = gtk_selection_model_get_selection (gtk_list_view_get_model (view));

  return (guint) gtk_bitset_get_size (chosen);
}

/* The way of the keyboard into the list. */
static void
focus_list (Fixture *fixture)
{
  GtkWidget *view = td_drive_find (fixture->drive, NULL, "view");

  td_drive_key (fixture->drive, "<Control>f");
  for (guint i = 0; i < 8 && gtk_widget_get_focus_child (view) == NULL; i++)
    td_drive_key (fixture->drive, "Tab");
  g_assert_nonnull (gtk_widget_get_focus_child (view));
}

typedef struct
{
  Fixture *fixture;
  guint rows;
} Rows;

static gboolean
has_rows (TdDrive *drive, gpointer data)
{
  Rows *rows = data;

  return td_drive_look (drive, NULL, rows->rows > 0 ? "view" : "nothing") != NULL
         && (rows->rows == 0 || count_rows (rows->fixture) == rows->rows);
}

static void
until_rows (Fixture *fixture, guint n)
{
  Rows rows = { fixture, n };

  td_drive_until (fixture->drive, has_rows, &rows, "so many rows");
  td_drive_settle (fixture->drive, 60);
}

static gboolean
asks (TdDrive *drive, gpointer data)
{
  return (td_drive_look (drive, NULL, "answer") != NULL) == GPOINTER_TO_INT (data);
}

/* Until a question is open, or none is. */
static void
until_asking (Fixture *fixture, gboolean asking)
{
  td_drive_until (fixture->drive, asks, GINT_TO_POINTER (asking), asking ? "a question" : "no question");
  td_drive_settle (fixture->drive, 60);
}

typedef struct
{
  const char *view;
  guint pages;
} Pages;

static gboolean
has_pages (TdDrive *drive, gpointer data)
{
  const Pages *pages = data;
  GtkWidget *view = td_drive_look (drive, NULL, pages->view);

  return view != NULL && td_document_view_get_n_pages (TD_DOCUMENT_VIEW (view)) >= pages->pages;
}

static gboolean
has_fewer_rows (TdDrive *drive, gpointer data)
{
  Rows *rows = data;

  return td_drive_look (drive, NULL, "view") != NULL && count_rows (rows->fixture) < rows->rows;
}

/* What the book itself says, read apart from the window. */
static guint
count_issued (Fixture *fixture)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (TdClock) clock = td_clock_new ();
  TdBook *book = td_book_open (fixture->book, clock, &error);
  g_autoptr (GArray) keys = book != NULL ? td_book_list_invoice_keys (book, NULL, &error) : NULL;

  g_assert_no_error (error);
  td_book_close (book);
  return keys->len;
}

static void
first_mark (GtkWidget *widget, gpointer data)
{
  GtkWidget **found = data;

  if (*found == NULL && GTK_IS_CHECK_BUTTON (widget)
      && g_strcmp0 (gtk_buildable_get_buildable_id (GTK_BUILDABLE (widget)), "mark") == 0)
    *found = widget;
}

static void
test_lists (Fixture *fixture, gconstpointer data)
{
  TdDrive *drive = fixture->drive;
  guint visits = count_rows (fixture), drafts;
  Rows all = { fixture, visits };

  g_assert_cmpuint (visits, >, 10);
  td_drive_fill (drive, td_drive_find (drive, NULL, "search"), "lantern quay");
  td_drive_until (drive, has_fewer_rows, &all, "fewer rows");
  td_drive_key (drive, "Escape");
  until_rows (fixture, visits);
  td_drive_key (drive, "<Alt>2");
  drafts = count_rows (fixture);
  g_assert_cmpuint (drafts, >, 10);
  td_drive_key (drive, "<Alt>3");
  until_rows (fixture, 0);
  td_drive_until_label (drive, page (fixture), "No visit is held back.");
  td_drive_key (drive, "<Alt>4");
  until_rows (fixture, 0);
  td_drive_until_label (drive, page (fixture), "No invoice has been issued yet.");
  td_drive_key (drive, "<Alt>5");
  until_rows (fixture, 6);
  td_drive_key (drive, "<Control>f");
  td_drive_type (drive, "zzz");
  until_rows (fixture, 0);
  td_drive_until_label (drive, page (fixture), "Nothing matches. Take words out of the search, or show all.");
}

/* Sorted by another order, the same rows stand otherwise. */
static void
test_order (Fixture *fixture, gconstpointer data)
{
  TdDrive *drive = fixture->drive;
  GtkListView *view;
  g_autoptr (GObject) first = NULL;
  g_autoptr (GObject) last = NULL;
  gint64 most = 0, least = 0;

  td_drive_click (drive, td_drive_find (drive, NULL, "list_drafts"));
  gtk_drop_down_set_selected (GTK_DROP_DOWN (td_drive_find (drive, NULL, "order")), 3);
  td_drive_settle (drive, 100);
  view = GTK_LIST_VIEW (td_drive_find (drive, NULL, "view"));
  first = g_list_model_get_item (G_LIST_MODEL (gtk_list_view_get_model (view)), 0);
  last = g_list_model_get_item (G_LIST_MODEL (gtk_list_view_get_model (view)), count_rows (fixture) - 1);
  g_object_get (first, "total-minor", &most, NULL);
  g_object_get (last, "total-minor", &least, NULL);
  g_assert_cmpint (most, >, least);
}

static void
test_issue_by_pointer (Fixture *fixture, gconstpointer data)
{
  TdDrive *drive = fixture->drive;
  GtkWidget *mark = NULL;
  guint drafts;

  td_drive_click (drive, td_drive_find (drive, NULL, "list_drafts"));
  drafts = count_rows (fixture);
  td_drive_walk (page (fixture), first_mark, &mark);
  g_assert_nonnull (mark);
  td_drive_click (drive, mark);
  g_assert_cmpuint (count_chosen (fixture), ==, 1);
  td_drive_click (drive, td_drive_find (drive, NULL, "issue"));
  until_asking (fixture, TRUE);
  td_drive_fill (drive, answer (fixture, "date"), "2026-06-31");
  td_drive_click (drive, td_drive_find (drive, NULL, "answer"));
  td_drive_until_label (drive, page (fixture), "That is no date. Write year, month and day: 2026-03-02.");
  td_drive_fill (drive, answer (fixture, "date"), "2026-06-20");
  td_drive_click (drive, td_drive_find (drive, NULL, "answer"));
  td_drive_until_notice (drive, "Issued: INV-00001.");
  until_rows (fixture, drafts - 1);
  g_assert_cmpuint (count_issued (fixture), ==, 1);
  g_assert_null (td_drive_look (drive, NULL, "answer"));
}

static void
test_issue_by_keyboard (Fixture *fixture, gconstpointer data)
{
  TdDrive *drive = fixture->drive;
  guint drafts;

  td_drive_key (drive, "<Alt>2");
  drafts = count_rows (fixture);
  focus_list (fixture);
  td_drive_key (drive, "Home");
  td_drive_key (drive, "<Shift>Down");
  td_drive_key (drive, "<Shift>Down");
  g_assert_cmpuint (count_chosen (fixture), ==, 3);
  td_drive_key (drive, "<Control>Return");
  until_asking (fixture, TRUE);
  /* Escape leaves the question, and nothing else. */
  td_drive_key (drive, "Escape");
  until_asking (fixture, FALSE);
  g_assert_cmpstr (td_window_get_place (drive->window), ==, "invoices");
  g_assert_cmpuint (count_issued (fixture), ==, 0);
  focus_list (fixture);
  td_drive_key (drive, "<Control>a");
  g_assert_cmpuint (count_chosen (fixture), ==, drafts);
  td_drive_key (drive, "<Control>Return");
  until_asking (fixture, TRUE);
  td_drive_key (drive, "Return");
  td_drive_until_notice (drive, "Issued: ");
  until_rows (fixture, 0);
  g_assert_cmpuint (count_issued (fixture), ==, drafts);
  td_drive_key (drive, "<Alt>1");
  until_rows (fixture, 0);
  td_drive_until_label (drive, page (fixture), "Every closed visit has been invoiced.");
}

/* What the store refuses is said in place, and the question stays. */
static void
test_issue_refused (Fixture *fixture, gconstpointer data)
{
  TdDrive *drive = fixture->drive;

  td_drive_key (drive, "<Alt>3");
  until_rows (fixture, 1);
  focus_list (fixture);
  td_drive_key (drive, "<Control>a");
  td_drive_click (drive, td_drive_find (drive, NULL, "release"));
  td_drive_until_notice (drive, "Released.");
  until_rows (fixture, 0);
  td_drive_click (drive, td_drive_find (drive, NULL, "list_drafts"));
  td_drive_click (drive, td_drive_find (drive, NULL, "issue_all"));
  until_asking (fixture, TRUE);
  td_drive_fill (drive, answer (fixture, "date"), "2026-06-01");
  td_drive_click (drive, td_drive_find (drive, NULL, "answer"));
  td_drive_until_notice (drive, "Nothing was issued.\nThe newest invoice bears a later date");
  g_assert_nonnull (td_drive_look (drive, NULL, "answer"));
}

static void
test_hold (Fixture *fixture, gconstpointer data)
{
  TdDrive *drive = fixture->drive;
  guint drafts;

  td_drive_key (drive, "<Alt>2");
  drafts = count_rows (fixture);
  td_drive_key (drive, "<Alt>1");
  focus_list (fixture);
  td_drive_key (drive, "Home");
  td_drive_key (drive, "<Control>h");
  until_asking (fixture, TRUE);
  td_drive_key (drive, "Return"); /* without a reason */
  td_drive_until_label (drive, page (fixture), "This cannot be left empty.");
  td_drive_type (drive, "No order yet");
  td_drive_key (drive, "Return");
  td_drive_until_notice (drive, "Held back.");
  td_drive_click (drive, td_drive_find (drive, NULL, "list_held"));
  until_rows (fixture, 1);
  td_drive_until_label (drive, page (fixture), "Held 0 days");
  focus_list (fixture);
  td_drive_key (drive, "Home");
  td_drive_key (drive, "<Control>l");
  td_drive_until_notice (drive, "Released.");
  until_rows (fixture, 0);
  td_drive_key (drive, "<Alt>2");
  until_rows (fixture, drafts);
}

static gboolean
is_laid_out (TdDrive *drive, gpointer data)
{
  GtkWidget *document = td_drive_look (drive, NULL, data);

  return document != NULL && td_document_view_get_n_pages (TD_DOCUMENT_VIEW (document)) > 0;
}

static void
test_draft (Fixture *fixture, gconstpointer data)
{
  TdDrive *drive = fixture->drive;

  td_drive_key (drive, "<Alt>2");
  focus_list (fixture);
  td_drive_key (drive, "Home");
  td_drive_key (drive, "Return");
  td_drive_until (drive, is_laid_out, (gpointer) "document", "the draft");
  td_drive_settle (drive, 150); /* until buttons stand where they stay */
  g_assert_true (g_str_has_prefix (td_window_get_place (drive->window), "draft:"));
  td_drive_click (drive, td_drive_find (drive, NULL, "issue"));
  until_asking (fixture, TRUE);
  td_drive_key (drive, "Escape"); /* closes the question, not the page */
  until_asking (fixture, FALSE);
  g_assert_true (g_str_has_prefix (td_window_get_place (drive->window), "draft:"));
  td_drive_click (drive, td_drive_find (drive, NULL, "issue"));
  until_asking (fixture, TRUE);
  td_drive_key (drive, "Return");
  td_drive_until_place (drive, "invoice:INV-00001");
  td_drive_key (drive, "Escape");
  td_drive_until_place (drive, "invoices");
}

static void
open_invoice (Fixture *fixture, const char *number)
{
  g_autofree char *place = g_strconcat ("invoice:", number, NULL);

  td_drive_act (fixture->drive, GTK_WIDGET (fixture->drive->window), "win.show-invoice", g_variant_new_string (number));
  td_drive_until_place (fixture->drive, place);
  td_drive_settle (fixture->drive, 150); /* until buttons stand where they stay */
}

static void
test_pay (Fixture *fixture, gconstpointer data)
{
  TdDrive *drive = fixture->drive;

  open_invoice (fixture, "INV-00002");
  td_drive_until_label (drive, page (fixture), "268.76\302\240EUR");
  td_drive_key (drive, "<Control>m");
  until_asking (fixture, TRUE);
  td_drive_fill (drive, answer (fixture, "amount"), "12,50");
  td_drive_key (drive, "Return");
  g_assert_nonnull (td_drive_look (drive, NULL, "complaint"));
  td_drive_fill (drive, answer (fixture, "amount"), "900.00");
  td_drive_key (drive, "Return");
  td_drive_until_notice (drive, "The payment was not written down.\nThe payment of INV-00002 was not taken: more");
  td_drive_fill (drive, answer (fixture, "amount"), "68.76");
  td_drive_fill (drive, answer (fixture, "text"), "Transfer 7");
  td_drive_click (drive, td_drive_find (drive, NULL, "answer"));
  td_drive_until_notice (drive, "The payment is written down.");
  td_drive_until_label (drive, page (fixture), "200.00\302\240EUR");
  td_drive_until_label (drive, page (fixture), "Payment of 30 Jun 2026 · Transfer 7");
}

static void
test_credit (Fixture *fixture, gconstpointer data)
{
  TdDrive *drive = fixture->drive;
  guint issued = count_issued (fixture);

  open_invoice (fixture, "INV-00002");
  td_drive_key (drive, "<Control>d");
  until_asking (fixture, TRUE);
  td_drive_type (drive, "The tap was dry");
  g_assert_false (gtk_widget_is_sensitive (answer (fixture, "line-0")));
  td_drive_click (drive, answer (fixture, "all"));
  td_drive_click (drive, td_drive_find (drive, NULL, "answer"));
  td_drive_until_label (drive, page (fixture), "Mark the lines that are to be taken back.");
  td_drive_click (drive, answer (fixture, "line-0"));
  td_drive_click (drive, td_drive_find (drive, NULL, "answer"));
  td_drive_until_notice (drive, "Credit note INV-000");
  g_assert_cmpuint (count_issued (fixture), ==, issued + 1);
  /* 15.00 and 23 % of it. */
  td_drive_until_label (drive, page (fixture), "18.45\302\240EUR");
  td_drive_click (drive, td_drive_find (drive, NULL, "credit"));
  until_asking (fixture, TRUE);
  g_assert_cmpstr (gtk_widget_get_name (answer (fixture, "line-1")), ==, "line-1");
  td_drive_key (drive, "Escape");
  td_drive_key (drive, "Escape");
  td_drive_until_place (drive, "invoices");
}

/* The file that the page's button asks a place for; what keeps it from being written is told with its rule. */
static void
test_electronic (Fixture *fixture, gconstpointer data)
{
  TdDrive *drive = fixture->drive;
  g_autofree char *path = td_drive_path (drive, "INV-00002.xml");
  g_autofree char *text = NULL;
  TdExportJob *job = td_export_job_new (TD_EXPORT_JOB_INVOICE, path);
  GtkWidget *button;

  open_invoice (fixture, "INV-00002");
  button = td_drive_find (drive, NULL, "electronic");
  g_assert_true (gtk_widget_is_sensitive (button));
  g_assert_cmpstr (g_variant_get_string (gtk_actionable_get_action_target_value (GTK_ACTIONABLE (button)), NULL), ==,
                   "INV-00002");
  job->number = g_strdup ("INV-00002");
  td_export_acts_run (GTK_WIDGET (drive->window), job);
  td_drive_until_notice (drive, "The electronic invoice INV-00002 was written.");
  g_assert_true (g_file_get_contents (path, &text, NULL, NULL));
  g_assert_nonnull (strstr (text, "<cbc:ID>INV-00002</cbc:ID>"));
}

static void
test_run (Fixture *fixture, gconstpointer data)
{
  TdDrive *drive = fixture->drive;
  g_autofree char *plain = td_drive_path (drive, "plain.pdf");
  g_autofree char *bound = td_drive_path (drive, "bound.pdf");
  g_autofree char *bytes = NULL;
  gsize length = 0;

  td_drive_key (drive, "<Alt>4");
  until_rows (fixture, count_issued (fixture));
  focus_list (fixture);
  td_drive_key (drive, "<Control>a");
  td_bills_page_export (TD_BILLS_PAGE (page (fixture)), "/nowhere/run.pdf", FALSE);
  td_drive_until_notice (drive, "The PDF was not written.\n");
  td_bills_page_export (TD_BILLS_PAGE (page (fixture)), plain, FALSE);
  td_drive_until_notice (drive, "The PDF has been written.");
  td_drive_assert_pdf (plain, 20000);
  /* One with its report is larger than all without. */
  td_drive_key (drive, "Home");
  g_assert_cmpuint (count_chosen (fixture), ==, 1);
  td_bills_page_export (TD_BILLS_PAGE (page (fixture)), bound, TRUE);
  td_drive_until_notice (drive, "The PDF has been written.");
  g_file_get_contents (plain, &bytes, &length, NULL);
  td_drive_assert_pdf (bound, length);
}

static void
test_with_reports (Fixture *fixture, gconstpointer data)
{
  TdDrive *drive = fixture->drive;
  TdDocumentView *view;
  g_autoptr (GtkPrintOperation) print = NULL;
  Pages bound = { "document", 4 };
  int n_pages = 0;

  open_invoice (fixture, "INV-00002");
  view = TD_DOCUMENT_VIEW (td_drive_find (drive, NULL, "document"));
  g_assert_cmpuint (td_document_view_get_n_pages (view), ==, 1);
  td_drive_click (drive, td_drive_find (drive, NULL, "with_reports"));
  td_drive_until (drive, has_pages, &bound, "the reports");
  print = td_document_view_make_print (view);
  g_object_get (print, "n-pages", &n_pages, NULL);
  g_assert_cmpuint ((guint) n_pages, ==, td_document_view_get_n_pages (view));
}

static void
test_account (Fixture *fixture, gconstpointer data)
{
  TdDrive *drive = fixture->drive;
  GtkWidget *from;

  td_drive_key (drive, "<Alt>5");
  until_rows (fixture, 6);
  td_drive_key (drive, "<Control>f");
  td_drive_type (drive, "lark");
  until_rows (fixture, 1);
  td_drive_key (drive, "Return");
  td_drive_until_place (drive, "account:lark-and-barrow-taverns");
  td_drive_until_label (drive, page (fixture), "A visit costs 60.00\302\240EUR at least.");
  td_drive_until_label (drive, page (fixture), "Fennick Wray Brewing pays for everything, acid clean.");
  td_drive_key (drive, "<Alt>2");
  until_rows (fixture, 4);
  td_drive_key (drive, "<Alt>3");
  td_drive_until (drive, is_laid_out, (gpointer) "statement", "the statement");
  from = td_drive_find (drive, NULL, "from");
  td_drive_fill (drive, from, "2027-01-01");
  td_drive_key (drive, "Return");
  td_drive_until_notice (drive, "There is no such statement.");
  td_drive_fill (drive, from, "soon");
  td_drive_click (drive, td_drive_find (drive, NULL, "make_statement"));
  td_drive_until_notice (drive, "A statement needs two dates, as 2026-03-02.");
  td_drive_key (drive, "Escape");
  td_drive_until_place (drive, "invoices");
}

/* Something that is not there is a sentence where it would be. */
static void
test_missing (Fixture *fixture, gconstpointer data)
{
  TdDrive *drive = fixture->drive;
  GtkWidget *window = GTK_WIDGET (drive->window);

  td_drive_act (drive, window, "win.show-invoice", g_variant_new_string ("INV-09999"));
  td_drive_until_notice (drive, "The document cannot be shown.\nThe book has no invoice INV-09999");
  td_drive_act (drive, window, "win.show-draft", g_variant_new_string ("nobody/owner/EUR/2026-01-01/x"));
  td_drive_until_notice (drive, "The document cannot be shown.\nThis draft is no longer there");
  td_drive_act (drive, window, "win.show-account", g_variant_new_string ("nobody"));
  td_drive_until_notice (drive, "The account could not be read.\n");
}

int
main (int argc, char **argv)
{
  td_drive_init (&argc, &argv);
#define TEST(path, set_up, test) g_test_add (path, Fixture, NULL, set_up, test, tear_down)
  TEST ("/bills/lists", set_up_drafts, test_lists);
  TEST ("/bills/order", set_up_drafts, test_order);
  TEST ("/bills/issue-by-pointer", set_up_drafts, test_issue_by_pointer);
  TEST ("/bills/issue-by-keyboard", set_up_drafts, test_issue_by_keyboard);
  TEST ("/bills/issue-refused", set_up_issued, test_issue_refused);
  TEST ("/bills/hold", set_up_drafts, test_hold);
  TEST ("/bills/draft", set_up_drafts, test_draft);
  TEST ("/bills/pay", set_up_issued, test_pay);
  TEST ("/bills/credit", set_up_issued, test_credit);
  TEST ("/bills/electronic", set_up_issued, test_electronic);
  TEST ("/bills/run", set_up_issued, test_run);
  TEST ("/bills/with-reports", set_up_issued, test_with_reports);
  TEST ("/bills/account", set_up_issued, test_account);
  TEST ("/bills/missing", set_up_issued, test_missing);
  return g_test_run ();
}
