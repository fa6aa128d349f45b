#include "model-hint.h"

#include "model-i18n.h"
#include "model-act.h"

#include "core-safety.h"

#include <string.h>

typedef struct
{
  const TdVisit *visit;
  TdKind kind;
  const TdJson *body;
  const TdUnitStyle *style;
  GPtrArray *hints;
} Hinter;

void
td_hint_free (TdHint *hint)
{
  if (hint == NULL)
    return;
  g_free (hint->text);
  g_free (hint);
}

static void
say (Hinter *hinter, TdHintTone tone, char *text)
{
  TdHint *hint = g_new0 (TdHint, 1);

  hint->tone = tone;
  hint->text = text;
  g_ptr_array_add (hinter->hints, hint);
}

static const char *
get_text (Hinter *hinter, const char *key)
{
  const TdJson *member = td_json_get_member (hinter->body, key);

  return member != NULL && td_json_get_kind (member) == TD_JSON_STRING ? td_json_get_string (member) : NULL;
}

static gboolean
get_figure (Hinter *hinter, const char *key, gint64 *value_out)
{
  const TdJson *member = td_json_get_member (hinter->body, key);

  if (member == NULL || td_json_get_kind (member) != TD_JSON_INTEGER)
    return FALSE;
  *value_out = td_json_get_integer (member);
  return TRUE;
}

static char *
show (Hinter *hinter, const char *key, gint64 value)
{
  return td_act_say_figure (hinter->kind, key, value, hinter->style);
}

/* @text: with {from} and {to}. (transfer full) */
static char *
fill (const char *text, const char *from, const char *to)
{
  GString *filled = g_string_new (text);

  g_string_replace (filled, "{from}", from, 1);
  g_string_replace (filled, "{to}", to, 1);
  return g_string_free (filled, FALSE);
}

static void
say_band (Hinter *hinter, const char *key, gint64 low, gint64 high, const char *aim, const char *off)
{
  g_autofree char *from = show (hinter, key, low);
  g_autofree char *to = show (hinter, key, high);
  gint64 value;

  if (!get_figure (hinter, key, &value))
    say (hinter, TD_HINT_PLAIN, fill (aim, from, to));
  else if (value >= low && value <= high)
    say (hinter, TD_HINT_GOOD, fill (_ ("In the band of {from} to {to}."), from, to));
  else
    say (hinter, TD_HINT_OFF, fill (off, from, to));
}

static void
hint_ph (Hinter *hinter)
{
  const GArray *tap = hinter->visit->tap_ph;
  const TdInstrument *instrument = td_masters_find_instrument (hinter->visit->masters, get_text (hinter, "instrument"));
  const TdReading *last;
  gboolean strip;
  gint64 band;

  if (g_strcmp0 (get_text (hinter, "of"), "outlet") != 0)
    return;
  if (tap->len == 0)
    {
      say (hinter, TD_HINT_OFF, g_strdup (_ ("The tap water was not read yet: there is nothing to hold this against.")));
      return;
    }
  last = &g_array_index (tap, TdReading, tap->len - 1);
  strip = (instrument != NULL && instrument->kind == TD_INSTRUMENT_PH_STRIP)
          || (last->instrument != NULL && last->instrument->kind == TD_INSTRUMENT_PH_STRIP);
  band = td_settings_get (hinter->visit->settings, strip ? TD_SETTING_RINSE_BAND_STRIP : TD_SETTING_RINSE_BAND_METER);
  say_band (hinter, "ph_milli", last->value - band, last->value + band, _ ("As the tap: pH {from} to {to}."),
            _ ("Not the tap's pH ({from} to {to}): chemical is still in the line. Rinse on."));
}

static void
hint_strength (Hinter *hinter)
{
  const char *id = get_text (hinter, "batch");
  const TdProduct *product = td_masters_find_product (hinter->visit->masters, get_text (hinter, "product"));
  gboolean acid;

  for (guint i = 0; product == NULL && i < hinter->visit->batches->len; i++)
    {
      const TdBatch *batch = &g_array_index (hinter->visit->batches, TdBatch, i);

      if (g_strcmp0 (batch->id, id) == 0)
        product = batch->product;
    }
  acid = product != NULL && product->kind == TD_PRODUCT_ACID;
  say_band (hinter, "percent_milli",
            td_settings_get (hinter->visit->settings, acid ? TD_SETTING_ACID_MIN : TD_SETTING_CAUSTIC_MIN),
            td_settings_get (hinter->visit->settings, acid ? TD_SETTING_ACID_MAX : TD_SETTING_CAUSTIC_MAX),
            _ ("Aimed for: {from} to {to}; the label decides."), _ ("Outside {from} to {to}: mend the mix, or say why."));
}

static const char *
translate (const char *text)
{
  return _ (text);
}

/* What burns, what to wear, what it must never meet, and where to read more. */
static void
hint_safety (Hinter *hinter, const TdProduct *product)
{
  g_autofree char *hazards = td_safety_describe (TD_SAFETY_HAZARD, product->safety[TD_SAFETY_HAZARD], " ", translate);
  g_autofree char *wear = td_safety_describe (TD_SAFETY_PROTECTION, product->safety[TD_SAFETY_PROTECTION], ", ", translate);
  g_autofree char *never = td_safety_describe (TD_SAFETY_NEVER_WITH, product->safety[TD_SAFETY_NEVER_WITH], ", ", translate);
  g_autofree char *revised = product->sds_revised != TD_DATE_NONE ? td_date_to_text (product->sds_revised) : NULL;

  if (hazards != NULL)
    say (hinter, TD_HINT_OFF,
         g_strdup_printf ("%s %s", td_product_is_danger (product) ? _ ("Danger.") : _ ("Warning."), hazards));
  if (wear != NULL)
    say (hinter, TD_HINT_PLAIN, g_strdup_printf (_ ("Wear: %s."), wear));
  if (never != NULL)
    say (hinter, TD_HINT_OFF, g_strdup_printf (_ ("Never bring together with: %s."), never));
  say (hinter, TD_HINT_PLAIN,
       revised != NULL ? g_strdup_printf (_ ("Safety data sheet of %s."), revised)
                       : g_strdup (_ ("The book holds no safety data sheet of this product.")));
}

/* What the solution itself still is; the limits are of shares by mass. */
static void
hint_solution (Hinter *hinter, const TdProduct *product)
{
  const TdJson *member = td_json_get_member (hinter->body, "percent_milli");
  gint64 percent_milli
    = member != NULL && td_json_get_kind (member) == TD_JSON_INTEGER ? td_json_get_integer (member) : 0;
  const char *code;

  if (product->basis != TD_BASIS_W_W || percent_milli <= 0)
    return;
  code = td_safety_get_solution_class (product->substance, percent_milli);
  if (code != NULL)
    say (hinter, TD_HINT_OFF,
         g_strdup_printf (_ ("The solution itself is %s: %s"), _ (td_safety_find (TD_SAFETY_CLASS, code)->text),
                          _ (td_safety_find (TD_SAFETY_HAZARD, td_safety_get_hazard (code))->text)));
}

static void
hint_mix (Hinter *hinter)
{
  const TdProduct *product = td_masters_find_product (hinter->visit->masters, get_text (hinter, "product"));
  const TdLot *lot = td_masters_find_lot (hinter->visit->masters, get_text (hinter, "lot"));
  const char *phone = hinter->visit->masters->emergency_phone;

  if (product != NULL && product->caution != NULL)
    say (hinter, TD_HINT_OFF, g_strdup (product->caution));
  if (product != NULL)
    hint_safety (hinter, product);
  if (product != NULL)
    hint_solution (hinter, product);
  say (hinter, TD_HINT_PLAIN,
       g_strdup_printf (_ ("Water first, chemical into water. Label and safety data sheet decide.%s%s"),
                        phone != NULL ? _ (" Emergency: ") : "", phone != NULL ? phone : ""));
  if (lot != NULL && lot->recalled)
    say (hinter, TD_HINT_OFF, g_strdup (_ ("This lot was recalled: do not use it.")));
  else if (lot != NULL && lot->expiry != TD_DATE_NONE && lot->expiry < td_moment_get_date (&hinter->visit->arrived))
    say (hinter, TD_HINT_OFF, g_strdup (_ ("This lot has expired.")));
  hint_strength (hinter);
}

static void
hint_temperature (Hinter *hinter)
{
  const TdSettings *settings = hinter->visit->settings;
  const char *of = get_text (hinter, "of");
  gint64 aim = td_settings_get (settings, TD_SETTING_BEER_TEMPERATURE);
  gint64 band = td_settings_get (settings, TD_SETTING_BEER_TEMPERATURE_BAND);

  if (g_strcmp0 (of, "solution") == 0)
    say_band (hinter, "temperature_c_milli", td_settings_get (settings, TD_SETTING_SOLUTION_MIN),
              td_settings_get (settings, TD_SETTING_SOLUTION_MAX), _ ("Aimed for: {from} to {to}; the label decides."),
              _ ("Outside {from} to {to}: the clean is weaker, or the plastics suffer."));
  else if (g_strcmp0 (of, "beer") == 0)
    say_band (hinter, "temperature_c_milli", aim - band, aim + band, _ ("Aimed for: {from} to {to}."),
              _ ("Not {from} to {to}: look at cooling first, before pressure and restriction."));
}

static void
hint_pour (Hinter *hinter)
{
  gint64 aim = td_settings_get (hinter->visit->settings, TD_SETTING_POUR_RATE);
  gint64 share = td_settings_get (hinter->visit->settings, TD_SETTING_POUR_RATE_BAND);

  say_band (hinter, "pour_ml_min", aim - aim * share / 100, aim + aim * share / 100, _ ("Aimed for: {from} to {to}."),
            _ ("Not {from} to {to}: temperature first, then pressure, then restriction."));
}

static void
hint_pressure (Hinter *hinter)
{
  say_band (hinter, "pressure_pa", 1, td_settings_get (hinter->visit->settings, TD_SETTING_PRESSURE_MAX) * 1000,
            _ ("More than {from}, at most {to}."), _ ("Not between {from} and {to}: above the limit lines burst."));
}

static void
hint_drain (Hinter *hinter)
{
  if (g_strcmp0 (get_text (hinter, "drain"), "carried-away") == 0)
    return;
  say_band (hinter, "ph_milli", td_settings_get (hinter->visit->settings, TD_SETTING_DRAIN_PH_MIN),
            td_settings_get (hinter->visit->settings, TD_SETTING_DRAIN_PH_MAX), _ ("To the sewer: pH {from} to {to}; local limits hold."),
            _ ("Not pH {from} to {to}: neutralise it or carry it away."));
}

GPtrArray *
td_hints_new (const TdVisit *visit, TdKind kind, const TdJson *body, const TdUnitStyle *style)
{
  Hinter hinter = { visit, kind, body, style, g_ptr_array_new_with_free_func ((GDestroyNotify) td_hint_free) };

  g_return_val_if_fail (visit != NULL && body != NULL && style != NULL, hinter.hints);
  switch (kind)
    {
    case TD_KIND_PH_READ:
      hint_ph (&hinter);
      break;
    case TD_KIND_SOLUTION_MIXED:
      hint_mix (&hinter);
      break;
    case TD_KIND_STRENGTH_MEASURED:
      hint_strength (&hinter);
      break;
    case TD_KIND_TEMPERATURE_READ:
      hint_temperature (&hinter);
      break;
    case TD_KIND_POUR_RATE_READ:
      hint_pour (&hinter);
      break;
    case TD_KIND_PRESSURE_READ:
      hint_pressure (&hinter);
      break;
    case TD_KIND_SOLUTION_DISPOSED:
      hint_drain (&hinter);
      break;
    default:
      break;
    }
  return hinter.hints;
}
