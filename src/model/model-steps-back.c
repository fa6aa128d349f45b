#include "model-steps-private.h"

#include "model-i18n.h"

/* Put back: the mirror of making safe, ending with clear beer, drawn once before and once after venting. */

/* Nothing more is done to it with chemicals, and none is in it: it may be opened. */
static gboolean
is_free (const TdVisit *visit, guint outlet)
{
  TdClean clean;

  return !td_visit_line_holds_chemical (&visit->lines[outlet]) && !td_visit_is_out_of_service (visit, outlet)
         && !(td_line_is_wanted (visit, outlet) && td_line_get_clean (visit, outlet, &clean));
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
  return is_free (visit, outlet) && visit->lines[outlet].faucet_stripped.seq != 0;
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
was_ball_out (const TdVisit *visit, guint outlet)
{
  return is_free (visit, outlet) && visit->lines[outlet].ball_out.seq != 0;
}

static gboolean
ball_is_out (const TdVisit *visit, guint outlet)
{
  return td_stamp_is_open (visit->lines[outlet].ball_out, visit->lines[outlet].ball_in);
}

static gboolean
was_adapted (const TdVisit *visit, guint outlet)
{
  return is_free (visit, outlet) && visit->lines[outlet].adapter_fitted.seq != 0;
}

static gboolean
is_adapted (const TdVisit *visit, guint outlet)
{
  return td_stamp_is_open (visit->lines[outlet].adapter_fitted, visit->lines[outlet].adapter_removed);
}

static gboolean
was_reversed (const TdVisit *visit, guint outlet)
{
  return is_free (visit, outlet) && visit->lines[outlet].lever_set.seq != 0;
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

/* Gas is opened upon a coupled keg only. */
static gboolean
had_gas (const TdVisit *visit, guint outlet, int which)
{
  return !is_uncoupled (visit, outlet) && is_free (visit, outlet) && visit->lines[outlet].gas[which] != NULL && visit->lines[outlet].gas[which]->len > 0;
}

static gboolean
had_keg_gas (const TdVisit *visit, guint outlet)
{
  return had_gas (visit, outlet, 1);
}

static gboolean
keg_gas_off (const TdVisit *visit, guint outlet)
{
  return visit->lines[outlet].gas_off_now[1];
}

static gboolean
had_pump_gas (const TdVisit *visit, guint outlet)
{
  return had_gas (visit, outlet, 0);
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
is_clear_once (const TdVisit *visit, guint outlet)
{
  return visit->lines[outlet].beer_clear_count == 1;
}

static gboolean
is_clear (const TdVisit *visit, guint outlet)
{
  return is_rinsed (visit, outlet) && visit->lines[outlet].beer_clear_count > 0;
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

static const TdLineAct at_faucets[] = {
  { TD_KIND_FAUCET_STRIPPED, N_ ("Strip and brush the faucets that were not"), N_ ("Stripped"), is_rinsed, is_unstripped, NULL, NULL, TRUE },
  { TD_KIND_FAUCET_REBUILT, N_ ("Rebuild the faucets"), N_ ("Done"), was_stripped, is_apart, NULL, NULL, TRUE },
};

static const TdLineAct at_kegs[] = {
  { TD_KIND_COUPLER_BRUSHED, N_ ("Brush the couplers that were not"), N_ ("Brushed"), is_rinsed_end, is_unbrushed, NULL, NULL, TRUE },
  { TD_KIND_CHECK_BALL_IN, N_ ("Refit the check balls"), N_ ("Done"), was_ball_out, ball_is_out, NULL, NULL, TRUE },
  { TD_KIND_ADAPTER_REMOVED, N_ ("Take the cleaning adapters off"), N_ ("Done"), was_adapted, is_adapted, NULL, NULL, TRUE },
  { TD_KIND_LEVER_SET_BACK, N_ ("Set the levers back outwards"), N_ ("Done"), was_reversed, is_reversed, NULL, NULL, TRUE },
  { TD_KIND_VALVE_WELL_DRIED, N_ ("Dry the kegs' valve wells"), N_ ("Done"), was_uncoupled, is_wet_well, NULL, NULL, TRUE },
  { TD_KIND_KEG_COUPLED, N_ ("Couple the kegs"), N_ ("Done"), was_uncoupled, is_uncoupled, NULL, NULL, TRUE },
  { TD_KIND_GAS_ON, N_ ("Open the gas on the kegs"), N_ ("On"), had_keg_gas, keg_gas_off, "gas", "keg", TRUE },
  { TD_KIND_GAS_ON, N_ ("Open the drive gas of the beer pumps"), N_ ("On"), had_pump_gas, pump_gas_off, "gas", "beer-pump", TRUE },
};

static const TdLineAct first_beer[] = {
  { TD_KIND_FLOW_SEEN, N_ ("See each line run outwards"), N_ ("Seen"), is_rinsed_with_beer, is_flow_unseen, "direction", "out", TRUE },
  { TD_KIND_BEER_CLEAR, N_ ("Draw each line to clear beer"), N_ ("Clear"), is_rinsed, is_not_clear, NULL, NULL, TRUE },
};

static const TdLineAct vent
  = { TD_KIND_FOB_VENTED, N_ ("Vent the FOBs"), N_ ("Vented"), was_fob_opened, is_unvented, NULL, NULL, TRUE };
static const TdLineAct again
  = { TD_KIND_BEER_CLEAR, N_ ("Draw each line to clear beer a second time"), N_ ("Clear"), is_clear, is_clear_once, NULL, NULL, TRUE };

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
          held |= !is_free (visit, outlet);
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

static void
add_faucets (TdStepMaker *maker)
{
  for (guint i = 0; i < maker->visit->site->n_towers; i++)
    {
      const TdPlace *place = &maker->visit->site->towers[i];

      td_maker_begin (maker, place->id, place->name, TD_STAND_READ_DO);
      add_parting (maker, (int) i, -1);
      for (gsize j = 0; j < G_N_ELEMENTS (at_faucets); j++)
        td_maker_add_lines (maker, &at_faucets[j], (int) i, -1);
      td_maker_end (maker);
    }
}

/* A list of ten would be more than one reads at a pause: the gas is a pause of its own. */
static void
add_kegs (TdStepMaker *maker)
{
  const gsize first_gas = 6;

  for (guint i = 0; i < maker->visit->site->n_coolers; i++)
    {
      const TdPlace *place = &maker->visit->site->coolers[i];
      g_autofree char *gas = g_strdup_printf ("%s-gas", place->id);
      g_autofree char *title = g_strdup_printf (_ ("%s, gas"), place->name);

      td_maker_begin (maker, place->id, place->name, TD_STAND_READ_DO);
      add_parting (maker, -1, (int) i);
      for (gsize j = 0; j < first_gas; j++)
        td_maker_add_lines (maker, &at_kegs[j], -1, (int) i);
      td_maker_end (maker);
      td_maker_begin (maker, gas, title, TD_STAND_READ_DO);
      if (i == 0)
        add_tags (maker, -1);
      for (gsize j = first_gas; j < G_N_ELEMENTS (at_kegs); j++)
        td_maker_add_lines (maker, &at_kegs[j], -1, (int) i);
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
      add_tags (maker, (int) i);
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
      g_autofree char *id = g_strdup_printf ("%s-again", site->towers[i].id);

      td_maker_begin (maker, id, site->towers[i].name, TD_STAND_READ_DO);
      td_maker_add_lines (maker, &again, (int) i, -1);
      add_cooling (maker, &site->towers[i]);
      td_maker_end (maker);
    }
}
