/* core-plan-outlook.h: what a plan will be like when it is run: when, how much, what is lost.
 *
 * The run through the hours (core-plan-time.h) beside what flows (core-transport.h): when the front of
 * the solution reaches the end of each line, how much solution is to be mixed, how much water rinses it
 * out again until the pH stands within an instrument's band of the tap's, how much beer is lost.  All of
 * it is a forecast: the clock starts when full strength is seen, and the pH reading ends a rinse. */
#pragma once

#include "core-plan-time.h"

G_BEGIN_DECLS

/* How much water one way takes. */
typedef struct
{
  double volume_ml; /* of tubes and jumpers, what is to be rinsed */
  double pockets_ml; /* stirred pockets on the way: FOBs */
  double water_l;   /* NAN where the volume is not known */
  double seconds;   /* at the way's flow */
  double volumes;   /* water_l over the volume */
  gboolean reckoned; /* tubes or flow not known: by rinse-volumes-percent of the volume */
  gboolean laminar; /* a tube flows below Re 2000: 3 to 8 volumes, the greater is reckoned with */
  gboolean uncertain; /* a tube flows at 2000 < Re < 4000 */
} TdOutlookRinse;

typedef struct
{
  const TdPlanCircuit *circuit;
  double *fronts_s; /* by leg: seconds after the chemical went in until it reaches the leg's end */
  TdOutlookRinse rinse;
  double beer_lost_ml; /* of all its lines; NAN where a volume is not known */
} TdOutlookCircuit;

typedef struct
{
  const TdPlanStatic *still;
  double front_s; /* from its keg end to its faucet at the least flow; NAN where not known */
  TdOutlookRinse rinse;
  double beer_lost_ml;
} TdOutlookStatic;

typedef struct _TdPlanOutlook
{
  guint technicians;
  TdPlanTime *time;
  TdOutlookCircuit *circuits; /* as in the plan */
  guint n_circuits;
  TdOutlookStatic *statics; /* as in the plan */
  guint n_statics;
  double reused_l; /* solution to mix where one filling serves all circuits in turn */
  double fresh_l;  /* where each circuit gets its own, bucket and all */
  double end_share; /* of the solution left in the rinse water at which the pH stands at the band's edge */
  double rinse_l;  /* of all circuits and static lines */
  double beer_lost_ml;
  gint64 beer_minor; /* its price in minor units, -1 where no price is set */
} TdPlanOutlook;

/* Looks ahead.  Tap water by the settings tap-ph-milli, tap-alkalinity-mg-l, tap-c-milli; pockets are the
 * FOBs of the sheet (TD_FOB_POCKET_ML each), and the bucket counts as emptied before the rinse; beer is
 * refilled at pour-rate-ml-min.  @settings: (nullable): NULL for the defaults; @technicians: 1 or 2.
 * Site and plan outlive the result.  Returns: (transfer full): the outlook, or NULL with TD_ERROR_RANGE
 * where a figure of the sheet stands outside what can be computed. */
TdPlanOutlook *td_plan_outlook_new (const TdSite *site,
                                    const TdPlan *plan,
                                    const TdSettings *settings,
                                    guint technicians,
                                    GError **error);
void td_plan_outlook_free (TdPlanOutlook *outlook);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdPlanOutlook, td_plan_outlook_free)

/* {"technicians", "minutes", "bound_minutes", "solution": {"reused_l", "fresh_l"}, "rinse": {"end_share",
 * "water_l"}, "beer": {"lost_l", "price_minor"}, "circuits": [{"number", "chemical_in_s", "done_s",
 * "latest_before_opening_s", "fronts": [{"line", "s"}], "rinse": {"water_l", "s", "volumes", "reckoned",
 * "laminar", "uncertain"}, "beer_lost_l"}], "static": [{"line", "front_s", "rinse", "beer_lost_l"}], "bars":
 * [{"work", "circuit", "line", "place", "technician", "from_s", "to_s"}]}; what is not known is null, a
 * bar leaves out what it does not concern.  Returns: (transfer full). */
TdJson *td_plan_outlook_to_json (const TdPlanOutlook *outlook);

/* Returns: (transfer full): the outlook as a page of plain text of up to @columns columns (at least 60):
 * totals, circuits with their latest chemical-in, and a chart with a row for each circuit, each static
 * line of its own and each technician.  English. */
char *td_plan_outlook_to_text (const TdPlanOutlook *outlook, guint columns);

G_END_DECLS
