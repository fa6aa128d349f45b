/* Reading a snapshot back.  It was written by this program or an earlier one and is covered by the seal,
 * so what is missing is taken as not said; only a part of another type is damage. */
#include "store-snapshot.h"

#include "core-safety.h"
#include "store-words.h"

static const char *
get_text (const TdJson *object, const char *key)
{
  const TdJson *member = td_json_get_member (object, key);
  return member != NULL && td_json_get_kind (member) == TD_JSON_STRING ? td_json_get_string (member) : NULL;
}

static gint64
get_integer (const TdJson *object, const char *key)
{
  const TdJson *member = td_json_get_member (object, key);
  return member != NULL && td_json_get_kind (member) == TD_JSON_INTEGER ? td_json_get_integer (member) : 0;
}

static TdDate
get_date (const TdJson *object, const char *key)
{
  const char *text = get_text (object, key);
  TdDate date = TD_DATE_NONE;
  if (text == NULL || !td_date_parse (text, &date, NULL))
    return TD_DATE_NONE;
  return date;
}

/* The texts of an array; NULL where there are none. */
static char **
get_texts (const TdJson *object, const char *key)
{
  const TdJson *array = td_json_get_member (object, key);
  g_autoptr (GPtrArray) texts = g_ptr_array_new ();
  if (array == NULL || td_json_get_kind (array) != TD_JSON_ARRAY)
    return NULL;
  for (guint i = 0; i < td_json_get_length (array); i++)
    {
      const TdJson *element = td_json_get_element (array, i);
      if (td_json_get_kind (element) == TD_JSON_STRING)
        g_ptr_array_add (texts, g_strdup (td_json_get_string (element)));
    }
  if (texts->len == 0)
    return NULL;
  g_ptr_array_add (texts, NULL);
  return (char **) g_ptr_array_free (g_steal_pointer (&texts), FALSE);
}

/* The objects of a part, only those; an empty list where the part is missing. */
static GPtrArray *
get_objects (const TdJson *snapshot, const char *key)
{
  GPtrArray *objects = g_ptr_array_new ();
  const TdJson *array = td_json_get_member (snapshot, key);
  if (array == NULL || td_json_get_kind (array) != TD_JSON_ARRAY)
    return objects;
  for (guint i = 0; i < td_json_get_length (array); i++)
    {
      TdJson *element = td_json_get_element (array, i);
      if (td_json_get_kind (element) == TD_JSON_OBJECT)
        g_ptr_array_add (objects, element);
    }
  return objects;
}

static void
read_products (const TdJson *snapshot, TdMasters *masters)
{
  g_autoptr (GPtrArray) objects = get_objects (snapshot, "products");
  masters->n_products = objects->len;
  masters->products = g_new0 (TdProduct, objects->len);
  for (guint i = 0; i < objects->len; i++)
    {
      const TdJson *object = g_ptr_array_index (objects, i);
      TdProduct *product = &masters->products[i];
      product->id = g_strdup (get_text (object, "id"));
      product->name = g_strdup (get_text (object, "name"));
      product->kind = td_words_find_product_kind (get_text (object, "kind"));
      product->substance = g_strdup (get_text (object, "substance"));
      product->percent_milli = get_integer (object, "percent_milli");
      product->density_kg_m3 = get_integer (object, "density_kg_m3");
      product->target_percent_milli = get_integer (object, "target_percent_milli");
      product->caution = g_strdup (get_text (object, "caution"));
      for (guint part = 0; part < TD_N_SAFETY; part++)
        product->safety[part] = get_texts (object, td_safety_part_to_text (part));
      product->sds_revised = get_date (object, "sds_revised");
      product->sds_sha256 = g_strdup (get_text (object, "sds_sha256"));
      const char *basis = get_text (object, "basis");
      if (basis != NULL)
        td_basis_from_text (basis, &product->basis);
    }
}

static void
read_lots (const TdJson *snapshot, TdMasters *masters)
{
  g_autoptr (GPtrArray) objects = get_objects (snapshot, "lots");
  masters->n_lots = objects->len;
  masters->lots = g_new0 (TdLot, objects->len);
  for (guint i = 0; i < objects->len; i++)
    {
      const TdJson *object = g_ptr_array_index (objects, i);
      TdLot *lot = &masters->lots[i];
      lot->id = g_strdup (get_text (object, "id"));
      lot->product = g_strdup (get_text (object, "product"));
      lot->code = g_strdup (get_text (object, "code"));
      lot->received = get_date (object, "received");
      lot->expiry = get_date (object, "expiry");
      lot->recalled = g_strcmp0 (get_text (object, "recalled"), "yes") == 0;
    }
}

static void
read_technicians (const TdJson *snapshot, TdMasters *masters)
{
  g_autoptr (GPtrArray) objects = get_objects (snapshot, "technicians");
  masters->n_technicians = objects->len;
  masters->technicians = g_new0 (TdTechnician, objects->len);
  for (guint i = 0; i < objects->len; i++)
    {
      const TdJson *object = g_ptr_array_index (objects, i);
      TdTechnician *technician = &masters->technicians[i];
      technician->id = g_strdup (get_text (object, "id"));
      technician->name = g_strdup (get_text (object, "name"));
      technician->certificate = g_strdup (get_text (object, "certificate"));
      technician->certificate_expiry = get_date (object, "certificate_expiry");
    }
}

static void
read_instruments (const TdJson *snapshot, TdMasters *masters)
{
  g_autoptr (GPtrArray) objects = get_objects (snapshot, "instruments");
  masters->n_instruments = objects->len;
  masters->instruments = g_new0 (TdInstrument, objects->len);
  for (guint i = 0; i < objects->len; i++)
    {
      const TdJson *object = g_ptr_array_index (objects, i);
      TdInstrument *instrument = &masters->instruments[i];
      instrument->id = g_strdup (get_text (object, "id"));
      instrument->name = g_strdup (get_text (object, "name"));
      instrument->kind = td_words_find_instrument_kind (get_text (object, "kind"));
      instrument->calibrated = get_date (object, "calibrated");
      instrument->calibration_due = get_date (object, "calibration_due");
    }
}

static TdMasters *
read_masters (const TdJson *snapshot)
{
  TdMasters *masters = td_masters_new ();
  const TdJson *company = td_json_get_member (snapshot, "company");
  if (company != NULL && td_json_get_kind (company) == TD_JSON_OBJECT)
    {
      masters->company = g_strdup (get_text (company, "name"));
      masters->company_address = g_strdup (get_text (company, "address"));
      masters->company_phone = g_strdup (get_text (company, "phone"));
      masters->emergency_phone = g_strdup (get_text (company, "emergency_phone"));
    }
  read_products (snapshot, masters);
  read_lots (snapshot, masters);
  read_technicians (snapshot, masters);
  read_instruments (snapshot, masters);
  return masters;
}

/* A setting that the snapshot does not have came later: its default holds. */
static TdSettings *
read_settings (const TdJson *object)
{
  TdSettings *settings = td_settings_new ();
  for (guint i = 0; i < TD_N_SETTINGS; i++)
    {
      const char *key = td_setting_get_info (i)->key;
      if (td_json_get_member (object, key) == NULL)
        continue;
      TdSettings *changed = td_settings_with (settings, i, get_integer (object, key), NULL);
      if (changed == NULL)
        continue;
      td_settings_unref (settings);
      settings = changed;
    }
  return settings;
}

gboolean
td_snapshot_read (const TdJson *snapshot, TdMasters **masters_out, TdSettings **settings_out, GError **error)
{
  g_assert (snapshot != NULL && masters_out != NULL && settings_out != NULL);
  const TdJson *settings =
    td_json_get_kind (snapshot) == TD_JSON_OBJECT ? td_json_get_member (snapshot, "settings") : NULL;
  if (settings == NULL || td_json_get_kind (settings) != TD_JSON_OBJECT ||
      g_strcmp0 (get_text (snapshot, "format"), TD_SNAPSHOT_FORMAT) != 0)
    {
      g_set_error_literal (error, TD_BOOK_ERROR, TD_BOOK_ERROR_DAMAGED,
                           "The snapshot of a closed visit cannot be read; nothing was changed; keep the "
                           "book, and restore the newest backup");
      return FALSE;
    }
  *masters_out = read_masters (snapshot);
  *settings_out = read_settings (settings);
  return TRUE;
}

TdLineHistory *
td_snapshot_read_history (const TdJson *snapshot, const TdSite *site)
{
  g_assert (snapshot != NULL && site != NULL);
  if (td_json_get_kind (snapshot) != TD_JSON_OBJECT || td_json_get_member (snapshot, "history") == NULL)
    return NULL;
  TdLineHistory *history = g_new0 (TdLineHistory, MAX (site->n_outlets, 1));
  for (guint i = 0; i < site->n_outlets; i++)
    history[i] = (TdLineHistory) { TD_DATE_NONE, TD_DATE_NONE, TD_DATE_NONE };
  g_autoptr (GPtrArray) objects = get_objects (snapshot, "history");
  for (guint i = 0; i < objects->len; i++)
    {
      const TdJson *object = g_ptr_array_index (objects, i);
      const char *line = get_text (object, "line");
      int outlet = line != NULL ? td_site_find_outlet (site, line) : -1;
      if (outlet >= 0)
        history[outlet] = (TdLineHistory) { get_date (object, "acid"), get_date (object, "fob_stripped"),
                                            get_date (object, "coupler_stripped") };
    }
  return history;
}

GPtrArray *
td_snapshot_get_findings (const TdJson *snapshot, const TdSite *site)
{
  g_assert (snapshot != NULL && site != NULL);
  GPtrArray *findings = g_ptr_array_new_with_free_func ((GDestroyNotify) td_finding_free);
  g_autoptr (GPtrArray) objects = get_objects (snapshot, "findings");
  for (guint i = 0; i < objects->len; i++)
    {
      const TdJson *object = g_ptr_array_index (objects, i);
      const char *code = get_text (object, "code");
      const char *line = get_text (object, "line");
      TdRuleId rule;
      if (code == NULL || !td_rule_find (code, &rule))
        continue;
      TdFinding *finding = g_new0 (TdFinding, 1);
      finding->rule = rule;
      finding->outlet = line != NULL ? td_site_find_outlet (site, line) : -1;
      finding->circuit = get_integer (object, "circuit");
      finding->seq = get_integer (object, "seq");
      finding->text = g_strdup (get_text (object, "text"));
      finding->reason = g_strdup (get_text (object, "reason"));
      g_ptr_array_add (findings, finding);
    }
  return findings;
}

const char *
td_snapshot_get_number (const TdJson *snapshot)
{
  return get_text (snapshot, "number");
}

gint64
td_snapshot_get_rules_version (const TdJson *snapshot)
{
  return get_integer (snapshot, "rules_version");
}

const char *
td_snapshot_get_sheet (const TdJson *snapshot)
{
  return get_text (snapshot, "sheet_sha256");
}
