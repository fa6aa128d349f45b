/* A routine visit of twelve lines without faults in the real window: presses of the pointer are counted. The
 * book knows one visit before, so that the names of the staff are known. */
#include "core-entry.h"
#include "desk-book.h"
#include "store-journal.h"
#include "store-master.h"
#include "wizard-drive.h"

#include <math.h>

#define SITE_SHEET "ferry-landing-12.site.json"
#define SITE_ID "ferry-landing"
/* More and the clipboard is faster. */
#define PRESSES_MAX 45

static TdUuid
begin (TdBook *book, gint64 at_ms, const char *visit, const char *const *more)
{
  g_autoptr (GPtrArray) drafts = g_ptr_array_new_with_free_func ((GDestroyNotify) td_draft_free);
  g_autoptr (GError) error = NULL;
  const TdMoment moment = { .utc_ms = at_ms };
  TdUuid id;

  g_assert_true (td_uuid_parse (visit, &id, &error));
  for (guint i = 0; more[i] != NULL; i += 2)
    {
      g_autoptr (TdJson) body = td_json_parse (more[i + 1], -1, &error);
      TdKind kind;

      g_assert_no_error (error);
      g_assert_true (td_kind_from_code (more[i], &kind));
      g_ptr_array_add (drafts, td_draft_new (&id, kind, &moment, "nora", body));
    }
  td_book_append_many (book, drafts, NULL, NULL, &error);
  g_assert_no_error (error);
  return id;
}

static const char *const before[] = {
  "arrival", "{\"site\":\"" SITE_ID "\",\"work\":\"routine\"}",
  "staff-told", "{\"tower\":\"TA\",\"name\":\"Petra Vane\"}",
  "staff-told", "{\"tower\":\"TB\",\"name\":\"Owen Marsh\"}",
  "solution-disposed", "{\"volume_ml\":9000,\"drain\":\"neutralised\",\"known\":\"estimated\"}",
  NULL,
};
static const char *const now[] = { "arrival", "{\"site\":\"" SITE_ID "\",\"work\":\"routine\",\"sds_at_hand\":\"yes\"}", NULL };

static char *
make_book (TdDrive *drive, const char *path)
{
  g_autofree char *sheet = g_test_build_filename (G_TEST_DIST, "data", SITE_SHEET, NULL);
  g_autoptr (TdClock) clock = td_clock_new_pinned (TD_TEST_NOW_MS, 1000, 7);
  g_autoptr (GError) error = NULL;
  g_autoptr (TdBook) book = td_book_create (path, TRUE, clock, &error);
  g_autoptr (TdSite) site = NULL;
  g_autofree char *text = NULL;
  TdUuid visit;

  g_assert_no_error (error);
  td_test_book_fill (book);
  g_file_get_contents (sheet, &text, NULL, &error);
  g_assert_no_error (error);
  site = td_site_parse (text, -1, &error);
  g_assert_no_error (error);
  td_book_import_site (book, site, NULL, &error);
  g_assert_no_error (error);
  /* One that was given up half way tells names as well. */
  begin (book, TD_TEST_NOW_MS - G_GINT64_CONSTANT (14) * 86400000, "0197aaaa-0000-7000-8000-000000000001", before);
  visit = begin (book, TD_TEST_NOW_MS, "0197aaaa-0000-7000-8000-000000000002", now);
  return td_uuid_to_text (&visit);
}

static void
test_presses (void)
{
  g_autoptr (TdDrive) drive = td_drive_new (1024, 600, FALSE);
  WizardHand hand = { .drive = drive, .how = WIZARD_BY_POINTER, .bulk = TRUE, .pace_ms = 20000 };
  g_autofree char *path = td_drive_path (drive, "w.tundish");
  g_autofree char *visit = make_book (drive, path);

  td_drive_open (drive, path);
  wizard_open (&hand, visit);
  for (TdStep step = TD_STEP_ARRIVE; step <= TD_N_STEPS; step++)
    {
      g_autofree char *name = g_strdup_printf ("routine-%d", step);

      wizard_work_to (&hand, step);
      wizard_picture (&hand, name);
    }
  g_assert_true (wizard_get_visit (&hand)->closed);
  g_test_message ("%u presses, %u keys beside letters and digits", hand.acts, hand.keys);
  g_assert_cmpuint (hand.acts, <=, PRESSES_MAX);
}

/* Relative luminance of an sRGB pixel, WCAG 2.1. */
static double
get_luminance (const guchar *pixel)
{
  double sum = 0;
  /* Memory of a downloaded texture is B, G, R, A on this byte order. */
  static const double weights[] = { 0.0722, 0.7152, 0.2126 };

  for (int i = 0; i < 3; i++)
    {
      double part = pixel[i] / 255.0;

      sum += weights[i] * (part <= 0.04045 ? part / 12.92 : pow ((part + 0.055) / 1.055, 2.4));
    }
  return sum;
}

/* The contrast of what is written on a widget, of its rendered pixels: of the commonest, the ground, with the one
 * furthest from it in its middle part, clear of borders. */
static double
measure_contrast (TdDrive *drive, GtkWidget *widget)
{
  g_autoptr (GdkTexture) texture = td_drive_picture (drive, GTK_WIDGET (drive->window));
  graphene_rect_t bounds;
  int width = gdk_texture_get_width (texture), height = gdk_texture_get_height (texture);
  gsize stride = (gsize) width * 4;
  g_autofree guchar *pixels = g_malloc (stride * (gsize) height);
  g_autoptr (GHashTable) counts = g_hash_table_new (NULL, NULL);
  double ground = 0, best = 1;
  guint most = 0;

  g_assert_true (gtk_widget_compute_bounds (widget, GTK_WIDGET (drive->window), &bounds));
  gdk_texture_download (texture, pixels, stride);
  for (int pass = 0; pass < 2; pass++)
    for (int y = (int) bounds.origin.y + 4; y < (int) (bounds.origin.y + bounds.size.height) - 4; y++)
      for (int x = (int) bounds.origin.x + 4; x < (int) (bounds.origin.x + bounds.size.width) - 4; x++)
        {
          const guchar *pixel = pixels + (gsize) y * stride + (gsize) x * 4;
          guint colour = (guint) pixel[0] | (guint) pixel[1] << 8 | (guint) pixel[2] << 16;
          double luminance = get_luminance (pixel);
          guint n;

          if (x < 0 || y < 0 || x >= width || y >= height)
            continue;
          if (pass == 0)
            {
              n = GPOINTER_TO_UINT (g_hash_table_lookup (counts, GUINT_TO_POINTER (colour))) + 1;
              g_hash_table_insert (counts, GUINT_TO_POINTER (colour), GUINT_TO_POINTER (n));
              if (n > most)
                {
                  most = n;
                  ground = luminance;
                }
            }
          else
            best = MAX (best, (MAX (ground, luminance) + 0.05) / (MIN (ground, luminance) + 0.05));
        }
  return best;
}

static gboolean
is_in_sight (GtkWidget *widget)
{
  GtkWidget *scroller = gtk_widget_get_ancestor (widget, GTK_TYPE_SCROLLED_WINDOW);
  graphene_rect_t bounds;

  return scroller == NULL
         || (gtk_widget_compute_bounds (widget, scroller, &bounds) && bounds.origin.y >= -1
             && bounds.origin.y + bounds.size.height <= (float) gtk_widget_get_height (scroller) + 1);
}

static void
match_class (GtkWidget *widget, gpointer data)
{
  gpointer *search = data;

  if (search[1] == NULL && gtk_widget_get_mapped (widget) && gtk_widget_is_sensitive (widget)
      && is_in_sight (widget) && gtk_widget_has_css_class (widget, search[0]))
    search[1] = widget;
}

static GtkWidget *
find_class (TdDrive *drive, const char *css_class)
{
  gpointer search[2] = { (gpointer) css_class, NULL };

  td_drive_walk (GTK_WIDGET (drive->window), match_class, search);
  if (search[1] == NULL)
    g_error ("nothing of class %s is shown", css_class);
  return search[1];
}

/* Clocks and stops 7:1, text 4.5:1; next act and clocks at least 93 px, 44 px everything else (walk). While a
 * clock runs, light and dark. */
static void
test_in_contact (gconstpointer data)
{
  gboolean dark = GPOINTER_TO_INT (data);
  g_autoptr (TdDrive) drive = td_drive_new (1024, 600, dark);
  WizardHand hand = { .drive = drive, .how = WIZARD_BY_POINTER, .bulk = TRUE, .pace_ms = 20000 };
  g_autofree char *path = td_drive_path (drive, "w.tundish");
  g_autofree char *visit = make_book (drive, path);
  static const struct
  {
    const char *css_class;
    double least;
    int height;
  } cases[] = {
    { "clock-time", 7, 0 },   { "clock-title", 7, 0 },  { "clock", 7, 93 },        { "next", 4.5, 93 },
    { "stops-open", 7, 44 },  { "stand-title", 4.5, 0 }, { "leave", 4.5, 0 },      { "hint", 4.5, 0 },
    { "confirm", 4.5, 0 },    { "row-button", 4.5, 44 }, { "done-bar", 4.5, 44 },
  };

  td_drive_open (drive, path);
  wizard_open (&hand, visit);
  wizard_work_to (&hand, TD_STEP_MIX);
  td_drive_settle (drive, 300);
  g_assert_cmpfloat (measure_contrast (drive, find_class (drive, "hint")), >=, 4.5);
  wizard_work_to (&hand, TD_STEP_CONTACT);
  for (guint i = 0; i < 9; i++)
    wizard_work_on (&hand);
  /* Until the list has been moved to what is worked on, and drawn. */
  td_drive_settle (drive, 300);
  wizard_picture (&hand, dark ? "contact-dark" : "contact-light");
  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      graphene_rect_t box;
      GtkWidget *widget;
      double contrast;

      if (g_str_equal (cases[i].css_class, "hint"))
        continue;
      widget = find_class (drive, cases[i].css_class);
      contrast = measure_contrast (drive, widget);
      /* With its padding and border: what one can hit. */
      g_assert_true (gtk_widget_compute_bounds (widget, widget, &box));
      g_test_message ("%s %.1f, %.0f px", cases[i].css_class, contrast, box.size.height);
      g_assert_cmpfloat (contrast, >=, cases[i].least);
      g_assert_cmpfloat (box.size.height, >=, cases[i].height);
    }
}

int
main (int argc, char **argv)
{
  td_drive_init (&argc, &argv);
  g_test_add_func ("/wizard-routine/presses", test_presses);
  g_test_add_data_func ("/wizard-routine/contact-light", GINT_TO_POINTER (FALSE), test_in_contact);
  g_test_add_data_func ("/wizard-routine/contact-dark", GINT_TO_POINTER (TRUE), test_in_contact);
  return g_test_run ();
}
