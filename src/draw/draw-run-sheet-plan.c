#include "draw-run-sheet.h"

static void
add_circuit (TdRunSheet *sheet, const TdPlanCircuit *circuit)
{
  g_autofree TdRunLeg *legs = g_new0 (TdRunLeg, MAX (circuit->n_legs, 1));
  guint n = 0;

  for (guint i = 0; i < circuit->n_legs; i++)
    {
      int outlet = td_site_find_outlet (sheet->site, circuit->legs[i].line);

      if (outlet < 0)
        continue;
      legs[n].outlet = (guint)outlet;
      legs[n].direction = circuit->legs[i].runs_in ? TD_DIRECTION_IN : TD_DIRECTION_OUT;
      n++;
      sheet->outlets[outlet].reversal = circuit->legs[i].reversal;
    }
  td_run_sheet_add_circuit (sheet, (int)circuit->number, circuit->station, legs, n);
}

TdRunSheet *
td_run_sheet_new_plan (TdSite *site, const TdPlan *plan)
{
  TdRunSheet *sheet = td_run_sheet_new (site);

  g_assert (plan != NULL);
  for (guint i = 0; i < plan->n_circuits; i++)
    add_circuit (sheet, &plan->circuits[i]);
  for (guint i = 0; i < plan->n_statics; i++)
    {
      int outlet = td_site_find_outlet (site, plan->statics[i].line);

      if (outlet >= 0)
        td_run_sheet_add_static (sheet, (guint)outlet, (int)plan->statics[i].fed_by);
    }
  for (char **id = plan->left_out; id != NULL && *id != NULL; id++)
    {
      int outlet = td_site_find_outlet (site, *id);

      if (outlet >= 0)
        sheet->outlets[outlet].stage = TD_STAGE_LEFT_OUT;
    }
  return sheet;
}
