#include "core-balance.h"

#include "core-carbonation.h"
#include "core-json-build.h"

#include <math.h>

/* g_ascii_formatd into a text of its own: no locale. */
static char *
format (double value, const char *pattern)
{
  char buffer[G_ASCII_DTOSTR_BUF_SIZE];

  return g_strdup (g_ascii_formatd (buffer, sizeof buffer, pattern, value));
}

/* "83 kPa (12.0 psi)" */
static char *
format_pressure (double kpa)
{
  g_autofree char *metric = format (kpa, "%.0f");
  g_autofree char *us = format (kpa / TD_KPA_PER_PSI, "%.1f");

  return g_strdup_printf ("%s kPa (%s psi)", metric, us);
}

static char *
explain_pressure (const TdBalance *balance, gboolean low)
{
  g_autofree char *applied = format_pressure (balance->applied_kpa);
  g_autofree char *wanted = format_pressure (balance->equilibrium_kpa);
  g_autofree char *share = format (100.0 * balance->blend_share, "%.0f");

  if (low)
    return g_strdup_printf (
        "The gas pressure of %s is below the %s that hold the carbonation: CO2 comes "
        "out on the way and the beer foams. Raise it to %s.",
        applied, wanted, wanted);

  return g_strdup_printf (
      "The gas pressure of %s is above the %s that hold the carbonation: under pure CO2 "
      "the beer takes up more from day to day and will foam. Lower it, or use a blend "
      "with %s %% CO2.",
      applied, wanted, share);
}

static char *
explain_pour (const TdBalanceQuestion *question, const TdBalance *balance, TdVerdict verdict)
{
  gboolean measured = !isnan (question->pour_l_min);
  g_autofree char *pour = format (measured ? question->pour_l_min : balance->pour_l_min, "%.2f");
  g_autofree char *expected = format (balance->pour_l_min, "%.2f");
  g_autofree char *aim = format (balance->target_l_min, "%.2f");
  const char *how = measured ? "pours" : "is expected to pour";

  if (verdict == TD_VERDICT_OBSTRUCTED)
    return g_strdup_printf (
        "It pours %s L/min, but %s L/min are expected at this pressure: something holds "
        "it back. Look for a kink, ice, a worn washer, a FOB not reset, dirt.",
        pour, expected);
  if (verdict == TD_VERDICT_TOO_FAST)
    return g_strdup_printf (
        "It %s %s L/min, faster than the %s L/min aimed for: too little restriction "
        "makes foam at the faucet. Lengthen the choker or take a narrower one.",
        how, pour, aim);

  return g_strdup_printf (
      "It %s %s L/min, slower than the %s L/min aimed for: the line restricts too much "
      "for its pressure. Shorten the choker or take a wider one; raise the pressure only "
      "with a blend that keeps the carbonation.",
      how, pour, aim);
}

char *
td_balance_explain (const TdBalanceQuestion *question, const TdBalance *balance, TdVerdict verdict)
{
  g_autofree char *temperature = NULL;

  g_return_val_if_fail (question != NULL && balance != NULL, NULL);

  temperature = format (question->temperature_c, "%.1f");
  switch (verdict)
    {
    case TD_VERDICT_WARM:
      return g_strdup_printf (
          "The beer is too warm at %s C: look at temperature first, cooler and glycol; "
          "warm beer lets go of its CO2 and foams.",
          temperature);
    case TD_VERDICT_COLD:
      return g_strdup_printf (
          "The beer is too cold at %s C: it takes up more CO2 under the same pressure, "
          "and pours flat or freezes in the line.",
          temperature);
    case TD_VERDICT_PRESSURE_LOW:
    case TD_VERDICT_PRESSURE_HIGH:
      return explain_pressure (balance, verdict == TD_VERDICT_PRESSURE_LOW);
    case TD_VERDICT_TOO_FAST:
    case TD_VERDICT_TOO_SLOW:
    case TD_VERDICT_OBSTRUCTED:
      return explain_pour (question, balance, verdict);
    case TD_VERDICT_EQUIPMENT:
      return g_strdup (
          "Temperature, pressure and pour rate agree, yet it foams: look at the equipment, "
          "faucet washer, coupler seal, FOB, a dirty or kinked line, a warm faucet.");
    case TD_VERDICT_GOOD:
      return g_strdup ("Temperature, pressure and pour rate agree.");
    default:
      g_return_val_if_reached (NULL);
    }
}

static void
add_figures (TdJsonBuilder *builder, const TdBalanceQuestion *question, const TdBalance *balance)
{
  const struct
  {
    const char *key;
    double value;
  } figures[] = {
    { "temperature_c", question->temperature_c },
    { "volumes", question->volumes },
    { "altitude_m", question->altitude_m },
    { "rise_m", question->rise_m },
    { "equilibrium_kpa", balance->equilibrium_kpa },
    { "equilibrium_psi", balance->equilibrium_kpa / TD_KPA_PER_PSI },
    { "applied_kpa", balance->applied_kpa },
    { "applied_psi", balance->applied_kpa / TD_KPA_PER_PSI },
    { "restriction_kpa", balance->restriction_kpa },
    { "restriction_psi", balance->restriction_kpa / TD_KPA_PER_PSI },
    { "rise_kpa", balance->rise_kpa },
    { "rise_psi", balance->rise_kpa / TD_KPA_PER_PSI },
    { "needed_kpa", balance->restriction_kpa + balance->rise_kpa },
    { "needed_psi", (balance->restriction_kpa + balance->rise_kpa) / TD_KPA_PER_PSI },
    { "excess_kpa", balance->excess_kpa },
    { "excess_psi", balance->excess_kpa / TD_KPA_PER_PSI },
    { "hydraulic_kpa", balance->hydraulic_kpa },
    { "hydraulic_psi", balance->hydraulic_kpa / TD_KPA_PER_PSI },
    { "volume_ml", balance->volume_ml },
    { "pour_rate_l_min", balance->pour_l_min },
    { "pour_rate_ml_s", balance->pour_l_min * 1000.0 / 60.0 },
    { "target_pour_rate_l_min", balance->target_l_min },
    { "reynolds", balance->reynolds },
    { "co2_share_percent", 100.0 * balance->blend_share },
    { "measured_pour_rate_l_min", question->pour_l_min },
  };

  for (guint i = 0; i < G_N_ELEMENTS (figures); i++)
    td_json_builder_member_real (builder, figures[i].key, figures[i].value, -1);
}

TdJson *
td_balance_to_json (const TdBalanceQuestion *question, const TdBalance *balance)
{
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();

  g_return_val_if_fail (question != NULL && balance != NULL, NULL);

  td_json_builder_begin_object (builder);
  add_figures (builder, question, balance);
  td_json_builder_member_boolean (builder, "uncertain", balance->uncertain);
  td_json_builder_key (builder, "verdicts");
  td_json_builder_begin_array (builder);
  for (guint i = 0; i < balance->n_verdicts; i++)
    {
      g_autofree char *text = td_balance_explain (question, balance, balance->verdicts[i]);

      td_json_builder_begin_object (builder);
      td_json_builder_member_string (builder, "code", td_verdict_to_text (balance->verdicts[i]));
      td_json_builder_member_string (builder, "text", text);
      td_json_builder_end (builder);
    }
  td_json_builder_end (builder);
  td_json_builder_end (builder);

  return td_json_builder_finish (builder);
}
