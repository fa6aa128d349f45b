#include "core-plan.h"

typedef struct
{
  TdPlan plan;
  gatomicrefcount references;
} Owned;

TdPlan *
td_plan_new (void)
{
  Owned *owned = g_new0 (Owned, 1);
  g_atomic_ref_count_init (&owned->references);
  owned->plan.left_out = g_new0 (char *, 1);
  owned->plan.warnings = g_new0 (char *, 1);
  return &owned->plan;
}

TdPlan *
td_plan_ref (TdPlan *plan)
{
  g_return_val_if_fail (plan != NULL, NULL);
  g_atomic_ref_count_inc (&((Owned *)plan)->references);
  return plan;
}

static void
clear_circuit (TdPlanCircuit *circuit)
{
  for (guint i = 0; i < circuit->n_legs; i++)
    {
      g_free (circuit->legs[i].line);
      g_free (circuit->legs[i].why);
    }
  g_free (circuit->legs);
  g_free (circuit->station);
}

void
td_plan_unref (TdPlan *plan)
{
  g_return_if_fail (plan != NULL);
  if (!g_atomic_ref_count_dec (&((Owned *)plan)->references))
    return;
  for (guint i = 0; i < plan->n_circuits; i++)
    clear_circuit (&plan->circuits[i]);
  g_free (plan->circuits);
  for (guint i = 0; i < plan->n_statics; i++)
    {
      g_free (plan->statics[i].line);
      g_free (plan->statics[i].cooler);
      g_free (plan->statics[i].why);
    }
  g_free (plan->statics);
  g_strfreev (plan->left_out);
  g_strfreev (plan->warnings);
  g_free (plan->gap);
  g_clear_pointer (&plan->certificate, td_json_unref);
  g_free ((Owned *)plan);
}

TdJson *
td_plan_certificate_to_json (const TdPlan *plan)
{
  g_return_val_if_fail (plan != NULL, NULL);
  return plan->certificate != NULL ? td_json_ref (plan->certificate) : NULL;
}

const TdPlanCircuit *
td_plan_find_circuit (const TdPlan *plan, const char *line)
{
  g_return_val_if_fail (plan != NULL && line != NULL, NULL);
  for (guint c = 0; c < plan->n_circuits; c++)
    for (guint i = 0; i < plan->circuits[c].n_legs; i++)
      if (g_str_equal (plan->circuits[c].legs[i].line, line))
        return &plan->circuits[c];
  return NULL;
}

const TdPlanLeg *
td_plan_find_leg (const TdPlan *plan, const char *line)
{
  const TdPlanCircuit *circuit = td_plan_find_circuit (plan, line);
  for (guint i = 0; circuit != NULL && i < circuit->n_legs; i++)
    if (g_str_equal (circuit->legs[i].line, line))
      return &circuit->legs[i];
  return NULL;
}

const TdPlanStatic *
td_plan_find_static (const TdPlan *plan, const char *line)
{
  g_return_val_if_fail (plan != NULL && line != NULL, NULL);
  for (guint i = 0; i < plan->n_statics; i++)
    if (g_str_equal (plan->statics[i].line, line))
      return &plan->statics[i];
  return NULL;
}
