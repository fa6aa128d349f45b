/* desk-paper.h: one page of a document on the screen. */
#pragma once

#include <cairo.h>
#include <gtk/gtk.h>

G_BEGIN_DECLS

/* Draws page @index with its upper left corner at the origin, in points (1/72 inch). */
typedef void (*TdPaperDraw) (gpointer document, guint index, cairo_t *cr);

#define TD_TYPE_PAPER_WIDGET (td_paper_widget_get_type ())
G_DECLARE_FINAL_TYPE (TdPaperWidget, td_paper_widget, TD, PAPER_WIDGET, GtkWidget)

/* @document: must live as long as the widget, or until td_paper_widget_set_page() is called with NULL.
 * @title: its accessible name, "Page 2 of 5". */
GtkWidget *td_paper_widget_new (void);
void td_paper_widget_set_page (TdPaperWidget *self,
                               TdPaperDraw draw,
                               gpointer document,
                               guint index,
                               double width_pt,
                               double height_pt,
                               const char *title);
/* FALSE: out of sight for now; nothing is painted and no picture kept. */
void td_paper_widget_set_near (TdPaperWidget *self, gboolean near_sight);
/* Pixels to a point. */
void td_paper_widget_set_zoom (TdPaperWidget *self, double zoom);

G_END_DECLS
