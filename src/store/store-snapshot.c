#include "store-snapshot.h"

#include "core-json-build.h"
#include "core-safety.h"
#include "store-words.h"

/* Every text that an entry holds, and who made it. */
static void
collect_texts (const TdJson *json, GHashTable *texts)
{
  switch (td_json_get_kind (json))
    {
    case TD_JSON_STRING:
      g_hash_table_add (texts, (char *) td_json_get_string (json));
      break;
    case TD_JSON_ARRAY:
    case TD_JSON_OBJECT:
      for (guint i = 0; i < td_json_get_length (json); i++)
        collect_texts (td_json_get_element (json, i), texts);
      break;
    case TD_JSON_NULL:
    case TD_JSON_BOOLEAN:
    case TD_JSON_INTEGER:
    case TD_JSON_REAL:
    default:
      break;
    }
}

/* What the visit may refer to: a row whose id stands nowhere in its entries cannot matter to it.  One that
 * shares its id with some other text is kept without need, which does no harm. */
static GHashTable *
collect_named (const TdVisitState *state)
{
  GHashTable *texts = g_hash_table_new (g_str_hash, g_str_equal);
  const TdMasters *masters = state->context.masters;
  for (guint i = 0; i < state->entries->len; i++)
    {
      const TdEntry *entry = g_ptr_array_index (state->entries, i);
      g_hash_table_add (texts, entry->envelope.person);
      collect_texts (entry->body, texts);
    }
  for (guint i = 0; i < masters->n_lots; i++)
    if (g_hash_table_contains (texts, masters->lots[i].id))
      g_hash_table_add (texts, masters->lots[i].product);
  return texts;
}

static void
add_text (TdJsonBuilder *builder, const char *key, const char *text)
{
  if (text != NULL)
    td_json_builder_member_string (builder, key, text);
}

static void
add_date (TdJsonBuilder *builder, const char *key, TdDate date)
{
  g_autofree char *text = date != TD_DATE_NONE ? td_date_to_text (date) : NULL;
  add_text (builder, key, text);
}

/* Only what is known: the older a snapshot, the less it holds. */
static void
add_safety (TdJsonBuilder *builder, const TdProduct *product)
{
  for (guint part = 0; part < TD_N_SAFETY; part++)
    {
      if (product->safety[part] == NULL)
        continue;
      td_json_builder_key (builder, td_safety_part_to_text (part));
      td_json_builder_begin_array (builder);
      for (guint i = 0; product->safety[part][i] != NULL; i++)
        td_json_builder_string (builder, product->safety[part][i]);
      td_json_builder_end (builder);
    }
  add_date (builder, "sds_revised", product->sds_revised);
  add_text (builder, "sds_sha256", product->sds_sha256);
}

static void
add_products (TdJsonBuilder *builder, const TdMasters *masters, GHashTable *named)
{
  td_json_builder_key (builder, "products");
  td_json_builder_begin_array (builder);
  for (guint i = 0; i < masters->n_products; i++)
    {
      const TdProduct *product = &masters->products[i];
      if (!g_hash_table_contains (named, product->id))
        continue;
      td_json_builder_begin_object (builder);
      add_text (builder, "id", product->id);
      add_text (builder, "name", product->name);
      add_text (builder, "kind", td_product_kind_to_text (product->kind));
      add_text (builder, "substance", product->substance);
      td_json_builder_member_integer (builder, "percent_milli", product->percent_milli);
      td_json_builder_member_integer (builder, "density_kg_m3", product->density_kg_m3);
      add_text (builder, "basis", td_basis_to_text (product->basis));
      td_json_builder_member_integer (builder, "target_percent_milli", product->target_percent_milli);
      add_text (builder, "caution", product->caution);
      add_safety (builder, product);
      td_json_builder_end (builder);
    }
  td_json_builder_end (builder);
}

static void
add_lots (TdJsonBuilder *builder, const TdMasters *masters, GHashTable *named)
{
  td_json_builder_key (builder, "lots");
  td_json_builder_begin_array (builder);
  for (guint i = 0; i < masters->n_lots; i++)
    {
      const TdLot *lot = &masters->lots[i];
      if (!g_hash_table_contains (named, lot->id))
        continue;
      td_json_builder_begin_object (builder);
      add_text (builder, "id", lot->id);
      add_text (builder, "product", lot->product);
      add_text (builder, "code", lot->code);
      add_date (builder, "received", lot->received);
      add_date (builder, "expiry", lot->expiry);
      add_text (builder, "recalled", lot->recalled ? "yes" : "no");
      td_json_builder_end (builder);
    }
  td_json_builder_end (builder);
}

static void
add_people (TdJsonBuilder *builder, const TdMasters *masters, GHashTable *named)
{
  td_json_builder_key (builder, "technicians");
  td_json_builder_begin_array (builder);
  for (guint i = 0; i < masters->n_technicians; i++)
    {
      const TdTechnician *technician = &masters->technicians[i];
      if (!g_hash_table_contains (named, technician->id))
        continue;
      td_json_builder_begin_object (builder);
      add_text (builder, "id", technician->id);
      add_text (builder, "name", technician->name);
      add_text (builder, "certificate", technician->certificate);
      add_date (builder, "certificate_expiry", technician->certificate_expiry);
      td_json_builder_end (builder);
    }
  td_json_builder_end (builder);
}

static void
add_instruments (TdJsonBuilder *builder, const TdMasters *masters, GHashTable *named)
{
  td_json_builder_key (builder, "instruments");
  td_json_builder_begin_array (builder);
  for (guint i = 0; i < masters->n_instruments; i++)
    {
      const TdInstrument *instrument = &masters->instruments[i];
      if (!g_hash_table_contains (named, instrument->id))
        continue;
      td_json_builder_begin_object (builder);
      add_text (builder, "id", instrument->id);
      add_text (builder, "name", instrument->name);
      add_text (builder, "kind", td_instrument_kind_to_text (instrument->kind));
      add_date (builder, "calibrated", instrument->calibrated);
      add_date (builder, "calibration_due", instrument->calibration_due);
      td_json_builder_end (builder);
    }
  td_json_builder_end (builder);
}

static void
add_company (TdJsonBuilder *builder, const TdMasters *masters)
{
  td_json_builder_key (builder, "company");
  td_json_builder_begin_object (builder);
  add_text (builder, "name", masters->company);
  add_text (builder, "address", masters->company_address);
  add_text (builder, "phone", masters->company_phone);
  add_text (builder, "emergency_phone", masters->emergency_phone);
  td_json_builder_end (builder);
}

static void
add_settings (TdJsonBuilder *builder, const TdSettings *settings)
{
  td_json_builder_key (builder, "settings");
  td_json_builder_begin_object (builder);
  for (guint i = 0; i < TD_N_SETTINGS; i++)
    td_json_builder_member_integer (builder, td_setting_get_info (i)->key, td_settings_get (settings, i));
  td_json_builder_end (builder);
}

static void
add_history (TdJsonBuilder *builder, const TdVisitContext *context)
{
  if (context->history == NULL)
    return;
  td_json_builder_key (builder, "history");
  td_json_builder_begin_array (builder);
  for (guint i = 0; i < context->site->n_outlets; i++)
    {
      const TdLineHistory *history = &context->history[i];
      td_json_builder_begin_object (builder);
      add_text (builder, "line", context->site->outlets[i].id);
      add_date (builder, "acid", history->acid);
      add_date (builder, "fob_stripped", history->fob_stripped);
      add_date (builder, "coupler_stripped", history->coupler_stripped);
      td_json_builder_end (builder);
    }
  td_json_builder_end (builder);
}

static void
add_findings (TdJsonBuilder *builder, const TdSite *site, const GPtrArray *findings)
{
  td_json_builder_key (builder, "findings");
  td_json_builder_begin_array (builder);
  for (guint i = 0; i < findings->len; i++)
    {
      const TdFinding *finding = g_ptr_array_index (findings, i);
      const TdRuleInfo *info = td_rule_get_info (finding->rule);
      td_json_builder_begin_object (builder);
      add_text (builder, "code", info->code);
      add_text (builder, "severity", td_severity_to_text (info->severity));
      if (finding->outlet >= 0)
        add_text (builder, "line", site->outlets[finding->outlet].id);
      td_json_builder_member_integer (builder, "circuit", finding->circuit);
      td_json_builder_member_integer (builder, "seq", finding->seq);
      add_text (builder, "text", finding->text);
      add_text (builder, "reason", finding->reason);
      td_json_builder_end (builder);
    }
  td_json_builder_end (builder);
}

TdJson *
td_snapshot_build (const TdVisitState *state, const char *number, const GPtrArray *findings)
{
  g_assert (state != NULL && state->visit != NULL);
  g_assert (number != NULL && findings != NULL);
  const TdSite *site = state->context.site;
  const TdMasters *masters = state->context.masters;
  g_autoptr (GHashTable) named = collect_named (state);
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();
  td_json_builder_begin_object (builder);
  add_text (builder, "format", TD_SNAPSHOT_FORMAT);
  add_text (builder, "number", number);
  add_text (builder, "account", site->account_name);
  add_text (builder, "site", site->name);
  add_text (builder, "site_id", state->site_id);
  add_text (builder, "address", site->address);
  add_text (builder, "sheet_sha256", state->sheet_sha256);
  td_json_builder_member_integer (builder, "rules_version", TD_RULES_VERSION);
  add_company (builder, masters);
  add_products (builder, masters, named);
  add_lots (builder, masters, named);
  add_people (builder, masters, named);
  add_instruments (builder, masters, named);
  add_settings (builder, state->context.settings);
  add_history (builder, &state->context);
  add_findings (builder, site, findings);
  td_json_builder_end (builder);
  return td_json_builder_finish (builder);
}
