#include "model-steps-private.h"

#include <string.h>

TdStep
td_steps_find_current (const TdStepView *view)
{
  g_return_val_if_fail (view != NULL && view->visit != NULL, TD_STEP_ARRIVE);
  for (TdStep step = 0; step < TD_STEP_SIGN && !view->visit->closed; step++)
    {
      g_autoptr (TdStepSheet) sheet = td_step_sheet_new (step, view);

      if (td_step_sheet_count_open (sheet) > 0)
        return step;
    }
  return TD_STEP_SIGN;
}

/* Looks at every open act of the sheet until @is says so. */
typedef gboolean (*ActIs) (const TdAct *act, const TdStepView *view, gconstpointer data);

static TdAct *
find_act (const TdStepView *view, TdStep from, TdStep *step_out, ActIs is, gconstpointer data)
{
  for (TdStep step = from; step < TD_N_STEPS; step++)
    {
      g_autoptr (TdStepSheet) sheet = td_step_sheet_new (step, view);

      for (guint i = 0; i < sheet->stands->len; i++)
        {
          const TdStand *stand = g_ptr_array_index (sheet->stands, i);

          for (guint j = 0; j < stand->acts->len; j++)
            {
              TdAct *act = g_ptr_array_index (stand->acts, j);

              if (act->done || !is (act, view, data))
                continue;
              if (step_out != NULL)
                *step_out = step;
              return td_act_ref (act);
            }
        }
    }
  return NULL;
}

static gboolean
is_free (const TdAct *act, const TdStepView *view, gconstpointer data)
{
  g_autoptr (GPtrArray) missing = NULL;

  if (!act->wanted)
    return FALSE;
  missing = td_act_ask_guard (act, view->visit, NULL, view->person, view->now_ms);
  return !td_missing_holds (missing);
}

/* What is offered while a clock runs: faucets and couplers. */
static gboolean
fills_wait (const TdAct *act, const TdStepView *view, gconstpointer data)
{
  g_autoptr (GPtrArray) missing = NULL;
  TdKind kind = td_act_get_kind (act);

  if (kind != TD_KIND_FAUCET_STRIPPED && kind != TD_KIND_COUPLER_BRUSHED)
    return FALSE;
  missing = td_act_ask_guard (act, view->visit, NULL, view->person, view->now_ms);
  return !td_missing_holds (missing);
}

TdAct *
td_steps_find_next (const TdStepView *view, TdStep step, TdStep *step_out)
{
  TdStep at = step;
  TdAct *act;

  g_return_val_if_fail (view != NULL && view->visit != NULL, NULL);
  act = find_act (view, step, &at, is_free, NULL);
  if (step == TD_STEP_CONTACT && (act == NULL || at > TD_STEP_CONTACT))
    {
      TdStep wait_at = step;
      TdAct *wait = find_act (view, step, &wait_at, fills_wait, NULL);

      if (wait != NULL && wait_at == TD_STEP_CONTACT)
        {
          g_clear_pointer (&act, td_act_unref);
          act = wait;
          at = wait_at;
        }
      else
        g_clear_pointer (&wait, td_act_unref);
    }
  if (step_out != NULL)
    *step_out = at;
  return act;
}

static gboolean
mends (const TdAct *act, const TdStepView *view, gconstpointer data)
{
  const TdMissing *missing = data;

  for (guint i = 0; i < act->parts->len; i++)
    {
      const TdActPart *part = g_ptr_array_index (act->parts, i);

      if (part->kind != missing->remedy)
        continue;
      if (missing->circuit != 0 && part->circuit != 0 && missing->circuit != part->circuit)
        continue;
      if (missing->outlet < 0 || part->outlets->len == 0)
        return TRUE;
      for (guint j = 0; j < part->outlets->len; j++)
        if (g_array_index (part->outlets, guint, j) == (guint) missing->outlet)
          return TRUE;
    }
  return FALSE;
}

TdAct *
td_steps_find_remedy (const TdStepView *view, const TdMissing *missing, TdStep *step_out)
{
  g_return_val_if_fail (view != NULL && missing != NULL, NULL);
  return find_act (view, TD_STEP_ARRIVE, step_out, mends, missing);
}

static gboolean
has_key (const TdAct *act, const TdStepView *view, gconstpointer data)
{
  return strcmp (act->key, data) == 0;
}

TdAct *
td_steps_find_act (const TdStepView *view, const char *key)
{
  g_return_val_if_fail (view != NULL && key != NULL, NULL);
  return find_act (view, TD_STEP_ARRIVE, NULL, has_key, key);
}

GPtrArray *
td_stand_get_confirmable (const TdStand *stand)
{
  GPtrArray *acts = g_ptr_array_new_with_free_func ((GDestroyNotify) td_act_unref);

  g_return_val_if_fail (stand != NULL, acts);
  for (guint i = 0; i < stand->acts->len; i++)
    {
      TdAct *act = g_ptr_array_index (stand->acts, i);

      if (act->wanted && !act->done && act->confirm != NULL)
        g_ptr_array_add (acts, td_act_ref (act));
    }
  return acts;
}

static gboolean
is_mended_before (const GPtrArray *acts, guint before, const TdMissing *missing)
{
  for (guint i = 0; i < before; i++)
    if (mends (g_ptr_array_index (acts, i), NULL, missing))
      return TRUE;
  return FALSE;
}

GPtrArray *
td_stand_ask_guard (const GPtrArray *acts, const TdStepView *view)
{
  GPtrArray *all = g_ptr_array_new_with_free_func ((GDestroyNotify) td_missing_free);

  g_return_val_if_fail (acts != NULL && view != NULL, all);
  for (guint i = 0; i < acts->len; i++)
    {
      g_autoptr (GPtrArray) missing
        = td_act_ask_guard (g_ptr_array_index (acts, i), view->visit, NULL, view->person, view->now_ms);

      while (missing->len > 0)
        {
          TdMissing *one = g_ptr_array_steal_index (missing, 0);

          if (one->advice || is_mended_before (acts, i, one))
            td_missing_free (one);
          else
            g_ptr_array_add (all, one);
        }
    }
  return all;
}
