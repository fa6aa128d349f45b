/* model-form.h: a row of master data while a person edits it.
 *
 * A form holds the texts that stand in its fields, and for its lists further forms.  Nothing of the file is
 * lost by editing: a field whose text is not touched is written as it was read, whatever the units of its
 * display, and a value that the form cannot show stays.
 *
 * What is typed is checked in two steps: each text by itself (a unit, a whole number), and then the whole by
 * the reader of the file in core, so that nothing can be kept that an import would refuse.  An error of that
 * reader names line and column; the form writes one field a line and so finds the field that it belongs to.
 *
 * Signal "changed": a text, a list or an error of this form or of one within it. */
#pragma once

#include "model-form-type.h"

#include <gio/gio.h>

G_BEGIN_DECLS

#define TD_TYPE_FORM (td_form_get_type ())
/* Properties "title" and "summary" (string): as a list shows the row; "faulty" (boolean): something in it or
 * within is wrong. */
G_DECLARE_FINAL_TYPE (TdForm, td_form, TD, FORM, GObject)

/* @json: (nullable): what stands there now; NULL for a new row. @style: copied. */
TdForm *td_form_new (const TdFormType *type, const TdJson *json, const TdUnitStyle *style);
const TdFormType *td_form_get_form_type (TdForm *self);
/* (transfer none) (nullable): the form whose list this one stands in. */
TdForm *td_form_get_parent (TdForm *self);
TdForm *td_form_get_root (TdForm *self);
/* TRUE where something differs from what was read. */
gboolean td_form_is_changed (TdForm *self);
/* TRUE for a row that is not in the file yet. */
gboolean td_form_is_new (TdForm *self);

const char *td_form_get_text (TdForm *self, guint field);
/* The error of the field goes with the old text. */
void td_form_set_text (TdForm *self, guint field, const char *text);
/* What is wrong with the field; NULL where nothing is known to be. */
const char *td_form_get_error (TdForm *self, guint field);
/* The same of the form as a whole. */
const char *td_form_get_whole_error (TdForm *self);

/* Forms of a list, (element-type TdForm) (transfer none). */
GListModel *td_form_get_items (TdForm *self, guint field);
/* Appends one, with a short name that is free. (transfer none). */
TdForm *td_form_add_item (TdForm *self, guint field);
void td_form_remove_item (TdForm *self, guint field, guint position);
/* Moves one a place up (-1) or down (1). */
void td_form_move_item (TdForm *self, guint field, guint position, int by);

/* What a reference may name: of a list of the root by ids and titles, else what was handed in.
 * @titles_out: (out) (transfer full). Returns: (transfer full): the ids. */
char **td_form_list_choices (TdForm *self, guint field, char ***titles_out);
/* Hands in choices of a reference that is no list of the form. */
void td_form_set_choices (TdForm *root, const char *refers, const char *const *ids, const char *const *titles);

/* Fills the values of a preset in. */
void td_form_apply_preset (TdForm *self, const TdFormPreset *preset);

/* Checks the whole.  Where all is well: the object as it goes into the book.
 * Returns: (transfer full): it, or NULL, every wrong field having its error; @wrong_out: (out) (transfer none)
 * (optional): a form with one, @field_out: the field, or -1 for the form as a whole. */
TdJson *td_form_check (TdForm *root, TdForm **wrong_out, int *field_out);
/* An error of the book goes to the field that it names. Returns FALSE where it names none: the form as a whole
 * has it then. */
gboolean td_form_take_error (TdForm *root, const char *message);

/* What a line of a site holds, what it costs in head at the least flow, and how far it rises, as the form
 * stands; for a piece of tube and a side faucet of the line that it belongs to.
 * @settings: (nullable). Returns: (transfer full): a sentence, NULL where too little is known. */
char *td_form_make_figures (TdForm *self, const TdSettings *settings);

G_END_DECLS
