#include "model-steps-private.h"

#include "model-i18n.h"
#include "model-proposal.h"

/* Check and Sign. */

static gboolean
pours (const TdVisit *visit, guint outlet)
{
  return td_line_was_run (visit, outlet) && visit->lines[outlet].beer_clear_count > 0;
}

static gboolean
pours_from_keg (const TdVisit *visit, guint outlet)
{
  return pours (visit, outlet) && td_line_has_keg_end (visit, outlet);
}

static gboolean
pours_by_pump (const TdVisit *visit, guint outlet)
{
  return pours_from_keg (visit, outlet) && td_line_get_sheet (visit, outlet)->beer_pump != TD_BEER_PUMP_NONE;
}

static gboolean
no_temperature (const TdVisit *visit, guint outlet)
{
  return visit->lines[outlet].beer_temperature.stamp.seq == 0;
}

static gboolean
no_rate (const TdVisit *visit, guint outlet)
{
  return visit->lines[outlet].pour_rate.stamp.seq == 0;
}

static gboolean
no_keg_pressure (const TdVisit *visit, guint outlet)
{
  return visit->lines[outlet].keg_pressure.stamp.seq == 0;
}

static gboolean
no_pump_pressure (const TdVisit *visit, guint outlet)
{
  return visit->lines[outlet].pump_pressure.stamp.seq == 0;
}

static gboolean
no_leak_check (const TdVisit *visit, guint outlet)
{
  return visit->lines[outlet].leak_checked.seq == 0 || visit->lines[outlet].leaking;
}

static const TdLineAct at_faucets[] = {
  { TD_KIND_TEMPERATURE_READ, N_ ("Take the temperature of the beer"), NULL, pours, no_temperature, "of", "beer", TRUE },
  { TD_KIND_POUR_RATE_READ, N_ ("Take the pour rate"), NULL, pours, no_rate, "known", "measured", TRUE },
  { TD_KIND_LEAK_CHECKED, N_ ("Look for leaks"), N_ ("Tight"), pours, no_leak_check, "result", "tight", TRUE },
};

static const TdLineAct at_kegs[] = {
  { TD_KIND_PRESSURE_READ, N_ ("Read the pressure on the kegs"), NULL, pours_from_keg, no_keg_pressure, "gas", "keg", FALSE },
  { TD_KIND_PRESSURE_READ, N_ ("Read the pressure of the drive gas"), NULL, pours_by_pump, no_pump_pressure, "gas", "beer-pump", FALSE },
};

/* Adds what a reading always says to the fields of the last act. */
static void
add_instrument (TdStepMaker *maker, guint from, TdInstrumentKind kind)
{
  const TdInstrument *instrument = td_propose_instrument (maker->visit, kind);

  for (guint i = from; i < maker->stand->acts->len; i++)
    {
      TdAct *act = g_ptr_array_index (maker->stand->acts, i);
      TdActPart *part = g_ptr_array_index (act->parts, 0);
      const TdJson *of = td_json_get_member (part->fields, "of");
      const TdJson *gas = td_json_get_member (part->fields, "gas");
      TdJson *fields = td_fields_new ("known", "measured", of != NULL ? "of" : "gas",
                                      td_json_get_string (of != NULL ? of : gas),
                                      instrument != NULL ? "instrument" : NULL,
                                      instrument != NULL ? instrument->id : NULL, NULL);

      td_json_unref (part->fields);
      part->fields = fields;
    }
}

void
td_make_check (TdStepMaker *maker)
{
  const TdSite *site = maker->visit->site;
  gboolean run = FALSE, busy = FALSE;
  TdAct *act;

  for (guint i = 0; i < site->n_towers; i++)
    {
      td_maker_begin (maker, site->towers[i].id, site->towers[i].name, TD_STAND_DO_CONFIRM);
      td_maker_add_lines (maker, &at_faucets[0], (int) i, -1);
      add_instrument (maker, 0, TD_INSTRUMENT_THERMOMETER);
      for (gsize j = 1; j < G_N_ELEMENTS (at_faucets); j++)
        td_maker_add_lines (maker, &at_faucets[j], (int) i, -1);
      td_maker_end (maker);
    }
  for (guint i = 0; i < site->n_coolers; i++)
    {
      td_maker_begin (maker, site->coolers[i].id, site->coolers[i].name, TD_STAND_DO_CONFIRM);
      for (gsize j = 0; j < G_N_ELEMENTS (at_kegs); j++)
        td_maker_add_lines (maker, &at_kegs[j], -1, (int) i);
      add_instrument (maker, 0, TD_INSTRUMENT_PRESSURE_GAUGE);
      td_maker_end (maker);
    }
  for (guint i = 0; i < maker->visit->n_lines; i++)
    {
      run |= maker->visit->lines[i].passes->len > 0;
      busy |= maker->visit->lines[i].passes->len > 0 && maker->visit->lines[i].beer_clear_count == 0
              && !td_visit_is_out_of_service (maker->visit, i);
    }
  td_maker_begin (maker, "site", _ ("Before you leave"), TD_STAND_DO_CONFIRM);
  act = td_maker_add (maker, NULL, TD_KIND_LEFT_TIDY, _ ("Leave the site tidy"), _ ("Tidy"), run && !busy, 0, NULL);
  act->done = maker->visit->left_tidy.seq != 0;
  td_maker_end (maker);
}

void
td_make_sign (TdStepMaker *maker)
{
  const TdVisit *visit = maker->visit;
  TdAct *act;

  td_maker_begin (maker, "end", _ ("Signatures"), TD_STAND_DO_CONFIRM);
  act = td_maker_add (maker, NULL, TD_KIND_SIGNATURE, _ ("Sign: the work is done"), NULL, TRUE, 0,
                      td_fields_new ("name", maker->view->person != NULL
                                               ? td_visit_get_person_name (visit, maker->view->person) : NULL,
                                     "meaning", "work-done", NULL));
  act->done = visit->signature.given;
  act = td_maker_add (maker, NULL, TD_KIND_COUNTERSIGNATURE, _ ("Countersignature of the site"), NULL, TRUE, 0, NULL);
  act->done = visit->countersignature.given;
  td_maker_add (maker, NULL, TD_KIND_CLOSING, _ ("Close the visit"), _ ("Close"), TRUE, 0, NULL);
  td_maker_end (maker);
}
