/* core-masters-read.c: the company file, read strictly. */
#include "core-masters.h"

#include <string.h>

#include "core-error.h"
#include "core-json-read-text.h"
#include "core-ledger.h"
#include "core-masters-private.h"
#include "core-safety.h"

#define MAX_PERCENT_MILLI 100000
/* g in 100 mL goes beyond 100: 85 % w/w phosphoric acid of 1.69 kg/L is 144 % w/v. */
#define MAX_PERCENT_W_V_MILLI 200000
/* From a light solvent to a strong acid; narrow enough to stop g/mL entered for kg/m3. */
#define MIN_DENSITY_KG_M3 500
#define MAX_DENSITY_KG_M3 2500

/* Reads one object of an array into its row. */
typedef void (*ReadRow) (TdJsonReader *reader, gpointer row);

static char *
list_codes (TdSafetyPart part)
{
  GString *text = g_string_new (NULL);
  guint n = 0;
  const TdSafetyWord *words = td_safety_list (part, &n);

  for (guint i = 0; i < n; i++)
    g_string_append_printf (text, "%s%s", i > 0 ? ", " : "", words[i].code);
  return g_string_free (text, FALSE);
}

/* The codes at the part's key; one that is not in the table, or twice, is an error that lists what would do. */
static char **
read_codes (TdJsonReader *reader, TdSafetyPart part)
{
  const TdJson *array = td_json_reader_optional_array (reader, td_safety_part_to_text (part));
  g_autoptr (GPtrArray) codes = g_ptr_array_new_with_free_func (g_free);

  for (guint i = 0; array != NULL && i < td_json_get_length (array); i++)
    {
      const TdJson *element = td_json_get_element (array, i);
      const char *code = td_json_get_kind (element) == TD_JSON_STRING ? td_json_get_string (element) : "";
      g_autofree char *list = list_codes (part);

      if (td_safety_find (part, code) == NULL)
        td_json_reader_fail (reader, element, TD_ERROR_SHAPE, "\"%s\" is none of the %s that are known: %s",
                             code, td_safety_part_to_text (part), list);
      else if (g_ptr_array_find_with_equal_func (codes, code, g_str_equal, NULL))
        td_json_reader_fail (reader, element, TD_ERROR_SHAPE, "\"%s\" stands twice", code);
      else
        g_ptr_array_add (codes, g_strdup (code));
    }
  if (codes->len == 0)
    return NULL;
  g_ptr_array_add (codes, NULL);
  return (char **) g_ptr_array_free (g_steal_pointer (&codes), FALSE);
}

static void
read_product (TdJsonReader *reader, gpointer row)
{
  TdProduct *product = row;
  gint64 most;

  product->id = g_strdup (td_json_reader_id (reader, "id"));
  product->name = g_strdup (td_json_reader_string (reader, "name"));
  product->kind = (TdProductKind) td_json_reader_choice (reader, "kind", td_product_kind_names);
  product->substance = g_strdup (td_json_reader_string (reader, "substance"));
  product->basis = (TdBasis) td_json_reader_choice (reader, "basis", td_basis_names);
  most = product->basis == TD_BASIS_W_V ? MAX_PERCENT_W_V_MILLI : MAX_PERCENT_MILLI;
  product->percent_milli = td_json_reader_integer (reader, "percent_milli", 1, most);
  product->target_percent_milli = td_json_reader_integer (reader, "target_percent_milli", 1, most);
  if (td_json_reader_has (reader, "density_kg_m3"))
    product->density_kg_m3
        = td_json_reader_integer (reader, "density_kg_m3", MIN_DENSITY_KG_M3, MAX_DENSITY_KG_M3);
  else
    td_json_reader_optional_any (reader, "density_kg_m3");
  product->caution = g_strdup (td_json_reader_optional_string (reader, "caution"));
  for (guint part = 0; part < TD_N_SAFETY; part++)
    product->safety[part] = read_codes (reader, part);
  product->sds_revised = TD_DATE_NONE;
  if (product->target_percent_milli > product->percent_milli)
    td_json_reader_fail (reader, NULL, TD_ERROR_RANGE,
                         "the product \"%s\" is to be used stronger (target_percent_milli) than it is "
                         "(percent_milli)",
                         product->id);
}

static void
read_lot (TdJsonReader *reader, gpointer row)
{
  TdLot *lot = row;

  lot->id = g_strdup (td_json_reader_id (reader, "id"));
  lot->product = g_strdup (td_json_reader_id (reader, "product"));
  lot->code = g_strdup (td_json_reader_string (reader, "code"));
  lot->received = td_json_reader_date (reader, "received");
  lot->expiry = td_json_reader_optional_date (reader, "expiry");
  lot->recalled = td_json_reader_optional_boolean (reader, "recalled", FALSE);
}

static void
read_technician (TdJsonReader *reader, gpointer row)
{
  TdTechnician *technician = row;

  technician->id = g_strdup (td_json_reader_id (reader, "id"));
  technician->name = g_strdup (td_json_reader_string (reader, "name"));
  technician->certificate = g_strdup (td_json_reader_optional_string (reader, "certificate"));
  technician->certificate_expiry = td_json_reader_optional_date (reader, "certificate_expiry");
}

static void
read_instrument (TdJsonReader *reader, gpointer row)
{
  TdInstrument *instrument = row;

  instrument->id = g_strdup (td_json_reader_id (reader, "id"));
  instrument->name = g_strdup (td_json_reader_string (reader, "name"));
  instrument->kind = (TdInstrumentKind) td_json_reader_choice (reader, "kind", td_instrument_kind_names);
  instrument->calibrated = td_json_reader_optional_date (reader, "calibrated");
  instrument->calibration_due = td_json_reader_optional_date (reader, "calibration_due");
}

static void
read_ledger (TdJsonReader *reader, gpointer row)
{
  TdLedgerAccount *account = row;

  account->id = g_strdup (td_json_reader_id (reader, "id"));
  account->code = g_strdup (td_json_reader_string (reader, "code"));
  if (*account->id != '\0' && !td_ledger_is_id (account->id))
    td_json_reader_fail (reader, td_json_reader_optional_any (reader, "id"), TD_ERROR_REFERENCE,
                         "\"%s\" is nothing that the ledger has; there are " TD_LEDGER_IDS_TEXT, account->id);
  else if (*account->code != '\0' && !td_ledger_is_code (account->code))
    td_json_reader_fail (reader, td_json_reader_optional_any (reader, "code"), TD_ERROR_SHAPE,
                         "\"%s\" cannot be the code of an account: no spaces at its ends or two together, no line "
                         "breaks, at most 100 characters",
                         account->code);
}

/* Rows start with their id. */
static const char *
id_of (gconstpointer row)
{
  return *(const char *const *) row;
}

static int
compare_rows (gconstpointer a, gconstpointer b, gpointer data)
{
  return strcmp (id_of (a), id_of (b));
}

/* Reads the array at @key, if it is there, as rows of @size bytes, sorted by their ids.
 * Returns: (transfer full) (nullable): the rows, also half-read ones after an error. */
static gpointer
read_rows (TdJsonReader *reader, const char *key, const char *what, gsize size, ReadRow read_row,
           guint *n_out)
{
  const TdJson *array = td_json_reader_optional_array (reader, key);
  guint n = array != NULL ? td_json_get_length (array) : 0;
  char *rows = n > 0 ? g_malloc0_n (n, size) : NULL;
  g_autoptr (GHashTable) seen = g_hash_table_new (g_str_hash, g_str_equal);

  *n_out = n;
  for (guint i = 0; i < n && td_json_reader_is_good (reader); i++)
    {
      const TdJson *json = td_json_get_element (array, i);
      g_autoptr (TdJsonReader) inner = td_json_reader_new (json, what);
      gpointer row = rows + i * size;
      GError *error = NULL;

      read_row (inner, row);
      if (!g_hash_table_add (seen, (gpointer) id_of (row)))
        td_json_reader_fail (inner, td_json_reader_optional_any (inner, "id"), TD_ERROR_SHAPE,
                             "the id \"%s\" is given to two %s; ids must differ", id_of (row), key);
      td_json_reader_finish (inner, &error);
      td_json_reader_adopt (reader, error);
    }
  if (n > 1 && td_json_reader_is_good (reader))
    g_qsort_with_data (rows, (int) n, size, compare_rows, NULL);
  return rows;
}

static void
read_company (TdJsonReader *outer, TdMasters *masters)
{
  const TdJson *json = td_json_reader_optional_object (outer, "company");
  g_autoptr (TdJsonReader) reader = NULL;
  GError *error = NULL;

  if (json == NULL)
    return;
  reader = td_json_reader_new (json, "a company");
  td_party_read (td_company_fields, reader, masters, TRUE);
  td_json_reader_finish (reader, &error);
  td_json_reader_adopt (outer, error);
}

TdMasters *
td_masters_from_json (const TdJson *json, GError **error)
{
  g_autoptr (TdJsonReader) reader = NULL;
  g_autoptr (TdMasters) masters = NULL;

  g_return_val_if_fail (json != NULL, NULL);
  g_return_val_if_fail (error == NULL || *error == NULL, NULL);
  masters = td_masters_new ();
  reader = td_json_reader_new (json, "a company file");
  td_json_reader_format (reader, TD_COMPANY_FORMAT);
  read_company (reader, masters);
  masters->products = read_rows (reader, "products", "a product", sizeof (TdProduct), read_product,
                                 &masters->n_products);
  masters->lots = read_rows (reader, "lots", "a lot", sizeof (TdLot), read_lot, &masters->n_lots);
  masters->technicians = read_rows (reader, "technicians", "a technician", sizeof (TdTechnician),
                                    read_technician, &masters->n_technicians);
  masters->instruments = read_rows (reader, "instruments", "an instrument", sizeof (TdInstrument),
                                    read_instrument, &masters->n_instruments);
  masters->ledger = read_rows (reader, "ledger", "an account of the ledger", sizeof (TdLedgerAccount), read_ledger,
                               &masters->n_ledger);
  return td_json_reader_finish (reader, error) ? g_steal_pointer (&masters) : NULL;
}
