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

/* Figures that are read off an instrument. */
static gboolean
is_reading (const TdAct *act)
{
  switch (td_act_get_kind (act))
    {
    case TD_KIND_PH_READ:
    case TD_KIND_STRENGTH_MEASURED:
    case TD_KIND_TEMPERATURE_READ:
      return act->confirm == NULL;
    default:
      return act->table;
    }
}

/* "rinse/circuit-1" of "rinse/circuit-1/debris". (transfer full) */
static char *
get_stand_key (const char *act_key)
{
  const char *end = strrchr (act_key, '/');

  return end != NULL ? g_strndup (act_key, (gsize) (end - act_key)) : g_strdup (act_key);
}

/* The first act of the stand that is wanted and open. (transfer none) */
static TdAct *
find_first_open (const TdStand *stand)
{
  for (guint i = 0; i < stand->acts->len; i++)
    {
      TdAct *act = g_ptr_array_index (stand->acts, i);

      if (act->wanted && !act->done)
        return act;
    }
  return NULL;
}

TdAct *
td_steps_find_follow (const TdStepView *view, const char *done_key)
{
  g_autofree char *key = NULL;

  g_return_val_if_fail (view != NULL && view->visit != NULL && done_key != NULL, NULL);
  key = get_stand_key (done_key);
  for (TdStep step = 0; step < TD_N_STEPS; step++)
    {
      g_autoptr (TdStepSheet) sheet = NULL;

      if (!g_str_has_prefix (key, td_step_to_text (step)))
        continue;
      sheet = td_step_sheet_new (step, view);
      for (guint i = 0; i < sheet->stands->len; i++)
        {
          const TdStand *stand = g_ptr_array_index (sheet->stands, i);
          TdAct *act = strcmp (stand->key, key) == 0 ? find_first_open (stand) : NULL;

          if (act != NULL && is_reading (act) && strcmp (act->key, done_key) != 0 && is_free (act, view, NULL))
            return td_act_ref (act);
        }
    }
  return NULL;
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

static gboolean
is_mended_before (const GPtrArray *acts, guint before, const TdMissing *missing)
{
  for (guint i = 0; i < before; i++)
    if (mends (g_ptr_array_index (acts, i), NULL, missing))
      return TRUE;
  return FALSE;
}

/* What holds the act back when those before it in the list are done with it. */
static gboolean
is_held_after (const GPtrArray *acts, const TdAct *act, const TdStepView *view)
{
  g_autoptr (GPtrArray) missing = td_act_ask_guard (act, view->visit, NULL, view->person, view->now_ms);

  for (guint i = 0; i < missing->len; i++)
    {
      const TdMissing *one = g_ptr_array_index (missing, i);

      if (!one->advice && !is_mended_before (acts, acts->len, one))
        return TRUE;
    }
  return FALSE;
}

GPtrArray *
td_stand_get_confirmable (const TdStand *stand, const TdStepView *view)
{
  GPtrArray *acts = g_ptr_array_new_with_free_func ((GDestroyNotify) td_act_unref);

  g_return_val_if_fail (stand != NULL && view != NULL, acts);
  for (guint i = 0; i < stand->acts->len; i++)
    {
      TdAct *act = g_ptr_array_index (stand->acts, i);

      if (!act->wanted || act->done)
        continue;
      if (act->confirm == NULL || is_held_after (acts, act, view))
        break;
      g_ptr_array_add (acts, td_act_ref (act));
    }
  return acts;
}
