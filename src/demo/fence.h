/* Forced into every file of demo: an invented book is made of core and store alone. */
#pragma GCC poison sqlite3 sqlite3_stmt cairo_t PangoLayout GtkWidget GdkEvent
