#include "model-reading.h"

#include "core-balance.h"
#include "model-i18n.h"

#include <math.h>
#include <string.h>

typedef struct
{
  const TdActPart *part;
  const TdField *field;
  gint64 *values; /* one for each row */
  gboolean *given;
} Column;

struct _TdReadings
{
  TdAct *act;
  GArray *outlets; /* guint: rows */
  GArray *columns; /* Column */
  const TdActPart *leaks;
  gboolean *leaking;
};

/* The integer that the kind cannot do without. */
static const TdField *
find_figure (TdKind kind)
{
  for (const TdField *field = td_kind_get_fields (kind); field->key != NULL; field++)
    if (field->type == TD_FIELD_INTEGER && field->required)
      return field;
  return NULL;
}

TdReadings *
td_readings_new (const TdAct *act)
{
  TdReadings *readings = g_new0 (TdReadings, 1);

  g_assert (act != NULL);
  readings->act = td_act_ref ((TdAct *) act);
  readings->outlets = td_act_get_outlets (act);
  readings->columns = g_array_new (FALSE, FALSE, sizeof (Column));
  readings->leaking = g_new0 (gboolean, readings->outlets->len + 1);
  for (guint i = 0; i < act->parts->len; i++)
    {
      Column column = { .part = g_ptr_array_index (act->parts, i) };

      column.field = find_figure (column.part->kind);
      if (column.part->kind == TD_KIND_LEAK_CHECKED)
        readings->leaks = column.part;
      if (column.field == NULL)
        continue;
      column.values = g_new0 (gint64, readings->outlets->len + 1);
      column.given = g_new0 (gboolean, readings->outlets->len + 1);
      g_array_append_val (readings->columns, column);
    }
  return readings;
}

void
td_readings_free (TdReadings *readings)
{
  if (readings == NULL)
    return;
  for (guint i = 0; i < readings->columns->len; i++)
    {
      g_free (g_array_index (readings->columns, Column, i).values);
      g_free (g_array_index (readings->columns, Column, i).given);
    }
  g_array_unref (readings->columns);
  g_array_unref (readings->outlets);
  td_act_unref (readings->act);
  g_free (readings->leaking);
  g_free (readings);
}

guint
td_readings_get_n_rows (const TdReadings *readings)
{
  return readings->outlets->len;
}

guint
td_readings_get_n_columns (const TdReadings *readings)
{
  return readings->columns->len;
}

guint
td_readings_get_outlet (const TdReadings *readings, guint row)
{
  g_return_val_if_fail (readings != NULL && row < readings->outlets->len, 0);
  return g_array_index (readings->outlets, guint, row);
}

const TdActPart *
td_readings_get_column (const TdReadings *readings, guint column, const TdField **field_out)
{
  g_return_val_if_fail (readings != NULL && column < readings->columns->len, NULL);
  if (field_out != NULL)
    *field_out = g_array_index (readings->columns, Column, column).field;
  return g_array_index (readings->columns, Column, column).part;
}

static gboolean
has_line (const TdActPart *part, guint outlet)
{
  for (guint i = 0; i < part->outlets->len; i++)
    if (g_array_index (part->outlets, guint, i) == outlet)
      return TRUE;
  return FALSE;
}

gboolean
td_readings_asks (const TdReadings *readings, guint row, guint column)
{
  g_return_val_if_fail (readings != NULL && row < readings->outlets->len && column < readings->columns->len, FALSE);
  return has_line (g_array_index (readings->columns, Column, column).part, g_array_index (readings->outlets, guint, row));
}

gboolean
td_readings_asks_leaks (const TdReadings *readings)
{
  g_return_val_if_fail (readings != NULL, FALSE);
  return readings->leaks != NULL;
}

void
td_readings_set (TdReadings *readings, guint row, guint column, gint64 value)
{
  g_return_if_fail (td_readings_asks (readings, row, column));
  g_array_index (readings->columns, Column, column).values[row] = value;
  g_array_index (readings->columns, Column, column).given[row] = TRUE;
}

void
td_readings_unset (TdReadings *readings, guint row, guint column)
{
  g_return_if_fail (readings != NULL && row < readings->outlets->len && column < readings->columns->len);
  g_array_index (readings->columns, Column, column).given[row] = FALSE;
}

void
td_readings_set_leak (TdReadings *readings, guint row, gboolean leaks)
{
  g_return_if_fail (readings != NULL && row < readings->outlets->len);
  readings->leaking[row] = leaks;
}

/* The reading of the row, else the one that the visit has of its line; NAN: none. In the key's unit. */
static double
get_reading (const TdReadings *readings, guint row, TdKind kind, const char *gas, const TdReading *before)
{
  for (guint i = 0; i < readings->columns->len; i++)
    {
      const Column *column = &g_array_index (readings->columns, Column, i);
      const TdJson *own = td_json_get_member (column->part->fields, "gas");

      if (column->part->kind == kind && column->given[row]
          && (gas == NULL || (own != NULL && strcmp (td_json_get_string (own), gas) == 0)))
        return (double) column->values[row];
    }
  return before->stamp.seq != 0 ? (double) before->value : NAN;
}

static TdHint *
hint_new (TdHintTone tone, char *text)
{
  TdHint *hint = g_new0 (TdHint, 1);

  hint->tone = tone;
  hint->text = text;
  return hint;
}

/* Beer that flows is neither colder nor warmer than this; what reads so is the instrument or the unit. From
 * memory: beer of 5 % freezes at about -2 °C; 25 °C is a warm room. */
#define PLAUSIBLE_MIN_C (-2.5)
#define PLAUSIBLE_MAX_C 25.0

static TdHint *
judge_balance (const TdVisit *visit, guint outlet, double temperature_c, double pour_l_min, double keg_kpa)
{
  const TdLine *line = &visit->site->lines[visit->site->outlets[outlet].line];
  g_autofree TdBalanceSegment *segments = g_new0 (TdBalanceSegment, line->n_segments + 1);
  TdBalanceQuestion question = {
    .temperature_c = temperature_c,
    .volumes = (double) td_settings_get (visit->settings, TD_SETTING_BEER_CARBONATION) / 1000.0,
    .altitude_m = (double) td_settings_get (visit->settings, TD_SETTING_ALTITUDE),
    .rise_m = visit->site->towers[line->tower].height_m - visit->site->coolers[line->cooler].height_m,
    .segments = segments,
    .n_segments = line->n_segments,
    .applied_kpa = keg_kpa,
    .pour_l_min = pour_l_min,
  };
  TdBalance balance;

  for (guint i = 0; i < line->n_segments; i++)
    segments[i] = (TdBalanceSegment) { line->segments[i].material, line->segments[i].bore_mm, line->segments[i].length_m };
  if (line->n_segments == 0 || !td_balance_solve (&question, visit->settings, &balance, NULL) || balance.n_verdicts == 0)
    return NULL;
  return hint_new (balance.verdicts[0] == TD_VERDICT_GOOD ? TD_HINT_GOOD : TD_HINT_OFF,
                   td_balance_explain (&question, &balance, balance.verdicts[0]));
}

/* Without a balance: temperature, then pour rate, each against its band. */
static TdHint *
judge_bands (const TdVisit *visit, double temperature, double pour, const TdUnitStyle *style)
{
  gint64 aim = td_settings_get (visit->settings, TD_SETTING_BEER_TEMPERATURE);
  gint64 band = td_settings_get (visit->settings, TD_SETTING_BEER_TEMPERATURE_BAND);
  gint64 rate = td_settings_get (visit->settings, TD_SETTING_POUR_RATE);
  gint64 share = td_settings_get (visit->settings, TD_SETTING_POUR_RATE_BAND);
  gboolean warm = !isnan (temperature) && fabs (temperature - (double) aim) > (double) band;
  gboolean off = !isnan (pour) && fabs (pour - (double) rate) * 100.0 > (double) (rate * share);
  g_autofree char *aimed = warm ? td_act_say_figure (TD_KIND_TEMPERATURE_READ, "temperature_c_milli", aim, style)
                                : td_act_say_figure (TD_KIND_POUR_RATE_READ, "pour_ml_min", rate, style);

  if (warm)
    return hint_new (TD_HINT_OFF, g_strdup_printf (temperature > (double) aim
                                                     ? _ ("Warmer than the %s aimed for: look at cooling first.")
                                                     : _ ("Colder than the %s aimed for: look at cooling first."),
                                                   aimed));
  if (off)
    return hint_new (TD_HINT_OFF, g_strdup_printf (pour > (double) rate ? _ ("Pours faster than the %s aimed for.")
                                                                        : _ ("Pours slower than the %s aimed for: kink, washer, FOB, ice?"),
                                                   aimed));
  return hint_new (TD_HINT_GOOD, g_strdup (_ ("As it should be.")));
}

TdHint *
td_readings_judge (const TdReadings *readings, const TdVisit *visit, guint row, const TdUnitStyle *style)
{
  guint outlet;
  const TdVisitLine *line;
  const TdLine *sheet;
  double temperature, pour, pressure;
  TdHint *hint = NULL;

  g_return_val_if_fail (readings != NULL && visit != NULL && style != NULL && row < readings->outlets->len, NULL);
  outlet = g_array_index (readings->outlets, guint, row);
  line = &visit->lines[outlet];
  sheet = &visit->site->lines[visit->site->outlets[outlet].line];
  temperature = get_reading (readings, row, TD_KIND_TEMPERATURE_READ, NULL, &line->beer_temperature);
  pour = get_reading (readings, row, TD_KIND_POUR_RATE_READ, NULL, &line->pour_rate);
  pressure = get_reading (readings, row, TD_KIND_PRESSURE_READ, "keg",
                          line->keg_pressure.stamp.seq != 0 ? &line->keg_pressure : &line->found_pressure);
  if (readings->leaking[row])
    return hint_new (TD_HINT_OFF, g_strdup (_ ("Leaks: write down a fault, and look again once it is mended.")));
  if (isnan (temperature) && isnan (pour))
    return NULL;
  if (temperature < PLAUSIBLE_MIN_C * 1000.0 || temperature > PLAUSIBLE_MAX_C * 1000.0)
    return hint_new (TD_HINT_OFF, g_strdup (_ ("Hardly beer at that temperature: look at the thermometer and its unit.")));
  if (!isnan (temperature) && sheet->beer_pump == TD_BEER_PUMP_NONE && visit->site->outlets[outlet].side < 0)
    hint = judge_balance (visit, outlet, temperature / 1000.0, isnan (pour) ? NAN : pour / 1000.0,
                          isnan (pressure) ? NAN : pressure / 1000.0);
  return hint != NULL ? hint : judge_bands (visit, temperature, pour, style);
}

static void
add_column (const TdReadings *readings, const Column *column, const TdVisit *visit, GPtrArray *bodies, GArray *kinds)
{
  g_autofree gboolean *taken = g_new0 (gboolean, readings->outlets->len + 1);

  for (guint i = 0; i < readings->outlets->len; i++)
    {
      g_autoptr (GArray) lines = g_array_new (FALSE, FALSE, sizeof (guint));
      g_autoptr (TdJson) fields = NULL;

      if (!column->given[i] || taken[i])
        continue;
      for (guint j = i; j < readings->outlets->len; j++)
        if (column->given[j] && !taken[j] && column->values[j] == column->values[i])
          {
            taken[j] = TRUE;
            g_array_append_val (lines, g_array_index (readings->outlets, guint, j));
          }
      fields = td_fields_with_integer (td_json_ref (column->part->fields), column->field->key, column->values[i]);
      g_ptr_array_add (bodies, td_body_make (column->part->kind, visit, 0, lines, fields));
      g_array_append_val (kinds, column->part->kind);
    }
}

static void
add_leaks (const TdReadings *readings, const TdVisit *visit, GPtrArray *bodies, GArray *kinds)
{
  for (int leaks = 0; leaks < 2; leaks++)
    {
      g_autoptr (GArray) lines = g_array_new (FALSE, FALSE, sizeof (guint));
      g_autoptr (TdJson) fields = td_fields_new ("result", leaks == 1 ? "leak" : "tight", NULL);

      for (guint i = 0; i < readings->outlets->len; i++)
        if (readings->leaking[i] == (leaks == 1) && has_line (readings->leaks, g_array_index (readings->outlets, guint, i)))
          g_array_append_val (lines, g_array_index (readings->outlets, guint, i));
      if (lines->len == 0)
        continue;
      g_ptr_array_add (bodies, td_body_make (TD_KIND_LEAK_CHECKED, visit, 0, lines, fields));
      g_array_append_val (kinds, readings->leaks->kind);
    }
}

GPtrArray *
td_readings_make_bodies (const TdReadings *readings, const TdVisit *visit, GArray **kinds_out)
{
  GPtrArray *bodies = g_ptr_array_new_with_free_func ((GDestroyNotify) td_json_unref);
  GArray *kinds = g_array_new (FALSE, FALSE, sizeof (TdKind));

  g_assert (readings != NULL && visit != NULL && kinds_out != NULL);
  for (guint i = 0; i < readings->columns->len; i++)
    add_column (readings, &g_array_index (readings->columns, Column, i), visit, bodies, kinds);
  if (readings->leaks != NULL)
    add_leaks (readings, visit, bodies, kinds);
  *kinds_out = kinds;
  return bodies;
}
