#include "core-diagnose.h"

#include <math.h>

static char *
format (double value, const char *pattern)
{
  char buffer[G_ASCII_DTOSTR_BUF_SIZE];

  return g_strdup (g_ascii_formatd (buffer, sizeof buffer, pattern, value));
}

static char *
name_cause (const TdCause *cause, const TdSite *site)
{
  if (cause->kind == TD_CAUSE_PUMP)
    return g_strdup ("the pump");

  return g_strdup_printf ("line %s", site->lines[cause->line].id);
}

static char *
explain_cause (const TdCause *cause, const TdSite *site)
{
  g_autofree char *amount = format (fabs (cause->extra_m), "%.1f");
  g_autofree char *name = name_cause (cause, site);

  if (cause->kind == TD_CAUSE_PUMP)
    return cause->extra_m > 0.0
               ? g_strdup_printf (
                   "The pump explains it: it gives %s m less than its curve at the least "
                   "flow. Look at its inlet, strainer and seal, and for air.",
                   amount)
               : g_strdup_printf (
                   "The pump explains it: it gives %s m more than its curve at the least "
                   "flow. Correct the curve on the sheet.",
                   amount);
  if (cause->extra_m > 0.0)
    return g_strdup_printf (
        "%c%s explains it: it loses %s m more than predicted at the least flow. Look for "
        "a kink, a blocked coupler or faucet, a FOB not open, a beer pump that holds.",
        g_ascii_toupper (*name), name + 1, amount);

  return g_strdup_printf (
      "%c%s explains it: it loses %s m less than predicted at the least flow. Its tube is "
      "wider or shorter than the sheet says, or it was not in the circuit.",
      g_ascii_toupper (*name), name + 1, amount);
}

/* The reading that parts the causes left: the pump's pressure if the pump is one of them, else a
 * line of its own. */
static char *
advise (const TdDiagnosis *diagnosis, const TdSite *site)
{
  guint lines = 0;
  const TdCause *line = NULL;

  for (guint i = 0; i < diagnosis->n_alike; i++)
    if (diagnosis->causes[i].kind == TD_CAUSE_PUMP)
      return g_strdup (
          "Read the pressure at the pump's outlet while it flows: that parts pump and lines.");
    else if (lines++ == 0)
      line = &diagnosis->causes[i];

  return g_strdup_printf ("Measure the flow of line %s alone: that parts it from the others.",
                          site->lines[line->line].id);
}

char *
td_diagnosis_explain (const TdDiagnosis *diagnosis, const TdSite *site)
{
  g_autoptr (GString) text = NULL;
  g_autofree char *advice = NULL;

  g_return_val_if_fail (diagnosis != NULL && site != NULL, NULL);

  switch (diagnosis->kind)
    {
    case TD_DIAGNOSIS_AGREES:
      return g_strdup ("The flows measured agree with those predicted.");
    case TD_DIAGNOSIS_UNKNOWN:
      return g_strdup_printf (
          "Cannot tell: the tubes of line %s are not on the sheet, so its flow cannot be "
          "predicted.",
          site->lines[diagnosis->unknown_line].id);
    case TD_DIAGNOSIS_EXPLAINED:
      return explain_cause (&diagnosis->causes[0], site);
    case TD_DIAGNOSIS_NO_CAUSE:
      return g_strdup (
          "No single cause explains the flows measured: more than one line is at fault, or the "
          "sheet or the pump's curve is wrong. Measure lines alone.");
    case TD_DIAGNOSIS_CANNOT_TELL:
      break;
    default:
      g_return_val_if_reached (NULL);
    }
  text = g_string_new ("Cannot tell: ");
  for (guint i = 0; i < diagnosis->n_alike; i++)
    {
      g_autofree char *name = name_cause (&diagnosis->causes[i], site);

      g_string_append_printf (text, "%s%s",
                              i == 0                       ? ""
                              : i + 1 < diagnosis->n_alike ? ", "
                                                           : " and ",
                              name);
    }
  advice = advise (diagnosis, site);
  g_string_append_printf (text, " would explain the flows measured alike. %s", advice);

  return g_string_free (g_steal_pointer (&text), FALSE);
}
