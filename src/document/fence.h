/* Forced into every file of document: pages know no book and no window. */
#pragma GCC poison sqlite3 sqlite3_stmt GtkWidget GdkEvent GtkSnapshot
