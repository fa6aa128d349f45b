#include "store-preview.h"

#include "core-change.h"
#include "core-error.h"
#include "core-json-build.h"
#include "store-agreement.h"
#include "store-csv.h"
#include "store-edit-private.h"
#include "store-master.h"
#include "store-private.h"
#include "store-round.h"

#include <stdio.h>
#include <string.h>

/* The book as it would be after the files so far: "kind/key" -> TdJson, and "retired/kind/key" -> the same of
 * rows that are out of use. */
typedef GHashTable Known;

#define RETIRED "retired/"

static void
free_row (gpointer data)
{
  TdPreviewRow *row = data;
  g_free (row->title);
  g_clear_pointer (&row->changes, g_ptr_array_unref);
  g_free (row->message);
  g_free (row);
}

void
td_preview_free (TdPreview *preview)
{
  g_return_if_fail (preview != NULL);
  g_free (preview->name);
  g_clear_pointer (&preview->rows, g_ptr_array_unref);
  g_free (preview);
}

static TdPreviewRow *
add_row (TdPreview *preview, TdPreviewOutcome outcome, TdMasterKind kind, const char *title, guint line)
{
  TdPreviewRow *row = g_new0 (TdPreviewRow, 1);
  row->outcome = outcome;
  row->kind = kind;
  row->title = g_strdup (title);
  row->line = line;
  preview->counts[outcome]++;
  g_ptr_array_add (preview->rows, row);
  return row;
}

/* The line stands in a column of its own: it is taken out of the message. */
static void
add_refused (TdPreview *preview, TdMasterKind kind, const char *title, guint line, const char *message)
{
  guint told = 0, column = 0;
  int length = 0;
  if (sscanf (message, "line %u, column %u: %n", &told, &column, &length) == 2 && length > 0)
    {
      line = told;
      message += length;
    }
  add_row (preview, TD_PREVIEW_REFUSED, kind, title, line)->message = g_strdup (message);
}

static const char *
get_text (const TdJson *json, const char *section, const char *key)
{
  const TdJson *inner = json;
  if (section != NULL && inner != NULL)
    inner = td_json_get_member (inner, section);
  const TdJson *text = inner != NULL && td_json_get_kind (inner) == TD_JSON_OBJECT ? td_json_get_member (inner, key) : NULL;
  return text != NULL && td_json_get_kind (text) == TD_JSON_STRING ? td_json_get_string (text) : NULL;
}

/* What a row is found by. (transfer full) */
static char *
make_key (TdMasterKind kind, const TdJson *json)
{
  if (kind == TD_MASTER_SITE)
    return g_strdup_printf ("%d/%s/%s", kind, get_text (json, "account", "name"), get_text (json, "site", "name"));
  if (kind == TD_MASTER_COMPANY)
    return g_strdup_printf ("%d/", kind);
  return g_strdup_printf ("%d/%s", kind, get_text (json, NULL, td_csv_masters_get_key (kind)));
}

static const char *
get_title (TdMasterKind kind, const TdJson *json)
{
  if (kind == TD_MASTER_SITE)
    return get_text (json, "site", "name");
  return get_text (json, NULL, kind == TD_MASTER_LOT ? "code" : "name");
}

/* An account of the ledger among what is known. (transfer full) */
static char *
make_ledger_key (const TdLedgerAccount *account)
{
  return g_strdup_printf ("ledger/%s", account->id);
}

/* (transfer full) */
static TdJson *
make_ledger (const TdLedgerAccount *account)
{
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();
  td_json_builder_begin_object (builder);
  td_json_builder_member_string (builder, "code", account->code);
  td_json_builder_end (builder);
  return td_json_builder_finish (builder);
}

static Known *
read_known (TdBook *book, GError **error)
{
  g_autoptr (GHashTable) known
    = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, (GDestroyNotify) td_json_unref);
  for (int kind = 0; kind < TD_N_MASTERS; kind++)
    {
      g_autoptr (GPtrArray) masters = td_book_list_masters (book, kind, error);
      if (masters == NULL)
        return NULL;
      for (guint i = 0; i < masters->len; i++)
        {
          const TdMaster *master = g_ptr_array_index (masters, i);
          char *key = make_key (kind, master->json);
          if (master->retired)
            g_hash_table_insert (known, g_strconcat (RETIRED, key, NULL), td_json_ref (master->json));
          g_hash_table_insert (known, key, td_json_ref (master->json));
        }
    }
  g_autoptr (TdMasters) masters = td_book_get_masters (book, error);
  if (masters == NULL)
    return NULL;
  for (guint i = 0; i < masters->n_ledger; i++)
    g_hash_table_insert (known, make_ledger_key (&masters->ledger[i]), make_ledger (&masters->ledger[i]));
  return g_steal_pointer (&known);
}

/* An import takes what was out of use into use again. */
static void
note_return (Known *known, const char *key, GPtrArray *changes)
{
  g_autofree char *retired = g_strconcat (RETIRED, key, NULL);
  if (!g_hash_table_remove (known, retired))
    return;
  TdChange *change = g_new0 (TdChange, 1);
  change->path = g_strdup ("retired");
  change->old_text = g_strdup ("yes");
  change->new_text = g_strdup ("no");
  g_ptr_array_add (changes, change);
}

/* Holds a row that passed its reader against what is known of it. @key, @json: (transfer full). */
static void
compare_under (TdPreview *preview, Known *known, TdMasterKind kind, char *key, const char *title, TdJson *json, guint line)
{
  const TdJson *before = g_hash_table_lookup (known, key);
  if (before == NULL)
    add_row (preview, TD_PREVIEW_NEW, kind, title, line);
  else
    {
      g_autoptr (GPtrArray) changes = td_json_compare (before, json);
      note_return (known, key, changes);
      TdPreviewRow *row
        = add_row (preview, changes->len > 0 ? TD_PREVIEW_CHANGED : TD_PREVIEW_SAME, kind, title, line);
      if (changes->len > 0)
        row->changes = g_steal_pointer (&changes);
    }
  g_hash_table_insert (known, key, json);
}

/* @json: (transfer full). */
static void
compare_row (TdPreview *preview, Known *known, TdMasterKind kind, TdJson *json, guint line)
{
  compare_under (preview, known, kind, make_key (kind, json), get_title (kind, json), json, line);
}

static guint
find_line (const TdJson *rows, const char *id)
{
  guint line = 0;
  for (guint i = 0; i < td_json_get_length (rows); i++)
    if (g_strcmp0 (get_text (td_json_get_element (rows, i), NULL, "id"), id) == 0)
      line = td_json_get_line (td_json_get_element (rows, i));
  return line;
}

static gboolean
check_product (Known *known, const TdJson *lot, GError **error)
{
  g_autofree char *key = g_strdup_printf ("%d/%s", TD_MASTER_PRODUCT, get_text (lot, NULL, "product"));
  if (g_hash_table_contains (known, key))
    return TRUE;
  g_set_error (error, TD_ERROR, TD_ERROR_REFERENCE, "\"product\": no product “%s” is known; add it first",
               get_text (lot, NULL, "product"));
  return FALSE;
}

static void
preview_company (TdPreview *preview, Known *known, const TdJson *file)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (TdMasters) masters = td_masters_from_json (file, &error);
  g_autoptr (TdJson) clean = masters != NULL ? td_masters_to_json (masters) : NULL;
  static const TdMasterKind order[]
    = { TD_MASTER_PRODUCT, TD_MASTER_LOT, TD_MASTER_TECHNICIAN, TD_MASTER_INSTRUMENT };
  if (clean == NULL)
    {
      add_refused (preview, TD_MASTER_COMPANY, NULL, 0, error->message);
      return;
    }
  /* A company without a name is not taken from a file. */
  if (masters->company != NULL)
    compare_row (preview, known, TD_MASTER_COMPANY, td_json_ref (td_json_get_member (clean, "company")),
                 td_json_get_line (td_json_get_member (file, "company")));
  for (gsize k = 0; k < G_N_ELEMENTS (order); k++)
    {
      const TdJson *rows = td_json_get_member (clean, td_master_kind_get_key (order[k]));
      const TdJson *source = td_json_get_member (file, td_master_kind_get_key (order[k]));
      for (guint i = 0; rows != NULL && i < td_json_get_length (rows); i++)
        {
          TdJson *row = td_json_get_element (rows, i);
          guint line = find_line (source, get_text (row, NULL, "id"));
          g_autoptr (GError) why = NULL;
          if (order[k] == TD_MASTER_LOT && !check_product (known, row, &why))
            add_refused (preview, order[k], get_title (order[k], row), line, why->message);
          else
            compare_row (preview, known, order[k], td_json_ref (row), line);
        }
    }
  for (guint i = 0; i < masters->n_ledger; i++)
    compare_under (preview, known, TD_MASTER_COMPANY, make_ledger_key (&masters->ledger[i]), masters->ledger[i].id,
                   make_ledger (&masters->ledger[i]),
                   find_line (td_json_get_member (file, "ledger"), masters->ledger[i].id));
}

static void
preview_site (TdPreview *preview, Known *known, const TdJson *sheet)
{
  g_autoptr (GError) error = NULL;
  g_auto (TdMasterDraft) draft = { NULL };
  if (!td_master_draft_read (TD_MASTER_SITE, sheet, &draft, &error))
    {
      add_refused (preview, TD_MASTER_SITE, get_text (sheet, "site", "name"), 0, error->message);
      return;
    }
  g_autofree char *account = g_strdup_printf ("%d/%s", TD_MASTER_ACCOUNT, draft.site->account_name);
  if (!g_hash_table_contains (known, account))
    {
      TdAccount fresh = { .name = draft.site->account_name };
      compare_row (preview, known, TD_MASTER_ACCOUNT, td_account_to_json (&fresh),
                   td_json_get_line (td_json_get_member (sheet, "account")));
    }
  compare_row (preview, known, TD_MASTER_SITE, td_site_to_json (draft.site), td_json_get_line (sheet));
}

/* The row as its reader writes it back. (transfer full) */
static TdJson *
tidy (TdMasterKind kind, const TdMasterDraft *draft)
{
  if (kind == TD_MASTER_ACCOUNT)
    return td_account_to_json (draft->account);
  g_autoptr (TdJson) file = td_masters_to_json (draft->masters);
  return td_json_ref (td_json_get_element (td_json_get_member (file, td_master_kind_get_key (kind)), 0));
}

static void
preview_csv_row (TdPreview *preview, Known *known, const TdCsvMasters *masters, const TdCsvRow *row)
{
  g_autoptr (GError) error = NULL;
  g_auto (TdMasterDraft) draft = { NULL };
  if (row->error != NULL)
    {
      add_refused (preview, masters->kind, NULL, row->line, row->error);
      return;
    }
  g_autofree char *key = make_key (masters->kind, row->json);
  g_autoptr (TdJson) merged = td_csv_masters_merge (masters, row, g_hash_table_lookup (known, key));
  if (!td_master_draft_read (masters->kind, merged, &draft, &error) ||
      (masters->kind == TD_MASTER_LOT && !check_product (known, merged, &error)))
    {
      g_autofree char *placed = td_csv_masters_place_error (masters, row, error);
      add_refused (preview, masters->kind, get_title (masters->kind, row->json), row->line, placed);
      return;
    }
  compare_row (preview, known, masters->kind, tidy (masters->kind, &draft), row->line);
}

static void
preview_csv (TdPreview *preview, Known *known, const TdPreviewFile *file)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (TdCsvMasters) masters = td_csv_masters_read (file->text, (gssize) file->length, &error);
  if (masters == NULL)
    {
      add_refused (preview, TD_MASTER_ACCOUNT, NULL, 0, error->message);
      return;
    }
  for (guint i = 0; i < masters->rows->len; i++)
    preview_csv_row (preview, known, masters, g_ptr_array_index (masters->rows, i));
}

gboolean
td_file_look (const TdPreviewFile *file, TdFileForm *form_out, TdJson **json_out, GError **error)
{
  static const char *const formats[] = { TD_COMPANY_FORMAT, TD_SITE_FORMAT, NULL, TD_AGREEMENT_FORMAT, TD_ROUND_FORMAT };
  g_return_val_if_fail (file != NULL && form_out != NULL && json_out != NULL, FALSE);
  g_autofree char *lower = g_ascii_strdown (file->name, -1);
  *json_out = NULL;
  *form_out = TD_FILE_CSV;
  if (g_str_has_suffix (lower, ".csv"))
    return TRUE;
  g_autoptr (TdJson) json = td_json_parse (file->text, (gssize) file->length, error);
  if (json == NULL)
    return FALSE;
  const char *format = td_json_get_kind (json) == TD_JSON_OBJECT ? get_text (json, NULL, "format") : NULL;
  for (guint i = 0; i < G_N_ELEMENTS (formats); i++)
    if (format != NULL && g_strcmp0 (formats[i], format) == 0)
      {
        *form_out = i;
        *json_out = g_steal_pointer (&json);
        return TRUE;
      }
  td_json_set_error (json, TD_ERROR_SHAPE, error, "this is neither a site sheet (\"format\": \"%s\") nor a company file (\"%s\")",
                     TD_SITE_FORMAT, TD_COMPANY_FORMAT);
  return FALSE;
}

static void
preview_file (TdPreview *preview, Known *known, const TdPreviewFile *file, TdFileForm form, const TdJson *json)
{
  if (form == TD_FILE_CSV)
    preview_csv (preview, known, file);
  else if (form == TD_FILE_SITE)
    preview_site (preview, known, json);
  else if (form == TD_FILE_COMPANY)
    preview_company (preview, known, json);
  else if (form == TD_FILE_AGREEMENT)
    add_refused (preview, TD_MASTER_ACCOUNT, NULL, 0,
                 "a price agreement is taken in with tundishctl import; what it would change is not told before");
  else
    add_refused (preview, TD_MASTER_COMPANY, NULL, 0,
                 "hours, areas and roads of the round are taken in with tundishctl import; what they would change is not "
                 "told before");
}

GPtrArray *
td_book_preview (TdBook *book, const TdPreviewFile *files, guint n_files, GError **error)
{
  td_book_assert_owner (book);
  g_return_val_if_fail (files != NULL || n_files == 0, NULL);
  g_autoptr (GHashTable) known = read_known (book, error);
  if (known == NULL)
    return NULL;
  GPtrArray *previews = g_ptr_array_new_with_free_func ((GDestroyNotify) td_preview_free);
  g_autofree TdFileForm *forms = g_new0 (TdFileForm, n_files + 1);
  g_autoptr (GPtrArray) contents = g_ptr_array_new ();
  for (guint i = 0; i < n_files; i++)
    {
      TdPreview *preview = g_new0 (TdPreview, 1);
      g_autoptr (GError) why = NULL;
      TdJson *json = NULL;
      preview->name = g_strdup (files[i].name);
      preview->rows = g_ptr_array_new_with_free_func (free_row);
      g_ptr_array_add (previews, preview);
      if (!td_file_look (&files[i], &forms[i], &json, &why))
        {
          forms[i] = G_MAXINT;
          add_refused (preview, TD_MASTER_COMPANY, NULL, 0, why->message);
        }
      g_ptr_array_add (contents, json);
    }
  for (int form = TD_FILE_COMPANY; form <= TD_FILE_ROUND; form++)
    for (guint i = 0; i < n_files; i++)
      if ((int) forms[i] == form)
        preview_file (g_ptr_array_index (previews, i), known, &files[i], forms[i], g_ptr_array_index (contents, i));
  for (guint i = 0; i < contents->len; i++)
    g_clear_pointer ((TdJson **) &contents->pdata[i], td_json_unref);
  return previews;
}
