/* Putting back and checking: kegs, beer, readings, leaks. */
#include <string.h>

#include "core-fold.h"

static TdVisitLine *
get_target (TdFold *fold, guint i)
{
  return &fold->visit->lines[g_array_index (fold->targets, guint, i)];
}

gboolean
td_fold_keg_coupled (TdFold *fold, const TdEntry *entry, GError **error)
{
  const char *product = td_fold_get_text (entry, "product");

  if (!td_fold_get_targets (fold, entry, TD_NEED_KEG_END, error))
    return FALSE;
  for (guint i = 0; i < fold->targets->len; i++)
    {
      TdVisitLine *line = get_target (fold, i);
      const TdOutlet *outlet = &fold->visit->site->outlets[line->outlet];

      td_fold_keep_latest (&line->keg_coupled, entry);
      if (product != NULL
          && g_strcmp0 (product, fold->visit->site->lines[outlet->line].product) != 0)
        line->product_now = product;
    }
  return TRUE;
}

gboolean
td_fold_beer_clear (TdFold *fold, const TdEntry *entry, GError **error)
{
  if (!td_fold_get_targets (fold, entry, TD_NEED_NOTHING, error))
    return FALSE;
  for (guint i = 0; i < fold->targets->len; i++)
    {
      TdVisitLine *line = get_target (fold, i);

      td_fold_keep_earliest (&line->beer_clear_first, entry);
      td_fold_keep_latest (&line->beer_clear_last, entry);
      line->beer_clear_count++;
    }
  return TRUE;
}

gboolean
td_fold_product_now (TdFold *fold, const TdEntry *entry, GError **error)
{
  if (!td_fold_get_targets (fold, entry, TD_NEED_NOTHING, error))
    return FALSE;
  for (guint i = 0; i < fold->targets->len; i++)
    get_target (fold, i)->product_now = td_fold_get_text (entry, "product");
  return TRUE;
}

gboolean
td_fold_temperature (TdFold *fold, const TdEntry *entry, GError **error)
{
  TdReading reading;
  guint batch;
  int cooler;

  if (!td_fold_get_targets (fold, entry, TD_NEED_NOTHING, error)
      || !td_fold_get_batch (fold, entry, &batch, error)
      || !td_fold_get_cooler (fold, entry, &cooler, error)
      || !td_fold_get_reading (fold, entry, "temperature_c_milli", &reading, error))
    return FALSE;
  if (td_fold_is (entry, "of", "solution") && batch != G_MAXUINT)
    td_fold_keep_latest_reading (&g_array_index (fold->visit->batches, TdBatch, batch).temperature,
                                 &reading);
  if (td_fold_is (entry, "of", "beer"))
    for (guint i = 0; i < fold->targets->len; i++)
      td_fold_keep_latest_reading (&get_target (fold, i)->beer_temperature, &reading);
  return TRUE;
}

gboolean
td_fold_pressure (TdFold *fold, const TdEntry *entry, GError **error)
{
  gboolean pump = td_fold_is (entry, "gas", "beer-pump");
  TdReading reading;

  if (!td_fold_get_targets (fold, entry, TD_NEED_KEG_END | (pump ? TD_NEED_BEER_PUMP : 0), error)
      || !td_fold_get_reading (fold, entry, "pressure_pa", &reading, error))
    return FALSE;
  for (guint i = 0; i < fold->targets->len; i++)
    td_fold_keep_latest_reading (pump ? &get_target (fold, i)->pump_pressure
                                      : &get_target (fold, i)->keg_pressure,
                                 &reading);
  return TRUE;
}

gboolean
td_fold_pour_rate (TdFold *fold, const TdEntry *entry, GError **error)
{
  TdReading reading;

  if (!td_fold_get_targets (fold, entry, TD_NEED_NOTHING, error)
      || !td_fold_get_reading (fold, entry, "pour_ml_min", &reading, error))
    return FALSE;
  for (guint i = 0; i < fold->targets->len; i++)
    td_fold_keep_latest_reading (&get_target (fold, i)->pour_rate, &reading);
  return TRUE;
}

gboolean
td_fold_leak (TdFold *fold, const TdEntry *entry, GError **error)
{
  TdStamp stamp = td_fold_get_stamp (entry);

  if (!td_fold_get_targets (fold, entry, TD_NEED_NOTHING, error))
    return FALSE;
  for (guint i = 0; i < fold->targets->len; i++)
    {
      TdVisitLine *line = get_target (fold, i);

      if (line->leak_checked.seq != 0 && td_stamp_compare (stamp, line->leak_checked) < 0)
        continue;
      line->leak_checked = stamp;
      line->leaking = td_fold_is (entry, "result", "leak");
    }
  return TRUE;
}
