/* desk-chip.h: where a site stands in the round, as a sign and a few words on a coloured ground. */
#pragma once

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define TD_TYPE_CHIP (td_chip_get_type ())
/* Properties: "state" (int, a TdRoundState), "days" (int). Its style changes only where the state does: of
 * the rows of a long list that are filled anew in one frame most keep their colour. */
G_DECLARE_FINAL_TYPE (TdChip, td_chip, TD, CHIP, GtkWidget)

GtkWidget *td_chip_new (void);

G_END_DECLS
