#include "core-use.h"

#include <math.h>
#include <string.h>

#include "core-mix.h"

/* Temperature at which volumes are reckoned, C. */
#define REFERENCE_C 20.0

/* The pass of that mix through a line, or NULL. */
static const TdPass *
find_pass (const TdVisitLine *line, guint batch)
{
  for (guint i = 0; i < line->passes->len; i++)
    if (g_array_index (line->passes, TdPass, i).batch == batch)
      return &g_array_index (line->passes, TdPass, i);
  return NULL;
}

static double
get_jumper_ml (const TdVisit *visit)
{
  const TdSegment jumper = {
    .bore_mm = (double) td_settings_get (visit->settings, TD_SETTING_JUMPER_BORE) / 1000.0,
    .length_m = (double) td_settings_get (visit->settings, TD_SETTING_JUMPER_LENGTH) / 1000.0,
  };

  return td_segment_get_volume_ml (&jumper);
}

gint64
td_use_get_expected_solution_ml (const TdVisit *visit, guint batch)
{
  double sum = 0;
  guint n = 0;

  g_return_val_if_fail (visit != NULL && batch < visit->batches->len, -1);
  for (guint i = 0; i < visit->n_lines; i++)
    {
      const TdPass *pass = find_pass (&visit->lines[i], batch);

      if (pass == NULL)
        continue;
      sum += td_outlet_get_volume_ml (visit->site, i);
      sum += pass->method == TD_METHOD_CIRCULATING ? get_jumper_ml (visit) : 0;
      n++;
    }
  if (n == 0 || isnan (sum))
    return n == 0 ? 0 : -1;
  sum *= (double) td_settings_get (visit->settings, TD_SETTING_FILL_VOLUMES) / 100.0;
  sum += (double) td_settings_get (visit->settings, TD_SETTING_BUCKET);
  return llround (sum);
}

static gboolean
has_table (const char *substance)
{
  return g_strcmp0 (substance, "naoh") == 0 || g_strcmp0 (substance, "koh") == 0
         || g_strcmp0 (substance, "h3po4") == 0;
}

gint64
td_use_get_expected_ml (const TdVisit *visit, guint batch)
{
  gint64 solution = td_use_get_expected_solution_ml (visit, batch);
  const TdProduct *product;
  TdMixQuestion question = { .water_l = NAN, .temperature_c = REFERENCE_C };
  TdMix mix;

  if (solution <= 0)
    return solution;
  product = g_array_index (visit->batches, TdBatch, batch).product;
  if (product == NULL)
    return -1;
  question.substance = has_table (product->substance) ? product->substance : NULL;
  question.basis = product->basis;
  question.concentrate_percent = (double) product->percent_milli / 1000.0;
  question.target_percent = (double) product->target_percent_milli / 1000.0;
  question.density_kg_m3 = product->density_kg_m3 > 0 ? (double) product->density_kg_m3 : NAN;
  question.total_l = (double) solution / 1000.0;
  return td_mix_solve (&question, &mix, NULL) ? llround (mix.concentrate_ml) : -1;
}

const char *
td_use_get_method (const TdVisit *visit, guint batch)
{
  gboolean circulating = FALSE;
  gboolean still = FALSE;

  g_return_val_if_fail (visit != NULL && batch < visit->batches->len, "none");
  for (guint i = 0; i < visit->n_lines; i++)
    {
      const TdPass *pass = find_pass (&visit->lines[i], batch);

      circulating |= pass != NULL && pass->method == TD_METHOD_CIRCULATING;
      still |= pass != NULL && pass->method == TD_METHOD_STATIC;
    }
  if (circulating && still)
    return "both";
  return circulating ? "circulating" : still ? "static" : "none";
}

guint
td_use_count_lines (const TdVisit *visit, guint batch)
{
  guint n = 0;

  g_return_val_if_fail (visit != NULL && batch < visit->batches->len, 0);
  for (guint i = 0; i < visit->n_lines; i++)
    n += find_pass (&visit->lines[i], batch) != NULL;
  return n;
}
