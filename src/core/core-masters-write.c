/* core-masters-write.c: the company file, written; what is not known is left out. */
#include "core-masters.h"

#include "core-json-build.h"
#include "core-safety.h"

static void
write_text (TdJsonBuilder *builder, const char *key, const char *text)
{
  if (text != NULL)
    td_json_builder_member_string (builder, key, text);
}

static void
write_date (TdJsonBuilder *builder, const char *key, TdDate date)
{
  g_autofree char *text = NULL;

  if (date == TD_DATE_NONE)
    return;
  text = td_date_to_text (date);
  td_json_builder_member_string (builder, key, text);
}

static void
write_codes (TdJsonBuilder *builder, const char *key, char *const *codes)
{
  if (codes == NULL)
    return;
  td_json_builder_key (builder, key);
  td_json_builder_begin_array (builder);
  for (guint i = 0; codes[i] != NULL; i++)
    td_json_builder_string (builder, codes[i]);
  td_json_builder_end (builder);
}

static void
write_company (TdJsonBuilder *builder, const TdMasters *masters)
{
  gboolean known = FALSE;

  for (const TdPartyField *field = td_company_fields; field->key != NULL; field++)
    known |= td_party_get (masters, field) != NULL;
  if (!known)
    return;
  td_json_builder_key (builder, "company");
  td_json_builder_begin_object (builder);
  td_party_write (td_company_fields, builder, masters);
  td_json_builder_end (builder);
}

static void
write_product (TdJsonBuilder *builder, const TdProduct *product)
{
  td_json_builder_begin_object (builder);
  td_json_builder_member_string (builder, "id", product->id);
  td_json_builder_member_string (builder, "name", product->name);
  td_json_builder_member_string (builder, "kind", td_product_kind_to_text (product->kind));
  td_json_builder_member_string (builder, "substance", product->substance);
  td_json_builder_member_string (builder, "basis", td_basis_to_text (product->basis));
  td_json_builder_member_integer (builder, "percent_milli", product->percent_milli);
  td_json_builder_member_integer (builder, "target_percent_milli", product->target_percent_milli);
  if (product->density_kg_m3 != 0)
    td_json_builder_member_integer (builder, "density_kg_m3", product->density_kg_m3);
  write_text (builder, "caution", product->caution);
  for (guint part = 0; part < TD_N_SAFETY; part++)
    write_codes (builder, td_safety_part_to_text (part), product->safety[part]);
  td_json_builder_end (builder);
}

static void
write_lot (TdJsonBuilder *builder, const TdLot *lot)
{
  td_json_builder_begin_object (builder);
  td_json_builder_member_string (builder, "id", lot->id);
  td_json_builder_member_string (builder, "product", lot->product);
  td_json_builder_member_string (builder, "code", lot->code);
  write_date (builder, "received", lot->received);
  write_date (builder, "expiry", lot->expiry);
  if (lot->recalled)
    td_json_builder_member_boolean (builder, "recalled", TRUE);
  td_json_builder_end (builder);
}

static void
write_technician (TdJsonBuilder *builder, const TdTechnician *technician)
{
  td_json_builder_begin_object (builder);
  td_json_builder_member_string (builder, "id", technician->id);
  td_json_builder_member_string (builder, "name", technician->name);
  write_text (builder, "certificate", technician->certificate);
  write_date (builder, "certificate_expiry", technician->certificate_expiry);
  td_json_builder_end (builder);
}

static void
write_instrument (TdJsonBuilder *builder, const TdInstrument *instrument)
{
  td_json_builder_begin_object (builder);
  td_json_builder_member_string (builder, "id", instrument->id);
  td_json_builder_member_string (builder, "name", instrument->name);
  td_json_builder_member_string (builder, "kind", td_instrument_kind_to_text (instrument->kind));
  write_date (builder, "calibrated", instrument->calibrated);
  write_date (builder, "calibration_due", instrument->calibration_due);
  td_json_builder_end (builder);
}

/* Opens the array at @key where it will have rows. */
static void
begin_rows (TdJsonBuilder *builder, const char *key, guint n)
{
  if (n == 0)
    return;
  td_json_builder_key (builder, key);
  td_json_builder_begin_array (builder);
}

static void
end_rows (TdJsonBuilder *builder, guint n)
{
  if (n > 0)
    td_json_builder_end (builder);
}

TdJson *
td_masters_to_json (const TdMasters *masters)
{
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();

  g_return_val_if_fail (masters != NULL, NULL);
  td_json_builder_begin_object (builder);
  td_json_builder_member_string (builder, "format", TD_COMPANY_FORMAT);
  write_company (builder, masters);
  begin_rows (builder, "products", masters->n_products);
  for (guint i = 0; i < masters->n_products; i++)
    write_product (builder, &masters->products[i]);
  end_rows (builder, masters->n_products);
  begin_rows (builder, "lots", masters->n_lots);
  for (guint i = 0; i < masters->n_lots; i++)
    write_lot (builder, &masters->lots[i]);
  end_rows (builder, masters->n_lots);
  begin_rows (builder, "technicians", masters->n_technicians);
  for (guint i = 0; i < masters->n_technicians; i++)
    write_technician (builder, &masters->technicians[i]);
  end_rows (builder, masters->n_technicians);
  begin_rows (builder, "instruments", masters->n_instruments);
  for (guint i = 0; i < masters->n_instruments; i++)
    write_instrument (builder, &masters->instruments[i]);
  end_rows (builder, masters->n_instruments);
  begin_rows (builder, "ledger", masters->n_ledger);
  for (guint i = 0; i < masters->n_ledger; i++)
    {
      td_json_builder_begin_object (builder);
      td_json_builder_member_string (builder, "id", masters->ledger[i].id);
      td_json_builder_member_string (builder, "code", masters->ledger[i].code);
      td_json_builder_end (builder);
    }
  end_rows (builder, masters->n_ledger);
  td_json_builder_end (builder);
  return td_json_builder_finish (builder);
}
