/* desk-drive.h: drives the real window in the test's own process: finds widgets, presses and types through
 * the X server, takes pictures, and proves that everything dies. */
#pragma once

#include "desk-application.h"

typedef struct
{
  TdApplication *application;
  TdWindow *window;
  char *folder; /* of this run's state and books; removed at the end */
  gboolean keeps_folder;
  GPtrArray *watched; /* WeakRef * of every widget ever seen */
} TdDrive;

/* First thing in main(): a home of its own for the whole test program, and GTK. Ends the program, skipped,
 * where there is no display. TUNDISH_LOCALE_DIR names a folder of translations, LANGUAGE the one. */
void td_drive_init (int *argc, char ***argv);

/* Starts the program with an empty state. @width, @height of the window; @dark: appearance. */
TdDrive *td_drive_new (int width, int height, gboolean dark);
/* Starts the program as somebody would who comes back: with the state and the last book of an earlier run in
 * @folder, which is kept, and the clock at @now_ms. */
TdDrive *td_drive_resume (const char *folder, gint64 now_ms);
/* Closes the window and the program; fails where any widget seen outlives them. */
void td_drive_free (TdDrive *drive);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdDrive, td_drive_free)

/* Removes it with all that it holds. */
void td_drive_remove_folder (const char *path);
/* A path in the run's folder. (transfer full) */
char *td_drive_path (TdDrive *drive, const char *name);
/* Opens the book at @path and waits for the first page. */
void td_drive_open (TdDrive *drive, const char *path);

/* Runs the main loop until @done says so; fails after ten seconds, naming @what. */
typedef gboolean (*TdDriveDone) (TdDrive *drive, gpointer data);
void td_drive_until (TdDrive *drive, TdDriveDone done, gpointer data, const char *what);
/* Until nothing is left to do for @ms. */
void td_drive_settle (TdDrive *drive, guint ms);
/* Until @n frames more were drawn, however long each of them takes. */
void td_drive_frames (TdDrive *drive, guint n);
/* Until the window is at @place ("round", "site:ID") and that page has been read. */
void td_drive_until_place (TdDrive *drive, const char *place);
/* Until the bar in the window or on the page says something that begins with @text. */
void td_drive_until_notice (TdDrive *drive, const char *text);
/* Until a visible label below @root says exactly @text. */
void td_drive_until_label (TdDrive *drive, GtkWidget *root, const char *text);

/* The visible widget with that id of its .ui file; fails where there is none. @root: NULL is the window. */
GtkWidget *td_drive_find (TdDrive *drive, GtkWidget *root, const char *id);
/* The same, or NULL. */
GtkWidget *td_drive_look (TdDrive *drive, GtkWidget *root, const char *id);
/* The visible label below @root that says exactly @text, or NULL. */
GtkWidget *td_drive_look_label (GtkWidget *root, const char *text);
/* The visible widget below @root whose name (gtk_widget_get_name()) that is, or NULL. @root: NULL is the window. */
GtkWidget *td_drive_look_named (TdDrive *drive, GtkWidget *root, const char *name);
/* Fails where the file is no PDF of more than so many bytes. */
void td_drive_assert_pdf (const char *path, gsize at_least);
/* Calls @each for @root and everything below it that is visible. */
void td_drive_walk (GtkWidget *root, void (*each) (GtkWidget *widget, gpointer data), gpointer data);

/* Draws with the button held from (x[0], y[0]) through the other points of the widget. */
void td_drive_drag (TdDrive *drive, GtkWidget *widget, const double *x, const double *y, gsize n);
/* A real press of the pointer's button in the middle of the widget, or at a point of it. */
void td_drive_click (TdDrive *drive, GtkWidget *widget);
void td_drive_click_at (TdDrive *drive, GtkWidget *widget, double x, double y);
/* A real key: "Return", "a", "<Control>f". */
void td_drive_key (TdDrive *drive, const char *accelerator);
/* The same without waiting for what it does to be drawn: for the Tab key, which is pressed often. */
void td_drive_key_quick (TdDrive *drive, const char *accelerator);
/* Real keys, one for each character (ASCII). */
void td_drive_type (TdDrive *drive, const char *text);
/* Empties an entry and types into it. */
void td_drive_fill (TdDrive *drive, GtkWidget *entry, const char *text);
/* Activates an action as a button would. @parameter: floating or NULL. */
void td_drive_act (TdDrive *drive, GtkWidget *widget, const char *action, GVariant *parameter);

/* What the widget looks like. (transfer full) */
GdkTexture *td_drive_picture (TdDrive *drive, GtkWidget *widget);
