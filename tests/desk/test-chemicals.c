/* The place of chemicals as a person uses it: by key to it, a movement written down, one refused, an exception
 * acknowledged and followed to its visit, a lot traced, the inspector's extract in two clicks. */
#include "desk-book.h"
#include "desk-drive.h"

#include "desk-chem-view.h"
#include "desk-document-view.h"
#include "desk-listing-view.h"
#include "desk-stock-form.h"
#include "store-master.h"

#include <string.h>

#define NOW_MS G_GINT64_CONSTANT (1782820800000) /* 2026-06-30T12:00:00Z */

typedef struct
{
  GType type;
  guint skip;
  GtkWidget *found;
} Search;

static void
match (GtkWidget *widget, gpointer data)
{
  Search *search = data;

  if (search->found != NULL || !G_TYPE_CHECK_INSTANCE_TYPE (widget, search->type))
    return;
  if (search->skip > 0)
    search->skip--;
  else
    search->found = widget;
}

/* The @n-th widget of a type, from 0, in the order of the page. */
static GtkWidget *
find (GtkWidget *root, GType type, guint n)
{
  Search search = { type, n, NULL };

  td_drive_walk (root, match, &search);
  g_assert_nonnull (search.found);
  return search.found;
}

static gboolean
is_loaded (TdDrive *drive, gpointer data)
{
  gboolean loaded = FALSE;

  g_object_get (td_window_get_page (drive->window), "loaded", &loaded, NULL);
  return loaded;
}

static TdDrive *
open_chemicals (void)
{
  TdDrive *drive = td_drive_new (1024, 600, FALSE);
  g_autofree char *path = td_drive_path (drive, "b.tundish");

  td_test_book_make (path, 0);
  td_drive_open (drive, path);
  td_drive_until_place (drive, "round");
  td_drive_key (drive, "<Control>k");
  td_drive_until_place (drive, "chemicals");
  td_drive_until (drive, is_loaded, NULL, "the account");
  return drive;
}

static void
show (TdDrive *drive, const char *part)
{
  td_drive_act (drive, td_window_get_page (drive->window), "chem.show", g_variant_new_string (part));
}

/* ---- what the book has, asked on its own thread ---- */

typedef struct
{
  guint movements;
  gint64 amount_ml;
  guint open;
  gboolean answered;
} Book;

static gboolean
ask_job (TdBook *book, gpointer data, gpointer *result_out, GError **error)
{
  Book *answer = data;
  g_autoptr (GPtrArray) movements = td_book_list_movements (book, error);
  g_autoptr (TdAudit) audit = td_book_get_audit (book, 20454, 20818, NOW_MS, error);

  g_assert_nonnull (movements);
  g_assert_nonnull (audit);
  answer->movements = movements->len;
  if (movements->len > 0)
    answer->amount_ml = ((const TdMovementRow *) g_ptr_array_index (movements, movements->len - 1))->amount_ml;
  answer->open = td_audit_count_open (audit);
  return TRUE;
}

static void
asked_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  g_assert_true (td_queue_run_finish (result, NULL, NULL));
  ((Book *) user_data)->answered = TRUE;
}

static gboolean
is_answered (TdDrive *drive, gpointer data)
{
  return ((Book *) data)->answered;
}

static Book
ask (TdDrive *drive)
{
  Book book = { 0 };

  td_context_run_async (td_window_get_context (drive->window), TD_JOB_READ, ask_job, &book, NULL, NULL, NULL, asked_cb,
                        &book);
  td_drive_until (drive, is_answered, &book, "the book's answer");
  return book;
}

/* ---- tests ---- */

static gboolean
is_form_gone (TdDrive *drive, gpointer data)
{
  return !gtk_widget_get_mapped (data);
}

static void
test_receipt (void)
{
  TdDrive *drive = open_chemicals ();
  Book before = ask (drive), after;
  GtkWidget *view, *form;

  show (drive, "stock");
  view = td_drive_find (drive, NULL, "stock");
  td_drive_act (drive, view, "stock.enter", g_variant_new_string ("receipt"));
  form = find (view, TD_TYPE_STOCK_FORM, 0);
  /* Without an amount nothing is written, and the form says so. */
  td_drive_act (drive, form, "stock-form.save", NULL);
  g_assert_true (gtk_widget_get_mapped (form));
  g_assert_cmpuint (ask (drive).movements, ==, before.movements);
  td_drive_type (drive, "7.5 L");
  td_drive_act (drive, form, "stock-form.save", NULL);
  td_drive_until (drive, is_form_gone, form, "the list");
  after = ask (drive);
  g_assert_cmpuint (after.movements, ==, before.movements + 1);
  g_assert_cmpint (after.amount_ml, ==, 7500);
  td_drive_free (drive);
}

static gboolean
has_fewer (TdDrive *drive, gpointer data)
{
  return ask (drive).open < *(guint *) data;
}

static void
test_acknowledge (void)
{
  TdDrive *drive = open_chemicals ();
  guint open = ask (drive).open;
  GtkWidget *view, *table;

  g_assert_cmpuint (open, >, 0);
  show (drive, "exceptions");
  view = td_drive_find (drive, NULL, "exceptions");
  table = find (view, TD_TYPE_LISTING_VIEW, 0);
  g_assert_cmpuint (td_listing_view_get_length (TD_LISTING_VIEW (table)), ==, open);
  g_signal_emit_by_name (table, "row-activated", G_GINT64_CONSTANT (0));
  /* Without a reason nothing is acknowledged. */
  td_drive_act (drive, view, "exception.acknowledge", NULL);
  g_assert_cmpuint (ask (drive).open, ==, open);
  td_drive_fill (drive, find (view, GTK_TYPE_ENTRY, 0), "Looked into with the bar");
  td_drive_fill (drive, find (view, GTK_TYPE_ENTRY, 1), "Nora Quill");
  td_drive_act (drive, view, "exception.acknowledge", NULL);
  td_drive_until (drive, has_fewer, &open, "the acknowledgement");
  td_drive_free (drive);
}

/* From an exception of a visit to that visit. */
static void
test_click_through (void)
{
  TdDrive *drive = open_chemicals ();
  GtkWidget *view, *table;
  gint64 n;

  show (drive, "exceptions");
  view = td_drive_find (drive, NULL, "exceptions");
  table = find (view, TD_TYPE_LISTING_VIEW, 0);
  n = td_listing_view_get_length (TD_LISTING_VIEW (table));
  for (gint64 key = 0; key < n && g_str_equal (td_window_get_place (drive->window), "chemicals"); key++)
    {
      g_signal_emit_by_name (table, "row-activated", key);
      gtk_widget_activate_action (view, "exception.show-visit", NULL);
      td_drive_settle (drive, 20);
    }
  g_assert_true (g_str_has_prefix (td_window_get_place (drive->window), "visit:"));
  td_drive_free (drive);
}

static gboolean
has_rows (TdDrive *drive, gpointer data)
{
  return td_listing_view_get_length (data) > 0;
}

static void
test_trace (void)
{
  TdDrive *drive = open_chemicals ();
  GtkWidget *view, *table;

  show (drive, "trace");
  view = td_drive_find (drive, NULL, "trace");
  table = find (view, TD_TYPE_LISTING_VIEW, 0);
  g_assert_cmpuint (td_listing_view_get_length (TD_LISTING_VIEW (table)), ==, 0);
  for (guint lot = 1; lot < 6 && td_listing_view_get_length (TD_LISTING_VIEW (table)) == 0; lot++)
    {
      gtk_drop_down_set_selected (GTK_DROP_DOWN (find (view, GTK_TYPE_DROP_DOWN, 0)), lot);
      td_drive_settle (drive, 100);
    }
  td_drive_until (drive, has_rows, table, "the way of a lot");
  td_drive_free (drive);
}

/* What the book holds of the first lot and its product. */
typedef struct
{
  gboolean recalled;
  char *product;
  char *sha256;
  TdDate revised;
  gboolean answered;
} First;

static gboolean
first_job (TdBook *book, gpointer data, gpointer *result_out, GError **error)
{
  First *first = data;
  g_autoptr (TdMasters) masters = td_book_get_masters (book, error);
  const TdProduct *product;

  g_assert_nonnull (masters);
  g_assert_cmpuint (masters->n_lots, >, 0);
  product = td_masters_find_product (masters, masters->lots[0].product);
  first->recalled = masters->lots[0].recalled;
  first->product = g_strdup (product->id);
  first->sha256 = g_strdup (product->sds_sha256);
  first->revised = product->sds_revised;
  return TRUE;
}

static void
first_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  g_assert_true (td_queue_run_finish (result, NULL, NULL));
  ((First *) user_data)->answered = TRUE;
}

static gboolean
has_first (TdDrive *drive, gpointer data)
{
  return ((First *) data)->answered;
}

static First
ask_first (TdDrive *drive)
{
  First first = { 0 };

  td_context_run_async (td_window_get_context (drive->window), TD_JOB_READ, first_job, &first, NULL, NULL, NULL,
                        first_cb, &first);
  td_drive_until (drive, has_first, &first, "the first lot");
  return first;
}

static void
clear_first (First *first)
{
  g_free (first->product);
  g_free (first->sha256);
}

/* A lot is called back, and the mark is taken away again. */
static void
test_recall (void)
{
  TdDrive *drive = open_chemicals ();
  First first = ask_first (drive);
  GtkWidget *view;

  g_assert_false (first.recalled);
  clear_first (&first);
  show (drive, "trace");
  view = td_drive_find (drive, NULL, "trace");
  gtk_drop_down_set_selected (GTK_DROP_DOWN (find (view, GTK_TYPE_DROP_DOWN, 0)), 1);
  td_drive_act (drive, view, "trace.recall", NULL);
  td_drive_click (drive, td_drive_find (drive, view, "answer"));
  td_drive_until_notice (drive, "Written down. Its uses");
  first = ask_first (drive);
  g_assert_true (first.recalled);
  clear_first (&first);
  td_drive_settle (drive, 100);
  td_drive_act (drive, view, "trace.recall", NULL);
  td_drive_click (drive, td_drive_find (drive, view, "answer"));
  td_drive_until_notice (drive, "Written down. The lot is no longer");
  first = ask_first (drive);
  g_assert_false (first.recalled);
  clear_first (&first);
  td_drive_free (drive);
}

/* What is no PDF is refused and said; a PDF with a date is kept under its own hash. */
static void
test_sheet (void)
{
  static const char pdf[] = "%PDF-1.4\n%%EOF\n";
  TdDrive *drive = open_chemicals ();
  g_autofree char *path = td_drive_path (drive, "sheet.pdf");
  g_autofree char *sha256 = g_compute_checksum_for_string (G_CHECKSUM_SHA256, pdf, -1);
  First first = ask_first (drive);
  GtkWidget *view, *revised;

  show (drive, "stock");
  view = td_drive_find (drive, NULL, "stock");
  g_assert_true (g_file_set_contents (path, "no sheet", -1, NULL));
  td_chem_stock_take_sheet (TD_CHEM_STOCK (view), first.product, path);
  revised = td_drive_look_named (drive, view, "revised");
  g_assert_nonnull (revised);
  td_drive_fill (drive, revised, "2026-03-02");
  td_drive_click (drive, td_drive_find (drive, view, "answer"));
  td_drive_until_notice (drive, "The safety data sheet was not kept.");
  g_assert_true (g_file_set_contents (path, pdf, -1, NULL));
  td_drive_click (drive, td_drive_find (drive, view, "answer"));
  td_drive_until_notice (drive, "The safety data sheet is kept.");
  clear_first (&first);
  first = ask_first (drive);
  g_assert_cmpstr (first.sha256, ==, sha256);
  g_assert_cmpint (first.revised, ==, td_date_make (2026, 3, 2));
  clear_first (&first);
  td_drive_free (drive);
}

static gboolean
has_pages (TdDrive *drive, gpointer data)
{
  return td_document_view_get_n_pages (data) > 0;
}

/* One click shows the extract, the second one saves it: here without the desktop's question where. */
static void
test_extract (void)
{
  TdDrive *drive = open_chemicals ();
  g_autofree char *path = td_drive_path (drive, "x.pdf");
  g_autofree char *text = NULL;
  GtkWidget *view;

  td_drive_act (drive, GTK_WIDGET (drive->window), "win.show-site", g_variant_new_string ("two-lanterns-bar"));
  td_drive_until_place (drive, "site:two-lanterns-bar");
  td_drive_until (drive, is_loaded, NULL, "the site");
  td_drive_click (drive, td_drive_look_label (td_window_get_page (drive->window), "Inspection"));
  view = td_drive_find (drive, NULL, "extract");
  td_drive_until (drive, has_pages, view, "the extract");
  g_assert_true (td_document_view_export (TD_DOCUMENT_VIEW (view), path));
  g_assert_true (g_file_get_contents (path, &text, NULL, NULL));
  g_assert_true (g_str_has_prefix (text, "%PDF-"));
  td_drive_free (drive);
}

int
main (int argc, char **argv)
{
  td_drive_init (&argc, &argv);
  g_test_add_func ("/chemicals/receipt", test_receipt);
  g_test_add_func ("/chemicals/acknowledge", test_acknowledge);
  g_test_add_func ("/chemicals/click-through", test_click_through);
  g_test_add_func ("/chemicals/trace", test_trace);
  g_test_add_func ("/chemicals/recall", test_recall);
  g_test_add_func ("/chemicals/sheet", test_sheet);
  g_test_add_func ("/chemicals/extract", test_extract);
  return g_test_run ();
}
