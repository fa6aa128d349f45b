/* Forced into every file of exchange: files in and out are made from core values alone. */
#pragma GCC poison sqlite3 sqlite3_stmt cairo_t PangoLayout GtkWidget GdkEvent
