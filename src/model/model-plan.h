/* model-plan.h: what a technician wants of a plan, line by line, and the acts that a plan becomes. */
#pragma once

#include "core-plan-adopt.h"
#include "core-plan-pins.h"
#include "core-plan.h"
#include "core-visit.h"

G_BEGIN_DECLS

typedef enum
{
  TD_WISH_NONE,
  TD_WISH_STATIC,
  TD_WISH_LEAVE_OUT,
  TD_WISH_NO_REVERSAL
} TdWish;

/* The wishes of a visit's plan: one for each outlet, a station (NULL: any), circuits made by hand. */
typedef struct
{
  guint n_outlets;
  TdWish *wishes;
  char *station;
  GPtrArray *circuits; /* GArray of guint */
} TdPlanWishes;

TdPlanWishes *td_plan_wishes_new (const TdVisit *visit);
void td_plan_wishes_free (TdPlanWishes *wishes);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdPlanWishes, td_plan_wishes_free)

/* The wishes, and every line that is not in scope or left out already, as pins of the planner.
 * (transfer full) */
TdPlanPins *td_plan_wishes_to_pins (const TdPlanWishes *wishes, const TdVisit *visit);
/* "static", ... for actions and tests; FALSE for an unknown word. */
gboolean td_wish_from_text (const char *text, TdWish *wish_out);
const char *td_wish_to_text (TdWish wish);

/* How the hours run: minutes in all, and for each circuit how long before opening its chemical has to be
 * in at the latest. (transfer full) */
char *td_plan_hours_to_words (const TdPlanOutlook *outlook);
/* What is to be mixed, rinsed and lost. (transfer full) */
char *td_plan_amounts_to_words (const TdPlanOutlook *outlook);
/* What is wrong with the marked lines as one circuit, or that they can run so. @lines: guint, outlets.
 * (transfer full) */
char *td_plan_marked_to_words (const TdVisit *visit, const GArray *lines);
/* What the plan asks for, in words: "1 circuit, 2 lines static, 1 lever, 55 min, 12.5 L". (transfer full) */
char *td_plan_to_words (const TdPlan *plan);
/* Of one line: "Circuit 1, runs in, lever set", or why it is static. (transfer full) */
char *td_plan_line_to_words (const TdPlan *plan, const char *line);

G_END_DECLS
