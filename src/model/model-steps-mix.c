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

static gint64
get_figure (const TdJson *fields, const char *key)
{
  const TdJson *value = td_json_get_member (fields, key);

  return value != NULL ? td_json_get_integer (value) : -1;
}

/* "535 mL of Line lye 30 (lot 24-118) into 20 L of water: 2 % w/w"; NULL where something of it is not known,
 * so that a form has to ask. */
static char *
say_mix (const TdStepView *view, const TdJson *fields)
{
  static const TdUnitStyle metric = { TD_UNITS_METRIC, '.' };
  const TdUnitStyle *style = view->style != NULL ? view->style : &metric;
  const TdJson *product_id = td_json_get_member (fields, "product"), *lot_id = td_json_get_member (fields, "lot");
  const TdProduct *product
    = product_id != NULL ? td_masters_find_product (view->visit->masters, td_json_get_string (product_id)) : NULL;
  const TdLot *lot = lot_id != NULL ? td_masters_find_lot (view->visit->masters, td_json_get_string (lot_id)) : NULL;
  gint64 concentrate_ml = get_figure (fields, "concentrate_ml"), water_ml = get_figure (fields, "water_ml");
  g_autofree char *concentrate = NULL;
  g_autofree char *water = NULL;
  g_autofree char *strength = NULL;

  if (product == NULL || lot == NULL || concentrate_ml < 0 || water_ml < 0)
    return NULL;
  concentrate = td_act_say_figure (TD_KIND_SOLUTION_MIXED, "concentrate_ml", concentrate_ml, style);
  water = td_act_say_figure (TD_KIND_SOLUTION_MIXED, "water_ml", water_ml, style);
  strength = td_act_say_figure (TD_KIND_SOLUTION_MIXED, "percent_milli", get_figure (fields, "percent_milli"), style);
  return g_strdup_printf (_ ("%s of %s (lot %s) into %s of water: %s %s"), concentrate, product->name, lot->code, water,
                          strength, td_basis_to_text (product->basis));
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
  g_autofree char *said = NULL;
  TdJson *fields;
  TdAct *act;

  if (!needed && batch == NULL)
    return;
  fields = td_propose_mix (maker->visit, clean, td_moment_get_date (&now));
  said = say_mix (maker->view, fields);
  act = td_maker_add (maker, names[clean], TD_KIND_SOLUTION_MIXED, _ (titles[clean]), said != NULL ? _ ("Mixed so") : NULL,
                      TRUE, 0, fields);
  act->detail = g_steal_pointer (&said);
  act->done = !needed;
}

/* How it was measured before, else by what the book has. */
static const char *
propose_method (const TdStepView *view)
{
  const char *method = td_habits_find_word (view->habits, TD_KIND_STRENGTH_MEASURED, "method");

  for (guint i = 0; method == NULL && i < view->visit->masters->n_instruments; i++)
    if (view->visit->masters->instruments[i].kind == TD_INSTRUMENT_TITRATION_KIT)
      method = "titration";
  return method;
}

/* The label's words, who is called in an emergency, and whether the data sheets are there. */
static char *
make_note (const TdVisit *visit)
{
  GString *note = g_string_new (_ ("Water first, the chemical into it. Caustic and acid never meet. Label and safety data sheet decide."));
  const TdProduct *last = NULL;

  for (TdClean clean = 0; clean < TD_N_CLEANS; clean++)
    {
      const TdProduct *product = needs_mix (visit, clean) || td_propose_batch (visit, clean) != NULL
                                   ? td_propose_product (visit, clean)
                                   : NULL;

      if (product != NULL && product != last && product->caution != NULL)
        g_string_append_printf (note, "\n%s: %s", product->name, product->caution);
      last = product;
    }
  if (visit->masters->emergency_phone != NULL)
    g_string_append_printf (note, _ ("\nEmergency: %s"), visit->masters->emergency_phone);
  g_string_append (note, g_strcmp0 (visit->sds_at_hand, "yes") == 0
                           ? _ ("\nSafety data sheets are at hand.")
                           : _ ("\nSafety data sheets were not said to be at hand: have them ready first."));
  return g_string_free (note, FALSE);
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
                                     "method", propose_method (maker->view), NULL));
  act->detail = g_strdup (batch->product != NULL ? batch->product->name : batch->id);
  act->done = batch->strength.stamp.seq != 0;
  act = td_maker_add (maker, warmth, TD_KIND_TEMPERATURE_READ, _ ("Take the solution's temperature"), NULL,
                      fresh && batch->temperature.stamp.seq == 0, 0,
                      td_fields_new ("of", "solution", "batch", batch->id, "known", "measured", "instrument",
                                     probe != NULL ? probe->id : NULL, NULL));
  act->done = batch->temperature.stamp.seq != 0;
}

static void
add_tap (TdStepMaker *maker)
{
  const TdInstrument *meter = td_propose_instrument (maker->visit, TD_INSTRUMENT_PH_METER);
  TdAct *act = td_maker_add (maker, "tap", TD_KIND_PH_READ, _ ("Read the pH of the tap water"), NULL, TRUE, 0,
                             td_fields_new ("of", "tap", "known", "measured", "instrument",
                                            meter != NULL ? meter->id : NULL, NULL));

  act->done = maker->visit->tap_ph->len > 0;
}

void
td_make_mix (TdStepMaker *maker)
{
  TdAct *act;

  td_maker_begin (maker, "bucket", _ ("At the bucket"), TD_STAND_READ_DO);
  maker->stand->note = make_note (maker->visit);
  act = td_maker_add (maker, NULL, TD_KIND_PROTECTION_ON, _ ("Eye protection and gloves on"), _ ("On"),
                      !is_protected (maker->view, TRUE), 0, td_fields_new ("eyes", "yes", "gloves", "yes", NULL));
  act->done = is_protected (maker->view, FALSE);
  for (TdClean clean = 0; clean < TD_N_CLEANS; clean++)
    add_mix (maker, clean);
  for (guint i = 0; i < maker->visit->batches->len; i++)
    add_batch (maker, i);
  add_tap (maker);
  td_maker_end (maker);
}
