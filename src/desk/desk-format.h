/* desk-format.h: figures and states as words: the closures of the .ui files, and the same for C.
 *
 * Every function that a .ui file names has the shape of a closure: the first argument is the object that
 * the expression hangs on and is not looked at; what comes back is (transfer full).  The choice of units
 * is, like the language, one for the whole program: td_format_set_units() is called when the preference
 * changes, and lists are then shown anew. */
#pragma once

#include "core-units.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

void td_format_set_units (TdUnitSystem units);
/* Units and decimal mark of every figure that is shown or typed. (transfer none) */
const TdUnitStyle *td_format_get_style (void);

/* Makes every closure below known to the template of @klass by its name. Call it after
 * gtk_widget_class_set_template_from_resource(). */
void td_format_bind (GtkWidgetClass *klass);

/* @date: a TdDate; nothing for TD_DATE_NONE. "2 Mar 2026". */
char *td_format_date (gpointer object, int date);
/* A round's state as the chip says it: "Overdue 9 days", "Due today", "Due in 3 days", "Visit open". */
char *td_format_due (gpointer object, int state, int days);
/* What is due and when it was last done: "Caustic clean · last 2 Mar 2026". */
char *td_format_task_line (gpointer object, const char *task, int last);
/* What did not come about, and why: "Missed 2 times · Moved to 5 Mar 2026: the cellar was locked"; nothing where
 * all went as planned. */
char *td_format_round_note (gpointer object, guint missed, int moved_to, const char *reason);
/* "Caustic clean"; the word itself where it is unknown. */
char *td_format_task (gpointer object, const char *task);
/* Icon that stands for a round's state, and the style class of its chip. */
char *td_format_state_icon (gpointer object, int state);
char **td_format_state_classes (gpointer object, int state);
/* "7 lines". */
char *td_format_lines (gpointer object, guint lines);
/* "Quayside Taverns · 9 Quay Street"; @b may be NULL or empty. */
char *td_format_pair (gpointer object, const char *a, const char *b);
/* "12.4 ft" or "3.8 m"; nothing for NAN. */
char *td_format_length (gpointer object, double length_m);
/* "24.5 fl oz" or "725 mL"; nothing for NAN. */
char *td_format_volume (gpointer object, double volume_ml);
/* A painted number; an en dash where there is none. */
char *td_format_number (gpointer object, int number);
/* What a line is made with that matters for its cleaning: "Reversible pump · FOB". */
char *td_format_fittings (gpointer object, int pump, gboolean one_way, gboolean fob, gboolean side);
/* A visit in a list: "ABCD-0012", "ABCD-0012, amended", or "Open visit"; and the style of that. */
char *td_format_visit_title (gpointer object, const char *number, gboolean closed, gboolean amended);
char **td_format_visit_classes (gpointer object, gboolean closed);
/* "2 stops · 1 reason missing"; "Nothing found" without any. */
char *td_format_findings (gpointer object, guint stops, guint reasons, guint advice);
/* Icon of a TdSeverity, and the class that gives it its colour; "Stop · Front bar 2". */
char *td_format_severity_icon (gpointer object, int severity);
char **td_format_severity_classes (gpointer object, int severity);
char *td_format_finding_title (gpointer object, int severity, const char *place);
/* The finding's sentence with its figures, which core writes in English; in another language the rule's own
 * sentence before it. */
char *td_format_finding_text (gpointer object, const char *code, const char *text);
/* "Because: …". */
char *td_format_reason (gpointer object, const char *reason);
/* "pH read", "pH read, corrected", "pH read, taken back". */
char *td_format_entry_title (gpointer object, const char *title, gboolean corrected, gboolean voided);
/* The fields of a journal entry (a TdEntryItem, or NULL) in words. */
char *td_format_entry_detail (gpointer object, gpointer item);
/* "written down 25 min later", "3 h 05 min", "2 d 4 h"; nothing for less than a minute. */
char *td_format_late (gpointer object, gint64 late_s);
/* TRUE where @text holds something. */
gboolean td_format_has_text (gpointer object, const char *text);

G_END_DECLS
