#include "desk-master-job.h"

#include "core-json-build.h"
#include "desk-i18n.h"
#include "model-form-ledger.h"
#include "model-form-type.h"
#include "store-edit.h"
#include "store-ledger-code.h"
#include "store-master.h"

#include <string.h>

static const struct
{
  const char *text;
  TdMasterKind kind;
  const char *refers;
  TdMasterKind referred;
} table[TD_N_RECORDS] = {
  [TD_RECORDS_COMPANY] = { "company", TD_MASTER_COMPANY, NULL, 0 },
  [TD_RECORDS_ACCOUNTS] = { "accounts", TD_MASTER_ACCOUNT, NULL, 0 },
  [TD_RECORDS_SITES] = { "sites", TD_MASTER_SITE, "accounts", TD_MASTER_ACCOUNT },
  [TD_RECORDS_TECHNICIANS] = { "technicians", TD_MASTER_TECHNICIAN, NULL, 0 },
  [TD_RECORDS_INSTRUMENTS] = { "instruments", TD_MASTER_INSTRUMENT, NULL, 0 },
  [TD_RECORDS_PRODUCTS] = { "products", TD_MASTER_PRODUCT, NULL, 0 },
  [TD_RECORDS_LOTS] = { "lots", TD_MASTER_LOT, "products", TD_MASTER_PRODUCT },
  [TD_RECORDS_FIGURES] = { "figures", TD_N_MASTERS, NULL, 0 },
  [TD_RECORDS_LEDGER] = { "ledger", TD_N_MASTERS, NULL, 0 },
};

const char *
td_records_to_text (TdRecords records)
{
  g_return_val_if_fail (records < TD_N_RECORDS, NULL);
  return table[records].text;
}

gboolean
td_records_from_text (const char *text, TdRecords *records_out)
{
  for (int i = 0; i < TD_N_RECORDS; i++)
    if (g_strcmp0 (table[i].text, text) == 0)
      {
        *records_out = (TdRecords) i;
        return TRUE;
      }
  return FALSE;
}

gboolean
td_records_is_single (TdRecords records)
{
  return records == TD_RECORDS_COMPANY || records == TD_RECORDS_FIGURES || records == TD_RECORDS_LEDGER;
}

void
td_master_list_free (gpointer data)
{
  TdMasterList *list = data;

  g_clear_pointer (&list->masters, g_ptr_array_unref);
  g_free (list->refers);
  g_strfreev (list->ids);
  g_strfreev (list->titles);
  g_free (list);
}

/* What a form may refer to: rows in use, by id; accounts by their names, as sheets name them. */
static gboolean
read_choices (TdBook *book, TdMasterList *list, GError **error)
{
  TdMasterKind kind = table[list->records].referred;
  g_autoptr (GPtrArray) masters = td_book_list_masters (book, kind, error);
  g_autoptr (GPtrArray) ids = g_ptr_array_new (), titles = g_ptr_array_new ();

  if (masters == NULL)
    return FALSE;
  for (guint i = 0; i < masters->len; i++)
    {
      const TdMaster *master = g_ptr_array_index (masters, i);
      const char *name = td_json_get_string (td_json_get_member (master->json, "name"));

      if (master->retired)
        continue;
      g_ptr_array_add (ids, g_strdup (kind == TD_MASTER_ACCOUNT ? name : master->id));
      g_ptr_array_add (titles, g_strdup (name));
    }
  g_ptr_array_add (ids, NULL);
  g_ptr_array_add (titles, NULL);
  list->refers = g_strdup (table[list->records].refers);
  list->ids = (char **) g_ptr_array_free (g_steal_pointer (&ids), FALSE);
  list->titles = (char **) g_ptr_array_free (g_steal_pointer (&titles), FALSE);
  return TRUE;
}

/* The one row of what stands in the book otherwise; NULL where it could not be read. (transfer full) */
static TdJson *
read_single (TdBook *book, TdRecords records, GError **error)
{
  if (records == TD_RECORDS_LEDGER)
    {
      g_autoptr (TdMasters) masters = td_book_get_masters (book, error);

      return masters != NULL ? td_form_write_ledger (masters) : NULL;
    }
  g_autoptr (TdSettings) settings = td_book_get_settings (book, NULL, error);

  return settings != NULL ? td_form_write_figures (settings) : NULL;
}

static GPtrArray *
list_single (TdBook *book, TdRecords records, GError **error)
{
  TdJson *json = read_single (book, records, error);
  GPtrArray *masters;
  TdMaster *master;

  if (json == NULL)
    return NULL;
  masters = g_ptr_array_new_with_free_func ((GDestroyNotify) td_master_free);
  master = g_new0 (TdMaster, 1);
  master->id = g_strdup ("");
  master->json = json;
  g_ptr_array_add (masters, master);
  return masters;
}

gboolean
td_master_list_job (TdBook *book, gpointer data, gpointer *result_out, GError **error)
{
  TdMasterList *list = g_new0 (TdMasterList, 1);

  list->records = (TdRecords) GPOINTER_TO_UINT (data);
  list->masters = table[list->records].kind == TD_N_MASTERS
                    ? list_single (book, list->records, error)
                    : td_book_list_masters (book, table[list->records].kind, error);
  if (list->masters == NULL || (table[list->records].refers != NULL && !read_choices (book, list, error)))
    {
      td_master_list_free (list);
      return FALSE;
    }
  *result_out = list;
  return TRUE;
}

void
td_master_put_free (gpointer data)
{
  TdMasterPut *put = data;

  g_free (put->id);
  g_clear_pointer (&put->json, td_json_unref);
  g_clear_pointer (&put->before, td_json_unref);
  g_free (put);
}

/* Each code that is not as the book has it. */
static gboolean
put_ledger (TdBook *book, const TdMasterPut *put, GError **error)
{
  const TdFormType *type = td_form_get_ledger ();
  g_autoptr (TdJson) now = read_single (book, TD_RECORDS_LEDGER, error);

  if (now == NULL)
    return FALSE;
  if (put->before != NULL && !td_json_equal (now, put->before))
    {
      g_set_error_literal (error, TD_BOOK_ERROR, TD_BOOK_ERROR_CONFLICT,
                           _ ("The codes have been changed by somebody else in the meantime; nothing of yours was "
                              "kept; look at what stands there now and make your change again"));
      return FALSE;
    }
  if (!type->check (put->json, error))
    return FALSE;
  for (guint i = 0; i < type->n_fields; i++)
    {
      const TdJson *code = td_json_get_member (put->json, type->fields[i].key);

      if (!td_book_put_ledger_code (book, type->fields[i].key, code != NULL ? td_json_get_string (code) : NULL, error))
        return FALSE;
    }
  return TRUE;
}

/* Each figure that is not as the book has it. */
static gboolean
put_figures (TdBook *book, const TdMasterPut *put, GError **error)
{
  g_autoptr (TdSettings) settings = td_book_get_settings (book, NULL, error);
  g_autoptr (TdJson) now = settings != NULL ? td_form_write_figures (settings) : NULL;
  gint64 values[TD_N_SETTINGS];
  gboolean set[TD_N_SETTINGS];

  if (now == NULL || !td_form_read_figures (put->json, values, set, error))
    return FALSE;
  if (put->before != NULL && !td_json_equal (now, put->before))
    {
      g_set_error_literal (error, TD_BOOK_ERROR, TD_BOOK_ERROR_CONFLICT,
                           _ ("The figures have been changed by somebody else in the meantime; nothing of yours was "
                              "kept; look at what stands there now and make your change again"));
      return FALSE;
    }
  for (int i = 0; i < TD_N_SETTINGS; i++)
    {
      gboolean standard = values[i] == td_setting_get_info ((TdSettingId) i)->standard;

      if (values[i] != td_settings_get (settings, (TdSettingId) i)
          && !td_book_set_setting (book, NULL, (TdSettingId) i, standard ? NULL : &values[i], error))
        return FALSE;
    }
  return TRUE;
}

gboolean
td_master_put_job (TdBook *book, gpointer data, gpointer *result_out, GError **error)
{
  const TdMasterPut *put = data;
  char *id = NULL;

  if (table[put->records].kind == TD_N_MASTERS)
    {
      if (!(put->records == TD_RECORDS_LEDGER ? put_ledger (book, put, error) : put_figures (book, put, error)))
        return FALSE;
      *result_out = g_strdup ("");
      return TRUE;
    }
  if (!td_book_put_master (book, table[put->records].kind, put->id, put->rev, put->json, put->retired, &id, error))
    return FALSE;
  *result_out = id;
  return TRUE;
}
