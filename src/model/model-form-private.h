/* model-form-private.h: what the files of a form share. */
#pragma once

#include "model-form.h"

G_BEGIN_DECLS

/* Which field a line of the written text belongs to. */
typedef struct
{
  TdForm *form; /* (transfer none) */
  int field;    /* -1: the form itself */
} TdFormPlace;

void td_form_set_error (TdForm *self, int field, const char *message);
/* Of this form and all within. */
void td_form_clear_errors (TdForm *self);
/* What it was made from, NULL for a new row. (transfer none) */
const TdJson *td_form_get_source (TdForm *self);
const TdUnitStyle *td_form_get_style (TdForm *self);
/* The text of the value as it was read, NULL where there was none or the text has been touched. */
char *td_form_make_loaded (TdForm *self, guint field);

G_END_DECLS
