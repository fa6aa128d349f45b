/* What is worth knowing: people, instruments, static lines, what the beer does. */
#include <math.h>

#include "core-interval.h"
#include "core-judge.h"

void
td_judge_person_unknown (TdJudge *judge)
{
  for (guint i = 0; i < judge->visit->persons->len; i++)
    {
      const char *person = g_ptr_array_index (judge->visit->persons, i);

      if (td_masters_find_technician (judge->visit->masters, person) == NULL)
        td_judge_find (judge, -1, 0, 0, "the book knows no technician \"%s\"", person);
    }
}

void
td_judge_certificate_expired (TdJudge *judge)
{
  for (guint i = 0; i < judge->visit->persons->len; i++)
    {
      const TdTechnician *technician = td_masters_find_technician (
          judge->visit->masters, g_ptr_array_index (judge->visit->persons, i));
      g_autofree char *expiry = NULL;

      if (technician == NULL || technician->certificate_expiry == TD_DATE_NONE
          || technician->certificate_expiry >= td_judge_get_date (judge))
        continue;
      expiry = td_date_to_text (technician->certificate_expiry);
      td_judge_find (judge, -1, 0, 0, "the certificate of %s expired on %s", technician->name,
                     expiry);
    }
}

/* Each instrument once, by the first entry that names it. */
void
td_judge_calibration_expired (TdJudge *judge)
{
  const TdMasters *masters = judge->visit->masters;
  g_autoptr (GHashTable) told = g_hash_table_new (g_str_hash, g_str_equal);

  for (guint seq = 1; seq <= judge->visit->last_seq; seq++)
    {
      const TdEntry *entry = td_judge_get_entry (judge, seq);
      const TdJson *id = entry != NULL ? td_json_get_member (entry->body, "instrument") : NULL;
      const TdInstrument *instrument = NULL;
      g_autofree char *due = NULL;

      if (id != NULL)
        instrument = td_masters_find_instrument (masters, td_json_get_string (id));
      if (instrument == NULL || instrument->calibration_due == TD_DATE_NONE
          || instrument->calibration_due >= td_judge_get_date (judge)
          || !g_hash_table_add (told, instrument->id))
        continue;
      due = td_date_to_text (instrument->calibration_due);
      td_judge_find (judge, -1, 0, seq, "the calibration of %s was due on %s", instrument->name,
                     due);
    }
}

/* Millimetres of tube from keg end to faucet, 0 where the sheet does not tell. */
static gint64
get_length_mm (const TdSite *site, guint outlet)
{
  const TdOutlet *place = &site->outlets[outlet];
  const TdLine *line = &site->lines[place->line];
  double length_m = 0;

  for (guint i = 0; i < line->n_segments; i++)
    length_m += line->segments[i].length_m;
  if (place->side >= 0)
    for (guint i = 0; i < line->side_faucets[place->side].n_segments; i++)
      length_m += line->side_faucets[place->side].segments[i].length_m;
  return llround (length_m * 1000);
}

void
td_judge_static_long (TdJudge *judge)
{
  gint64 limit_mm = td_judge_get_setting (judge, TD_SETTING_STATIC_LENGTH);

  for (guint i = 0; i < judge->visit->n_lines; i++)
    {
      const TdPass *pass = td_visit_line_get_pass (&judge->visit->lines[i]);
      gint64 length_mm = get_length_mm (judge->visit->site, i);
      g_autofree char *had = NULL;
      g_autofree char *limit = NULL;

      if (pass == NULL || pass->method != TD_METHOD_STATIC || length_mm <= limit_mm)
        continue;
      had = td_judge_decimal (length_mm, 2);
      limit = td_judge_decimal (limit_mm, 2);
      td_judge_find (judge, (int)i, 0, 0,
                     "cleaned static, %s m long; static cleaning is advised up to %s m", had,
                     limit);
    }
}

void
td_judge_static_though_circuit (TdJudge *judge)
{
  for (guint i = 0; i < judge->visit->n_lines; i++)
    {
      const TdVisitLine *line = &judge->visit->lines[i];
      const TdPass *pass = td_visit_line_get_pass (line);

      if (pass != NULL && pass->method == TD_METHOD_STATIC && line->method == TD_METHOD_CIRCULATING)
        td_judge_find (judge, (int)i, 0, pass->chemical_seen.seq,
                       "cleaned static, though planned in circuit %d", line->circuit);
    }
}

void
td_judge_not_in_scope (TdJudge *judge)
{
  for (guint i = 0; i < judge->visit->n_lines; i++)
    {
      const TdVisitLine *line = &judge->visit->lines[i];
      gboolean told[TD_N_CLEANS] = { FALSE };

      for (guint k = 0; k < line->passes->len; k++)
        {
          const TdPass *pass = &g_array_index (line->passes, TdPass, k);

          if (line->in_scope[pass->clean] || told[pass->clean])
            continue;
          told[pass->clean] = TRUE;
          td_judge_find (judge, (int)i, 0, td_pass_get_begin (pass).seq,
                         "had a %s clean that no scope names", td_clean_to_text (pass->clean));
        }
    }
}

void
td_judge_pump_not_recorded (TdJudge *judge)
{
  for (guint i = 0; i < judge->visit->circuits->len; i++)
    {
      const TdVisitCircuit *circuit = &g_array_index (judge->visit->circuits, TdVisitCircuit, i);
      guint leg = g_array_index (circuit->legs, TdLeg, 0).outlet;
      const TdPass *pass = td_visit_line_get_pass (&judge->visit->lines[leg]);

      if (circuit->pump->len == 0 && pass != NULL && pass->circuit == circuit->number
          && pass->clock_start.seq != 0)
        td_judge_find (judge, -1, circuit->number, pass->clock_start.seq,
                       "its contact was counted with no word on the cleaning pump");
    }
}

void
td_judge_beer_temperature_off (TdJudge *judge)
{
  gint64 aim = td_judge_get_setting (judge, TD_SETTING_BEER_TEMPERATURE);
  gint64 band = td_judge_get_setting (judge, TD_SETTING_BEER_TEMPERATURE_BAND);

  for (guint i = 0; i < judge->visit->n_lines; i++)
    {
      const TdReading *beer = &judge->visit->lines[i].beer_temperature;
      g_autofree char *had = NULL;
      g_autofree char *wanted = NULL;
      g_autofree char *apart = NULL;

      if (beer->stamp.seq == 0 || ABS (beer->value - aim) <= band)
        continue;
      had = td_judge_decimal (beer->value, 1);
      wanted = td_judge_decimal (aim, 1);
      apart = td_judge_decimal (band, 1);
      td_judge_find (judge, (int)i, 0, beer->stamp.seq, "beer at %s C, aimed for %s C within %s C",
                     had, wanted, apart);
    }
}

void
td_judge_pressure_high (TdJudge *judge)
{
  gint64 limit_kpa = td_judge_get_setting (judge, TD_SETTING_PRESSURE_MAX);

  for (guint i = 0; i < judge->visit->n_lines; i++)
    {
      const TdVisitLine *line = &judge->visit->lines[i];
      const TdReading *readings[] = { &line->keg_pressure, &line->pump_pressure };

      for (gsize k = 0; k < G_N_ELEMENTS (readings); k++)
        {
          g_autofree char *had = NULL;

          if (readings[k]->stamp.seq == 0 || readings[k]->value <= 1000 * limit_kpa)
            continue;
          had = td_judge_decimal (readings[k]->value, 0);
          td_judge_find (judge, (int)i, 0, readings[k]->stamp.seq,
                         "%s pressure %s kPa, at most %" G_GINT64_FORMAT " kPa",
                         k == 0 ? "keg" : "beer pump", had, limit_kpa);
        }
    }
}

void
td_judge_pour_rate_off (TdJudge *judge)
{
  gint64 aim = td_judge_get_setting (judge, TD_SETTING_POUR_RATE);
  gint64 band = td_judge_get_setting (judge, TD_SETTING_POUR_RATE_BAND);

  for (guint i = 0; i < judge->visit->n_lines; i++)
    {
      const TdReading *rate = &judge->visit->lines[i].pour_rate;

      if (rate->stamp.seq != 0 && 100 * ABS (rate->value - aim) > band * aim)
        td_judge_find (judge, (int)i, 0, rate->stamp.seq,
                       "pours %" G_GINT64_FORMAT " mL/min, aimed for %" G_GINT64_FORMAT
                       " mL/min within %" G_GINT64_FORMAT " %%",
                       rate->value, aim, band);
    }
}

/* Says that something is due; nothing where it is not, or where it was never said to be done
 * before. */
static void
find_due (TdJudge *judge, guint outlet, TdSettingId setting, TdDate last, const char *what)
{
  TdDate due
      = td_interval_get_due (td_interval_from_setting (judge->visit->settings, setting), last);
  g_autofree char *done = NULL;
  g_autofree char *from = NULL;

  if (last == TD_DATE_NONE)
    {
      td_judge_find (judge, (int)outlet, 0, 0, "%s is due: none is on record", what);
      return;
    }
  if (due == TD_DATE_NONE || td_date_get_days_late (due, td_judge_get_date (judge)) < 0)
    return;
  done = td_date_to_text (last);
  from = td_date_to_text (due);
  td_judge_find (judge, (int)outlet, 0, 0, "%s is due since %s, the last was on %s", what, from,
                 done);
}

static gboolean
has_acid (const TdVisitLine *line)
{
  for (guint i = 0; i < line->passes->len; i++)
    if (g_array_index (line->passes, TdPass, i).clean == TD_CLEAN_ACID)
      return TRUE;
  return FALSE;
}

void
td_judge_acid_due (TdJudge *judge)
{
  for (guint i = 0; judge->visit->history != NULL && i < judge->visit->n_lines; i++)
    if (td_judge_is_served (judge, i) && !has_acid (&judge->visit->lines[i]))
      find_due (judge, i, TD_SETTING_ACID_INTERVAL, judge->visit->history[i].acid, "an acid clean");
}

void
td_judge_strip_due (TdJudge *judge)
{
  const TdVisit *visit = judge->visit;

  for (guint i = 0; visit->history != NULL && i < visit->n_lines; i++)
    {
      const TdVisitLine *line = &visit->lines[i];

      if (!td_judge_is_served (judge, i) || !td_judge_is_own (judge, i))
        continue;
      if (visit->site->lines[visit->site->outlets[i].line].fob && line->fob_stripped.seq == 0)
        find_due (judge, i, TD_SETTING_FOB_INTERVAL, visit->history[i].fob_stripped,
                  "stripping its FOB");
      if (line->coupler_stripped.seq == 0)
        find_due (judge, i, TD_SETTING_FOB_INTERVAL, visit->history[i].coupler_stripped,
                  "stripping its coupler");
    }
}
