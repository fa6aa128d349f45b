/* Writing a bundle. */
#include "store-bundle-private.h"

#include "store-file.h"
#include "store-keys.h"
#include "store-migrate.h"
#include "store-private.h"

#include <string.h>

typedef struct
{
  TdBook *book;     /* within its read */
  TdBundle *bundle;
  const TdBundleOut *options;
  TdBundleSum *sum;
} Giving;

/* Copies what @from gives; @visit: (nullable): bound to ":visit". @n_out: (optional): rows. */
static gboolean
copy (Giving *giving, TdSql from, TdSql to, const TdUuid *visit, guint *n_out, GError **error)
{
  g_autoptr (TdStatement) row = td_statement_get (giving->book, from, error);
  g_autoptr (TdStatement) insert = row ? td_statement_get (giving->bundle, to, error) : NULL;
  if (insert == NULL)
    return FALSE;
  if (visit != NULL)
    td_statement_bind_uuid (row, ":visit", visit);
  TdStep step;
  while ((step = td_statement_step (row, error)) == TD_STEP_ROW)
    {
      td_statement_take_row (insert, row, 0);
      if (!td_statement_run (insert, error))
        return FALSE;
      if (n_out != NULL)
        (*n_out)++;
    }
  return step == TD_STEP_DONE;
}

static gboolean
give_kind (Giving *giving, TdMasterKind kind, GError **error)
{
  g_autoptr (GHashTable) rows = td_master_read (giving->book, kind, error);
  g_autoptr (TdStatement) insert = rows ? td_statement_get (giving->bundle, TD_SQL_BUNDLE_INSERT_MASTER, error) : NULL;
  if (insert == NULL)
    return FALSE;
  GHashTableIter iter;
  gpointer slug, value;
  g_hash_table_iter_init (&iter, rows);
  while (g_hash_table_iter_next (&iter, &slug, &value))
    {
      const TdMasterRow *row = value;
      const TdUuid none = { { 0 } };
      if (td_master_is_empty (row->body))
        continue;
      td_statement_bind_text (insert, ":kind", td_master_kind_to_text (kind));
      td_statement_bind_text (insert, ":slug", slug);
      if (td_uuid_equal (&row->uuid, &none))
        td_statement_bind_null (insert, ":uuid");
      else
        td_statement_bind_uuid (insert, ":uuid", &row->uuid);
      td_statement_bind_integer (insert, ":rev", row->rev);
      td_statement_bind_text (insert, ":body", row->body);
      if (!td_statement_run (insert, error))
        return FALSE;
      giving->sum->rows.added++;
    }
  return TRUE;
}

static gboolean
give_masters (Giving *giving, GError **error)
{
  for (guint kind = 0; kind < TD_N_MASTERS; kind++)
    if (!give_kind (giving, kind, error))
      return FALSE;
  return copy (giving, TD_SQL_OUT_VERSIONS, TD_SQL_BUNDLE_INSERT_VERSION, NULL, NULL, error) &&
         copy (giving, TD_SQL_OUT_CONFLICTS, TD_SQL_BUNDLE_INSERT_CONFLICT, NULL, NULL, error) &&
         copy (giving, TD_SQL_OUT_SHEETS, TD_SQL_BUNDLE_INSERT_SHEET, NULL, NULL, error) &&
         copy (giving, TD_SQL_OUT_SITE_SHEETS, TD_SQL_BUNDLE_INSERT_SITE_SHEET, NULL, NULL, error) &&
         copy (giving, TD_SQL_OUT_AGREEMENTS, TD_SQL_BUNDLE_INSERT_AGREEMENT, NULL, &giving->sum->rows.added, error) &&
         copy (giving, TD_SQL_OUT_NOTES, TD_SQL_BUNDLE_INSERT_NOTE, NULL, &giving->sum->rows.added, error);
}

typedef struct
{
  TdUuid id;
  char *prefix;
} Peer;

static void
clear_peer (gpointer data)
{
  g_free (((Peer *) data)->prefix);
}

/* Those whose lack decides what goes. */
static GArray *
list_peers (Giving *giving, GError **error)
{
  g_autoptr (GArray) peers = g_array_new (FALSE, FALSE, sizeof (Peer));
  g_array_set_clear_func (peers, clear_peer);
  g_autoptr (TdStatement) row = td_statement_get (giving->book, TD_SQL_LIST_PEERS, error);
  if (row == NULL)
    return NULL;
  TdStep step;
  while ((step = td_statement_step (row, error)) == TD_STEP_ROW)
    {
      Peer peer = { td_statement_get_uuid (row, 0), td_statement_dup_text (row, 1) };
      if (giving->options->to == NULL || strcmp (giving->options->to, peer.prefix) == 0)
        g_array_append_val (peers, peer);
      else
        clear_peer (&peer);
    }
  if (step == TD_STEP_DONE && giving->options->to != NULL && peers->len == 0)
    {
      g_set_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_MISSING,
                   "No bundle of a copy %s has been read yet, so it is not known what it lacks; nothing was written; "
                   "leave its name out", giving->options->to);
      return NULL;
    }
  return step == TD_STEP_DONE ? g_steal_pointer (&peers) : NULL;
}

/* @after_out: the last number of the device that all of @peers hold. */
static gboolean
find_common (Giving *giving, const GArray *peers, const TdUuid *device, gint64 *after_out, GError **error)
{
  g_autoptr (TdStatement) find = td_statement_get (giving->book, TD_SQL_SELECT_PEER_NUMBER, error);
  if (find == NULL)
    return FALSE;
  *after_out = peers->len > 0 && !giving->options->all ? G_MAXINT64 : 0;
  for (guint i = 0; i < peers->len && *after_out > 0; i++)
    {
      td_statement_rewind (find);
      td_statement_bind_uuid (find, ":peer", &g_array_index (peers, Peer, i).id);
      td_statement_bind_uuid (find, ":device", device);
      TdStep step = td_statement_ask (find, error);
      if (step == TD_STEP_FAILED)
        return FALSE;
      *after_out = MIN (*after_out, step == TD_STEP_ROW ? td_statement_get_integer (find, 0) : 0);
    }
  return TRUE;
}

/* The pictures that the visit's entries name. */
static gboolean
give_photos (Giving *giving, const TdUuid *visit, GError **error)
{
  g_autoptr (TdStatement) photo = td_statement_get (giving->book, TD_SQL_OUT_PHOTOS, error);
  g_autoptr (TdStatement) row = photo ? td_statement_get (giving->book, TD_SQL_OUT_ATTACHMENT, error) : NULL;
  g_autoptr (TdStatement) insert = row ? td_statement_get (giving->bundle, TD_SQL_BUNDLE_INSERT_ATTACHMENT, error) : NULL;
  if (insert == NULL)
    return FALSE;
  td_statement_bind_uuid (photo, ":visit", visit);
  TdStep step;
  while ((step = td_statement_step (photo, error)) == TD_STEP_ROW)
    {
      if (strlen (td_statement_get_text (photo, 0)) != 64)
        continue; /* voided before it had a picture, or damaged: the check of the visit tells */
      td_statement_rewind (row);
      td_statement_bind_hash (row, ":sha256", td_statement_get_text (photo, 0));
      TdStep found = td_statement_ask (row, error);
      if (found == TD_STEP_FAILED)
        return FALSE;
      if (found == TD_STEP_DONE)
        continue;
      td_statement_take_row (insert, row, 0);
      if (!td_statement_run (insert, error))
        return FALSE;
      giving->sum->attachments++;
    }
  return step == TD_STEP_DONE;
}

static gboolean
give_visits (Giving *giving, const TdUuid *device, gint64 after, GError **error)
{
  g_autoptr (TdStatement) row = td_statement_get (giving->book, TD_SQL_OUT_VISITS, error);
  g_autoptr (TdStatement) insert = row ? td_statement_get (giving->bundle, TD_SQL_BUNDLE_INSERT_VISIT, error) : NULL;
  if (insert == NULL)
    return FALSE;
  td_statement_bind_uuid (row, ":device", device);
  td_statement_bind_integer (row, ":after", after);
  TdStep step;
  while ((step = td_statement_step (row, error)) == TD_STEP_ROW)
    {
      TdUuid visit = td_statement_get_uuid (row, 0);
      td_statement_take_row (insert, row, 0);
      if (!td_statement_run (insert, error) ||
          !copy (giving, TD_SQL_OUT_ENTRIES, TD_SQL_BUNDLE_INSERT_ENTRY, &visit, NULL, error) ||
          !give_photos (giving, &visit, error))
        return FALSE;
      giving->sum->visits++;
    }
  return step == TD_STEP_DONE;
}

static gboolean
give_all_visits (Giving *giving, GError **error)
{
  g_autoptr (GArray) peers = list_peers (giving, error);
  g_autoptr (GArray) devices = peers ? td_keys_list_uuids (giving->book, TD_SQL_LIST_DEVICE_IDS, error) : NULL;
  if (devices == NULL)
    return FALSE;
  for (guint i = 0; i < devices->len && !giving->options->masters_only; i++)
    {
      gint64 after = 0;
      const TdUuid *device = &g_array_index (devices, TdUuid, i);
      if (!find_common (giving, peers, device, &after, error) || !give_visits (giving, device, after, error))
        return FALSE;
    }
  return TRUE;
}

static gboolean
give_manifest (Giving *giving, GError **error)
{
  TdBook *book = giving->book;
  TdBundleSum *sum = giving->sum;
  g_autofree char *book_id = td_uuid_to_text (&book->id);
  g_autofree char *device_id = td_uuid_to_text (&book->device.id);
  g_autofree char *version = g_strdup_printf ("%u", td_migrate_get_version ());
  sum->from = g_strdup (book->device.prefix);
  sum->test = book->test;
  sum->written_ms = td_clock_get_now_ms (book->clock);
  g_autofree char *written = g_strdup_printf ("%" G_GINT64_FORMAT, sum->written_ms);
  g_autofree char *visits = g_strdup_printf ("%u", sum->visits);
  return td_bundle_put (giving->bundle, "format", TD_BUNDLE_FORMAT, error) &&
         td_bundle_put (giving->bundle, "book", book_id, error) &&
         td_bundle_put (giving->bundle, "book_version", version, error) &&
         td_bundle_put (giving->bundle, "device", device_id, error) &&
         td_bundle_put (giving->bundle, "prefix", book->device.prefix, error) &&
         td_bundle_put (giving->bundle, "test", book->test ? "1" : "0", error) &&
         td_bundle_put (giving->bundle, "visits", visits, error) &&
         td_bundle_put (giving->bundle, "written_ms", written, error);
}

static gboolean
give (Giving *giving, GError **error)
{
  if (!td_book_begin_read (giving->book, error))
    return FALSE;
  gboolean ok = copy (giving, TD_SQL_OUT_DEVICES, TD_SQL_BUNDLE_INSERT_DEVICE, NULL, NULL, error) &&
                give_masters (giving, error) && give_all_visits (giving, error) && give_manifest (giving, error) &&
                td_bundle_seal (giving->bundle, &giving->sum->sha256, error);
  td_book_end_read (giving->book);
  return ok;
}

/* The versions of master rows that are about to be seen by others are noted, so that the book knows them again
 * as its own past. */
static gboolean
note_versions (TdBook *book, GError **error)
{
  if (!td_book_begin (book, error))
    return FALSE;
  if (td_bundle_note_versions (book, error))
    return td_book_commit (book, error);
  td_book_rollback (book);
  return FALSE;
}

/* Reads back what was written, as the other side will. */
static gboolean
verify (const char *temporary, const char *sha256, GError **error)
{
  TdBundle *bundle = td_bundle_open (temporary, error);
  if (bundle == NULL)
    return FALSE;
  g_autofree char *digest = td_bundle_get (bundle, "digest", error);
  td_bundle_close (bundle);
  return digest != NULL && (strcmp (digest, sha256) == 0 ||
                            td_bundle_fail (error, TD_BOOK_ERROR_DAMAGED, temporary,
                                            "read back otherwise than it was written; do it again, and look after the disk"));
}

static gboolean
fill (Giving *giving, const char *temporary, GError **error)
{
  giving->bundle = td_bundle_create (temporary, error);
  if (giving->bundle == NULL)
    return FALSE;
  gboolean ok = give (giving, error);
  td_bundle_close (giving->bundle);
  return ok && verify (temporary, giving->sum->sha256, error);
}

gboolean
td_book_write_bundle (TdBook *book, const char *path, const TdBundleOut *options, TdBundleSum *sum_out, GError **error)
{
  static const TdBundleOut standard = { 0 };
  td_book_assert_owner (book);
  g_return_val_if_fail (path != NULL, FALSE);
  g_auto (TdBundleSum) sum = { .conflicts = g_ptr_array_new_with_free_func ((GDestroyNotify) td_bundle_conflict_free) };
  g_autofree char *full = g_canonicalize_filename (path, NULL);
  Giving giving = { book, NULL, options != NULL ? options : &standard, &sum };
  if (!td_bundle_may_replace (full, error) || !note_versions (book, error))
    return FALSE;
  g_autofree char *temporary = td_file_make_temporary (full, error);
  if (temporary == NULL)
    return FALSE;
  if (!fill (&giving, temporary, error) || !td_file_publish (temporary, full, TRUE, error))
    {
      td_file_discard (temporary);
      return FALSE;
    }
  if (sum_out != NULL)
    {
      *sum_out = sum;
      memset (&sum, 0, sizeof sum);
    }
  return TRUE;
}
