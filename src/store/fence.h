/* Forced into every file of store: the book draws nothing and knows no window. */
#pragma GCC poison cairo_t cairo_surface_t PangoLayout GtkWidget GdkEvent
