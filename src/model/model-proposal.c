#include "model-proposal.h"

#include "core-json-build.h"
#include "core-mix.h"
#include "core-units.h"

#include <math.h>
#include <string.h>

#define MIXED_AT_C 20.0 /* concentrate and tap water are measured cold */

double
td_outlets_get_volume_ml (const TdVisit *visit, const GArray *outlets, gboolean with_jumpers)
{
  double bore_mm = (double) td_settings_get (visit->settings, TD_SETTING_JUMPER_BORE) / 1000.0;
  double length_mm = (double) td_settings_get (visit->settings, TD_SETTING_JUMPER_LENGTH);
  double jumper_ml = G_PI / 4.0 * bore_mm * bore_mm * length_mm / 1000.0;
  double sum = 0;

  g_return_val_if_fail (outlets != NULL, NAN);
  for (guint i = 0; i < outlets->len; i++)
    sum += td_outlet_get_volume_ml (visit->site, g_array_index (outlets, guint, i)) + (with_jumpers ? jumper_ml : 0);
  return sum;
}

double
td_visit_get_solution_l (const TdVisit *visit)
{
  double bucket_ml = (double) td_settings_get (visit->settings, TD_SETTING_BUCKET);
  g_autoptr (GArray) lines = g_array_new (FALSE, FALSE, sizeof (guint));
  double sum;

  for (guint i = 0; i < visit->n_lines; i++)
    if (visit->lines[i].method != TD_METHOD_NONE && visit->lines[i].left_out.seq == 0)
      g_array_append_val (lines, i);
  if (lines->len == 0)
    return NAN;
  sum = td_outlets_get_volume_ml (visit, lines, TRUE);
  return isnan (sum) ? NAN : ceil ((sum + bucket_ml) / 500.0) / 2.0;
}

static gboolean
fits (const TdProduct *product, TdClean clean)
{
  return clean == TD_CLEAN_ACID ? product->kind == TD_PRODUCT_ACID : product->kind == TD_PRODUCT_CAUSTIC;
}

const TdProduct *
td_propose_product (const TdVisit *visit, TdClean clean)
{
  for (guint i = visit->batches->len; i > 0; i--)
    {
      const TdProduct *product = g_array_index (visit->batches, TdBatch, i - 1).product;

      if (product != NULL && (product->kind == TD_PRODUCT_ACID) == (clean == TD_CLEAN_ACID))
        return product;
    }
  for (guint i = 0; i < visit->masters->n_products; i++)
    if (!visit->masters->products[i].retired && fits (&visit->masters->products[i], clean))
      return &visit->masters->products[i];
  return NULL;
}

const TdLot *
td_propose_lot (const TdVisit *visit, const TdProduct *product, TdDate today)
{
  const TdLot *best = NULL;

  for (guint i = 0; product != NULL && i < visit->masters->n_lots; i++)
    {
      const TdLot *lot = &visit->masters->lots[i];

      if (strcmp (lot->product, product->id) != 0 || lot->recalled || lot->retired
          || (lot->expiry != TD_DATE_NONE && lot->expiry < today))
        continue;
      if (best == NULL || (lot->expiry != TD_DATE_NONE && (best->expiry == TD_DATE_NONE || lot->expiry < best->expiry)))
        best = lot;
    }
  return best;
}

static const TdInstrument *
used_before (const TdVisit *visit, TdInstrumentKind kind)
{
  for (guint i = visit->effective->len; i > 0; i--)
    {
      const TdEntry *entry = g_ptr_array_index (visit->effective, i - 1);
      const TdJson *id = entry != NULL ? td_json_get_member (entry->body, "instrument") : NULL;
      const TdInstrument *instrument = id != NULL ? td_masters_find_instrument (visit->masters, td_json_get_string (id)) : NULL;

      if (instrument != NULL && instrument->kind == kind)
        return instrument;
    }
  return NULL;
}

const TdInstrument *
td_propose_instrument (const TdVisit *visit, TdInstrumentKind kind)
{
  const TdInstrument *used = used_before (visit, kind);

  for (guint i = 0; used == NULL && i < visit->masters->n_instruments; i++)
    if (!visit->masters->instruments[i].retired && visit->masters->instruments[i].kind == kind)
      used = &visit->masters->instruments[i];
  return used;
}

static void
build_amounts (TdJsonBuilder *builder, const TdProduct *product, double litres)
{
  TdMixQuestion question = { .substance = product->substance,
                             .basis = product->basis,
                             .concentrate_percent = (double) product->percent_milli / 1000.0,
                             .target_percent = (double) product->target_percent_milli / 1000.0,
                             .density_kg_m3 = product->density_kg_m3 > 0 ? (double) product->density_kg_m3 : NAN,
                             .water_l = NAN,
                             .total_l = litres,
                             .temperature_c = MIXED_AT_C };
  TdMix mix;

  if (isnan (litres) || !td_mix_solve (&question, &mix, NULL) || isnan (mix.water_l))
    return;
  td_json_builder_member_integer (builder, "concentrate_ml", td_round_half_away (mix.concentrate_ml));
  td_json_builder_member_integer (builder, "water_ml", td_round_half_away (mix.water_l * 1000.0));
}

TdJson *
td_propose_amounts (const TdVisit *visit, const TdProduct *product, const TdLot *lot, double litres)
{
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();
  g_autofree char *name = td_propose_batch_name (visit);

  td_json_builder_begin_object (builder);
  td_json_builder_member_string (builder, "batch", name);
  if (product != NULL)
    {
      td_json_builder_member_string (builder, "product", product->id);
      if (lot != NULL)
        td_json_builder_member_string (builder, "lot", lot->id);
      td_json_builder_member_integer (builder, "percent_milli", product->target_percent_milli);
      td_json_builder_member_string (builder, "basis", td_basis_to_text (product->basis));
      build_amounts (builder, product, litres);
    }
  td_json_builder_member_string (builder, "known", "accepted");
  td_json_builder_end (builder);
  return td_json_builder_finish (builder);
}

TdJson *
td_propose_mix (const TdVisit *visit, TdClean clean, TdDate today)
{
  const TdProduct *product = td_propose_product (visit, clean);

  return td_propose_amounts (visit, product, td_propose_lot (visit, product, today), td_visit_get_solution_l (visit));
}

const TdBatch *
td_propose_batch (const TdVisit *visit, TdClean clean)
{
  for (guint i = visit->batches->len; i > 0; i--)
    {
      const TdBatch *batch = &g_array_index (visit->batches, TdBatch, i - 1);

      if (batch->product == NULL || (batch->product->kind == TD_PRODUCT_ACID) == (clean == TD_CLEAN_ACID))
        return batch;
    }
  return NULL;
}

char *
td_propose_batch_name (const TdVisit *visit)
{
  for (guint number = visit->batches->len + 1;; number++)
    {
      char *name = g_strdup_printf ("m%u", number);
      gboolean taken = FALSE;

      for (guint i = 0; i < visit->batches->len; i++)
        taken |= strcmp (g_array_index (visit->batches, TdBatch, i).id, name) == 0;
      if (!taken)
        return name;
      g_free (name);
    }
}
