#include "store-migrate.h"

#include "store-file.h"
#include "store-private.h"
#include "store-resource.h"

#include <gio/gio.h>
#include <stdlib.h>

#define SQL_PATH "/com/example/Tundish/store/sql"

static int
compare_names (gconstpointer a, gconstpointer b)
{
  return g_strcmp0 (*(const char *const *) a, *(const char *const *) b);
}

/* File names in order; their leading number is their version. */
static char **
list_names (guint *n_out)
{
  GError *error = NULL;
  char **names = g_resource_enumerate_children (td_store_get_resource (), SQL_PATH, 0, &error);
  g_assert_no_error (error);
  guint n = g_strv_length (names);
  qsort (names, n, sizeof *names, compare_names);
  for (guint i = 0; i < n; i++)
    g_assert (g_ascii_strtoull (names[i], NULL, 10) == i + 1);
  *n_out = n;
  return names;
}

guint
td_migrate_get_version (void)
{
  guint n = 0;
  g_auto (GStrv) names G_GNUC_UNUSED = list_names (&n);
  g_assert (n >= 1);
  return n;
}

char *
td_migrate_get_sql (guint version)
{
  guint n = 0;
  GError *error = NULL;
  g_auto (GStrv) names = list_names (&n);
  g_return_val_if_fail (version >= 1 && version <= n, NULL);
  g_autofree char *path = g_strconcat (SQL_PATH "/", names[version - 1], NULL);
  g_autoptr (GBytes) bytes = g_resource_lookup_data (td_store_get_resource (), path, 0, &error);
  g_assert_no_error (error);
  return g_strndup (g_bytes_get_data (bytes, NULL), g_bytes_get_size (bytes));
}

char **
td_migrate_get_all (void)
{
  guint n = td_migrate_get_version ();
  char **scripts = g_new0 (char *, n + 1);
  for (guint i = 0; i < n; i++)
    scripts[i] = td_migrate_get_sql (i + 1);
  return scripts;
}

static gboolean
check_references (sqlite3 *db, const char *path, GError **error)
{
  gint64 broken = 0;
  if (!td_connect_ask (db, path, "SELECT count (*) FROM pragma_foreign_key_check", &broken, error))
    return FALSE;
  return broken == 0 || td_error_set_sqlite (error, NULL, SQLITE_CORRUPT, path);
}

static gboolean
run_scripts (sqlite3 *db, const char *path, const char *const *scripts, GError **error)
{
  gint64 version = 0;
  guint n = g_strv_length ((char **) scripts);
  /* Asked again under the lock: another program may have been quicker. */
  if (!td_connect_ask (db, path, "PRAGMA user_version", &version, error))
    return FALSE;
  g_assert (version >= 0);
  for (guint i = version; i < n; i++)
    {
      g_autofree char *mark = g_strdup_printf ("PRAGMA user_version = %u", i + 1);
      if (!td_connect_run (db, path, scripts[i], error) || !td_connect_run (db, path, mark, error))
        return FALSE;
    }
  return check_references (db, path, error);
}

gboolean
td_migrate_run (sqlite3 *db, const char *path, const char *const *scripts, GError **error)
{
  g_assert (db != NULL && scripts != NULL);
  /* A migration may make a table anew; its references are looked at as a whole at the end.  The pragma
   * is silently without effect inside a transaction, so it stands outside. */
  if (!td_connect_run (db, path, "PRAGMA foreign_keys = OFF", error) ||
      !td_connect_run (db, path, "BEGIN IMMEDIATE", error))
    return FALSE;
  gboolean ok = run_scripts (db, path, scripts, error) && td_connect_run (db, path, "COMMIT", error);
  if (!ok && !sqlite3_get_autocommit (db))
    sqlite3_exec (db, "ROLLBACK", NULL, NULL, NULL);
  return td_connect_run (db, path, "PRAGMA foreign_keys = ON", ok ? error : NULL) && ok;
}

gboolean
td_migrate_old (sqlite3 *db, const char *path, int version, const char *const *scripts, GError **error)
{
  g_assert (version >= 1 && version < (int) g_strv_length ((char **) scripts));
  g_autofree char *ending = g_strdup_printf (".version-%d", version);
  g_autofree char *copy = td_file_find_free (path, ending);
  return td_backup_connection (db, path, copy, FALSE, error) && td_migrate_run (db, path, scripts, error);
}
