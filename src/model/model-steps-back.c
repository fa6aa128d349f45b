#include "model-steps-private.h"

#include "model-i18n.h"

/* Put back: the mirror of making safe, ending with clear beer, drawn once before venting; once more after it
 * where the readings are taken at the same faucet. */

/* Nothing more is done to it with chemicals, and none is in it: it may be opened. */
static gboolean
is_free (const TdVisit *visit, guint outlet)
{
  TdClean clean;

  return !td_visit_line_holds_chemical (&visit->lines[outlet]) && !td_visit_is_out_of_service (visit, outlet)
         && !(td_line_is_wanted (visit, outlet) && td_line_get_clean (visit, outlet, &clean));
}

/* The same of a line out of service: it holds nothing, and what was brought comes off it again; its keg stays
 * apart and its tag hangs. */
static gboolean
is_rid (const TdVisit *visit, guint outlet)
{
  return is_free (visit, outlet)
         || (td_visit_is_out_of_service (visit, outlet) && !td_visit_line_holds_chemical (&visit->lines[outlet]));
}

static gboolean
is_all_free (const TdVisit *visit)
{
  for (guint i = 0; i < visit->n_lines; i++)
    if (!is_free (visit, i) && !td_visit_is_out_of_service (visit, i))
      return FALSE;
  return TRUE;
}

static gboolean
is_rinsed (const TdVisit *visit, guint outlet)
{
  const TdPass *pass = td_visit_line_get_pass (&visit->lines[outlet]);

  return pass != NULL && pass->rinse_passed && is_free (visit, outlet);
}

static gboolean
is_rinsed_end (const TdVisit *visit, guint outlet)
{
  return is_rinsed (visit, outlet) && td_line_has_keg_end (visit, outlet);
}

static gboolean
is_unstripped (const TdVisit *visit, guint outlet)
{
  return visit->lines[outlet].faucet_stripped.seq == 0;
}

static gboolean
was_stripped (const TdVisit *visit, guint outlet)
{
  return is_rid (visit, outlet) && visit->lines[outlet].faucet_stripped.seq != 0;
}

static gboolean
is_apart (const TdVisit *visit, guint outlet)
{
  return td_stamp_is_open (visit->lines[outlet].faucet_stripped, visit->lines[outlet].faucet_rebuilt);
}

static gboolean
is_unbrushed (const TdVisit *visit, guint outlet)
{
  return visit->lines[outlet].coupler_brushed.seq == 0;
}

static gboolean
is_rinsed_unbrushed (const TdVisit *visit, guint outlet)
{
  return is_rinsed_end (visit, outlet) && is_unbrushed (visit, outlet);
}

static gboolean
was_ball_out (const TdVisit *visit, guint outlet)
{
  return is_rid (visit, outlet) && visit->lines[outlet].ball_out.seq != 0;
}

static gboolean
ball_is_out (const TdVisit *visit, guint outlet)
{
  return td_stamp_is_open (visit->lines[outlet].ball_out, visit->lines[outlet].ball_in);
}

static gboolean
was_adapted (const TdVisit *visit, guint outlet)
{
  return is_rid (visit, outlet) && visit->lines[outlet].adapter_fitted.seq != 0;
}

static gboolean
is_adapted (const TdVisit *visit, guint outlet)
{
  return td_stamp_is_open (visit->lines[outlet].adapter_fitted, visit->lines[outlet].adapter_removed);
}

static gboolean
was_reversed (const TdVisit *visit, guint outlet)
{
  return is_rid (visit, outlet) && visit->lines[outlet].lever_set.seq != 0;
}

static gboolean
is_reversed (const TdVisit *visit, guint outlet)
{
  return td_stamp_is_open (visit->lines[outlet].lever_set, visit->lines[outlet].lever_back);
}

static gboolean
was_uncoupled (const TdVisit *visit, guint outlet)
{
  return is_free (visit, outlet) && visit->lines[outlet].keg_uncoupled.seq != 0;
}

static gboolean
is_uncoupled (const TdVisit *visit, guint outlet)
{
  return td_stamp_is_open (visit->lines[outlet].keg_uncoupled, visit->lines[outlet].keg_coupled);
}

static gboolean
is_wet_well (const TdVisit *visit, guint outlet)
{
  return visit->lines[outlet].well_dried.seq == 0 && is_uncoupled (visit, outlet);
}

/* What is open of a kind for the lines of a cooler that are free; @is: which. (transfer full): guint */
static GArray *
pick (const TdVisit *visit, guint cooler, TdLineIs is)
{
  GArray *lines = g_array_new (FALSE, FALSE, sizeof (guint));

  for (guint i = 0; i < visit->n_lines; i++)
    if (visit->site->outlets[i].cooler == cooler && is_free (visit, i) && is (visit, i))
      g_array_append_val (lines, i);
  return lines;
}

static gboolean
keg_gas_off (const TdVisit *visit, guint outlet)
{
  return visit->lines[outlet].gas_off_now[1];
}

static gboolean
pump_gas_off (const TdVisit *visit, guint outlet)
{
  return visit->lines[outlet].gas_off_now[0];
}

/* Keg coupled and gas on: what comes is beer. */
static gboolean
has_beer (const TdVisit *visit, guint outlet)
{
  guint end = outlet - (guint) MAX (visit->site->outlets[outlet].side + 1, 0);

  return !is_uncoupled (visit, end) && !visit->lines[end].gas_off_now[0] && !visit->lines[end].gas_off_now[1];
}

static gboolean
is_rinsed_with_beer (const TdVisit *visit, guint outlet)
{
  return is_rinsed_end (visit, outlet) && has_beer (visit, outlet);
}

static gboolean
is_flow_unseen (const TdVisit *visit, guint outlet)
{
  const TdVisitLine *line = &visit->lines[outlet];
  const TdPass *pass = td_visit_line_get_pass (line);

  if (line->lever_back.seq != 0 && td_stamp_is_open (line->lever_back, line->flow_out_seen))
    return TRUE;
  return line->beer_clear_count == 0 && pass != NULL && td_stamp_is_open (pass->rinse_start, line->flow_out_seen);
}

static gboolean
is_not_clear (const TdVisit *visit, guint outlet)
{
  return visit->lines[outlet].beer_clear_count == 0;
}

static gboolean
was_fob_opened (const TdVisit *visit, guint outlet)
{
  return is_free (visit, outlet) && visit->lines[outlet].fob_opened.seq != 0 && has_beer (visit, outlet);
}

static gboolean
is_unvented (const TdVisit *visit, guint outlet)
{
  return td_stamp_is_open (visit->lines[outlet].fob_opened, visit->lines[outlet].fob_vented);
}

static const TdLineAct at_kegs[] = {
  { TD_KIND_COUPLER_BRUSHED, N_ ("Brush the couplers that were not"), N_ ("Brushed"), is_rinsed_unbrushed, is_unbrushed, NULL, NULL, TRUE },
  { TD_KIND_CHECK_BALL_IN, N_ ("Refit the check balls"), N_ ("Done"), was_ball_out, ball_is_out, NULL, NULL, TRUE },
  { TD_KIND_ADAPTER_REMOVED, N_ ("Take the cleaning adapters off"), N_ ("Done"), was_adapted, is_adapted, NULL, NULL, TRUE },
  { TD_KIND_LEVER_SET_BACK, N_ ("Set the levers back outwards"), N_ ("Done"), was_reversed, is_reversed, NULL, NULL, TRUE },
  { TD_KIND_VALVE_WELL_DRIED, N_ ("Dry the kegs' valve wells"), N_ ("Done"), was_uncoupled, is_wet_well, NULL, NULL, TRUE },
};

static const TdLineAct first_beer[] = {
  { TD_KIND_FLOW_SEEN, N_ ("See each line run outwards"), N_ ("Seen"), is_rinsed_with_beer, is_flow_unseen, "direction", "out", TRUE },
  { TD_KIND_BEER_CLEAR, N_ ("Draw each line to clear beer"), N_ ("Clear"), is_rinsed, is_not_clear, NULL, NULL, TRUE },
};

static const TdLineAct vent
  = { TD_KIND_FOB_VENTED, N_ ("Vent the FOBs"), N_ ("Vented"), was_fob_opened, is_unvented, NULL, NULL, TRUE };
static gboolean
is_joined (const TdVisitLine *line, gboolean keg)
{
  return keg ? td_stamp_is_open (line->joined_keg, line->parted_keg)
             : td_stamp_is_open (line->joined_faucet, line->parted_faucet);
}

/* A joint is parted as it was joined: one entry for each that stands. */
static void
add_parting (TdStepMaker *maker, int tower, int cooler)
{
  const TdVisit *visit = maker->visit;
  gboolean keg = tower < 0;
  g_autofree char *key = g_strdup_printf ("%s/part", maker->stand->key);
  TdAct *act = td_act_new (key, keg ? _ ("Part the keg ends") : _ ("Part the faucet ends"), _ ("Done"), TRUE);
  gboolean joined = FALSE;

  for (guint i = 0; i < visit->effective->len; i++)
    {
      const TdEntry *entry = g_ptr_array_index (visit->effective, i);
      g_autoptr (GArray) lines = g_array_new (FALSE, FALSE, sizeof (guint));
      const TdJson *ids;
      gboolean open = FALSE, held = FALSE;

      if (entry == NULL || entry->envelope.kind != TD_KIND_ENDS_JOINED
          || g_str_equal (td_json_get_string (td_json_get_member (entry->body, "ends")), "keg") != keg)
        continue;
      ids = td_json_get_member (entry->body, "lines");
      for (guint j = 0; j < td_json_get_length (ids); j++)
        {
          int found = td_site_find_outlet (visit->site, td_json_get_string (td_json_get_element (ids, j)));
          guint outlet = (guint) found;

          if (found < 0
              || (keg ? visit->site->outlets[found].cooler != (guint) cooler
                      : visit->site->outlets[found].tower != (guint) tower))
            continue;
          open |= is_joined (&visit->lines[outlet], keg);
          held |= !is_rid (visit, outlet);
          g_array_append_val (lines, outlet);
        }
      if (lines->len == 0 || held)
        continue;
      joined = TRUE;
      if (open)
        {
          const TdJson *by = td_json_get_member (entry->body, "by");
          TdActPart *part = td_act_add_part (act, TD_KIND_ENDS_PARTED, 0,
                                             td_fields_new ("ends", keg ? "keg" : "faucet", "by",
                                                            td_json_get_string (by), NULL));

          g_array_append_vals (part->outlets, lines->data, lines->len);
        }
    }
  act->whole = TRUE;
  if (joined && act->parts->len == 0)
    {
      td_act_add_part (act, TD_KIND_ENDS_PARTED, 0, NULL);
      act->done = TRUE;
    }
  td_act_say_lines (act, visit);
  if (joined)
    td_maker_take (maker, act);
  else
    td_act_unref (act);
}

/* @tower: of tags on its outlets; -1: tags that hang elsewhere. */
static void
add_tags (TdStepMaker *maker, int tower)
{
  const TdVisit *visit = maker->visit;
  g_autofree char *key = g_strdup_printf ("%s/tags", maker->stand->key);
  TdAct *act = td_act_new (key, tower >= 0 ? _ ("Remove your tags for good") : _ ("Remove your tags from gas, power and cooling"),
                           _ ("Removed"), TRUE);
  g_autoptr (GString) places = g_string_new (NULL);

  for (guint i = 0; i < visit->tags->len; i++)
    {
      const TdTag *tag = &g_array_index (visit->tags, TdTag, i);
      TdActPart *part;

      if (tag->removed.seq != 0
          || (tower >= 0 ? tag->outlet < 0 || visit->site->outlets[tag->outlet].tower != (guint) tower : tag->outlet >= 0)
          || (tag->outlet >= 0 ? !is_free (visit, (guint) tag->outlet) : !is_all_free (visit)))
        continue;
      part = td_act_add_part (act, TD_KIND_TAG_REMOVED, 0, td_fields_new ("tag", tag->id, NULL));
      if (tag->outlet >= 0)
        {
          guint outlet = (guint) tag->outlet;

          g_array_append_val (part->outlets, outlet);
        }
      else
        g_string_append_printf (places, "%s%s: %s", places->len > 0 ? " · " : "", tag->id, tag->place);
    }
  if (tower >= 0)
    td_act_say_lines (act, visit);
  else
    act->detail = g_strdup (places->str);
  if (act->parts->len > 0)
    td_maker_take (maker, act);
  else
    td_act_unref (act);
}

static gboolean
is_cooling_off (const TdVisit *visit, const char *place)
{
  for (guint i = visit->cooling->len; i > 0; i--)
    {
      const TdCooling *cooling = &g_array_index (visit->cooling, TdCooling, i - 1);

      if (g_strcmp0 (cooling->place, place) == 0)
        return !cooling->on;
    }
  return FALSE;
}

static void
add_cooling (TdStepMaker *maker, const TdPlace *place)
{
  TdAct *act;

  if (!is_cooling_off (maker->visit, place->id) || !is_all_free (maker->visit))
    return;
  act = td_maker_add (maker, "cooling", TD_KIND_COOLING_ON, _ ("Switch the cooling on"), _ ("On"), TRUE, 0,
                      td_fields_new ("place", place->id, NULL));
  act->detail = g_strdup (place->name);
}

/* The cleaning pump of each circuit that is worked from there, once all of its lines are rinsed. */
static void
add_pumps (TdStepMaker *maker, const char *place)
{
  const TdVisit *visit = maker->visit;
  TdAct *act = td_maker_begin_act (maker, "pump", _ ("Stop the cleaning pump"), _ ("Off"), TRUE);

  for (guint i = 0; i < visit->circuits->len; i++)
    {
      const TdVisitCircuit *circuit = &g_array_index (visit->circuits, TdVisitCircuit, i);
      gboolean rinsed = TRUE;

      for (guint j = 0; j < circuit->legs->len; j++)
        rinsed &= is_free (visit, g_array_index (circuit->legs, TdLeg, j).outlet)
                  || td_visit_is_out_of_service (visit, g_array_index (circuit->legs, TdLeg, j).outlet);
      if (rinsed && td_circuit_is_pumping (circuit) && g_strcmp0 (circuit->station, place) == 0)
        td_act_add_part (act, TD_KIND_CLEANING_PUMP_OFF, circuit->number, NULL);
    }
  td_maker_take_act (maker, act);
}

/* Those that were not stripped yet (static lines: their faucets held the chemical back) are, and then all are
 * rebuilt. */
static void
add_rebuilding (TdStepMaker *maker, guint tower)
{
  const TdVisit *visit = maker->visit;
  g_autoptr (GArray) strip = g_array_new (FALSE, FALSE, sizeof (guint));
  g_autoptr (GArray) rebuild = g_array_new (FALSE, FALSE, sizeof (guint));
  g_autoptr (GArray) all = g_array_new (FALSE, FALSE, sizeof (guint));
  TdAct *act;

  for (guint i = 0; i < visit->n_lines; i++)
    {
      gboolean unstripped = is_rinsed (visit, i) && is_unstripped (visit, i);

      if (visit->site->outlets[i].tower != tower || !(unstripped || was_stripped (visit, i)))
        continue;
      g_array_append_val (all, i);
      if (unstripped)
        g_array_append_val (strip, i);
      if (unstripped || is_apart (visit, i))
        g_array_append_val (rebuild, i);
    }
  act = td_maker_begin_act (maker, "rebuild", strip->len > 0 ? _ ("Strip and brush the faucets that were not; rebuild them all")
                                                             : _ ("Rebuild the faucets"),
                            _ ("Done"), TRUE);
  if (strip->len > 0)
    td_act_add_lines (act, TD_KIND_FAUCET_STRIPPED, 0, strip, NULL);
  if (all->len > 0)
    td_act_add_lines (act, TD_KIND_FAUCET_REBUILT, 0, rebuild->len > 0 ? rebuild : all, NULL);
  act->done = rebuild->len == 0;
  td_act_say_lines (act, visit);
  td_maker_take_act (maker, act);
}

/* TRUE while a circuit that goes through the tower (or, with @tower -1, the cooler) still holds chemical: its
 * joints are under pressure, and a second walk would be needed anyway. */
static gboolean
is_busy (const TdVisit *visit, int tower, int cooler)
{
  for (guint i = 0; i < visit->n_lines; i++)
    {
      const TdPass *pass = td_visit_line_get_pass (&visit->lines[i]);

      if ((tower >= 0 ? visit->site->outlets[i].tower == (guint) tower : visit->site->outlets[i].cooler == (guint) cooler)
          && pass != NULL && pass->circuit != 0
          && td_visit_line_holds_chemical (&visit->lines[i]) && !td_visit_is_out_of_service (visit, i))
        return TRUE;
    }
  return FALSE;
}

static void
only_offer (TdStepMaker *maker, gboolean busy)
{
  for (guint i = 0; busy && i < maker->stand->acts->len; i++)
    ((TdAct *) g_ptr_array_index (maker->stand->acts, i))->wanted = FALSE;
}

static void
add_faucets (TdStepMaker *maker)
{
  for (guint i = 0; i < maker->visit->site->n_towers; i++)
    {
      const TdPlace *place = &maker->visit->site->towers[i];

      td_maker_begin (maker, place->id, place->name, TD_STAND_READ_DO);
      add_pumps (maker, place->id);
      add_parting (maker, (int) i, -1);
      add_rebuilding (maker, i);
      add_tags (maker, (int) i);
      only_offer (maker, is_busy (maker->visit, (int) i, -1));
      td_maker_end (maker);
    }
}

/* "A4: nearly empty when found" for those of @lines: it runs dry while the line is pulled through. */
static void
say_nearly_empty (TdAct *act, const TdVisit *visit, const GArray *lines)
{
  g_autoptr (GArray) low = g_array_new (FALSE, FALSE, sizeof (guint));
  g_autofree char *names = NULL;
  g_autofree char *said = NULL;

  for (guint i = 0; i < lines->len; i++)
    {
      guint outlet = g_array_index (lines, guint, i);
      const char *keg = visit->lines[outlet].found_keg;

      if (g_strcmp0 (keg, "nearly-empty") == 0 || g_strcmp0 (keg, "empty") == 0)
        g_array_append_val (low, outlet);
    }
  if (low->len == 0)
    return;
  names = td_outlets_to_title (visit->site, low);
  said = g_strdup_printf (_ ("%s. Nearly empty or empty when found: %s; change the keg before you pull through"), act->detail,
                          names);
  g_free (act->detail);
  act->detail = g_steal_pointer (&said);
}

/* Gas is opened upon a coupled keg only: one act, in that order. */
static void
add_coupling (TdStepMaker *maker, guint cooler)
{
  const TdVisit *visit = maker->visit;
  g_autoptr (GArray) was = pick (visit, cooler, was_uncoupled);
  g_autoptr (GArray) kegs = pick (visit, cooler, is_uncoupled);
  g_autoptr (GArray) keg_gas = pick (visit, cooler, keg_gas_off);
  g_autoptr (GArray) pump_gas = pick (visit, cooler, pump_gas_off);
  TdAct *act = td_maker_begin_act (maker, "couple", kegs->len > 0 ? _ ("Couple the kegs, then open the gas") : _ ("Open the gas"),
                                   _ ("Coupled, gas on"), TRUE);

  if (kegs->len > 0)
    td_act_add_lines (act, TD_KIND_KEG_COUPLED, 0, kegs, NULL);
  if (keg_gas->len > 0)
    td_act_add_lines (act, TD_KIND_GAS_ON, 0, keg_gas, td_fields_new ("gas", "keg", NULL));
  if (pump_gas->len > 0)
    td_act_add_lines (act, TD_KIND_GAS_ON, 0, pump_gas, td_fields_new ("gas", "beer-pump", NULL));
  if (act->parts->len == 0 && was->len > 0)
    {
      td_act_add_lines (act, TD_KIND_KEG_COUPLED, 0, was, NULL);
      act->done = TRUE;
    }
  td_act_say_lines (act, visit);
  if (kegs->len > 0)
    say_nearly_empty (act, visit, kegs);
  td_maker_take_act (maker, act);
}

/* Another keg, or another beer on the line: written down when it is coupled, and the report's faucets say so. */
static void
add_swap (TdStepMaker *maker, guint cooler)
{
  g_autoptr (GArray) lines = pick (maker->visit, cooler, td_line_has_keg_end);
  TdAct *act = td_maker_begin_act (maker, "swap", _ ("Another keg or another beer was coupled"), NULL, FALSE);

  if (lines->len > 0)
    td_act_add_lines (act, TD_KIND_KEG_COUPLED, 0, lines, NULL);
  td_maker_take_act (maker, act);
}

static void
add_kegs (TdStepMaker *maker)
{
  for (guint i = 0; i < maker->visit->site->n_coolers; i++)
    {
      const TdPlace *place = &maker->visit->site->coolers[i];
      gboolean any;

      td_maker_begin (maker, place->id, place->name, TD_STAND_READ_DO);
      add_pumps (maker, place->id);
      add_parting (maker, -1, (int) i);
      for (gsize j = 0; j < G_N_ELEMENTS (at_kegs); j++)
        td_maker_add_lines (maker, &at_kegs[j], -1, (int) i);
      if (i == 0)
        add_tags (maker, -1);
      any = maker->stand->acts->len > 0;
      add_coupling (maker, i);
      if (any)
        add_swap (maker, i);
      only_offer (maker, is_busy (maker->visit, -1, (int) i));
      td_maker_end (maker);
    }
}

void
td_make_back (TdStepMaker *maker)
{
  const TdSite *site = maker->visit->site;

  add_faucets (maker);
  add_kegs (maker);
  for (guint i = 0; i < site->n_towers; i++)
    {
      g_autofree char *id = g_strdup_printf ("%s-beer", site->towers[i].id);

      td_maker_begin (maker, id, site->towers[i].name, TD_STAND_READ_DO);
      for (gsize j = 0; j < G_N_ELEMENTS (first_beer); j++)
        td_maker_add_lines (maker, &first_beer[j], (int) i, -1);
      td_maker_end (maker);
    }
  for (guint i = 0; i < site->n_coolers; i++)
    {
      g_autofree char *id = g_strdup_printf ("%s-vent", site->coolers[i].id);

      td_maker_begin (maker, id, site->coolers[i].name, TD_STAND_READ_DO);
      td_maker_add_lines (maker, &vent, -1, (int) i);
      add_cooling (maker, &site->coolers[i]);
      td_maker_end (maker);
    }
  for (guint i = 0; i < site->n_towers; i++)
    {
      g_autofree char *id = g_strdup_printf ("%s-cooling", site->towers[i].id);

      td_maker_begin (maker, id, site->towers[i].name, TD_STAND_READ_DO);
      add_cooling (maker, &site->towers[i]);
      td_maker_end (maker);
    }
}
