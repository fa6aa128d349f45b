#include "store-csv.h"

#include "core-error.h"
#include "core-json-build.h"

#include <string.h>

typedef struct
{
  TdMasterKind kind;
  const char *telling;  /* columns one of which tells the kind, by commas; NULL: all the rest */
  const char *columns;  /* all that it knows, by commas */
  const char *required; /* by commas */
} Layout;

/* In the order in which they are tried. */
static const Layout layouts[] = {
  { TD_MASTER_LOT, "code", "id,product,code,received,expiry,recalled", "id,product,code,received" },
  { TD_MASTER_PRODUCT, "substance,percent_milli",
    "id,name,kind,substance,basis,percent_milli,target_percent_milli,density_kg_m3,caution",
    "id,name,kind,substance,basis,percent_milli,target_percent_milli" },
  { TD_MASTER_TECHNICIAN, "certificate,certificate_expiry", "id,name,certificate,certificate_expiry", "id,name" },
  { TD_MASTER_INSTRUMENT, "calibrated,calibration_due,kind", "id,name,kind,calibrated,calibration_due",
    "id,name,kind" },
  { TD_MASTER_TECHNICIAN, "id", "id,name,certificate,certificate_expiry", "id,name" },
  { TD_MASTER_ACCOUNT, NULL, "name,address,contact,email,phone,note", "name" },
};

static void
free_row (gpointer data)
{
  TdCsvRow *row = data;
  g_clear_pointer (&row->json, td_json_unref);
  g_free (row->error);
  g_free (row);
}

void
td_csv_masters_free (TdCsvMasters *masters)
{
  g_return_if_fail (masters != NULL);
  g_clear_pointer (&masters->csv, td_csv_free);
  g_strfreev (masters->columns);
  g_clear_pointer (&masters->rows, g_ptr_array_unref);
  g_free (masters);
}

const char *
td_csv_masters_get_key (TdMasterKind kind)
{
  return kind == TD_MASTER_ACCOUNT ? "name" : "id";
}

static gboolean
is_among (const char *word, const char *list)
{
  g_auto (GStrv) words = g_strsplit (list, ",", -1);
  return g_strv_contains ((const char *const *) words, word);
}

static const Layout *
find_layout (const TdCsv *csv)
{
  for (gsize i = 0; i < G_N_ELEMENTS (layouts); i++)
    for (guint field = 0; field < td_csv_get_n_fields (csv, 0); field++)
      if (layouts[i].telling == NULL || is_among (td_csv_get_field (csv, 0, field), layouts[i].telling))
        return &layouts[i];
  g_assert_not_reached ();
}

static gboolean
check_header (const TdCsv *csv, const Layout *layout, GError **error)
{
  g_autoptr (GHashTable) seen = g_hash_table_new (g_str_hash, g_str_equal);
  g_auto (GStrv) required = g_strsplit (layout->required, ",", -1);
  for (guint i = 0; i < td_csv_get_n_fields (csv, 0); i++)
    {
      const char *column = td_csv_get_field (csv, 0, i);
      if (!is_among (column, layout->columns))
        {
          g_auto (GStrv) known = g_strsplit (layout->columns, ",", -1);
          g_autofree char *list = g_strjoinv (", ", known);
          return td_csv_set_error (csv, 0, i, TD_ERROR_SHAPE, error, "no column “%s” is known; the columns are %s%s",
                                   column, list,
                                   strchr (column, ';') != NULL ? "; commas part them, not semicolons" : "");
        }
      if (!g_hash_table_add (seen, (char *) column))
        return td_csv_set_error (csv, 0, i, TD_ERROR_SHAPE, error, "the column “%s” stands twice", column);
    }
  for (guint i = 0; required[i] != NULL; i++)
    if (!g_hash_table_contains (seen, required[i]))
      return td_csv_set_error (csv, 0, 0, TD_ERROR_SHAPE, error,
                               "the first line must name the columns, and one of them must be “%s”", required[i]);
  return TRUE;
}

/* Adds a field as the type that its key has in the files. */
static gboolean
add_member (TdJsonBuilder *builder, const TdCsv *csv, guint row, guint field, GError **error)
{
  const char *key = td_csv_get_field (csv, 0, field), *text = td_csv_get_field (csv, row, field);
  gint64 number;
  if (*text == '\0')
    return TRUE;
  if (g_str_has_suffix (key, "_milli") || g_str_has_suffix (key, "_m3"))
    {
      if (!g_ascii_string_to_signed (text, 10, G_MININT64, G_MAXINT64, &number, NULL))
        return td_csv_set_error (csv, row, field, TD_ERROR_SHAPE, error, "“%s” is not a whole number, as %s needs",
                                 text, key);
      td_json_builder_member_integer (builder, key, number);
    }
  else if (strcmp (key, "recalled") == 0)
    {
      if (strcmp (text, "yes") != 0 && strcmp (text, "no") != 0)
        return td_csv_set_error (csv, row, field, TD_ERROR_SHAPE, error, "%s is yes or no, not “%s”", key, text);
      td_json_builder_member_boolean (builder, key, strcmp (text, "yes") == 0);
    }
  else
    td_json_builder_member_string (builder, key, text);
  return TRUE;
}

static TdCsvRow *
read_row (const TdCsv *csv, guint row, const char *key, GHashTable *seen)
{
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();
  g_autoptr (GError) error = NULL;
  TdCsvRow *read = g_new0 (TdCsvRow, 1);
  gboolean ok = TRUE;
  td_json_builder_begin_object (builder);
  for (guint i = 0; i < td_csv_get_n_fields (csv, row) && ok; i++)
    {
      const char *text = td_csv_get_field (csv, row, i);
      ok = add_member (builder, csv, row, i, &error);
      if (!ok || strcmp (td_csv_get_field (csv, 0, i), key) != 0)
        continue;
      if (*text == '\0')
        ok = td_csv_set_error (csv, row, i, TD_ERROR_SHAPE, &error, "the row needs a %s", key);
      else if (!g_hash_table_add (seen, (char *) text))
        ok = td_csv_set_error (csv, row, i, TD_ERROR_SHAPE, &error, "“%s” stands twice in the file", text);
    }
  read->index = row;
  read->line = td_csv_get_line (csv, row);
  if (!ok)
    {
      read->error = g_strdup (error->message);
      return read;
    }
  td_json_builder_end (builder);
  read->json = td_json_builder_finish (builder);
  return read;
}

TdCsvMasters *
td_csv_masters_read (const char *text, gssize length, GError **error)
{
  g_autoptr (TdCsv) csv = td_csv_parse (text, length, error);
  g_autoptr (GHashTable) seen = g_hash_table_new (g_str_hash, g_str_equal);
  const Layout *layout = csv != NULL ? find_layout (csv) : NULL;
  if (layout == NULL || !check_header (csv, layout, error))
    return NULL;
  TdCsvMasters *masters = g_new0 (TdCsvMasters, 1);
  masters->kind = layout->kind;
  masters->columns = g_new0 (char *, td_csv_get_n_fields (csv, 0) + 1);
  for (guint i = 0; i < td_csv_get_n_fields (csv, 0); i++)
    masters->columns[i] = g_strdup (td_csv_get_field (csv, 0, i));
  masters->rows = g_ptr_array_new_with_free_func (free_row);
  for (guint row = 1; row < td_csv_get_n_rows (csv); row++)
    g_ptr_array_add (masters->rows, read_row (csv, row, td_csv_masters_get_key (masters->kind), seen));
  masters->csv = g_steal_pointer (&csv);
  return masters;
}

TdJson *
td_csv_masters_merge (const TdCsvMasters *masters, const TdCsvRow *row, const TdJson *known)
{
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();
  g_return_val_if_fail (masters != NULL && row != NULL && row->json != NULL, NULL);
  td_json_builder_begin_object (builder);
  for (guint i = 0; known != NULL && i < td_json_get_length (known); i++)
    if (!g_strv_contains ((const char *const *) masters->columns, td_json_get_key (known, i)))
      td_json_builder_member_value (builder, td_json_get_key (known, i), td_json_get_element (known, i));
  for (guint i = 0; i < td_json_get_length (row->json); i++)
    td_json_builder_member_value (builder, td_json_get_key (row->json, i), td_json_get_element (row->json, i));
  td_json_builder_end (builder);
  return td_json_builder_finish (builder);
}

char *
td_csv_masters_place_error (const TdCsvMasters *masters, const TdCsvRow *row, const GError *error)
{
  g_return_val_if_fail (masters != NULL && row != NULL && error != NULL, NULL);
  g_autoptr (GError) placed = NULL;
  guint field = 0;
  for (guint i = 0; masters->columns[i] != NULL; i++)
    {
      g_autofree char *quoted = g_strdup_printf ("\"%s\"", masters->columns[i]);
      if (strstr (error->message, quoted) != NULL)
        {
          field = i;
          break;
        }
    }
  td_csv_set_error (masters->csv, row->index, field, TD_ERROR_SHAPE, &placed, "%s", error->message);
  return g_strdup (placed->message);
}
