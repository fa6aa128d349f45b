/* desk-round-page.h: the round: every site with what is due there, overdue first, to be searched. */
#pragma once

#include "desk-context.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define TD_TYPE_ROUND_PAGE (td_round_page_get_type ())
/* Property "filter" (string): "all", "due" (open, overdue and due today) or "open" (visits begun); also as
 * the action "round.filter".  Choosing a site activates "win.show-site" with its id. */
G_DECLARE_FINAL_TYPE (TdRoundPage, td_round_page, TD, ROUND_PAGE, GtkWidget)

GtkWidget *td_round_page_new (TdContext *context);
/* Moves the focus to the search. */
void td_round_page_focus_search (TdRoundPage *self);
/* Reads the round again. */
void td_round_page_reload (TdRoundPage *self);

G_END_DECLS
