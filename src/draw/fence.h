/* Forced into every file of draw: pictures know no book and no window. */
#pragma GCC poison sqlite3 sqlite3_stmt GtkWidget GdkEvent GtkSnapshot
