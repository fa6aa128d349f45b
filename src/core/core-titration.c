#include "core-titration.h"

#include "core-error.h"

#include <math.h>

/* g/mol */
#define NAOH 40.00
#define NA2CO3 106.0

gboolean
td_titration_read (double p_ml,
                   double m_ml,
                   double sample_ml,
                   double acid_normality,
                   TdTitration *titration_out,
                   GError **error)
{
  double per_gram;

  g_return_val_if_fail (titration_out != NULL, FALSE);

  if (!(p_ml >= 0.0 && m_ml >= p_ml && isfinite (m_ml)))
    {
      g_set_error (
          error, TD_ERROR, TD_ERROR_RANGE,
          "Readings of %g mL to phenolphthalein and %g mL to methyl orange are not possible: "
          "the second is the total and never below the first",
          p_ml, m_ml);
      return FALSE;
    }
  if (!(sample_ml > 0.0 && acid_normality > 0.0))
    {
      g_set_error (error, TD_ERROR, TD_ERROR_RANGE,
                   "A sample of %g mL with acid of %g N is not possible: both must be above zero",
                   sample_ml, acid_normality);
      return FALSE;
    }

  /* Percent a mL of acid for a substance of 1 g/mol. */
  per_gram = acid_normality / 1e3 * 100.0 / sample_ml;
  titration_out->spent = 2.0 * p_ml < m_ml;
  if (titration_out->spent)
    {
      titration_out->naoh_percent = 0.0;
      titration_out->na2co3_percent = p_ml * per_gram * NA2CO3;
    }
  else
    {
      titration_out->naoh_percent = (2.0 * p_ml - m_ml) * per_gram * NAOH;
      titration_out->na2co3_percent = (m_ml - p_ml) * per_gram * NA2CO3;
    }

  return TRUE;
}

double
td_titration_count_drops (guint drops, double percent_per_drop)
{
  if (drops == 0 || !(percent_per_drop > 0.0))
    return NAN;

  return drops * percent_per_drop;
}
