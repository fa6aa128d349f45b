#include "store-bundle-table.h"

#include "store-cache.h"
#include "store-private.h"

#include "core-json-build.h"

#include <string.h>

/* Statements are put together from the names below and those of the book's own columns, never from what a
 * bundle says. */
static const struct
{
  const char *kind;
  const char *table;
  const char *slug; /* gives the slug of a row */
  gboolean has_slug; /* in a column of its own */
  gboolean has_uuid;
  const char *reference; /* column that refers to another kind, or NULL */
  const char *referred;  /* its table, which has a slug */
} kinds[TD_N_MASTERS] = {
  [TD_MASTER_COMPANY] = { "company", "company", "'company'", FALSE, FALSE, NULL, NULL },
  [TD_MASTER_TECHNICIAN] = { "technician", "technician", "slug", TRUE, TRUE, NULL, NULL },
  [TD_MASTER_INSTRUMENT] = { "instrument", "instrument", "slug", TRUE, TRUE, NULL, NULL },
  [TD_MASTER_PRODUCT] = { "product", "product", "slug", TRUE, TRUE, NULL, NULL },
  [TD_MASTER_LOT] = { "lot", "lot", "slug", TRUE, TRUE, "product", "product" },
  [TD_MASTER_ACCOUNT] = { "account", "account", "slug", TRUE, TRUE, NULL, NULL },
  [TD_MASTER_SITE] = { "site", "site", "slug", TRUE, TRUE, "account", "account" },
  [TD_MASTER_LEDGER_ACCOUNT] = { "ledger-account", "ledger_account", "slug", TRUE, TRUE, NULL, NULL },
  [TD_MASTER_SETTING] = { "setting", "setting", "ifnull ((SELECT slug FROM site WHERE site.id = setting.site) || '/', '') || key",
                          FALSE, FALSE, "site", "site" },
  [TD_MASTER_ROUND_SITE] = { "round-site", "round_site", "(SELECT slug FROM site WHERE site.id = round_site.site)", FALSE,
                             FALSE, "site", "site" },
  [TD_MASTER_ROUND_TECHNICIAN] = { "round-technician", "round_technician", "technician", FALSE, FALSE, NULL, NULL },
  [TD_MASTER_ROUND_TRAVEL] = { "round-travel", "round_travel", "area_a || '|' || area_b", FALSE, FALSE, NULL, NULL },
};

typedef struct
{
  char *name;
  gboolean hash; /* a blob, hex digits in the body */
} Column;

static void
clear_column (gpointer data)
{
  g_free (((Column *) data)->name);
}

static void
free_row (gpointer data)
{
  TdMasterRow *row = data;
  g_free (row->body);
  g_free (row->sha256);
  g_free (row);
}

const char *
td_master_kind_to_text (TdMasterKind kind)
{
  g_return_val_if_fail ((guint) kind < TD_N_MASTERS, NULL);
  return kinds[kind].kind;
}

gboolean
td_master_is_empty (const char *body)
{
  g_return_val_if_fail (body != NULL, TRUE);
  return strcmp (body, "{\"deleted\":0}") == 0;
}

static gboolean
prepare (TdBook *book, const char *sql, sqlite3_stmt **stmt_out, GError **error)
{
  int rc = sqlite3_prepare_v2 (book->db, sql, -1, stmt_out, NULL);
  return rc == SQLITE_OK || td_error_set_sqlite (error, book->db, rc, book->path);
}

/* The columns that a body holds. */
static GArray *
list_columns (TdBook *book, TdMasterKind kind, GError **error)
{
  static const char *const left_out[] = { "id", "uuid", "slug", "rev", "deleted", NULL };
  g_autofree char *sql = g_strdup_printf ("SELECT name, type FROM pragma_table_info ('%s')", kinds[kind].table);
  sqlite3_stmt *stmt = NULL;
  if (!prepare (book, sql, &stmt, error))
    return NULL;
  GArray *columns = g_array_new (FALSE, FALSE, sizeof (Column));
  g_array_set_clear_func (columns, clear_column);
  int rc;
  while ((rc = sqlite3_step (stmt)) == SQLITE_ROW)
    {
      const char *name = (const char *) sqlite3_column_text (stmt, 0);
      if (g_strv_contains (left_out, name))
        continue;
      Column column = { g_strdup (name), strcmp ((const char *) sqlite3_column_text (stmt, 1), "BLOB") == 0 };
      g_array_append_val (columns, column);
    }
  sqlite3_finalize (stmt);
  if (rc == SQLITE_DONE)
    return columns;
  td_error_set_sqlite (error, book->db, rc, book->path);
  g_array_unref (columns);
  return NULL;
}

static gboolean
is_reference (TdMasterKind kind, const char *column)
{
  return kinds[kind].reference != NULL && strcmp (kinds[kind].reference, column) == 0;
}

static char *
make_list (TdMasterKind kind, const GArray *columns)
{
  const char *table = kinds[kind].table;
  GString *sql = g_string_new ("SELECT id, rev, ");
  g_string_append_printf (sql, "%s, %s, deleted", kinds[kind].has_uuid ? "uuid" : "NULL", kinds[kind].slug);
  for (guint i = 0; i < columns->len; i++)
    {
      const char *name = g_array_index (columns, Column, i).name;
      if (is_reference (kind, name))
        g_string_append_printf (sql, ", (SELECT slug FROM %s WHERE id = %s.%s)", kinds[kind].referred, table, name);
      else
        g_string_append_printf (sql, ", %s", name);
    }
  g_string_append_printf (sql, " FROM %s ORDER BY id", table);
  return g_string_free (sql, FALSE);
}

#define FIRST_COLUMN 5

static void
add_column (TdJsonBuilder *builder, sqlite3_stmt *stmt, int i, const Column *column)
{
  g_autofree char *text = NULL;
  switch (sqlite3_column_type (stmt, i))
    {
    case SQLITE_NULL:
      break;
    case SQLITE_INTEGER:
      td_json_builder_member_integer (builder, column->name, sqlite3_column_int64 (stmt, i));
      break;
    case SQLITE_BLOB:
      {
        const guint8 *bytes = sqlite3_column_blob (stmt, i);
        GString *hex = g_string_new (NULL);
        for (int k = 0; k < sqlite3_column_bytes (stmt, i); k++)
          g_string_append_printf (hex, "%02x", bytes[k]);
        text = g_string_free (hex, FALSE);
        td_json_builder_member_string (builder, column->name, text);
        break;
      }
    default:
      text = g_utf8_make_valid ((const char *) sqlite3_column_text (stmt, i), -1);
      td_json_builder_member_string (builder, column->name, text);
    }
}

static TdMasterRow *
read_row (sqlite3_stmt *stmt, const GArray *columns, GError **error)
{
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();
  td_json_builder_begin_object (builder);
  td_json_builder_member_integer (builder, "deleted", sqlite3_column_int64 (stmt, 4));
  for (guint i = 0; i < columns->len; i++)
    add_column (builder, stmt, FIRST_COLUMN + (int) i, &g_array_index (columns, Column, i));
  td_json_builder_end (builder);
  g_autoptr (TdJson) json = td_json_builder_finish (builder);
  char *body = td_json_to_canonical (json, error);
  if (body == NULL)
    return NULL;
  TdMasterRow *row = g_new0 (TdMasterRow, 1);
  row->id = sqlite3_column_int64 (stmt, 0);
  row->rev = sqlite3_column_int64 (stmt, 1);
  if (sqlite3_column_bytes (stmt, 2) == sizeof row->uuid.bytes)
    memcpy (row->uuid.bytes, sqlite3_column_blob (stmt, 2), sizeof row->uuid.bytes);
  row->body = body;
  row->sha256 = g_compute_checksum_for_string (G_CHECKSUM_SHA256, body, -1);
  return row;
}

GHashTable *
td_master_read (TdBook *book, TdMasterKind kind, GError **error)
{
  td_book_assert_owner (book);
  g_assert ((guint) kind < TD_N_MASTERS);
  g_autoptr (GHashTable) rows = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, free_row);
  g_autoptr (GArray) columns = list_columns (book, kind, error);
  if (columns == NULL)
    return NULL;
  g_autofree char *sql = make_list (kind, columns);
  sqlite3_stmt *stmt = NULL;
  if (!prepare (book, sql, &stmt, error))
    return NULL;
  int rc;
  gboolean ok = TRUE;
  while (ok && (rc = sqlite3_step (stmt)) == SQLITE_ROW)
    {
      g_autofree char *slug = g_strdup ((const char *) sqlite3_column_text (stmt, 3));
      TdMasterRow *row = slug != NULL ? read_row (stmt, columns, error) : NULL;
      ok = row != NULL || td_error_set_sqlite (slug == NULL ? error : NULL, NULL, SQLITE_CORRUPT, book->path);
      if (ok)
        g_hash_table_insert (rows, g_steal_pointer (&slug), row);
    }
  if (ok && rc != SQLITE_DONE)
    ok = td_error_set_sqlite (error, book->db, rc, book->path);
  sqlite3_finalize (stmt);
  return ok ? g_steal_pointer (&rows) : NULL;
}

static gboolean
fail (GError **error, TdBookError code, TdMasterKind kind, const char *slug, const char *what)
{
  g_set_error (error, TD_BOOK_ERROR, code, "The %s “%s” of the bundle %s; nothing was taken in", kinds[kind].kind, slug,
               what);
  return FALSE;
}

/* A key of the kind's table or of the one that it refers to: 0 where there is none. */
static gboolean
find_key (TdBook *book, const char *sql, const char *text, const TdUuid *uuid, gint64 *key_out, GError **error)
{
  sqlite3_stmt *stmt = NULL;
  if (!prepare (book, sql, &stmt, error))
    return FALSE;
  if (text != NULL)
    sqlite3_bind_text (stmt, 1, text, -1, SQLITE_TRANSIENT);
  else
    sqlite3_bind_blob (stmt, 1, uuid->bytes, sizeof uuid->bytes, SQLITE_TRANSIENT);
  int rc = sqlite3_step (stmt);
  *key_out = rc == SQLITE_ROW ? sqlite3_column_int64 (stmt, 0) : 0;
  sqlite3_finalize (stmt);
  return rc == SQLITE_ROW || rc == SQLITE_DONE || td_error_set_sqlite (error, book->db, rc, book->path);
}

static gboolean
bind_hash (sqlite3_stmt *stmt, int index, const char *hex)
{
  guint8 bytes[32];
  if (strlen (hex) != 64 || strspn (hex, "0123456789abcdef") != 64)
    return FALSE;
  for (gsize i = 0; i < sizeof bytes; i++)
    bytes[i] = g_ascii_xdigit_value (hex[2 * i]) << 4 | g_ascii_xdigit_value (hex[2 * i + 1]);
  return sqlite3_bind_blob (stmt, index, bytes, sizeof bytes, SQLITE_TRANSIENT) == SQLITE_OK;
}

static gboolean
bind_reference (TdBook *book, TdMasterKind kind, const char *slug, sqlite3_stmt *stmt, int index, const char *referred,
                GError **error)
{
  gint64 key = 0;
  g_autofree char *sql = g_strdup_printf ("SELECT id FROM %s WHERE slug = ?1", kinds[kind].referred);
  if (!find_key (book, sql, referred, NULL, &key, error))
    return FALSE;
  if (key == 0)
    return fail (error, TD_BOOK_ERROR_REFUSED, kind, slug, "refers to a row that neither it nor the book has");
  sqlite3_bind_int64 (stmt, index, key);
  return TRUE;
}

static gboolean
bind_column (TdBook *book, TdMasterKind kind, const char *slug, sqlite3_stmt *stmt, int index, const Column *column,
             const TdJson *body, GError **error)
{
  const TdJson *member = td_json_get_member (body, column->name);
  if (member == NULL)
    return TRUE;
  TdJsonType type = td_json_get_kind (member);
  if (type == TD_JSON_INTEGER && !column->hash && !is_reference (kind, column->name))
    return sqlite3_bind_int64 (stmt, index, td_json_get_integer (member)) == SQLITE_OK;
  if (type != TD_JSON_STRING)
    return fail (error, TD_BOOK_ERROR_REFUSED, kind, slug, "has a value of a wrong type");
  const char *text = td_json_get_string (member);
  if (is_reference (kind, column->name))
    return bind_reference (book, kind, slug, stmt, index, text, error);
  if (column->hash)
    return bind_hash (stmt, index, text) || fail (error, TD_BOOK_ERROR_REFUSED, kind, slug, "has a hash that is none");
  return sqlite3_bind_text (stmt, index, text, -1, SQLITE_TRANSIENT) == SQLITE_OK;
}

/* Parameters: the columns, then rev, deleted, and id or uuid, then of a new row the slug. */
static char *
make_write (TdMasterKind kind, const GArray *columns, gboolean update)
{
  GString *sql = g_string_new (NULL);
  GString *values = g_string_new (NULL);
  g_string_append_printf (sql, update ? "UPDATE %s SET " : "INSERT INTO %s (", kinds[kind].table);
  for (guint i = 0; i < columns->len; i++)
    {
      g_string_append_printf (sql, update ? "%s = ?, " : "%s, ", g_array_index (columns, Column, i).name);
      g_string_append (values, "?, ");
    }
  if (update)
    g_string_append (sql, "rev = ?, deleted = ? WHERE id = ?");
  else
    g_string_append_printf (sql, "rev, deleted%s%s) VALUES (%s?, ?%s%s)", kinds[kind].has_uuid ? ", uuid" : "",
                            kinds[kind].has_slug ? ", slug" : "", values->str, kinds[kind].has_uuid ? ", ?" : "",
                            kinds[kind].has_slug ? ", ?" : "");
  g_string_free (values, TRUE);
  return g_string_free (sql, FALSE);
}

/* Every member is a column, and "deleted" is 0 or 1. */
static gboolean
check_body (TdMasterKind kind, const char *slug, const TdJson *body, const GArray *columns, GError **error)
{
  const TdJson *deleted = td_json_get_kind (body) == TD_JSON_OBJECT ? td_json_get_member (body, "deleted") : NULL;
  if (deleted == NULL || td_json_get_kind (deleted) != TD_JSON_INTEGER)
    return fail (error, TD_BOOK_ERROR_REFUSED, kind, slug, "cannot be read");
  for (guint i = 0; i < td_json_get_length (body); i++)
    {
      gboolean known = strcmp (td_json_get_key (body, i), "deleted") == 0;
      for (guint k = 0; !known && k < columns->len; k++)
        known = strcmp (td_json_get_key (body, i), g_array_index (columns, Column, k).name) == 0;
      if (!known)
        return fail (error, TD_BOOK_ERROR_NEWER, kind, slug,
                     "says more than this program knows; install the newer version of it");
    }
  return TRUE;
}

/* A new row keeps the uuid that it has elsewhere, unless a pinned clock drew it twice. */
static gboolean
bind_new (TdBook *book, TdMasterKind kind, const char *slug, const TdUuid *uuid, sqlite3_stmt *stmt, int index,
          GError **error)
{
  gint64 taken = 0;
  g_autofree char *sql = g_strdup_printf ("SELECT 1 FROM %s WHERE uuid = ?1", kinds[kind].table);
  TdUuid chosen = uuid != NULL ? *uuid : td_clock_make_uuid (book->clock);
  if (kinds[kind].has_uuid)
    {
      do
        {
          if (taken != 0)
            chosen = td_clock_make_uuid (book->clock);
          if (!find_key (book, sql, NULL, &chosen, &taken, error))
            return FALSE;
        }
      while (taken != 0);
      sqlite3_bind_blob (stmt, index++, chosen.bytes, sizeof chosen.bytes, SQLITE_TRANSIENT);
    }
  if (kinds[kind].has_slug)
    sqlite3_bind_text (stmt, index, slug, -1, SQLITE_TRANSIENT);
  return TRUE;
}

/* Where the slug is made of columns, it must be the one that the row was sent under. */
static gboolean
check_slug (TdBook *book, TdMasterKind kind, const char *slug, gint64 id, GError **error)
{
  gint64 same = 0;
  g_autofree char *sql = g_strdup_printf ("SELECT 1 FROM %s WHERE id = %" G_GINT64_FORMAT " AND %s = ?1", kinds[kind].table,
                                          id, kinds[kind].slug);
  return find_key (book, sql, slug, NULL, &same, error) &&
         (same != 0 || fail (error, TD_BOOK_ERROR_REFUSED, kind, slug, "bears another row's name"));
}

gboolean
td_master_write (TdBook *book, TdMasterKind kind, const char *slug, const TdMasterRow *row, const TdJson *body, guint rev,
                 const TdUuid *uuid, gint64 *id_out, GError **error)
{
  td_book_assert_owner (book);
  g_assert (book->writing && (guint) kind < TD_N_MASTERS);
  g_autoptr (GArray) columns = list_columns (book, kind, error);
  if (columns == NULL || !check_body (kind, slug, body, columns, error))
    return FALSE;
  g_autofree char *sql = make_write (kind, columns, row != NULL);
  sqlite3_stmt *stmt = NULL;
  if (!prepare (book, sql, &stmt, error))
    return FALSE;
  td_cache_clear (book->cache);
  gboolean ok = TRUE;
  int n = columns->len;
  for (int i = 0; ok && i < n; i++)
    ok = bind_column (book, kind, slug, stmt, i + 1, &g_array_index (columns, Column, i), body, error);
  sqlite3_bind_int64 (stmt, n + 1, rev);
  sqlite3_bind_int64 (stmt, n + 2, td_json_get_integer (td_json_get_member (body, "deleted")));
  if (ok && row != NULL)
    sqlite3_bind_int64 (stmt, n + 3, row->id);
  else if (ok)
    ok = bind_new (book, kind, slug, uuid, stmt, n + 3, error);
  int rc = ok ? sqlite3_step (stmt) : SQLITE_DONE;
  sqlite3_finalize (stmt);
  if (ok && rc != SQLITE_DONE)
    ok = (rc & 0xff) == SQLITE_CONSTRAINT ? fail (error, TD_BOOK_ERROR_REFUSED, kind, slug, "does not fit into the book")
                                          : td_error_set_sqlite (error, book->db, rc, book->path);
  if (!ok)
    return FALSE;
  *id_out = row != NULL ? row->id : sqlite3_last_insert_rowid (book->db);
  return check_slug (book, kind, slug, *id_out, error);
}
