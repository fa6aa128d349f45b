/* desk-ask-form.h: a few questions in place, and a button that does it: no dialog covers what they are about. */
#pragma once

#include "core-time.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define TD_TYPE_ASK_FORM (td_ask_form_get_type ())
/* Hidden until td_ask_form_show(). Signal "answered" (string: what was asked, as td_ask_form_begin() had it): the
 * button was pressed; the form stays until td_ask_form_close(), so that what goes wrong can be mended.
 * Property "asking" (boolean): it is shown.
 * Actions "ask.answer" and "ask.give-up". */
G_DECLARE_FINAL_TYPE (TdAskForm, td_ask_form, TD, ASK_FORM, GtkWidget)

GtkWidget *td_ask_form_new (void);

/* Takes all questions away. @name: told with "answered". @title: what it is about, @done: what the button says;
 * both translated. */
void td_ask_form_begin (TdAskForm *self, const char *name, const char *title, const char *done);
/* @id: also the name of the widget. @label: translated. @value: (nullable). */
void td_ask_form_add_entry (TdAskForm *self, const char *id, const char *label, const char *value);
void td_ask_form_add_date (TdAskForm *self, const char *id, const char *label, TdDate value);
void td_ask_form_add_check (TdAskForm *self, const char *id, const char *label, gboolean active);
/* The mark @id asks nothing while the mark @by is set. */
void td_ask_form_bar_check (TdAskForm *self, const char *id, const char *by);
/* Shows it and puts the focus into its first question. */
void td_ask_form_show (TdAskForm *self);
/* Hides it. */
void td_ask_form_close (TdAskForm *self);

/* Without spaces around; "" where nothing was answered. (transfer full) */
char *td_ask_form_get_text (TdAskForm *self, const char *id);
gboolean td_ask_form_get_active (TdAskForm *self, const char *id);
/* FALSE where the answer is no date; that is then said in the form. */
gboolean td_ask_form_get_date (TdAskForm *self, const char *id, TdDate *date_out);
/* FALSE where nothing was answered; that is then said. @text_out: (transfer full). */
gboolean td_ask_form_require_text (TdAskForm *self, const char *id, char **text_out);
/* Says what is wrong with the answers. @what: translated. */
void td_ask_form_complain (TdAskForm *self, const char *what);

G_END_DECLS
