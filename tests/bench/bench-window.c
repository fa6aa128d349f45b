/* How long the window takes to its first frame, against a window of the same widgets with constant words;
 * and how evenly a hundred thousand rows scroll.
 *
 * usage: bench-window              all of it, on a demonstration book of its own
 *        bench-window --real BOOK  one start of the program; prints microseconds
 *        bench-window --constant N one start of the window with constant words and N rows
 */
#include "demo-book.h"
#include "desk-application.h"
#include "desk-chip.h"
#include "desk-clamp.h"
#include "desk-format.h"
#include "desk-look.h"
#include "desk-row-box.h"
#include "model-lazy-list.h"
#include "model-round.h"

#include <glib/gstdio.h>
#include <stdlib.h>
#include <time.h>

/* Starts of each kind, taken in turn; the median counts. */
#define STARTS 9
#define ROWS 100000
#define FRAMES 600

static gint64 begun_us;

/* What this program itself has spent: a machine that does other things as well does not count. */
static gint64
get_spent_us (clockid_t clock)
{
  struct timespec spent;

  clock_gettime (clock, &spent);
  return (gint64) spent.tv_sec * G_USEC_PER_SEC + spent.tv_nsec / 1000;
}

/* A list of rows as the round has them, in a widget whose template knows the closures. */

typedef struct
{
  GtkWidget parent;
  GtkWidget *scroller;
  GtkListView *view;
} BenchPage;

typedef struct
{
  GtkWidgetClass parent;
} BenchPageClass;

GType bench_page_get_type (void);
G_DEFINE_TYPE (BenchPage, bench_page, GTK_TYPE_WIDGET)

static const char page_ui[]
  = "<interface><template class='BenchPage' parent='GtkWidget'><child><object class='GtkScrolledWindow' id='scroller'>"
    "<property name='hscrollbar-policy'>never</property><property name='child'>"
    "<object class='GtkListView' id='view'><property name='factory'><object class='GtkBuilderListItemFactory'>"
    "<property name='resource'>/tundish/round-row.ui</property></object></property>"
    "<style><class name='rows'/></style></object></property></object></child></template></interface>";

static void
bench_page_dispose (GObject *object)
{
  g_clear_pointer (&((BenchPage *) object)->scroller, gtk_widget_unparent);
  G_OBJECT_CLASS (bench_page_parent_class)->dispose (object);
}

static void
bench_page_class_init (BenchPageClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);
  g_autoptr (GBytes) bytes = g_bytes_new_static (page_ui, sizeof page_ui - 1);

  G_OBJECT_CLASS (klass)->dispose = bench_page_dispose;
  g_type_ensure (TD_TYPE_CHIP);
  g_type_ensure (TD_TYPE_CLAMP);
  g_type_ensure (TD_TYPE_ROW_BOX);
  g_type_ensure (TD_TYPE_ROUND_ITEM);
  gtk_widget_class_set_template (widget_class, bytes);
  td_format_bind (widget_class);
  gtk_widget_class_bind_template_child (widget_class, BenchPage, scroller);
  gtk_widget_class_bind_template_child (widget_class, BenchPage, view);
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
}

static void
bench_page_init (BenchPage *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
}

static void
fetch (TdLazyList *list, TdLazyRequest *request, gpointer user_data)
{
  g_autoptr (GPtrArray) values = g_ptr_array_new_with_free_func ((GDestroyNotify) td_round_unref);
  guint n = 0;
  const gint64 *keys = td_lazy_request_get_keys (request, &n);

  for (guint i = 0; i < n; i++)
    {
      g_autofree char *site = g_strdup_printf ("Site %06d", (int) keys[i]);
      const TdRound round = { .key = keys[i], .site_id = site, .site = site, .account = (char *) "Quayside Taverns",
                              .address = (char *) "9 Quay Street", .lines = (guint) (keys[i] % 24 + 1),
                              .task = (char *) "caustic", .last = 20000, .due = 20014,
                              .days = (int) (keys[i] / 2500) - 20 /* as the round is sorted */ };

      g_ptr_array_add (values, td_round_new (&round));
    }
  td_lazy_list_answer (list, request, values);
}

static GtkSelectionModel *
make_rows (guint n)
{
  TdLazyList *list = td_lazy_list_new (TD_TYPE_ROUND_ITEM, fetch, NULL, NULL);
  GArray *keys = g_array_sized_new (FALSE, FALSE, sizeof (gint64), n);

  for (gint64 key = 0; key < n; key++)
    g_array_append_val (keys, key);
  td_lazy_list_set_keys (list, keys);
  return GTK_SELECTION_MODEL (gtk_no_selection_new (G_LIST_MODEL (list)));
}

/* Starts */

/* Words that never change, in the widgets of a row. */
static void
set_up_constant_cb (GtkSignalListItemFactory *factory, GtkListItem *item, gpointer user_data)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 16);
  GtkWidget *row = td_row_box_new ();
  static const char *const words[] = { "Two Lanterns Bar", "Lantern Quay Taverns · 2 Quay Row", "8 lines",
                                       "Caustic clean, last 1 Jun 2026" };

  for (int column = 0; column < 2; column++)
    {
      GtkWidget *texts = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);

      for (int line = 0; line < 2; line++)
        gtk_box_append (GTK_BOX (texts), gtk_inscription_new (words[2 * column + line]));
      gtk_widget_set_hexpand (texts, column == 0);
      gtk_box_append (GTK_BOX (box), texts);
    }
  {
    GtkWidget *chip = td_chip_new ();

    g_object_set (chip, "days", -9, "state", TD_ROUND_OVERDUE, NULL);
    gtk_box_append (GTK_BOX (box), chip);
  }
  g_object_set (row, "child", td_clamp_new (box, 1200), "label", "Two Lanterns Bar", NULL);
  gtk_list_item_set_child (item, row);
}

static GtkWidget *
make_constant_page (guint n_rows)
{
  GtkListItemFactory *factory = gtk_signal_list_item_factory_new ();
  GtkWidget *page = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  GtkWidget *tools = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 12);
  GtkWidget *scroller = gtk_scrolled_window_new ();
  GtkStringList *strings = gtk_string_list_new (NULL);
  GtkWidget *view;

  for (guint i = 0; i < n_rows; i++)
    gtk_string_list_append (strings, "row");
  g_signal_connect (factory, "setup", G_CALLBACK (set_up_constant_cb), NULL);
  view = gtk_list_view_new (GTK_SELECTION_MODEL (gtk_no_selection_new (G_LIST_MODEL (strings))), factory);
  gtk_widget_add_css_class (view, "rows");
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (scroller), view);
  gtk_widget_set_vexpand (scroller, TRUE);
  gtk_box_append (GTK_BOX (tools), gtk_search_entry_new ());
  for (int i = 0; i < 3; i++)
    gtk_box_append (GTK_BOX (tools), gtk_toggle_button_new_with_label ("Open visits"));
  gtk_box_append (GTK_BOX (tools), gtk_label_new ("7 sites"));
  gtk_box_append (GTK_BOX (page), tools);
  gtk_box_append (GTK_BOX (page), scroller);
  return page;
}

static void
print_time_cb (GdkFrameClock *clock, gpointer ready)
{
  if (ready != NULL && !((gboolean (*) (void)) ready) ())
    return;
  g_print ("%" G_GINT64_FORMAT " %" G_GINT64_FORMAT "\n", g_get_monotonic_time () - begun_us,
           get_spent_us (CLOCK_THREAD_CPUTIME_ID));
  _exit (0);
}

static void
activate_constant_cb (GtkApplication *application, gpointer n_rows)
{
  GtkWidget *window = gtk_application_window_new (application);
  GtkWidget *bar = gtk_header_bar_new ();

  td_look_new (gdk_display_get_default (), g_settings_new ("com.example.Tundish"));
  gtk_icon_theme_add_resource_path (gtk_icon_theme_get_for_display (gdk_display_get_default ()), "/tundish/icons");
  gtk_header_bar_pack_start (GTK_HEADER_BAR (bar), gtk_button_new_from_icon_name ("go-previous-symbolic"));
  gtk_header_bar_pack_end (GTK_HEADER_BAR (bar), gtk_menu_button_new ());
  gtk_window_set_titlebar (GTK_WINDOW (window), bar);
  gtk_widget_add_css_class (window, "tundish");
  gtk_window_set_default_size (GTK_WINDOW (window), 1024, 600);
  gtk_window_set_child (GTK_WINDOW (window), make_constant_page (GPOINTER_TO_UINT (n_rows)));
  gtk_widget_realize (window);
  g_signal_connect (gtk_widget_get_frame_clock (window), "after-paint", G_CALLBACK (print_time_cb), NULL);
  gtk_window_present (GTK_WINDOW (window));
}

static int
start_constant (guint n_rows)
{
  g_autoptr (GtkApplication) application = gtk_application_new (NULL, G_APPLICATION_DEFAULT_FLAGS);

  g_signal_connect (application, "activate", G_CALLBACK (activate_constant_cb), GUINT_TO_POINTER (n_rows));
  return g_application_run (G_APPLICATION (application), 0, NULL);
}

static GtkWidget *
find_list (GtkWidget *root)
{
  if (GTK_IS_LIST_VIEW (root) && gtk_widget_get_mapped (root))
    return root;
  for (GtkWidget *child = gtk_widget_get_first_child (root); child != NULL; child = gtk_widget_get_next_sibling (child))
    {
      GtkWidget *found = find_list (child);

      if (found != NULL)
        return found;
    }
  return NULL;
}

/* The frame that counts is the first that shows the rows. */
static gboolean
shows_rows (void)
{
  GtkWindow *window = gtk_application_get_active_window (GTK_APPLICATION (g_application_get_default ()));
  GtkWidget *view = window != NULL ? find_list (GTK_WIDGET (window)) : NULL;

  return view != NULL && gtk_widget_get_first_child (view) != NULL;
}

static void
window_added_cb (GtkApplication *application, GtkWindow *window, gpointer user_data)
{
  gtk_widget_realize (GTK_WIDGET (window));
  g_signal_connect (gtk_widget_get_frame_clock (GTK_WIDGET (window)), "after-paint", G_CALLBACK (print_time_cb),
                    shows_rows);
}

static int
start_real (const char *book)
{
  TdApplication *application = td_application_new (G_APPLICATION_NON_UNIQUE);
  g_autofree char *state = g_strconcat (book, ".state", NULL);
  char *words[] = { (char *) "tundish", (char *) "--book", (char *) book, NULL };

  td_application_set_test (application, state, 0);
  g_signal_connect (application, "window-added", G_CALLBACK (window_added_cb), NULL);
  return g_application_run (G_APPLICATION (application), 3, words);
}

/* Both microseconds. */
typedef struct
{
  gint64 elapsed[STARTS];
  gint64 spent[STARTS];
} Starts;

static void
time_start (Starts *starts, int i, const char *program, const char *how, const char *what)
{
  g_autofree char *out = NULL;
  g_autoptr (GError) error = NULL;
  char *rest = NULL;

  g_spawn_sync (NULL, (char *[]) { (char *) program, (char *) how, (char *) what, NULL }, NULL, G_SPAWN_DEFAULT, NULL,
                NULL, &out, NULL, NULL, &error);
  g_assert_no_error (error);
  starts->elapsed[i] = g_ascii_strtoll (out, &rest, 10);
  starts->spent[i] = g_ascii_strtoll (rest, NULL, 10);
}

static int
compare_times (gconstpointer a, gconstpointer b)
{
  gint64 x = *(const gint64 *) a, y = *(const gint64 *) b;

  return x < y ? -1 : x > y;
}

static void
print_ratio (const char *what, gint64 *real, gint64 *constant)
{
  qsort (real, STARTS, sizeof *real, compare_times);
  qsort (constant, STARTS, sizeof *constant, compare_times);
  g_print ("first frame with rows, %s: %.1f ms; the same widgets with constant words %.1f ms; ratio %.2f\n", what,
           (double) real[STARTS / 2] / 1000, (double) constant[STARTS / 2] / 1000,
           (double) real[STARTS / 2] / (double) constant[STARTS / 2]);
}

static void
bench_start (const char *program)
{
  g_autofree char *folder = g_dir_make_tmp ("tundish-bench-XXXXXX", NULL);
  g_autofree char *path = g_build_filename (folder, "demo.tundish", NULL);
  g_autoptr (GError) error = NULL;
  g_autoptr (TdBook) book = td_demo_book_create (path, g_get_real_time () / 1000, 0, &error);
  Starts real, constant;

  g_assert_no_error (error);
  g_clear_pointer (&book, td_book_close);
  for (int i = 0; i < STARTS; i++)
    {
      time_start (&constant, i, program, "--constant", "7");
      time_start (&real, i, program, "--real", path);
    }
  print_ratio ("elapsed", real.elapsed, constant.elapsed);
  print_ratio ("spent by the main thread", real.spent, constant.spent);
}

/* Scrolling */

typedef struct
{
  GtkAdjustment *adjustment;
  gint64 begun_us;
  gint64 frames[FRAMES];
  guint n;
} Scroll;

static gboolean
scroll_cb (GtkWidget *widget, GdkFrameClock *clock, gpointer user_data)
{
  Scroll *scroll = user_data;
  double upper = gtk_adjustment_get_upper (scroll->adjustment);

  /* Slowly, as with a finger, and now and then by a leap, as with the bar. */
  if (scroll->n % 60 == 59)
    gtk_adjustment_set_value (scroll->adjustment, upper * ((double) ((scroll->n * 7919) % 1000) / 1000));
  else
    gtk_adjustment_set_value (scroll->adjustment, gtk_adjustment_get_value (scroll->adjustment) + 37);
  return scroll->n < FRAMES;
}

static void
before_paint_cb (GdkFrameClock *clock, Scroll *scroll)
{
  scroll->begun_us = get_spent_us (CLOCK_THREAD_CPUTIME_ID);
}

static void
after_paint_cb (GdkFrameClock *clock, Scroll *scroll)
{
  if (scroll->n < FRAMES)
    scroll->frames[scroll->n++] = get_spent_us (CLOCK_THREAD_CPUTIME_ID) - scroll->begun_us;
}

static void
bench_scroll (void)
{
  GtkWidget *window;
  BenchPage *page;
  Scroll scroll = { 0 };
  g_autoptr (GtkSelectionModel) rows = make_rows (ROWS);
  g_autoptr (GSettings) settings = g_settings_new ("com.example.Tundish");

  gtk_init ();
  td_look_new (gdk_display_get_default (), settings);
  gtk_icon_theme_add_resource_path (gtk_icon_theme_get_for_display (gdk_display_get_default ()), "/tundish/icons");
  window = gtk_window_new ();
  page = g_object_new (bench_page_get_type (), NULL);
  gtk_list_view_set_model (page->view, rows);
  gtk_widget_add_css_class (window, "tundish");
  gtk_window_set_default_size (GTK_WINDOW (window), 1024, 600);
  gtk_window_set_child (GTK_WINDOW (window), GTK_WIDGET (page));
  gtk_window_present (GTK_WINDOW (window));
  scroll.adjustment = gtk_scrolled_window_get_vadjustment (GTK_SCROLLED_WINDOW (page->scroller));
  g_signal_connect (gtk_widget_get_frame_clock (window), "before-paint", G_CALLBACK (before_paint_cb), &scroll);
  g_signal_connect (gtk_widget_get_frame_clock (window), "after-paint", G_CALLBACK (after_paint_cb), &scroll);
  gtk_widget_add_tick_callback (GTK_WIDGET (page), scroll_cb, &scroll, NULL);
  while (scroll.n < FRAMES)
    g_main_context_iteration (NULL, TRUE);
  qsort (scroll.frames, FRAMES, sizeof *scroll.frames, compare_times);
  g_print ("%d rows, %d frames, spent: median %.1f ms, 99 %% within %.1f ms, longest %.1f ms\n", ROWS, FRAMES,
           (double) scroll.frames[FRAMES / 2] / 1000, (double) scroll.frames[FRAMES * 99 / 100] / 1000,
           (double) scroll.frames[FRAMES - 1] / 1000);
  gtk_window_destroy (GTK_WINDOW (window));
}

int
main (int argc, char **argv)
{
  begun_us = g_get_monotonic_time ();
  if (argc == 3 && g_str_equal (argv[1], "--real"))
    return start_real (argv[2]);
  if (argc == 3 && g_str_equal (argv[1], "--constant"))
    return start_constant ((guint) atoi (argv[2]));
  bench_start (argv[0]);
  bench_scroll ();
  return 0;
}
