#include "model-steps-private.h"

#include "model-i18n.h"

/* Make safe: the cold room, then the bars one by one, that of the cleaning pump last: there the work goes
 * on.  A tag hangs before chemical goes in; before that an open faucet gives nothing worse than beer. */

static gboolean
has_pump (const TdVisit *visit, guint outlet)
{
  return td_line_is_planned (visit, outlet) && td_line_has_keg_end (visit, outlet)
         && td_line_get_sheet (visit, outlet)->beer_pump != TD_BEER_PUMP_NONE;
}

static gboolean
pump_gas_on (const TdVisit *visit, guint outlet)
{
  const GArray *gas = visit->lines[outlet].gas[0];

  for (guint i = 0; gas != NULL && i < gas->len; i++)
    if (!g_array_index (gas, TdSwitch, i).on)
      return FALSE;
  return td_line_is_before (visit, outlet);
}

static gboolean
has_keg (const TdVisit *visit, guint outlet)
{
  return td_line_is_planned (visit, outlet) && td_line_has_keg_end (visit, outlet)
         && g_strcmp0 (visit->lines[outlet].found_keg, "none") != 0;
}

static gboolean
keg_gas_on (const TdVisit *visit, guint outlet)
{
  return td_line_is_before (visit, outlet) && !visit->lines[outlet].gas_off_now[1]
         && visit->lines[outlet].keg_uncoupled.seq == 0;
}

static gboolean
keg_coupled (const TdVisit *visit, guint outlet)
{
  return td_line_is_before (visit, outlet) && visit->lines[outlet].keg_uncoupled.seq == 0;
}

static gboolean
has_end (const TdVisit *visit, guint outlet)
{
  return td_line_is_planned (visit, outlet) && td_line_has_keg_end (visit, outlet);
}

static gboolean
no_adapter (const TdVisit *visit, guint outlet)
{
  return td_line_is_before (visit, outlet) && visit->lines[outlet].adapter_fitted.seq == 0;
}

static gboolean
runs_in (const TdVisit *visit, guint outlet)
{
  return has_end (visit, outlet) && visit->lines[outlet].method == TD_METHOD_CIRCULATING
         && visit->lines[outlet].direction == TD_DIRECTION_IN;
}

static gboolean
ball_in (const TdVisit *visit, guint outlet)
{
  return td_line_is_before (visit, outlet) && visit->lines[outlet].ball_out.seq == 0;
}

static gboolean
has_fob (const TdVisit *visit, guint outlet)
{
  return has_end (visit, outlet) && td_line_get_sheet (visit, outlet)->fob;
}

static gboolean
fob_shut (const TdVisit *visit, guint outlet)
{
  return td_line_is_before (visit, outlet) && visit->lines[outlet].fob_opened.seq == 0;
}

static gboolean
is_reversed (const TdVisit *visit, guint outlet)
{
  return has_end (visit, outlet) && visit->lines[outlet].reversal;
}

static gboolean
lever_out (const TdVisit *visit, guint outlet)
{
  const TdVisitLine *line = &visit->lines[outlet];

  return td_line_is_before (visit, outlet) && !td_stamp_is_open (line->lever_set, line->lever_back);
}

static const TdLineAct before_joining[] = {
  { TD_KIND_GAS_OFF, N_ ("Shut the drive gas of the beer pumps"), N_ ("Done"), has_pump, pump_gas_on, "gas",
    "beer-pump", TRUE },
  { TD_KIND_GAS_OFF, N_ ("Shut the gas on the kegs and relieve the pressure"), N_ ("Done"), has_keg, keg_gas_on,
    "gas", "keg", TRUE },
  { TD_KIND_KEG_UNCOUPLED, N_ ("Uncouple the kegs"), N_ ("Done"), has_keg, keg_coupled, NULL, NULL, TRUE },
  { TD_KIND_ADAPTER_FITTED, N_ ("Fit the cleaning adapters"), N_ ("Done"), has_end, no_adapter, NULL, NULL, TRUE },
  { TD_KIND_CHECK_BALL_OUT, N_ ("Take out check balls that block the way in"), N_ ("Taken out"), runs_in, ball_in,
    NULL, NULL, FALSE },
};

static const TdLineAct after_joining[] = {
  { TD_KIND_FOB_OPENED, N_ ("Open the FOBs"), N_ ("Done"), has_fob, fob_shut, NULL, NULL, TRUE },
  { TD_KIND_LEVER_SET, N_ ("Set the levers inwards, gently"), N_ ("Done"), is_reversed, lever_out, NULL, NULL, TRUE },
};

/* TRUE where the chemical must not find its way out unseen: the guard of chemical-in asks for a tag. */
static gboolean
needs_tag (const GPtrArray *missing, guint outlet)
{
  for (guint i = 0; i < missing->len; i++)
    {
      const TdMissing *one = g_ptr_array_index (missing, i);

      if (one->remedy == TD_KIND_TAG_HUNG && one->outlet == (int) outlet)
        return TRUE;
    }
  return FALSE;
}

static gboolean
awaits_chemical (const TdVisit *visit, const TdVisitCircuit *circuit)
{
  for (guint i = 0; i < circuit->legs->len; i++)
    if (td_line_awaits_chemical (visit, g_array_index (circuit->legs, TdLeg, i).outlet))
      return TRUE;
  return FALSE;
}

/* What the guard would ask for before chemical goes into circuits and static lines. */
static GPtrArray *
ask_chemical (const TdStepView *view)
{
  const TdVisit *visit = view->visit;
  GPtrArray *all = g_ptr_array_new_with_free_func ((GDestroyNotify) td_missing_free);

  for (guint i = 0; i < visit->circuits->len + visit->statics->len; i++)
    {
      TdGuardQuestion question = { .kind = TD_KIND_CHEMICAL_IN, .person = view->person, .now_ms = view->now_ms };
      g_autoptr (GPtrArray) some = NULL;

      if (i < visit->circuits->len)
        {
          const TdVisitCircuit *circuit = &g_array_index (visit->circuits, TdVisitCircuit, i);

          question.circuit = circuit->number;
          if (!awaits_chemical (visit, circuit))
            continue;
        }
      else
        {
          question.outlets = &g_array_index (visit->statics, TdVisitStatic, i - visit->circuits->len).outlet;
          question.n_outlets = 1;
          if (!td_line_awaits_chemical (visit, *question.outlets))
            continue;
        }
      some = td_guard_ask (visit, &question);
      g_ptr_array_extend_and_steal (all, g_steal_pointer (&some));
    }
  return all;
}

/* "1", "2": the next name that no tag of the visit has. */
static char *
make_tag_name (const TdVisit *visit, guint more)
{
  guint number = visit->tags->len + more;

  for (;; number++)
    {
      char *name = g_strdup_printf ("%u", number + 1);
      gboolean taken = FALSE;

      for (guint i = 0; i < visit->tags->len; i++)
        taken |= g_strcmp0 (g_array_index (visit->tags, TdTag, i).id, name) == 0;
      if (!taken)
        return name;
      g_free (name);
    }
}

static char *
make_legend (const TdStepView *view)
{
  const char *company = view->visit->masters->company;
  const char *name = view->person != NULL ? td_visit_get_person_name (view->visit, view->person) : "";

  return g_strdup_printf (_ ("DO NOT OPEN. Cleaning chemical in this line. %s%s%s"), name, company != NULL ? ", " : "",
                          company != NULL ? company : "");
}

static void
add_tags (TdStepMaker *maker, guint tower, const GPtrArray *missing, guint *named)
{
  const TdVisit *visit = maker->visit;
  g_autofree char *key = g_strdup_printf ("%s/tags", maker->stand->key);
  g_autofree char *legend = make_legend (maker->view);
  TdAct *act = td_act_new (key, _ ("Hang a tag on each of these faucets"), _ ("Tags hang"), TRUE);
  TdAct *hung = td_act_new (key, act->title, act->confirm, TRUE);

  for (guint i = 0; i < visit->n_lines; i++)
    {
      gboolean needed = needs_tag (missing, i);
      g_autofree char *name = NULL;
      TdActPart *part;

      if (visit->site->outlets[i].tower != tower || (!needed && td_line_find_tag (visit, i) == NULL))
        continue;
      name = make_tag_name (visit, needed ? (*named)++ : 0);
      part = td_act_add_part (needed ? act : hung, TD_KIND_TAG_HUNG, 0,
                              td_fields_new ("tag", name, "tag_kind", "tag", "at", "outlet", "legend", legend, NULL));
      g_array_append_val (part->outlets, i);
    }
  if (act->parts->len == 0)
    {
      TdAct *swap = act;

      act = hung;
      hung = swap;
      act->done = TRUE;
    }
  td_act_unref (hung);
  td_act_say_lines (act, visit);
  if (act->parts->len > 0)
    td_maker_take (maker, act);
  else
    td_act_unref (act);
}

static void
add_cold_room (TdStepMaker *maker, guint cooler)
{
  const TdVisit *visit = maker->visit;
  const TdPlace *place = &visit->site->coolers[cooler];
  gboolean off = FALSE, planned = FALSE;
  TdAct *act;

  td_maker_begin (maker, place->id, place->name, TD_STAND_READ_DO);
  for (gsize i = 0; i < G_N_ELEMENTS (before_joining); i++)
    td_maker_add_lines (maker, &before_joining[i], -1, (int) cooler);
  planned = maker->stand->acts->len > 0;
  td_maker_add_joints (maker, -1, (int) cooler);
  for (gsize i = 0; i < G_N_ELEMENTS (after_joining); i++)
    td_maker_add_lines (maker, &after_joining[i], -1, (int) cooler);
  td_maker_end (maker);
  if (!planned)
    return;
  for (guint i = 0; i < visit->cooling->len; i++)
    off |= g_strcmp0 (g_array_index (visit->cooling, TdCooling, i).place, place->id) == 0;
  td_maker_begin (maker, "cooling", _ ("Where there is line cooling"), TD_STAND_DO_CONFIRM);
  act = td_maker_add (maker, place->id, TD_KIND_COOLING_OFF, _ ("Switch the line cooling off"), _ ("Off"), FALSE, 0,
                      td_fields_new ("place", place->id, NULL));
  act->detail = g_strdup (place->name);
  act->done = off;
  td_maker_end (maker);
}

static gboolean
is_station (const TdVisit *visit, guint tower)
{
  for (guint i = 0; i < visit->circuits->len; i++)
    if (g_strcmp0 (g_array_index (visit->circuits, TdVisitCircuit, i).station, visit->site->towers[tower].id) == 0)
      return TRUE;
  return FALSE;
}

void
td_make_safe (TdStepMaker *maker)
{
  const TdSite *site = maker->visit->site;
  g_autoptr (GPtrArray) missing = ask_chemical (maker->view);
  guint named = 0;

  for (guint i = 0; i < site->n_coolers; i++)
    add_cold_room (maker, i);
  for (int station = 0; station < 2; station++)
    for (guint i = 0; i < site->n_towers; i++)
      {
        if (is_station (maker->visit, i) != (station == 1))
          continue;
        td_maker_begin (maker, site->towers[i].id, site->towers[i].name, TD_STAND_READ_DO);
        add_tags (maker, i, missing, &named);
        td_maker_add_joints (maker, (int) i, -1);
        td_maker_end (maker);
      }
}
