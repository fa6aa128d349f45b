/* Mixing, pumping, sending in, and the contact. */
#include <string.h>

#include "core-error.h"
#include "core-fold.h"

static gboolean
get_product (TdFold *fold, const TdEntry *entry, TdBatch *batch, GError **error)
{
  const TdMasters *masters = fold->visit->masters;
  const char *product = td_fold_get_text (entry, "product");
  const char *lot = td_fold_get_text (entry, "lot");

  batch->product = td_masters_find_product (masters, product);
  batch->lot = td_masters_find_lot (masters, lot);
  if (!fold->strict)
    return TRUE;
  if (batch->product == NULL)
    td_fold_set_error (entry, TD_ERROR_REFERENCE, error,
                       "the book knows no product \"%s\": enter it there first", product);
  else if (lot != NULL && batch->lot == NULL)
    td_fold_set_error (entry, TD_ERROR_REFERENCE, error,
                       "the book knows no lot \"%s\": enter it there first", lot);
  else if (lot != NULL && strcmp (batch->lot->product, product) != 0)
    td_fold_set_error (entry, TD_ERROR_REFERENCE, error,
                       "lot \"%s\" is of product \"%s\", not of \"%s\"", lot, batch->lot->product,
                       product);
  else
    return TRUE;
  return FALSE;
}

gboolean
td_fold_mixed (TdFold *fold, const TdEntry *entry, GError **error)
{
  GArray *batches = fold->visit->batches;
  TdBatch batch = { .id = td_fold_get_text (entry, "batch"), .mixed = td_fold_get_stamp (entry) };
  const char *basis = td_fold_get_text (entry, "basis");
  const TdInstrument *instrument;

  for (guint i = 0; i < batches->len; i++)
    if (strcmp (g_array_index (batches, TdBatch, i).id, batch.id) == 0)
      {
        td_fold_set_error (
            entry, TD_ERROR_IMPOSSIBLE, error,
            "batch \"%s\" was mixed by entry %u: give a further mix an id of its own", batch.id,
            g_array_index (batches, TdBatch, i).mixed.seq);
        return FALSE;
      }
  if (!get_product (fold, entry, &batch, error)
      || !td_fold_get_instrument (fold, entry, &instrument, error))
    return FALSE;
  batch.concentrate_ml = td_fold_get_integer (entry, "concentrate_ml", -1);
  batch.water_ml = td_fold_get_integer (entry, "water_ml", -1);
  batch.percent_milli = td_fold_get_integer (entry, "percent_milli", -1);
  batch.basis = batch.product != NULL ? batch.product->basis : TD_BASIS_W_W;
  if (basis != NULL)
    td_basis_from_text (basis, &batch.basis);
  batch.known = td_fold_get_known (entry);
  batch.person = entry->envelope.person;
  if (td_json_get_member (entry->body, "temperature_c_milli") != NULL)
    batch.temperature = (TdReading){
      .stamp = batch.mixed,
      .value = td_fold_get_integer (entry, "temperature_c_milli", 0),
      .known = batch.known,
      .instrument = instrument,
    };
  g_array_append_val (batches, batch);
  return TRUE;
}

gboolean
td_fold_strength (TdFold *fold, const TdEntry *entry, GError **error)
{
  TdReading reading;
  TdBatch *batch;
  guint index;

  if (!td_fold_get_batch (fold, entry, &index, error)
      || !td_fold_get_reading (fold, entry, "percent_milli", &reading, error))
    return FALSE;
  if (index == G_MAXUINT)
    return TRUE;
  batch = &g_array_index (fold->visit->batches, TdBatch, index);
  if (batch->strength.stamp.seq != 0 && td_stamp_compare (reading.stamp, batch->strength.stamp) < 0)
    return TRUE;
  batch->strength = reading;
  td_basis_from_text (td_fold_get_text (entry, "basis"), &batch->strength_basis);
  batch->strength_method = td_fold_get_text (entry, "method");
  return TRUE;
}

gboolean
td_fold_cleaning_pump (TdFold *fold, const TdEntry *entry, GError **error)
{
  TdVisitCircuit *circuit = td_fold_get_circuit (fold, entry, error);
  gint64 flow_ml_min = td_fold_get_integer (entry, "flow_ml_min", -1);

  if (circuit == NULL)
    return FALSE;
  td_fold_insert_switch (circuit->pump, entry, entry->envelope.kind == TD_KIND_CLEANING_PUMP_ON);
  if (flow_ml_min >= 0)
    {
      TdReading flow = { .stamp = td_fold_get_stamp (entry),
                         .value = flow_ml_min,
                         .known = TD_KNOWN_MEASURED };

      td_fold_keep_latest_reading (&circuit->flow, &flow);
    }
  return TRUE;
}

gboolean
td_fold_pushed_out (TdFold *fold, const TdEntry *entry, GError **error)
{
  if (!td_fold_get_targets (fold, entry, TD_NEED_NOTHING, error))
    return FALSE;
  fold->visit->beer_lost_ml += td_fold_get_integer (entry, "lost_ml", 0);
  return TRUE;
}

gboolean
td_fold_chemical (TdFold *fold, const TdEntry *entry, GError **error)
{
  TdLineEvent event = { .stamp = td_fold_get_stamp (entry) };

  if (!td_fold_get_targets (fold, entry, TD_NEED_NOTHING, error)
      || !td_fold_get_batch (fold, entry, &event.batch, error))
    return FALSE;
  event.type
      = entry->envelope.kind == TD_KIND_CHEMICAL_IN ? TD_EVENT_CHEMICAL_IN : TD_EVENT_CHEMICAL_SEEN;
  event.shut = td_fold_is (entry, "shut", "yes");
  td_fold_note (fold, &event);
  return TRUE;
}

gboolean
td_fold_flow (TdFold *fold, const TdEntry *entry, GError **error)
{
  gboolean in = td_fold_is (entry, "direction", "in");
  TdLineEvent event = {
    .type = TD_EVENT_FLOW,
    .stamp = td_fold_get_stamp (entry),
    .direction = in ? TD_DIRECTION_IN : TD_DIRECTION_OUT,
  };

  if (!td_fold_get_targets (fold, entry, in ? TD_NEED_MAY_RUN_IN : TD_NEED_NOTHING, error))
    return FALSE;
  for (guint i = 0; i < fold->targets->len; i++)
    {
      TdVisitLine *line = &fold->visit->lines[g_array_index (fold->targets, guint, i)];

      td_fold_keep_latest (in ? &line->flow_in_seen : &line->flow_out_seen, entry);
    }
  td_fold_note (fold, &event);
  return TRUE;
}

gboolean
td_fold_return_in_bucket (TdFold *fold, const TdEntry *entry, GError **error)
{
  TdVisitCircuit *circuit = td_fold_get_circuit (fold, entry, error);
  TdReturnEvent event = { .stamp = td_fold_get_stamp (entry) };

  if (circuit == NULL)
    return FALSE;
  event.circuit = circuit->number;
  td_fold_keep_latest (&circuit->return_in_bucket, entry);
  g_array_append_val (fold->returns, event);
  return TRUE;
}

gboolean
td_fold_contact_ended (TdFold *fold, const TdEntry *entry, GError **error)
{
  TdLineEvent event = { .type = TD_EVENT_CONTACT_ENDED, .stamp = td_fold_get_stamp (entry) };
  gboolean any = FALSE;

  if (!td_fold_get_targets (fold, entry, TD_NEED_NOTHING, error))
    return FALSE;
  for (guint i = 0; i < fold->targets->len; i++)
    {
      guint outlet = g_array_index (fold->targets, guint, i);
      g_autofree char *title = NULL;

      if (fold->first_chemical[outlet] <= event.stamp.at_ms)
        {
          any = TRUE;
          continue;
        }
      /* Of a circuit one line may have been held back; of lines named one by one each had its
       * chemical. */
      if (fold->circuit != 0)
        continue;
      title = td_outlet_get_title (fold->visit->site, outlet);
      td_fold_set_error (
          entry, TD_ERROR_IMPOSSIBLE, error,
          "no chemical was in %s by then: record chemical-in with its own time first", title);
      return FALSE;
    }
  if (!any)
    {
      td_fold_set_error (
          entry, TD_ERROR_IMPOSSIBLE, error,
          "no chemical was in circuit %d by then: record chemical-in with its own time first",
          fold->circuit);
      return FALSE;
    }
  td_fold_note (fold, &event);
  return TRUE;
}
