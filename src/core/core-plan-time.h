/* core-plan-time.h: how long a plan takes, by running it through with one technician or two.
 *
 * The rules of the run: there is one cleaning pump, which serves one circuit after another in their order;
 * set-up comes before push-out, push-out before chemical; contact runs by itself; static lines are
 * filled while their circuit holds solution, hold by themselves beside whatever runs, and are rinsed when
 * their circuit has been; faucets of circulating lines are worked on once contact has begun, those of
 * static lines after their rinse; what was taken apart is put back after the rinse.  Going from one place
 * to another takes time.  A technician who is free takes the work that is most urgent: what keeps the
 * pump going, then rinses, static fills, faucets, set-up of the next circuit, putting back; of equal work
 * what lies at hand.  All times are whole seconds from the start, durations are rounded up. */
#pragma once

#include "core-plan.h"
#include "core-settings.h"
#include "core-site.h"

G_BEGIN_DECLS

typedef enum
{
  TD_PLAN_WORK_WALK,
  TD_PLAN_WORK_WAIT,     /* a technician with nothing to do but wait for circuit or line */
  TD_PLAN_WORK_SET_UP,   /* keg ends, faucet ends, levers, tags */
  TD_PLAN_WORK_PUMP,     /* the pump is brought and placed */
  TD_PLAN_WORK_PUSH_OUT, /* beer out */
  TD_PLAN_WORK_FILL,     /* chemical in */
  TD_PLAN_WORK_CONTACT,  /* circulating; nobody is needed */
  TD_PLAN_WORK_HOLD,     /* static; nobody is needed */
  TD_PLAN_WORK_RINSE,    /* until the pH reads as the tap's */
  TD_PLAN_WORK_FAUCET,   /* a faucet stripped and brushed, a coupler brushed */
  TD_PLAN_WORK_PUT_BACK  /* keg ends, faucet ends, levers, tags; beer drawn */
} TdPlanWork;

/* A stretch of the run. */
typedef struct
{
  TdPlanWork work;
  guint circuit;     /* number, 0 where it belongs to a static line alone */
  const char *line;  /* id of the outlet where it concerns a single one, else NULL; the plan's text */
  const char *place; /* id of the tower or cooler, NULL where nobody is needed; the site's text */
  guint technician;  /* from 1; 0 where nobody is needed */
  gint64 from_s;
  gint64 to_s;
} TdPlanBar;

typedef struct
{
  TdPlanBar *bars;    /* by start, then technician, then in the order of the work */
  guint n_bars;
  gint64 total_s;     /* until everything pours again */
  gint64 bound_s;     /* no order of the work is faster */
  guint n_circuits;
  gint64 *chemical_s; /* by circuit number less one: when its chemical goes in */
  gint64 *done_s;     /* by circuit number less one: when it and the static lines it feeds pour again */
  gint64 *latest_s;   /* by circuit number less one: so long before opening its chemical has to be in */
} TdPlanTime;

/* Runs a plan at its site.  Flow is the circuit's own where it is known, else the site's least flow.
 * @settings: (nullable): NULL for the defaults; @technicians: 1 or 2.  Plan and site outlive the result.
 * Returns: (transfer full): the run. */
TdPlanTime *td_plan_time_new (const TdSite *site,
                              const TdPlan *plan,
                              const TdSettings *settings,
                              guint technicians);
void td_plan_time_free (TdPlanTime *time);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdPlanTime, td_plan_time_free)

/* "set up", "contact", ...; for people, translatable (marked N_). */
const char *td_plan_work_get_text (TdPlanWork work);

G_END_DECLS
