/* Rinsing: started, circulated, read, looked at, disposed of. */
#include "core-fold.h"

gboolean
td_fold_rinse_started (TdFold *fold, const TdEntry *entry, GError **error)
{
  TdLineEvent event = { .type = TD_EVENT_RINSE_STARTED, .stamp = td_fold_get_stamp (entry) };

  /* A line without chemical may be rinsed too: nothing is refused. */
  if (!td_fold_get_targets (fold, entry, TD_NEED_NOTHING, error))
    return FALSE;
  td_fold_note (fold, &event);
  return TRUE;
}

gboolean
td_fold_rinse_circulated (TdFold *fold, const TdEntry *entry, GError **error)
{
  TdLineEvent event = { .type = TD_EVENT_RINSE_CIRCULATED, .stamp = td_fold_get_stamp (entry) };

  if (!td_fold_get_targets (fold, entry, TD_NEED_NOTHING, error))
    return FALSE;
  td_fold_note (fold, &event);
  return TRUE;
}

gboolean
td_fold_rinse_water (TdFold *fold, const TdEntry *entry, GError **error)
{
  if (!td_fold_get_targets (fold, entry, TD_NEED_NOTHING, error))
    return FALSE;
  fold->visit->rinse_water_ml += td_fold_get_integer (entry, "water_ml", 0);
  if (td_json_get_member (entry->body, "circuit") != NULL)
    {
      TdVisitCircuit *circuit = td_fold_get_circuit (fold, entry, error);

      if (circuit == NULL)
        return FALSE;
      circuit->rinse_water_ml += td_fold_get_integer (entry, "water_ml", 0);
    }
  return TRUE;
}

gboolean
td_fold_ph (TdFold *fold, const TdEntry *entry, GError **error)
{
  TdLineEvent event = { .type = TD_EVENT_PH, .stamp = td_fold_get_stamp (entry) };

  if (!td_fold_get_targets (fold, entry, TD_NEED_NOTHING, error)
      || !td_fold_get_reading (fold, entry, "ph_milli", &event.reading, error))
    return FALSE;
  if (td_fold_is (entry, "of", "tap"))
    g_array_append_val (fold->visit->tap_ph, event.reading);
  else
    td_fold_note (fold, &event);
  return TRUE;
}

gboolean
td_fold_debris (TdFold *fold, const TdEntry *entry, GError **error)
{
  TdLineEvent event = {
    .type = TD_EVENT_DEBRIS,
    .stamp = td_fold_get_stamp (entry),
    .debris = td_fold_get_text (entry, "debris"),
  };

  if (!td_fold_get_targets (fold, entry, TD_NEED_NOTHING, error))
    return FALSE;
  td_fold_note (fold, &event);
  return TRUE;
}

gboolean
td_fold_disposed (TdFold *fold, const TdEntry *entry, GError **error)
{
  TdDisposal disposal = { .stamp = td_fold_get_stamp (entry) };
  guint batch;

  if (!td_fold_get_batch (fold, entry, &batch, error))
    return FALSE;
  disposal.batch = batch == G_MAXUINT ? -1 : (int)batch;
  disposal.volume_ml = td_fold_get_integer (entry, "volume_ml", 0);
  disposal.ph_milli = td_fold_get_integer (entry, "ph_milli", -1);
  disposal.drain = td_fold_get_text (entry, "drain");
  if (batch != G_MAXUINT)
    g_array_index (fold->visit->batches, TdBatch, batch).disposed_ml += disposal.volume_ml;
  g_array_append_val (fold->visit->disposals, disposal);
  return TRUE;
}
