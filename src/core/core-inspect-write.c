/* The inspector's extract as JSON. */
#include "core-inspect.h"

#include "core-json-build.h"

static void
add_items (TdJsonBuilder *builder, const TdInspection *inspection)
{
  td_json_builder_key (builder, "items");
  td_json_builder_begin_array (builder);
  for (guint item = 0; item < TD_N_RECORD_ITEMS; item++)
    {
      td_json_builder_begin_object (builder);
      td_json_builder_member_string (builder, "code", td_record_item_to_text (item));
      td_json_builder_member_boolean (builder, "asked", td_record_rules_ask (inspection->rules, item));
      td_json_builder_member_integer (builder, "missing", td_inspection_count_missing (inspection, item));
      td_json_builder_end (builder);
    }
  td_json_builder_end (builder);
}

static void
add_mixes (TdJsonBuilder *builder, const TdInspectedVisit *visit)
{
  td_json_builder_key (builder, "mixes");
  td_json_builder_begin_array (builder);
  for (guint i = 0; i < visit->mixes->len; i++)
    {
      const TdInspectedMix *mix = &g_array_index (visit->mixes, TdInspectedMix, i);

      td_json_builder_begin_object (builder);
      td_json_builder_member_string (builder, "product", mix->product);
      td_json_builder_member_string (builder, "lot", mix->lot);
      td_json_builder_member_known (builder, "concentrate_ml", mix->concentrate_ml);
      td_json_builder_member_known (builder, "percent_milli", mix->percent_milli);
      td_json_builder_member_string (builder, "basis", td_basis_to_text (mix->basis));
      td_json_builder_member_date (builder, "sds_revised", mix->sds_revised);
      td_json_builder_end (builder);
    }
  td_json_builder_end (builder);
}

static void
add_visit (TdJsonBuilder *builder, const TdInspectedVisit *visit)
{
  td_json_builder_begin_object (builder);
  td_json_builder_member_string (builder, "visit", visit->visit);
  td_json_builder_member_string (builder, "number", visit->number);
  td_json_builder_member_date (builder, "date", visit->date);
  td_json_builder_member_string (builder, "cleaners", visit->cleaners);
  td_json_builder_member_string (builder, "circulating", visit->circulating);
  td_json_builder_member_string (builder, "static", visit->still);
  td_json_builder_member_string (builder, "parts", visit->parts);
  add_mixes (builder, visit);
  td_json_builder_member_integer (builder, "passes", visit->passes);
  td_json_builder_member_integer (builder, "rinsed", visit->rinsed);
  td_json_builder_member_string (builder, "signed_by", visit->signed_by);
  td_json_builder_member_string (builder, "countersigned_by", visit->countersigned_by);
  td_json_builder_member_string (builder, "not_countersigned", visit->not_countersigned);
  td_json_builder_member_known (builder, "days", visit->days);
  td_json_builder_key (builder, "missing");
  td_json_builder_begin_array (builder);
  for (guint item = 0; item < TD_N_RECORD_ITEMS; item++)
    if (visit->missing[item])
      td_json_builder_string (builder, td_record_item_to_text (item));
  td_json_builder_end (builder);
  td_json_builder_end (builder);
}

TdJson *
td_inspection_to_json (const TdInspection *inspection)
{
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();

  g_return_val_if_fail (inspection != NULL, NULL);
  td_json_builder_begin_object (builder);
  td_json_builder_member_string (builder, "format", "tundish-inspection/1");
  td_json_builder_member_string (builder, "site", inspection->site);
  td_json_builder_member_string (builder, "account", inspection->account);
  td_json_builder_member_string (builder, "address", inspection->address);
  td_json_builder_member_string (builder, "rules", td_record_rules_get_info (inspection->rules)->code);
  td_json_builder_member_string (builder, "source", td_record_rules_get_info (inspection->rules)->source);
  td_json_builder_member_date (builder, "from", inspection->from);
  td_json_builder_member_date (builder, "to", inspection->to);
  td_json_builder_member_integer (builder, "interval_days", inspection->interval_days);
  td_json_builder_member_known (builder, "days_since", inspection->days_since);
  td_json_builder_member_boolean (builder, "overdue", td_inspection_is_overdue (inspection));
  add_items (builder, inspection);
  td_json_builder_key (builder, "visits");
  td_json_builder_begin_array (builder);
  for (guint i = 0; i < inspection->visits->len; i++)
    add_visit (builder, g_ptr_array_index (inspection->visits, i));
  td_json_builder_end (builder);
  td_json_builder_end (builder);
  return td_json_builder_finish (builder);
}
