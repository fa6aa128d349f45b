/* Forced into every file of model: rows are objects, but they are tested without a display. */
#pragma GCC poison sqlite3 sqlite3_stmt cairo_t PangoLayout GtkWidget GdkEvent
