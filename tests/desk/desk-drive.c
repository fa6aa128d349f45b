#include "desk-drive.h"

#include "desk-notice.h"

#include <X11/XKBlib.h>
#include <X11/extensions/XTest.h>
#include <gdk/x11/gdkx.h>
#include <glib/gstdio.h>
#include <libintl.h>
#include <stdlib.h>
#include <string.h>

#define PATIENCE_US (10 * G_USEC_PER_SEC)

void
td_drive_remove_folder (const char *path)
{
  g_autoptr (GDir) dir = g_dir_open (path, 0, NULL);
  const char *name;

  while (dir != NULL && (name = g_dir_read_name (dir)) != NULL)
    {
      g_autofree char *child = g_build_filename (path, name, NULL);

      if (g_file_test (child, G_FILE_TEST_IS_DIR))
        td_drive_remove_folder (child);
      else
        g_unlink (child);
    }
  g_rmdir (path);
}

static char *home;

static void
remove_home (void)
{
  td_drive_remove_folder (home);
}

void
td_drive_init (int *argc, char ***argv)
{
  static const char *const names[] = { "XDG_DATA_HOME", "XDG_CONFIG_HOME", "XDG_CACHE_HOME", "XDG_STATE_HOME",
                                       "XDG_RUNTIME_DIR", "HOME" };

  home = g_dir_make_tmp ("tundish-home-XXXXXX", NULL);
  for (gsize i = 0; i < G_N_ELEMENTS (names); i++)
    {
      g_autofree char *folder = g_build_filename (home, names[i], NULL);

      g_assert_cmpint (g_mkdir (folder, 0700), ==, 0);
      g_setenv (names[i], folder, TRUE);
    }
  atexit (remove_home);
  g_test_init (argc, argv, NULL);
  if (g_getenv ("TUNDISH_LOCALE_DIR") != NULL)
    {
      bindtextdomain ("tundish", g_getenv ("TUNDISH_LOCALE_DIR"));
      bind_textdomain_codeset ("tundish", "UTF-8");
      textdomain ("tundish");
    }
  /* A server that is just starting again refuses for a moment. */
  for (int i = 0; i < 20 && !gtk_init_check (); i++)
    g_usleep (100000);
  if (gdk_display_get_default () == NULL)
    {
      g_print ("1..0 # SKIP there is no display\n");
      exit (0);
    }
}

static void
watch_widget (GtkWidget *widget, gpointer data)
{
  TdDrive *drive = data;
  GWeakRef *ref;

  if (g_object_get_data (G_OBJECT (widget), "td-watched") != NULL)
    return;
  g_object_set_data (G_OBJECT (widget), "td-watched", GINT_TO_POINTER (1));
  ref = g_new0 (GWeakRef, 1);
  g_weak_ref_init (ref, widget);
  g_ptr_array_add (drive->watched, ref);
}

static void
free_ref (gpointer data)
{
  g_weak_ref_clear (data);
  g_free (data);
}

void
td_drive_walk (GtkWidget *root, void (*each) (GtkWidget *widget, gpointer data), gpointer data)
{
  if (!gtk_widget_get_visible (root) || !gtk_widget_get_child_visible (root))
    return;
  each (root, data);
  for (GtkWidget *child = gtk_widget_get_first_child (root); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    td_drive_walk (child, each, data);
}

static void
see_widgets (TdDrive *drive)
{
  if (drive->window != NULL)
    td_drive_walk (GTK_WIDGET (drive->window), watch_widget, drive);
}

void
td_drive_until (TdDrive *drive, TdDriveDone done, gpointer data, const char *what)
{
  gint64 end = g_get_monotonic_time () + PATIENCE_US;

  while (!done (drive, data))
    {
      if (g_get_monotonic_time () > end)
        g_error ("waited too long for %s", what);
      if (!g_main_context_iteration (NULL, FALSE))
        g_usleep (1000);
    }
  see_widgets (drive);
}

static gboolean
past (TdDrive *drive, gpointer data)
{
  return g_get_monotonic_time () > *(gint64 *) data;
}

void
td_drive_settle (TdDrive *drive, guint ms)
{
  gint64 end = g_get_monotonic_time () + (gint64) ms * 1000;

  td_drive_until (drive, past, &end, "time");
}

static gboolean
count_frame (GtkWidget *widget, GdkFrameClock *clock, gpointer data)
{
  guint *left = data;

  return --*left > 0 ? G_SOURCE_CONTINUE : G_SOURCE_REMOVE;
}

static gboolean
is_none (TdDrive *drive, gpointer data)
{
  return *(guint *) data == 0;
}

void
td_drive_frames (TdDrive *drive, guint n)
{
  gtk_widget_add_tick_callback (GTK_WIDGET (drive->window), count_frame, &n, NULL);
  td_drive_until (drive, is_none, &n, "frames");
}

static gboolean
is_mapped (TdDrive *drive, gpointer data)
{
  return gtk_widget_get_mapped (GTK_WIDGET (drive->window)) && gtk_widget_get_width (GTK_WIDGET (drive->window)) > 0;
}

/* Without a window manager nobody gives the keyboard to anybody. */
static void
take_keyboard (TdDrive *drive)
{
  GdkSurface *surface = gtk_native_get_surface (GTK_NATIVE (drive->window));
  Display *display = gdk_x11_display_get_xdisplay (gdk_surface_get_display (surface));

  XSetInputFocus (display, gdk_x11_surface_get_xid (surface), RevertToParent, CurrentTime);
  XSync (display, False);
}

static gboolean
is_active (TdDrive *drive, gpointer data)
{
  return gtk_window_is_active (GTK_WINDOW (drive->window));
}

static TdDrive *
make_drive (char *folder, gint64 now_ms)
{
  TdDrive *drive = g_new0 (TdDrive, 1);
  g_autofree char *state = NULL;
  g_autoptr (GError) error = NULL;

  drive->folder = folder;
  drive->watched = g_ptr_array_new_with_free_func (free_ref);
  state = td_drive_path (drive, "window.ini");
  drive->application = td_application_new (G_APPLICATION_NON_UNIQUE);
  td_application_set_test (drive->application, state, now_ms);
  g_application_register (G_APPLICATION (drive->application), NULL, &error);
  g_assert_no_error (error);
  /* Pictures are taken of what has come to rest, and a switch that slides is not yet thrown. */
  g_object_set (gtk_settings_get_default (), "gtk-enable-animations", FALSE, NULL);
  drive->window = td_application_get_window (drive->application);
  g_object_add_weak_pointer (G_OBJECT (drive->window), (gpointer *) &drive->window);
  return drive;
}

static void
wait_for_window (TdDrive *drive)
{
  td_drive_until (drive, is_mapped, NULL, "the window");
  take_keyboard (drive);
  td_drive_until (drive, is_active, NULL, "the keyboard");
}

TdDrive *
td_drive_new (int width, int height, gboolean dark)
{
  g_autoptr (GSettings) settings = g_settings_new ("com.example.Tundish");
  g_autoptr (GError) error = NULL;
  char *folder = g_dir_make_tmp ("tundish-desk-XXXXXX", &error);
  TdDrive *drive;

  g_assert_no_error (error);
  g_settings_set_int (settings, "window-width", width);
  g_settings_set_int (settings, "window-height", height);
  g_settings_set_string (settings, "appearance", dark ? "dark" : "light");
  drive = make_drive (folder, G_GINT64_CONSTANT (1782810000000));
  td_window_show_start (drive->window);
  gtk_window_present (GTK_WINDOW (drive->window));
  wait_for_window (drive);
  return drive;
}

TdDrive *
td_drive_resume (const char *folder, gint64 now_ms)
{
  TdDrive *drive = make_drive (g_strdup (folder), now_ms);

  drive->keeps_folder = TRUE;
  g_application_activate (G_APPLICATION (drive->application));
  wait_for_window (drive);
  return drive;
}

static gboolean
is_gone (TdDrive *drive, gpointer data)
{
  return drive->window == NULL;
}

static void
say_nothing (const char *text)
{
}

/* Only a run ends an application in good order: one that has nothing to do but to tell its version. */
static void
end_application (TdDrive *drive)
{
  char *words[] = { (char *) "tundish", (char *) "--version", NULL };
  GPrintFunc print = g_set_print_handler (say_nothing);

  g_assert_cmpint (g_application_run (G_APPLICATION (drive->application), 2, words), ==, 0);
  g_set_print_handler (print);
}

/* GTK keeps one tooltip window a display until the display is closed: it is not ours to bury. */
static gboolean
is_tooltip (GtkWidget *widget)
{
  GType type = g_type_from_name ("GtkTooltipWindow");

  return type != G_TYPE_INVALID && gtk_widget_get_ancestor (widget, type) != NULL;
}

void
td_drive_free (TdDrive *drive)
{
  guint alive = 0;

  see_widgets (drive);
  if (drive->window != NULL)
    gtk_window_destroy (GTK_WINDOW (drive->window));
  td_drive_until (drive, is_gone, NULL, "the window's end");
  /* What is still on its way (idle sources, animations) may hold a widget for a moment. */
  td_drive_settle (drive, 50);
  for (guint i = 0; i < drive->watched->len; i++)
    {
      g_autoptr (GtkWidget) widget = g_weak_ref_get (g_ptr_array_index (drive->watched, i));

      if (widget == NULL || is_tooltip (widget))
        continue;
      alive++;
      g_test_message ("alive: %s, %u references", G_OBJECT_TYPE_NAME (widget), G_OBJECT (widget)->ref_count - 1);
    }
  g_assert_cmpuint (alive, ==, 0);
  g_assert_cmpuint (drive->watched->len, >, 20);
  end_application (drive);
  g_assert_finalize_object (drive->application);
  if (!drive->keeps_folder)
    td_drive_remove_folder (drive->folder);
  g_free (drive->folder);
  g_ptr_array_unref (drive->watched);
  g_free (drive);
}

char *
td_drive_path (TdDrive *drive, const char *name)
{
  return g_build_filename (drive->folder, name, NULL);
}

static gboolean
page_is_read (TdDrive *drive, gpointer data)
{
  GtkWidget *page = td_window_get_page (drive->window);
  g_autofree char *title = NULL;
  GtkWidget *count;

  if (g_strcmp0 (td_window_get_place (drive->window), data) != 0)
    return FALSE;
  if (g_object_class_find_property (G_OBJECT_GET_CLASS (page), "title") != NULL)
    {
      g_object_get (page, "title", &title, NULL);
      return title != NULL;
    }
  count = td_drive_look (drive, page, "count");
  return g_str_equal (data, "start") || td_drive_look (drive, page, "setup") != NULL
         || (count != NULL && *gtk_label_get_label (GTK_LABEL (count)) != '\0');
}

void
td_drive_until_place (TdDrive *drive, const char *place)
{
  td_drive_until (drive, page_is_read, (gpointer) place, place);
  td_drive_settle (drive, 60);
}

void
td_drive_open (TdDrive *drive, const char *path)
{
  td_window_open_book (drive->window, path, TD_OPEN_EXISTING);
  td_drive_until_place (drive, "round");
}

typedef struct
{
  const char *id;
  const char *text;
  GtkWidget *found;
} Search;

static void
match_id (GtkWidget *widget, gpointer data)
{
  Search *search = data;

  if (search->found == NULL && gtk_widget_get_mapped (widget)
      && g_strcmp0 (gtk_buildable_get_buildable_id (GTK_BUILDABLE (widget)), search->id) == 0)
    search->found = widget;
}

GtkWidget *
td_drive_look (TdDrive *drive, GtkWidget *root, const char *id)
{
  Search search = { .id = id };

  td_drive_walk (root != NULL ? root : GTK_WIDGET (drive->window), match_id, &search);
  return search.found;
}

GtkWidget *
td_drive_find (TdDrive *drive, GtkWidget *root, const char *id)
{
  GtkWidget *widget = td_drive_look (drive, root, id);

  if (widget == NULL)
    g_error ("there is no '%s' in sight", id);
  return widget;
}

static void
match_text (GtkWidget *widget, gpointer data)
{
  Search *search = data;

  const char *text = NULL;

  if (GTK_IS_LABEL (widget))
    text = gtk_label_get_text (GTK_LABEL (widget));
  else if (GTK_IS_INSCRIPTION (widget))
    text = gtk_inscription_get_text (GTK_INSCRIPTION (widget));
  if (search->found == NULL && text != NULL && gtk_widget_get_mapped (widget) && g_str_equal (text, search->text))
    search->found = widget;
}

GtkWidget *
td_drive_look_label (GtkWidget *root, const char *text)
{
  Search search = { .text = text };

  td_drive_walk (root, match_text, &search);
  return search.found;
}

static void
match_name (GtkWidget *widget, gpointer data)
{
  Search *search = data;

  if (search->found == NULL && gtk_widget_get_mapped (widget)
      && g_strcmp0 (gtk_widget_get_name (widget), search->text) == 0)
    search->found = widget;
}

GtkWidget *
td_drive_look_named (TdDrive *drive, GtkWidget *root, const char *name)
{
  Search search = { .text = name };

  td_drive_walk (root != NULL ? root : GTK_WIDGET (drive->window), match_name, &search);
  return search.found;
}

void
td_drive_assert_pdf (const char *path, gsize at_least)
{
  g_autofree char *bytes = NULL;
  gsize length = 0;

  g_assert_true (g_file_get_contents (path, &bytes, &length, NULL));
  g_assert_cmpuint (length, >, at_least);
  g_assert_cmpint (memcmp (bytes, "%PDF-1.", 7), ==, 0);
}

typedef struct
{
  const char *text;
  gboolean found;
} NoticeWait;

static void
match_notice (GtkWidget *widget, gpointer data)
{
  NoticeWait *wait = data;
  g_autofree char *text = NULL;

  if (!TD_IS_NOTICE (widget))
    return;
  text = td_notice_get_text (TD_NOTICE (widget));
  wait->found |= text != NULL && g_str_has_prefix (text, wait->text);
}

static gboolean
notice_is_there (TdDrive *drive, gpointer data)
{
  NoticeWait *wait = data;

  td_drive_walk (GTK_WIDGET (drive->window), match_notice, wait);
  return wait->found;
}

void
td_drive_until_notice (TdDrive *drive, const char *text)
{
  NoticeWait wait = { text, FALSE };

  td_drive_until (drive, notice_is_there, &wait, text);
}

typedef struct
{
  GtkWidget *root;
  const char *text;
} LabelWait;

static gboolean
label_is_there (TdDrive *drive, gpointer data)
{
  LabelWait *wait = data;

  return td_drive_look_label (wait->root != NULL ? wait->root : GTK_WIDGET (drive->window), wait->text) != NULL;
}

void
td_drive_until_label (TdDrive *drive, GtkWidget *root, const char *text)
{
  LabelWait wait = { root, text };

  td_drive_until (drive, label_is_there, &wait, text);
}

/* Moves the pointer to a point of the widget. */
static Display *
move_to (GtkWidget *widget, double x, double y)
{
  GtkNative *native = gtk_widget_get_native (widget);
  GdkSurface *surface = gtk_native_get_surface (native);
  Display *display = gdk_x11_display_get_xdisplay (gdk_surface_get_display (surface));
  graphene_point_t from = GRAPHENE_POINT_INIT ((float) x, (float) y), to;
  double offset_x = 0, offset_y = 0;
  int root_x = 0, root_y = 0;
  Window child;

  g_assert_true (gtk_widget_compute_point (widget, GTK_WIDGET (native), &from, &to));
  gtk_native_get_surface_transform (native, &offset_x, &offset_y);
  XTranslateCoordinates (display, gdk_x11_surface_get_xid (surface), DefaultRootWindow (display), 0, 0, &root_x,
                         &root_y, &child);
  XTestFakeMotionEvent (display, -1, root_x + (int) (to.x + offset_x), root_y + (int) (to.y + offset_y), CurrentTime);
  XSync (display, False);
  return display;
}

void
td_drive_drag (TdDrive *drive, GtkWidget *widget, const double *x, const double *y, gsize n)
{
  Display *display;

  g_assert_true (gtk_widget_get_mapped (widget) && n >= 2);
  display = move_to (widget, x[0], y[0]);
  td_drive_settle (drive, 30);
  XTestFakeButtonEvent (display, 1, True, CurrentTime);
  XSync (display, False);
  td_drive_settle (drive, 20);
  /* Without a pause: the toolkit will compress most of these. */
  for (gsize i = 1; i < n; i++)
    move_to (widget, x[i], y[i]);
  td_drive_settle (drive, 40);
  XTestFakeButtonEvent (display, 1, False, CurrentTime);
  XSync (display, False);
  td_drive_settle (drive, 40);
}

void
td_drive_click_at (TdDrive *drive, GtkWidget *widget, double x, double y)
{
  Display *display = move_to (widget, x, y);

  td_drive_settle (drive, 30);
  XTestFakeButtonEvent (display, 1, True, CurrentTime);
  XTestFakeButtonEvent (display, 1, False, CurrentTime);
  XSync (display, False);
  td_drive_settle (drive, 40);
}

void
td_drive_click (TdDrive *drive, GtkWidget *widget)
{
  g_assert_true (gtk_widget_get_mapped (widget));
  td_drive_settle (drive, 30); /* until it stands where it will stand */
  td_drive_click_at (drive, widget, gtk_widget_get_width (widget) / 2.0, gtk_widget_get_height (widget) / 2.0);
}

static void
press (TdDrive *drive, guint keyval, GdkModifierType mask)
{
  Display *display = gdk_x11_display_get_xdisplay (gtk_widget_get_display (GTK_WIDGET (drive->window)));
  static const struct
  {
    GdkModifierType mask;
    guint keyval;
  } modifiers[] = { { GDK_CONTROL_MASK, GDK_KEY_Control_L },
                    { GDK_SHIFT_MASK, GDK_KEY_Shift_L },
                    { GDK_ALT_MASK, GDK_KEY_Alt_L } };
  KeyCode code = XKeysymToKeycode (display, keyval);

  g_assert_cmpuint (code, !=, 0);
  if (XkbKeycodeToKeysym (display, code, 0, 0) != keyval)
    mask |= GDK_SHIFT_MASK;
  for (gsize i = 0; i < G_N_ELEMENTS (modifiers); i++)
    if (mask & modifiers[i].mask)
      XTestFakeKeyEvent (display, XKeysymToKeycode (display, modifiers[i].keyval), True, CurrentTime);
  XTestFakeKeyEvent (display, code, True, CurrentTime);
  XTestFakeKeyEvent (display, code, False, CurrentTime);
  for (gsize i = G_N_ELEMENTS (modifiers); i-- > 0;)
    if (mask & modifiers[i].mask)
      XTestFakeKeyEvent (display, XKeysymToKeycode (display, modifiers[i].keyval), False, CurrentTime);
  XSync (display, False);
}

void
td_drive_key (TdDrive *drive, const char *accelerator)
{
  guint keyval = 0;
  GdkModifierType mask = 0;

  g_assert_true (gtk_accelerator_parse (accelerator, &keyval, &mask));
  press (drive, keyval, mask);
  td_drive_settle (drive, 40);
}

void
td_drive_key_quick (TdDrive *drive, const char *accelerator)
{
  guint keyval = 0;
  GdkModifierType mask = 0;

  g_assert_true (gtk_accelerator_parse (accelerator, &keyval, &mask));
  press (drive, keyval, mask);
  td_drive_settle (drive, 4);
}

void
td_drive_type (TdDrive *drive, const char *text)
{
  for (const char *p = text; *p != '\0'; p++)
    {
      press (drive, gdk_unicode_to_keyval ((guint32) *p), 0);
      td_drive_settle (drive, 10);
    }
  td_drive_settle (drive, 30);
}

void
td_drive_fill (TdDrive *drive, GtkWidget *entry, const char *text)
{
  gtk_editable_set_text (GTK_EDITABLE (entry), "");
  td_drive_click (drive, entry);
  td_drive_type (drive, text);
  g_assert_cmpstr (gtk_editable_get_text (GTK_EDITABLE (entry)), ==, text);
}

void
td_drive_act (TdDrive *drive, GtkWidget *widget, const char *action, GVariant *parameter)
{
  g_autoptr (GVariant) owned = parameter != NULL ? g_variant_ref_sink (parameter) : NULL;

  if (!gtk_widget_activate_action_variant (widget, action, owned))
    g_error ("there is no action '%s' here", action);
  td_drive_settle (drive, 40);
}

GdkTexture *
td_drive_picture (TdDrive *drive, GtkWidget *widget)
{
  g_autoptr (GdkPaintable) paintable = gtk_widget_paintable_new (widget);
  g_autoptr (GtkSnapshot) snapshot = gtk_snapshot_new ();
  g_autoptr (GskRenderNode) node = NULL;
  int width = gtk_widget_get_width (widget), height = gtk_widget_get_height (widget);
  graphene_rect_t viewport = GRAPHENE_RECT_INIT (0, 0, (float) width, (float) height);

  gdk_paintable_snapshot (paintable, snapshot, width, height);
  node = gtk_snapshot_free_to_node (g_steal_pointer (&snapshot));
  g_assert_nonnull (node);
  return gsk_renderer_render_texture (gtk_native_get_renderer (gtk_widget_get_native (widget)), node, &viewport);
}
