#include "core-balance.h"

#include "core-carbonation.h"
#include "core-error.h"
#include "core-json-build.h"
#include "core-pipe.h"
#include "core-tubing.h"

#include <math.h>
#include <string.h>

#define M_PER_FT 0.3048
#define ROUGHNESS_MM 0.0015 /* drawn plastic and stainless */

/* Stainless tube of 5/16 in outside has walls of 0.5 to 0.9 mm: its bore lies between these. */
#define STAINLESS_MIN_BORE_MM 6.1
#define STAINLESS_MAX_BORE_MM 7.0

/* A pour this much slower than expected, and a balance this far out, is told. */
#define PRESSURE_BAND_KPA (1.0 * TD_KPA_PER_PSI) /* twice what a dial gauge shows */

typedef struct
{
  TdPipe *pipes;
  guint n;
  double fittings; /* m per (L/min)^2: k on the velocity head of the last segment */
  double weight;   /* kPa per m of beer */
} Line;

static gint64
read_setting (const TdSettings *settings, TdSettingId id)
{
  return settings != NULL ? td_settings_get (settings, id) : td_setting_get_info (id)->standard;
}

/* The handbook's restriction in psi a foot, NAN where it has no such tube. */
static double
get_handbook_restriction (const TdBalanceSegment *segment)
{
  const TdTube *tube = td_tubing_find (segment->material, segment->bore_mm);
  guint n;
  const TdTube *table = td_tubing_get_table (&n);

  if (tube != NULL)
    return tube->restriction_psi_ft;
  for (guint i = 0; i < n; i++)
    if (isnan (table[i].bore_mm) && strcmp (table[i].material, segment->material) == 0
        && segment->bore_mm >= STAINLESS_MIN_BORE_MM && segment->bore_mm <= STAINLESS_MAX_BORE_MM)
      return table[i].restriction_psi_ft;

  return NAN;
}

static gboolean
prepare_line (const TdBalanceQuestion *question,
              const TdSettings *settings,
              const TdFluid *beer,
              Line *line,
              GError **error)
{
  const TdBalanceSegment *last = &question->segments[question->n_segments - 1];
  double k = read_setting (settings, TD_SETTING_POUR_K) / 1e3, velocity;

  for (guint i = 0; i < question->n_segments; i++)
    {
      const TdBalanceSegment *segment = &question->segments[i];
      TdPipeShape shape = { segment->bore_mm, segment->length_m, ROUGHNESS_MM, 0.0 };

      if (!td_pipe_init (&line->pipes[i], &shape, beer, error))
        {
          g_prefix_error (error, "Segment %u: ", i + 1);
          return FALSE;
        }
    }
  line->n = question->n_segments;
  velocity = 1.0 / (TD_L_MIN_PER_M3_S * G_PI / 4.0 * last->bore_mm * last->bore_mm * 1e-6);
  line->fittings = k * velocity * velocity / (2.0 * TD_GRAVITY);
  line->weight = beer->density_kg_m3 * TD_GRAVITY / 1e3;

  return TRUE;
}

static double
get_loss_m (const Line *line, double flow)
{
  double loss = line->fittings * flow * flow;

  for (guint i = 0; i < line->n; i++)
    loss += td_pipe_get_loss_m (&line->pipes[i], flow, NULL);

  return loss;
}

/* The flow at which all losses take up @head_m: they rise with the flow, so by halving. */
static double
find_flow (const Line *line, double head_m)
{
  double low = 0.0, high = 1.0;

  if (head_m <= 0.0)
    return 0.0;
  while (get_loss_m (line, high) < head_m)
    high *= 2.0;
  for (int i = 0; i < 60; i++)
    {
      double flow = 0.5 * (low + high);

      *(get_loss_m (line, flow) < head_m ? &low : &high) = flow;
    }

  return 0.5 * (low + high);
}

static void
add_handbook (const TdBalanceQuestion *question, TdBalance *balance)
{
  double psi = 0.0;

  balance->volume_ml = 0.0;
  for (guint i = 0; i < question->n_segments; i++)
    {
      const TdBalanceSegment *segment = &question->segments[i];

      balance->volume_ml += td_tubing_get_ml_m (segment->bore_mm) * segment->length_m;
      psi += get_handbook_restriction (segment) * segment->length_m / M_PER_FT;
    }
  balance->restriction_kpa = psi * TD_KPA_PER_PSI;
  balance->rise_kpa = TD_TUBING_HANDBOOK_RISE_PSI_FT * TD_KPA_PER_PSI * question->rise_m / M_PER_FT;
  balance->excess_kpa = balance->applied_kpa - balance->restriction_kpa - balance->rise_kpa;
}

static void
add_hydraulics (const TdBalanceQuestion *question, const Line *line, TdBalance *balance)
{
  guint longest = 0;

  balance->hydraulic_kpa
      = line->weight * (get_loss_m (line, balance->target_l_min) + question->rise_m);
  balance->pour_l_min = find_flow (line, balance->applied_kpa / line->weight - question->rise_m);
  balance->uncertain = FALSE;
  for (guint i = 0; i < line->n; i++)
    {
      if (question->segments[i].length_m > question->segments[longest].length_m)
        longest = i;
      if (td_pipe_get_regime (&line->pipes[i], balance->pour_l_min) == TD_REGIME_TRANSITIONAL)
        balance->uncertain = TRUE;
    }
  balance->reynolds = td_pipe_get_reynolds (&line->pipes[longest], balance->pour_l_min);
}

static void
add_verdict (TdBalance *balance, TdVerdict verdict)
{
  g_return_if_fail (balance->n_verdicts < TD_BALANCE_MAX_VERDICTS);
  balance->verdicts[balance->n_verdicts++] = verdict;
}

/* Temperature first, then pressure, then restriction, then equipment: the order of the trade. */
static void
judge (const TdBalanceQuestion *question, const TdSettings *settings, TdBalance *balance)
{
  double aim = read_setting (settings, TD_SETTING_BEER_TEMPERATURE) / 1e3;
  double aim_band = read_setting (settings, TD_SETTING_BEER_TEMPERATURE_BAND) / 1e3;
  double band = read_setting (settings, TD_SETTING_POUR_RATE_BAND) / 100.0;
  double pour = isnan (question->pour_l_min) ? balance->pour_l_min : question->pour_l_min;
  gboolean measured = !isnan (question->pour_l_min);
  double fast = balance->target_l_min * (1.0 + band), slow = balance->target_l_min * (1.0 - band);

  balance->n_verdicts = 0;
  if (question->temperature_c > aim + aim_band)
    add_verdict (balance, TD_VERDICT_WARM);
  if (question->temperature_c < aim - aim_band)
    add_verdict (balance, TD_VERDICT_COLD);
  if (balance->applied_kpa < balance->equilibrium_kpa - PRESSURE_BAND_KPA)
    add_verdict (balance, TD_VERDICT_PRESSURE_LOW);
  if (balance->applied_kpa > balance->equilibrium_kpa + PRESSURE_BAND_KPA)
    add_verdict (balance, TD_VERDICT_PRESSURE_HIGH);
  if (measured && pour < balance->pour_l_min * (1.0 - band) && pour < slow)
    add_verdict (balance, TD_VERDICT_OBSTRUCTED);
  else if (pour < slow)
    add_verdict (balance, TD_VERDICT_TOO_SLOW);
  if (pour > fast)
    add_verdict (balance, TD_VERDICT_TOO_FAST);
  if (balance->n_verdicts == 0)
    add_verdict (balance, question->foaming ? TD_VERDICT_EQUIPMENT : TD_VERDICT_GOOD);
}

static gboolean
check_question (const TdBalanceQuestion *question, GError **error)
{
  if (question->n_segments == 0)
    {
      g_set_error_literal (error, TD_ERROR, TD_ERROR_RANGE,
                           "A line needs at least one segment: material, bore and length");
      return FALSE;
    }
  if (!(fabs (question->rise_m) <= 100.0))
    {
      g_set_error (error, TD_ERROR, TD_ERROR_RANGE, "A rise of %g m is not possible",
                   question->rise_m);
      return FALSE;
    }
  if (question->applied_kpa < 0.0 || question->applied_kpa > 1000.0)
    {
      g_set_error (error, TD_ERROR, TD_ERROR_RANGE,
                   "A gas pressure of %g kPa is not possible: 0 to 1000 by gauge",
                   question->applied_kpa);
      return FALSE;
    }
  if (question->pour_l_min < 0.0)
    {
      g_set_error (error, TD_ERROR, TD_ERROR_RANGE, "A pour rate of %g L/min is not possible",
                   question->pour_l_min);
      return FALSE;
    }

  return TRUE;
}

gboolean
td_balance_solve (const TdBalanceQuestion *question,
                  const TdSettings *settings,
                  TdBalance *balance_out,
                  GError **error)
{
  g_autofree TdPipe *pipes = NULL;
  Line line = { .n = 0 };
  TdFluid beer;

  g_return_val_if_fail (question != NULL && balance_out != NULL, FALSE);

  if (!check_question (question, error)
      || !td_carbonation_get_pressure (question->temperature_c, question->volumes,
                                       question->altitude_m, &balance_out->equilibrium_kpa, error)
      || !td_fluid_get ("water", 0.0, MAX (question->temperature_c, 0.0), &beer, error))
    return FALSE;
  beer.density_kg_m3 = read_setting (settings, TD_SETTING_BEER_DENSITY);
  beer.viscosity_pa_s *= read_setting (settings, TD_SETTING_BEER_VISCOSITY) / 1e3;
  line.pipes = pipes = g_new0 (TdPipe, question->n_segments);
  if (!prepare_line (question, settings, &beer, &line, error))
    return FALSE;

  balance_out->applied_kpa
      = isnan (question->applied_kpa) ? balance_out->equilibrium_kpa : question->applied_kpa;
  balance_out->target_l_min = read_setting (settings, TD_SETTING_POUR_RATE) / 1e3;
  balance_out->blend_share = td_carbonation_get_blend_share (
      balance_out->equilibrium_kpa, balance_out->applied_kpa, question->altitude_m);
  add_handbook (question, balance_out);
  add_hydraulics (question, &line, balance_out);
  judge (question, settings, balance_out);

  return TRUE;
}

const char *
td_verdict_to_text (TdVerdict verdict)
{
  static const char *const texts[]
      = { "warm",     "cold",       "pressure-low", "pressure-high", "too-fast",
          "too-slow", "obstructed", "equipment",    "good" };

  g_return_val_if_fail ((guint)verdict < G_N_ELEMENTS (texts), NULL);

  return texts[verdict];
}
