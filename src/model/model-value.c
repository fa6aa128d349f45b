#include "model-value.h"

#include "core-error.h"
#include "model-i18n.h"

#include <string.h>

#define PA_PER_KPA 1000.0

/* How the integer of a key is read: a quantity with units, or thousandths, or a plain count. */
typedef struct
{
  const char *key;
  TdQuantity quantity; /* TD_N_QUANTITIES: none */
  TdUnit metric, us;   /* of a bare figure */
  int per_unit;        /* where there is no quantity: stored integers in one of the unit */
  const char *symbol;
} Figure;

static const Figure figures[] = {
  { "concentrate_ml", TD_QUANTITY_VOLUME, TD_UNIT_ML, TD_UNIT_FL_OZ, 0, NULL },
  { "water_ml", TD_QUANTITY_VOLUME, TD_UNIT_L, TD_UNIT_GAL, 0, NULL },
  { "volume_ml", TD_QUANTITY_VOLUME, TD_UNIT_L, TD_UNIT_GAL, 0, NULL },
  { "lost_ml", TD_QUANTITY_VOLUME, TD_UNIT_L, TD_UNIT_FL_OZ, 0, NULL },
  { "flow_ml_min", TD_QUANTITY_FLOW, TD_UNIT_L_MIN, TD_UNIT_GAL_MIN, 0, NULL },
  { "pour_ml_min", TD_QUANTITY_POUR_RATE, TD_UNIT_POUR_ML_S, TD_UNIT_POUR_FL_OZ_S, 0, NULL },
  { "pressure_pa", TD_QUANTITY_PRESSURE, TD_UNIT_KPA, TD_UNIT_PSI, 0, NULL },
  { "temperature_c_milli", TD_QUANTITY_TEMPERATURE, TD_UNIT_C, TD_UNIT_F, 0, NULL },
  { "percent_milli", TD_QUANTITY_PERCENT, TD_UNIT_PERCENT, TD_UNIT_PERCENT, 0, NULL },
  { "ph_milli", TD_N_QUANTITIES, 0, 0, 1000, "pH" },
  { "co2_ppm", TD_N_QUANTITIES, 0, 0, 1, "ppm" },
  { "minutes", TD_N_QUANTITIES, 0, 0, 1, "min" },
};

static const Figure *
find_figure (const TdField *field)
{
  for (gsize i = 0; i < G_N_ELEMENTS (figures); i++)
    if (strcmp (figures[i].key, field->key) == 0)
      return &figures[i];
  return NULL;
}

static TdUnit
get_unit (const Figure *figure, const TdUnitStyle *style)
{
  return style->system == TD_UNITS_US ? figure->us : figure->metric;
}

const char *
td_field_get_symbol (const TdField *field, const TdUnitStyle *style)
{
  const Figure *figure;

  g_return_val_if_fail (field != NULL && style != NULL, NULL);
  figure = find_figure (field);
  if (figure == NULL)
    return NULL;
  return figure->quantity < TD_N_QUANTITIES ? td_unit_get_symbol (get_unit (figure, style)) : figure->symbol;
}

/* Stored in an integer's unit; a pressure is stored finer than its quantity says. */
static double
to_stored (const Figure *figure, double value)
{
  switch (figure->quantity)
    {
    case TD_QUANTITY_PRESSURE:
      return value * PA_PER_KPA;
    case TD_QUANTITY_FLOW:
    case TD_QUANTITY_POUR_RATE:
    case TD_QUANTITY_TEMPERATURE:
    case TD_QUANTITY_PERCENT:
      return value * 1000.0;
    default:
      return value;
    }
}

static double
from_stored (const Figure *figure, gint64 value)
{
  return figure->quantity == TD_QUANTITY_VOLUME ? (double) value : (double) value / 1000.0;
}

static gboolean
is_bare (const char *text)
{
  for (const char *p = text; *p != '\0'; p++)
    if (g_ascii_isalpha (*p) || *p == '%' || (guchar) *p == 0xc2)
      return FALSE;
  return TRUE;
}

static gboolean
parse_plain (const char *text, char decimal, double *value_out, GError **error)
{
  g_autofree char *copy = g_strdelimit (g_strdup (text), decimal == ',' ? "," : "", '.');
  char *end = NULL;

  *value_out = g_ascii_strtod (copy, &end);
  if (end != copy && *end == '\0' && strspn (copy, "0123456789.-") == strlen (copy))
    return TRUE;
  g_set_error (error, TD_ERROR, TD_ERROR_PARSE, _ ("“%s” is not a number"), text);
  return FALSE;
}

static gboolean
check_bounds (const TdField *field, double stored, const TdUnitStyle *style, GError **error)
{
  g_autofree char *least = NULL;
  g_autofree char *most = NULL;
  const char *symbol = td_field_get_symbol (field, style);

  if (stored >= (double) field->minimum && stored <= (double) field->maximum)
    return TRUE;
  least = td_field_format (field, field->minimum, style);
  most = td_field_format (field, field->maximum, style);
  g_set_error (error, TD_ERROR, TD_ERROR_RANGE, _ ("Not between %s and %s %s"), least, most, symbol != NULL ? symbol : "");
  return FALSE;
}

gboolean
td_field_parse (const TdField *field, const char *text, const TdUnitStyle *style, gint64 *value_out, GError **error)
{
  g_autofree char *typed = g_strstrip (g_strdup (text));
  const Figure *figure;
  double value = 0;

  g_return_val_if_fail (field != NULL && text != NULL && style != NULL && value_out != NULL, FALSE);
  figure = find_figure (field);
  if (figure != NULL && figure->quantity < TD_N_QUANTITIES)
    {
      g_autofree char *whole = is_bare (typed)
                                 ? g_strconcat (typed, " ", td_unit_get_symbol (get_unit (figure, style)), NULL)
                                 : g_strdup (typed);

      if (*typed == '\0')
        {
          g_set_error_literal (error, TD_ERROR, TD_ERROR_PARSE, _ ("Nothing is typed"));
          return FALSE;
        }
      if (!td_quantity_parse (figure->quantity, whole, style, &value, error))
        return FALSE;
      value = to_stored (figure, value);
    }
  else
    {
      if (!parse_plain (typed, style->decimal, &value, error))
        return FALSE;
      value *= figure != NULL ? figure->per_unit : 1;
    }
  if (!check_bounds (field, value, style, error))
    return FALSE;
  *value_out = td_round_half_away (value);
  return TRUE;
}

char *
td_field_format (const TdField *field, gint64 value, const TdUnitStyle *style)
{
  const Figure *figure;
  TdUnit unit;
  double shown;

  g_return_val_if_fail (field != NULL && style != NULL, NULL);
  figure = find_figure (field);
  if (figure == NULL)
    return g_strdup_printf ("%" G_GINT64_FORMAT, value);
  if (figure->quantity == TD_N_QUANTITIES)
    return td_number_format ((double) value / figure->per_unit, 3, style->decimal);
  unit = get_unit (figure, style);
  shown = td_unit_from_base (unit, from_stored (figure, value));
  /* What is typed with two places comes back as typed; a proposal is not finer than one can measure. */
  return td_number_format (shown, unit == TD_UNIT_ML ? 0 : unit == TD_UNIT_FL_OZ || unit == TD_UNIT_F ? 1 : 2,
                           style->decimal);
}

typedef struct
{
  const char *key;
  const char *label;
} Label;

static const Label labels[] = {
  { "absent_verified", N_ ("Owner verified to be away") },
  { "access", N_ ("Way in and out") },
  { "action", N_ ("What was done") },
  { "apron", N_ ("Apron") },
  { "at", N_ ("What it holds") },
  { "basis", N_ ("Share of") },
  { "batch", N_ ("Mix") },
  { "by", N_ ("By") },
  { "cause", N_ ("Cause") },
  { "circuit", N_ ("Circuit") },
  { "clean", N_ ("Clean") },
  { "co2", N_ ("Carbon dioxide") },
  { "co2_ppm", N_ ("Reading") },
  { "code", N_ ("Finding") },
  { "concentrate_ml", N_ ("Concentrate") },
  { "condition", N_ ("The line") },
  { "contact_tried", N_ ("Owner was called") },
  { "cooler", N_ ("Cold room") },
  { "crew", N_ ("Together with") },
  { "debris", N_ ("Debris") },
  { "direction", N_ ("Direction") },
  { "drain", N_ ("Where to") },
  { "drain_ph", N_ ("pH") },
  { "ends", N_ ("Ends") },
  { "extent", N_ ("Extent") },
  { "eyes", N_ ("Eye protection") },
  { "file", N_ ("Picture") },
  { "flow_ml_min", N_ ("Flow") },
  { "follow_up", N_ ("Somebody has to come back") },
  { "gas", N_ ("Gas") },
  { "gloves", N_ ("Gloves") },
  { "handed_to", N_ ("Handed to") },
  { "instrument", N_ ("Instrument") },
  { "keg", N_ ("Keg") },
  { "known", N_ ("How it is known") },
  { "legend", N_ ("What it says") },
  { "lever", N_ ("Lever") },
  { "line", N_ ("Line") },
  { "lines", N_ ("Lines") },
  { "lost_ml", N_ ("Beer lost") },
  { "lot", N_ ("Lot") },
  { "meaning", N_ ("Meaning") },
  { "method", N_ ("Measured by") },
  { "name", N_ ("Name") },
  { "of", N_ ("Of") },
  { "out_of_hours", N_ ("Outside the agreed hours") },
  { "part", N_ ("Part") },
  { "percent_milli", N_ ("Strength") },
  { "person", N_ ("Person") },
  { "ph_milli", N_ ("pH") },
  { "place", N_ ("Place") },
  { "pour_ml_min", N_ ("Pour rate") },
  { "pressure_pa", N_ ("Pressure") },
  { "product", N_ ("Product") },
  { "quantity", N_ ("How many") },
  { "quote_wanted", N_ ("Price for the repair wanted") },
  { "reason", N_ ("Reason") },
  { "result", N_ ("Found") },
  { "sds_at_hand", N_ ("Safety data sheets at hand") },
  { "severity", N_ ("Severity") },
  { "shut", N_ ("The faucet is shut") },
  { "site", N_ ("Site") },
  { "source", N_ ("Made by") },
  { "strokes", N_ ("Signature") },
  { "symptom", N_ ("Symptom") },
  { "tag", N_ ("Tag") },
  { "tag_kind", N_ ("Kind of tag") },
  { "tags", N_ ("Tags") },
  { "temperature_c_milli", N_ ("Temperature") },
  { "text", N_ ("Words") },
  { "to", N_ ("To") },
  { "told_before_return", N_ ("Owner is told before coming back") },
  { "tower", N_ ("Tower") },
  { "volume_ml", N_ ("How much") },
  { "water_ml", N_ ("Water") },
  { "what", N_ ("What happened") },
  { "work", N_ ("Work") },
};

const char *
td_field_get_label (TdKind kind, const TdField *field)
{
  g_return_val_if_fail (field != NULL, "");
  /* The beer of a keg and the cleaner of a mix are not the same word. */
  if (strcmp (field->key, "product") == 0 && field->type == TD_FIELD_TEXT)
    return _ ("Beer");
  if (kind == TD_KIND_PHOTO && strcmp (field->key, "text") == 0)
    return _ ("What it shows");
  for (gsize i = 0; i < G_N_ELEMENTS (labels); i++)
    if (strcmp (labels[i].key, field->key) == 0)
      return _ (labels[i].label);
  return field->key;
}

static const Label words[] = {
  { "all-lines", N_ ("all lines") },
  { "balance-pressure", N_ ("balance: pressure") },
  { "balance-restriction", N_ ("balance: restriction") },
  { "balance-temperature", N_ ("balance: temperature") },
  { "beer-pump", N_ ("beer pump") },
  { "carried-away", N_ ("carried away") },
  { "cold-room", N_ ("cold room") },
  { "faucet-removed", N_ ("faucet removed") },
  { "handle-removed", N_ ("handle removed") },
  { "nearly-empty", N_ ("nearly empty") },
  { "no-beer", N_ ("no beer") },
  { "no-instrument", N_ ("no instrument") },
  { "nobody-present", N_ ("nobody present") },
  { "not-started", N_ ("not begun") },
  { "off-taste", N_ ("off taste") },
  { "one-line", N_ ("one line") },
  { "stops-service", N_ ("stops service") },
  { "work-done", N_ ("work done") },
  { "informed", N_ ("received and informed") },
  { "refused", N_ ("refused") },
  { "yes", N_ ("yes") },
  { "no", N_ ("no") },
  { "in", N_ ("in, towards the keg") },
  { "out", N_ ("out, towards the faucet") },
};

const char *
td_choice_get_label (const char *key, const char *word)
{
  g_return_val_if_fail (key != NULL && word != NULL, "");
  if (strcmp (key, "lever") == 0)
    return strcmp (word, "in") == 0 ? _ ("in") : strcmp (word, "out") == 0 ? _ ("out") : _ (word);
  for (gsize i = 0; i < G_N_ELEMENTS (words); i++)
    if (strcmp (words[i].key, word) == 0)
      return _ (words[i].label);
  return _ (word);
}
