/* wizard-form-private.h: the form's own parts, for the files that it is made of. */
#pragma once

#include "desk-moment-button.h"
#include "desk-notice.h"
#include "wizard-field.h"
#include "wizard-form.h"

G_BEGIN_DECLS

struct _TdWizardForm
{
  GtkWidget parent;
  TdSession *session;
  TdKind kind;
  TdAct *act;     /* NULL: of a kind alone */
  TdJson *preset; /* object */
  guint of;       /* corrected entry, 0: a new one */
  gboolean late;
  gboolean whole; /* an act of several entries: nothing is asked for but its lines and when it was done */
  guint n_entries; /* on their way to the disk */
  gboolean filling; /* fields are being set */
  char *product;    /* of a mix, as last proposed */

  GtkWidget *root;
  TdNotice *notice;
  GtkLabel *title;
  GtkScrolledWindow *scroller;
  GtkBox *hints;
  GtkBox *more_hints; /* below the fields: what is poured must be in sight on a small screen */
  GtkGrid *grid;
  GtkWidget *correction;
  GtkToggleButton *void_it;
  GtkEntry *why;
  TdMomentButton *moment;
  GtkWidget *commit;
  GPtrArray *fields; /* TdWizardField, (transfer none) */
  GtkWidget *lines;  /* TdWizardToggles of a whole act; NULL where there is nothing to choose */
};

/* What the figures tell, and what a late entry should have waited for. */
void td_wizard_form_show_hints (TdWizardForm *self);
/* Another product has other lots and other amounts. */
void td_wizard_form_follow_product (TdWizardForm *self);
/* The field of that key, or NULL. */
TdWizardField *td_wizard_form_find (TdWizardForm *self, const char *key);
/* Puts the fields into the grid: figures first, short ones side by side, the lines last. */
void td_wizard_form_place (TdWizardForm *self);
/* Into the first field that has to be filled in; where there is none, to the button that records. */
void td_wizard_form_focus_first (TdWizardForm *self);

G_END_DECLS
