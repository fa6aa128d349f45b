/* wizard-pad.h: a pad to sign on, by mouse, finger or pen; the signature is kept as strokes. */
#pragma once

#include "core-json.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define TD_TYPE_WIZARD_PAD (td_wizard_pad_get_type ())
/* Signal "changed": a stroke was drawn or all were cleared. */
G_DECLARE_FINAL_TYPE (TdWizardPad, td_wizard_pad, TD, WIZARD_PAD, GtkWidget)

GtkWidget *td_wizard_pad_new (void);
void td_wizard_pad_clear (TdWizardPad *self);
/* Returns: (transfer full) (nullable): array of strokes, each x, y, ms, x, y, ms, ... in 1/100 mm from the
 * pad's upper left corner and ms from the first point; NULL where nothing is drawn. */
TdJson *td_wizard_pad_get_strokes (TdWizardPad *self);

G_END_DECLS
