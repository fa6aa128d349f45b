/* Forced into every file of core: numbers and rules know no file, clock, locale, object or window.
 * Type names only: poisoning functions would break GLib's own headers. */
#pragma GCC poison sqlite3 sqlite3_stmt cairo_t cairo_surface_t PangoLayout
#pragma GCC poison GObject GFile GInputStream GTask GtkWidget GdkEvent FILE
