#include "model-steps-private.h"

#include "model-i18n.h"
#include "model-proposal.h"

/* Mix: protection before the first drop, water before the chemical. */

static gboolean
is_protected (const TdStepView *view, gboolean anybody)
{
  for (guint i = 0; i < view->visit->protection->len; i++)
    {
      const TdProtection *on = &g_array_index (view->visit->protection, TdProtection, i);

      if (on->eyes && on->gloves && (anybody || g_strcmp0 (on->person, view->person) == 0))
        return TRUE;
    }
  return FALSE;
}

/* TRUE where a planned line waits for that clean and no solution of it was mixed. */
static gboolean
needs_mix (const TdVisit *visit, TdClean clean)
{
  for (guint i = 0; i < visit->n_lines; i++)
    {
      TdClean due;

      if (td_line_is_planned (visit, i) && td_line_get_clean (visit, i, &due) && due == clean
          && td_line_get_work (visit, i) == NULL)
        return td_propose_batch (visit, clean) == NULL;
    }
  return FALSE;
}

static gboolean
is_in_lines (const TdVisit *visit, guint batch)
{
  for (guint i = 0; i < visit->n_lines; i++)
    for (guint j = 0; j < visit->lines[i].passes->len; j++)
      if (g_array_index (visit->lines[i].passes, TdPass, j).batch == batch)
        return TRUE;
  return FALSE;
}

static void
add_mix (TdStepMaker *maker, TdClean clean)
{
  static const char *const titles[TD_N_CLEANS]
    = { N_ ("Mix the caustic: water first, the chemical into it"), N_ ("Mix the acid: water first, the chemical into it") };
  static const char *const names[TD_N_CLEANS] = { "mix-caustic", "mix-acid" };
  const TdBatch *batch = td_propose_batch (maker->visit, clean);
  gboolean needed = needs_mix (maker->visit, clean);
  TdMoment now = { .utc_ms = maker->view->now_ms };
  TdAct *act;

  if (!needed && batch == NULL)
    return;
  act = td_maker_add (maker, names[clean], TD_KIND_SOLUTION_MIXED, _ (titles[clean]), NULL, TRUE, 0,
                      td_propose_mix (maker->visit, clean, td_moment_get_date (&now)));
  act->done = !needed;
}

static void
add_batch (TdStepMaker *maker, guint index)
{
  const TdBatch *batch = &g_array_index (maker->visit->batches, TdBatch, index);
  g_autofree char *strength = g_strdup_printf ("strength-%s", batch->id);
  g_autofree char *warmth = g_strdup_printf ("temperature-%s", batch->id);
  const TdInstrument *probe = td_propose_instrument (maker->visit, TD_INSTRUMENT_THERMOMETER);
  gboolean fresh = !is_in_lines (maker->visit, index);
  TdAct *act;

  act = td_maker_add (maker, strength, TD_KIND_STRENGTH_MEASURED, _ ("Measure the strength"), NULL, fresh, 0,
                      td_fields_new ("batch", batch->id, "basis", td_basis_to_text (batch->basis), "known", "measured",
                                     NULL));
  act->detail = g_strdup (batch->product != NULL ? batch->product->name : batch->id);
  act->done = batch->strength.stamp.seq != 0;
  act = td_maker_add (maker, warmth, TD_KIND_TEMPERATURE_READ, _ ("Take the solution's temperature"), NULL,
                      fresh && batch->temperature.stamp.seq == 0, 0,
                      td_fields_new ("of", "solution", "batch", batch->id, "known", "measured", "instrument",
                                     probe != NULL ? probe->id : NULL, NULL));
  act->done = batch->temperature.stamp.seq != 0;
}

void
td_make_mix (TdStepMaker *maker)
{
  const TdInstrument *meter = td_propose_instrument (maker->visit, TD_INSTRUMENT_PH_METER);
  TdAct *act;

  td_maker_begin (maker, "bucket", _ ("At the bucket"), TD_STAND_READ_DO);
  act = td_maker_add (maker, NULL, TD_KIND_PROTECTION_ON, _ ("Eye protection and gloves on"), _ ("On"),
                      !is_protected (maker->view, TRUE), 0, td_fields_new ("eyes", "yes", "gloves", "yes", NULL));
  act->done = is_protected (maker->view, FALSE);
  act = td_maker_add (maker, "tap", TD_KIND_PH_READ, _ ("Read the pH of the tap water"), NULL, FALSE, 0,
                      td_fields_new ("of", "tap", "known", "measured", "instrument", meter != NULL ? meter->id : NULL,
                                     NULL));
  act->done = maker->visit->tap_ph->len > 0;
  for (TdClean clean = 0; clean < TD_N_CLEANS; clean++)
    add_mix (maker, clean);
  for (guint i = 0; i < maker->visit->batches->len; i++)
    add_batch (maker, i);
  td_maker_end (maker);
}
