/* model-steps.h: the nine steps of a visit: which acts are open in each, where one stands for them, in
 * which order one walks.
 *
 * Everything follows from the folded state: no step is stored.  A visit that is loaded again stands at the
 * first step in which something wanted is open.  Stages run line by line, so that a later step may be done
 * for one circuit while an earlier one is open for another; every step can be looked at at any time. */
#pragma once

#include "core-units.h"
#include "model-act.h"
#include "model-habit.h"

G_BEGIN_DECLS

typedef enum
{
  TD_STEP_ARRIVE,
  TD_STEP_PLAN,
  TD_STEP_SAFE,
  TD_STEP_MIX,
  TD_STEP_CONTACT,
  TD_STEP_RINSE,
  TD_STEP_BACK,
  TD_STEP_CHECK,
  TD_STEP_SIGN,
  TD_N_STEPS
} TdStep;

/* No list asks for more at a pause. */
#define TD_STAND_MAX 9

typedef enum
{
  TD_STAND_READ_DO,   /* read the next line, do it; the list may be confirmed as a whole at its end */
  TD_STAND_DO_CONFIRM /* do what one knows, then confirm each */
} TdStandManner;

/* Acts that are done without walking. */
typedef struct
{
  char *key;   /* "safe/C1" */
  char *title; /* "Cold room" */
  char *note;  /* what one must know there: cautions; NULL where nothing */
  TdStandManner manner;
  GPtrArray *acts; /* TdAct */
} TdStand;

typedef struct
{
  TdStep step;
  GPtrArray *stands; /* TdStand, in the order of the walk */
} TdStepSheet;

/* Whoever looks at the visit. */
typedef struct
{
  const TdVisit *visit;
  gint64 now_ms;
  const char *person; /* NULL where not known */
  const TdHabits *habits;   /* of earlier visits; NULL where nobody looked */
  const TdUnitStyle *style; /* units to say figures in; NULL: metric */
} TdStepView;

/* "Make safe"; translated. "safe": for keys and tests. */
const char *td_step_get_title (TdStep step);
const char *td_step_to_text (TdStep step);

/* Returns: (transfer full). */
TdStepSheet *td_step_sheet_new (TdStep step, const TdStepView *view);
void td_step_sheet_free (TdStepSheet *sheet);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdStepSheet, td_step_sheet_free)

/* How many wanted acts are open. */
guint td_step_sheet_count_open (const TdStepSheet *sheet);
/* The first step with a wanted act open; of a closed visit the last. */
TdStep td_steps_find_current (const TdStepView *view);
/* The act that can be done next, not held back, in @step or the ones behind it; in contact the acts that
 * fill the wait come before what the clock holds back.  @step_out: (out) (optional): where it stands.
 * Returns: (transfer full) (nullable): NULL where everything open is held back. */
TdAct *td_steps_find_next (const TdStepView *view, TdStep step, TdStep *step_out);
/* The reading that follows at once where the act with @done_key was done, at the same place and not held
 * back: its form is opened without being asked for. (transfer full) (nullable) */
TdAct *td_steps_find_follow (const TdStepView *view, const char *done_key);
/* The act that mends what is missing, in whichever step. (transfer full) (nullable) */
TdAct *td_steps_find_remedy (const TdStepView *view, const TdMissing *missing, TdStep *step_out);
/* The open act with that key. (transfer full) (nullable) */
TdAct *td_steps_find_act (const TdStepView *view, const char *key);

/* The acts that the list's end confirms: open and wanted, from the first on until one asks for more than a
 * tap or is held back; what earlier lines of the list mend does not hold. (transfer full) (element-type
 * TdAct) */
GPtrArray *td_stand_get_confirmable (const TdStand *stand, const TdStepView *view);

/* The step where a kind of entry is made; each kind belongs to one. */
TdStep td_kind_get_step (TdKind kind);
/* Kinds that a step offers apart from its list, in the order of the table. (transfer full): GArray of
 * TdKind. */
GArray *td_step_get_kinds (TdStep step);

G_END_DECLS
