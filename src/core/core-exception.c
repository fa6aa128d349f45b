#include "core-exception.h"

#include <stdlib.h>
#include <string.h>

/* Marks a text for translation; whoever shows it translates it. */
#define N_(text) text

static const TdExceptionInfo infos[TD_N_EXCEPTIONS] = {
#define TD_EXCEPTION(symbol, code, rule, text) { code, rule, text },
#include "core-exception.def"
#undef TD_EXCEPTION
};

const TdExceptionInfo *
td_exception_get_info (TdExceptionId id)
{
  g_return_val_if_fail ((guint) id < TD_N_EXCEPTIONS, NULL);
  return &infos[id];
}

gboolean
td_exception_find (const char *code, TdExceptionId *id_out)
{
  g_return_val_if_fail (code != NULL && id_out != NULL, FALSE);
  for (guint i = 0; i < TD_N_EXCEPTIONS; i++)
    if (strcmp (infos[i].code, code) == 0)
      {
        *id_out = (TdExceptionId) i;
        return TRUE;
      }
  return FALSE;
}

void
td_visit_exception_free (TdVisitException *exception)
{
  g_return_if_fail (exception != NULL);
  g_free (exception->text);
  g_free (exception);
}

static void
add (GPtrArray *list, TdExceptionId id, char *text)
{
  TdVisitException *exception = g_new0 (TdVisitException, 1);

  exception->id = id;
  exception->text = text;
  g_ptr_array_add (list, exception);
}

static void
look_at_countersignature (const TdVisit *visit, GPtrArray *list)
{
  const TdSignature *signature = &visit->countersignature;

  if (!visit->closed)
    return;
  if (!signature->given)
    add (list, TD_EXCEPTION_NOT_COUNTERSIGNED, g_strdup ("no countersignature"));
  else if (g_strcmp0 (signature->meaning, "refused") == 0)
    add (list, TD_EXCEPTION_NOT_COUNTERSIGNED,
         g_strdup_printf ("countersignature refused: %s", signature->reason != NULL ? signature->reason : ""));
  else if (g_strcmp0 (signature->meaning, "nobody-present") == 0)
    add (list, TD_EXCEPTION_NOT_COUNTERSIGNED, g_strdup ("nobody was present to countersign"));
}

static int
compare_times (gconstpointer a, gconstpointer b)
{
  gint64 first = *(const gint64 *) a;
  gint64 second = *(const gint64 *) b;

  return first < second ? -1 : first > second;
}

/* When the late acts were written down, ascending. */
static GArray *
list_late (const TdVisit *visit)
{
  gint64 limit_ms = 1000 * td_settings_get (visit->settings, TD_SETTING_LATE_ENTRY);
  GArray *recorded = g_array_new (FALSE, FALSE, sizeof (gint64));

  for (guint seq = 1; seq <= visit->last_seq; seq++)
    {
      const TdEntry *entry = td_visit_get_effective (visit, seq);

      if (entry != NULL && entry->envelope.recorded_ms - entry->envelope.happened.utc_ms > limit_ms)
        g_array_append_val (recorded, entry->envelope.recorded_ms);
    }
  g_array_sort (recorded, compare_times);
  return recorded;
}

static void
look_at_bursts (const TdVisit *visit, GPtrArray *list)
{
  gint64 within_ms = 1000 * td_settings_get (visit->settings, TD_SETTING_LATE_BURST_WITHIN);
  gint64 least = td_settings_get (visit->settings, TD_SETTING_LATE_BURST);
  g_autoptr (GArray) recorded = list_late (visit);
  guint most = 0;

  for (guint first = 0, end = 0; first < recorded->len; first++)
    {
      while (end < recorded->len
             && g_array_index (recorded, gint64, end) - g_array_index (recorded, gint64, first) <= within_ms)
        end++;
      most = MAX (most, end - first);
    }
  if ((gint64) most >= least)
    add (list, TD_EXCEPTION_LATE_BURST,
         g_strdup_printf ("%u late acts written down within %" G_GINT64_FORMAT " s", most, within_ms / 1000));
}

GPtrArray *
td_visit_get_exceptions (const TdVisit *visit)
{
  GPtrArray *list = g_ptr_array_new_with_free_func ((GDestroyNotify) td_visit_exception_free);

  g_return_val_if_fail (visit != NULL, list);
  look_at_countersignature (visit, list);
  look_at_bursts (visit, list);
  return list;
}

gboolean
td_use_is_off (gint64 used_ml, gint64 expected_ml, gint64 band_percent)
{
  g_return_val_if_fail (expected_ml >= 0 && band_percent >= 0, FALSE);
  return llabs (used_ml - expected_ml) * 100 > expected_ml * band_percent;
}
