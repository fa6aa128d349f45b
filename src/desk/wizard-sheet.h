/* wizard-sheet.h: a table of readings, line by line, with what each line's readings tell beside them. */
#pragma once

#include "desk-session.h"
#include "model-act.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define TD_TYPE_WIZARD_SHEET (td_wizard_sheet_get_type ())
/* Enter leads to the next cell, in the last it records. Actions: "sheet.commit", "sheet.leave". Signals: "leave";
 * "done" (string: what was recorded, uint: how many entries, string: key of the act): they are on disk. */
G_DECLARE_FINAL_TYPE (TdWizardSheet, td_wizard_sheet, TD, WIZARD_SHEET, GtkWidget)

GtkWidget *td_wizard_sheet_new (void);
/* @act: one with TdAct.table. The first cell has the focus. */
void td_wizard_sheet_show (TdWizardSheet *self, TdSession *session, TdAct *act);
/* The entry of a cell, NULL where nothing is asked there. */
GtkWidget *td_wizard_sheet_get_cell (TdWizardSheet *self, guint row, guint column);

G_END_DECLS
