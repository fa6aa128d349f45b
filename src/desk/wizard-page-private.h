/* wizard-page-private.h: the wizard's own parts, for the files that it is made of. */
#pragma once

#include "desk-notice.h"
#include "desk-record-view.h"
#include "wizard-clocks.h"
#include "wizard-form.h"
#include "wizard-list.h"
#include "wizard-opening.h"
#include "wizard-page.h"
#include "wizard-plan.h"
#include "wizard-sheet.h"
#include "wizard-stops.h"

G_BEGIN_DECLS

struct _TdWizard
{
  GtkWidget parent;
  TdSession *session;
  TdStep step;
  guint reveal_frames;  /* until the list is scrolled to what is worked on; 0: it is */
  gboolean step_chosen; /* somebody went there: do not follow the work by itself */
  guint undo_seq;       /* the last entry that "undo" takes back; 0: none */
  guint undo_n;         /* and how many that belong together */
  char *next_key;       /* of the act on the large button; NULL: none */
  TdStep next_step;

  GtkWidget *root;
  GtkBox *strip;
  TdNotice *notice;
  GtkStack *stack;
  GtkScrolledWindow *scroller;
  TdWizardPlan *plan;
  TdWizardStops *ahead; /* what stands in the way of signing, above the list */
  TdWizardList *list;
  GtkLabel *flow_words; /* what the flows measured say */
  guint flow_seq;       /* the entry that they were worked out for: it takes too long for every tick */
  TdWizardForm *form;
  TdWizardSheet *sheet;
  TdWizardStops *stops;
  TdRecordView *record;
  TdWizardOpening *opening;
  GtkWidget *side;
  GtkWidget *next;
  GtkLabel *next_title;
  GtkLabel *next_detail;
  GtkLabel *leave; /* before one walks away */
  GtkLabel *said;  /* what a screen reader is told at once */
  TdWizardClocks *clocks;
  GtkWidget *stops_button;
  GtkLabel *stops_label;
  GtkMenuButton *person;
  GtkLabel *person_label;
  GtkWidget *done_bar;
  GtkLabel *done_label;
  GtkWidget *undo;
};

/* The visit as it is looked at now. Valid until the next change. */
TdStepView td_wizard_get_view (TdWizard *self);
/* Everything anew. */
void td_wizard_show (TdWizard *self);
void td_wizard_go (TdWizard *self, TdStep step);
/* Puts the focus on the row of that act (nullable: the first that is wanted), else on the large button. */
void td_wizard_focus_act (TdWizard *self, const char *key);
void td_wizard_show_page (TdWizard *self, const char *name);
/* Records the act for those lines (nullable: all) and follows the work. */
void td_wizard_do_act (TdWizard *self, TdAct *act, const GArray *chosen);
/* Says what was recorded, with the way to take it back: @n entries, the last of them @seq. */
void td_wizard_say_done (TdWizard *self, const char *what, guint seq, guint n);
/* Opens the form or the table that asks for an act. */
void td_wizard_open_form (TdWizard *self, TdAct *act, gboolean late, gboolean all);
/* Goes on where the act with that key was done: to the reading that follows it, else to the list. */
void td_wizard_follow (TdWizard *self, const char *done_key);
/* Says @text where everybody sees it and a screen reader says it at once; "" takes it away. */
void td_wizard_announce (TdWizard *self, const char *text);
void td_wizard_install_acts (GtkWidgetClass *klass);
void td_wizard_add_keys (TdWizard *self);

G_END_DECLS
