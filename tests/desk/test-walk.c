/* Every page at 1024 x 600: each control has a name, none is smaller than a wet thumb, nothing has to be
 * scrolled sideways, and the whole is no larger than the screen. */
#include "desk-tour.h"

#include "desk-tower-view.h"

#include <string.h>

/* Least width and height of what is pressed, pixels: Web Content Accessibility Guidelines 2.1, success
 * criterion 2.5.5, target size. */
#define TARGET_PX 44
/* Least height of the next act and of a clock, which are pressed and read from a step away: our own design,
 * about 25 mm at 96 points an inch. */
#define LARGE_PX 93

typedef struct
{
  const char *page;
  guint controls;
  guint large; /* next acts and clocks */
  guint failures;
} Walk;

/* Below these GTK builds its own widgets, which take their name from the whole. */
static gboolean
is_inside_compound (GtkWidget *widget)
{
  for (GtkWidget *parent = gtk_widget_get_parent (widget); parent != NULL; parent = gtk_widget_get_parent (parent))
    if (GTK_IS_DROP_DOWN (parent) || GTK_IS_SPIN_BUTTON (parent) || GTK_IS_MENU_BUTTON (parent)
        || GTK_IS_ENTRY (parent) || GTK_IS_SEARCH_ENTRY (parent) || GTK_IS_CALENDAR (parent)
        || GTK_IS_WINDOW_CONTROLS (parent) || GTK_IS_SCROLLBAR (parent))
      return TRUE;
  return FALSE;
}

static gboolean
is_control (GtkWidget *widget)
{
  if (is_inside_compound (widget))
    return FALSE;
  return GTK_IS_BUTTON (widget) || GTK_IS_SWITCH (widget) || GTK_IS_ENTRY (widget) || GTK_IS_SEARCH_ENTRY (widget)
         || GTK_IS_DROP_DOWN (widget) || GTK_IS_MENU_BUTTON (widget) || GTK_IS_SPIN_BUTTON (widget)
         || GTK_IS_CHECK_BUTTON (widget) || GTK_IS_LIST_VIEW (widget) || GTK_IS_COLUMN_VIEW (widget)
         || TD_IS_TOWER_VIEW (widget);
}

static void
find_words (GtkWidget *widget, gpointer data)
{
  if (GTK_IS_LABEL (widget) && *gtk_label_get_text (GTK_LABEL (widget)) != '\0')
    *(gboolean *) data = TRUE;
}

static gboolean
has_name (GtkWidget *widget)
{
  GtkAccessible *accessible = GTK_ACCESSIBLE (widget);
  gboolean words = FALSE;

  if (gtk_test_accessible_has_property (accessible, GTK_ACCESSIBLE_PROPERTY_LABEL))
    {
      /* NULL where it is equal, which an empty name would be. */
      g_autofree char *not_empty
        = gtk_test_accessible_check_property (accessible, GTK_ACCESSIBLE_PROPERTY_LABEL, "");

      return not_empty != NULL;
    }
  /* GTK says that a button is labelled by its icon, which says nothing. */
  if (GTK_IS_BUTTON (widget) && gtk_button_get_icon_name (GTK_BUTTON (widget)) != NULL)
    return FALSE;
  if (gtk_test_accessible_has_relation (accessible, GTK_ACCESSIBLE_RELATION_LABELLED_BY))
    return TRUE;
  if (GTK_IS_BUTTON (widget) || GTK_IS_CHECK_BUTTON (widget))
    td_drive_walk (widget, find_words, &words);
  return words;
}

static const char *
get_id (GtkWidget *widget)
{
  const char *id = gtk_buildable_get_buildable_id (GTK_BUILDABLE (widget));

  return id != NULL ? id : "?";
}

static gboolean
is_target (GtkWidget *widget)
{
  if (GTK_IS_LIST_VIEW (widget) || GTK_IS_COLUMN_VIEW (widget) || TD_IS_TOWER_VIEW (widget))
    return FALSE;
  /* An act that is done cannot be pressed: its row may be low. */
  return gtk_widget_get_mapped (widget) && gtk_widget_is_sensitive (widget);
}

static gboolean
is_large (GtkWidget *widget)
{
  return gtk_widget_get_mapped (widget)
         && (gtk_widget_has_css_class (widget, "next") || gtk_widget_has_css_class (widget, "clock"));
}

static gboolean
is_row (GtkWidget *widget)
{
  return g_str_equal (gtk_widget_get_css_name (widget), "row") && gtk_widget_get_parent (widget) != NULL
         && GTK_IS_LIST_VIEW (gtk_widget_get_parent (widget));
}

static void
check_widget (GtkWidget *widget, gpointer data)
{
  Walk *walk = data;
  int width = gtk_widget_get_width (widget), height = gtk_widget_get_height (widget);

  if (GTK_IS_SCROLLED_WINDOW (widget) && gtk_widget_get_mapped (widget))
    {
      GtkAdjustment *sideways = gtk_scrolled_window_get_hadjustment (GTK_SCROLLED_WINDOW (widget));

      if (gtk_adjustment_get_upper (sideways) > gtk_adjustment_get_page_size (sideways) + 1)
        {
          walk->failures++;
          g_test_message ("%s: something is scrolled sideways", walk->page);
        }
    }
  if (is_large (widget))
    {
      graphene_rect_t bounds;

      walk->large++;
      /* With border and padding, which the widget's own height leaves out. */
      if (!gtk_widget_compute_bounds (widget, widget, &bounds) || bounds.size.height < LARGE_PX)
        {
          walk->failures++;
          g_test_message ("%s: %s '%s' is only %d high", walk->page, G_OBJECT_TYPE_NAME (widget), get_id (widget), height);
        }
    }
  if (!is_control (widget) && !is_row (widget))
    return;
  walk->controls++;
  if (!is_row (widget) && !has_name (widget))
    {
      walk->failures++;
      g_test_message ("%s: %s '%s' has no name", walk->page, G_OBJECT_TYPE_NAME (widget), get_id (widget));
    }
  if ((is_target (widget) || is_row (widget)) && (width < TARGET_PX || height < TARGET_PX) && width > 0)
    {
      walk->failures++;
      g_test_message ("%s: %s '%s' is %d x %d", walk->page, G_OBJECT_TYPE_NAME (widget), get_id (widget), width,
                      height);
    }
}

static void
check_page (TdDrive *drive, const char *name, GtkWidget *root, gpointer data)
{
  Walk *walk = data;
  int width = 0, height = 0;
  guint before = walk->controls;

  walk->page = name;
  td_drive_walk (root, check_widget, walk);
  gtk_widget_measure (root, GTK_ORIENTATION_HORIZONTAL, -1, &width, NULL, NULL, NULL);
  gtk_widget_measure (root, GTK_ORIENTATION_VERTICAL, 1024, &height, NULL, NULL, NULL);
  if (width > 1024 || height > 600)
    {
      walk->failures++;
      g_test_message ("%s: needs %d x %d", name, width, height);
    }
  g_assert_cmpuint (walk->controls, >, before + 2);
}

static void
test_pages (void)
{
  TdDrive *drive = td_drive_new (1024, 600, FALSE);
  Walk walk = { 0 };

  td_tour (drive, check_page, &walk);
  g_test_message ("%u controls looked at", walk.controls);
  /* The next act in each step, three clocks in contact. */
  g_assert_cmpuint (walk.large, >=, TD_TOUR_STEPS + 3);
  g_assert_cmpuint (walk.failures, ==, 0);
  td_drive_free (drive);
}

/* The walk itself finds what it is there to find. */
static void
test_walk_finds (void)
{
  GtkWidget *box = g_object_ref_sink (gtk_box_new (GTK_ORIENTATION_VERTICAL, 0));
  Walk walk = { .page = "made" };

  gtk_box_append (GTK_BOX (box), gtk_button_new_from_icon_name ("go-previous-symbolic"));
  gtk_box_append (GTK_BOX (box), gtk_entry_new ());
  gtk_box_append (GTK_BOX (box), gtk_button_new_with_label ("named"));
  td_drive_walk (box, check_widget, &walk);
  g_assert_cmpuint (walk.controls, ==, 3);
  g_assert_cmpuint (walk.failures, ==, 2);
  g_object_unref (box);
}

int
main (int argc, char **argv)
{
  td_drive_init (&argc, &argv);
  g_test_add_func ("/walk/pages", test_pages);
  g_test_add_func ("/walk/finds", test_walk_finds);
  return g_test_run ();
}
