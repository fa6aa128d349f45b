/* wizard-drive.h: doing a visit in the wizard as a technician would: by pointer or by keyboard alone. */
#pragma once

#include "desk-drive.h"
#include "model-steps.h"
#include "wizard-form.h"
#include "wizard-page.h"

typedef enum
{
  WIZARD_BY_POINTER,
  WIZARD_BY_KEYBOARD
} WizardHow;

typedef struct
{
  TdDrive *drive;
  WizardHow how;
  guint acts; /* presses of the pointer, or chosen buttons, so far */
  guint keys; /* keys pressed so far, without letters */
  gboolean bulk; /* confirms lists as a whole */
  gint64 pace_ms; /* how far the clock goes on before each act */
} WizardHand;

/* Opens the visit's page and waits for it. */
void wizard_open (WizardHand *hand, const char *visit);
TdWizard *wizard_get (WizardHand *hand);
TdVisit *wizard_get_visit (WizardHand *hand);
/* Lets the clock run on. */
void wizard_pass_time (WizardHand *hand, gint64 ms);
/* Until what was handed in is on the disk and on the screen. */
void wizard_wait_for_disk (WizardHand *hand);
/* Moves the focus there by the Tab key alone. */
void wizard_tab_to (WizardHand *hand, GtkWidget *widget);
/* Presses a widget: a click, or the focus moved there by Tab and then the space bar. */
void wizard_press (WizardHand *hand, GtkWidget *widget);
/* The sensitive button with that widget name, or NULL. */
GtkWidget *wizard_look (WizardHand *hand, const char *name);
/* Goes on with what the wizard proposes, filling its forms in, until @step is the current one or the visit
 * is closed; fails where nothing can be done any more. */
void wizard_work_to (WizardHand *hand, TdStep step);
/* One act on, or a minute where one has to wait. */
void wizard_work_on (WizardHand *hand);
/* The current step by the folded state. */
TdStep wizard_get_current (WizardHand *hand);
/* Keeps a picture of the window as NAME.png in the folder that TUNDISH_PICTURES names; else nothing. */
void wizard_picture (WizardHand *hand, const char *name);
