/* Taking a bundle in: whole or nothing. */
#include "store-bundle-private.h"

#include "store-cache.h"
#include "store-private.h"
#include "store-project.h"
#include "store-round.h"

#include "core-error.h"

#include <string.h>

void
td_bundle_conflict_free (TdBundleConflict *conflict)
{
  g_return_if_fail (conflict != NULL);
  g_free (conflict->kind);
  g_free (conflict->slug);
  g_free (conflict->kept);
  g_free (conflict->other);
  g_free (conflict);
}

void
td_bundle_sum_clear (TdBundleSum *sum)
{
  g_return_if_fail (sum != NULL);
  g_clear_pointer (&sum->sha256, g_free);
  g_clear_pointer (&sum->from, g_free);
  g_clear_pointer (&sum->conflicts, g_ptr_array_unref);
}

/* Who wrote it, when, and its hash. @device_out: of the writer. */
static gboolean
read_manifest (TdTaking *taking, TdUuid *device_out, GError **error)
{
  g_autofree char *device = td_bundle_get (taking->bundle, "device", error);
  g_autofree char *test = device != NULL ? td_bundle_get (taking->bundle, "test", error) : NULL;
  g_autofree char *written = test != NULL ? td_bundle_get (taking->bundle, "written_ms", error) : NULL;
  if (written == NULL)
    return FALSE;
  taking->sum->from = td_bundle_get (taking->bundle, "prefix", error);
  taking->sum->sha256 = taking->sum->from != NULL ? td_bundle_get (taking->bundle, "digest", error) : NULL;
  if (taking->sum->sha256 == NULL)
    return FALSE;
  taking->sum->test = strcmp (test, "1") == 0;
  taking->sum->written_ms = g_ascii_strtoll (written, NULL, 10);
  if (td_uuid_parse (device, device_out, NULL) && td_bundle_is_prefix (taking->sum->from) &&
      td_bundle_is_moment (taking->sum->written_ms) && strlen (taking->sum->sha256) == 64)
    return TRUE;
  return td_bundle_fail (error, TD_BOOK_ERROR_DAMAGED, taking->bundle->path,
                         "does not say who wrote it; nothing was taken in; ask for a new one");
}

static gboolean
check_test (TdTaking *taking, gboolean refuse_test, GError **error)
{
  if (!refuse_test || !taking->sum->test || taking->book->test)
    return TRUE;
  return td_bundle_fail (error, TD_BOOK_ERROR_REFUSED, taking->bundle->path,
                         "comes from a demonstration or test book, whose times may be made up; nothing was taken in");
}

static gboolean
find_bundle (TdTaking *taking, GError **error)
{
  g_autoptr (TdStatement) find = td_statement_get (taking->book, TD_SQL_FIND_BUNDLE, error);
  if (find == NULL)
    return FALSE;
  td_statement_bind_hash (find, ":sha256", taking->sum->sha256);
  TdStep step = td_statement_ask (find, error);
  taking->sum->again = step == TD_STEP_ROW;
  return step != TD_STEP_FAILED;
}

/* A prefix stands before report numbers, so it must mean one device only. */
static gboolean
take_device (TdTaking *taking, const TdUuid *id, const char *prefix, gint64 created_ms, GError **error)
{
  g_autoptr (TdStatement) find = td_statement_get (taking->book, TD_SQL_FIND_DEVICE_BY_UUID, error);
  g_autoptr (TdStatement) named = find ? td_statement_get (taking->book, TD_SQL_FIND_DEVICE, error) : NULL;
  g_autoptr (TdStatement) insert = named ? td_statement_get (taking->book, TD_SQL_INSERT_DEVICE, error) : NULL;
  if (insert == NULL)
    return FALSE;
  td_statement_bind_uuid (find, ":uuid", id);
  td_statement_bind_text (named, ":prefix", prefix);
  TdStep step = td_statement_ask (find, error);
  TdStep other = step == TD_STEP_DONE ? td_statement_ask (named, error) : TD_STEP_DONE;
  if (step == TD_STEP_FAILED || other == TD_STEP_FAILED)
    return FALSE;
  if (other == TD_STEP_ROW || (step == TD_STEP_ROW && strcmp (td_statement_get_text (find, 1), prefix) != 0))
    return td_bundle_fail (error, TD_BOOK_ERROR_CONFLICT, taking->bundle->path,
                           "comes from a copy whose report numbers begin with %s, as another's do in this book; nothing was "
                           "taken in; restore one of them, so that it gets a prefix of its own", prefix);
  if (step == TD_STEP_ROW)
    return TRUE;
  if (!td_bundle_is_prefix (prefix) || !td_bundle_is_moment (created_ms))
    return td_bundle_fail (error, TD_BOOK_ERROR_DAMAGED, taking->bundle->path,
                           "names a device in a way that cannot be read; nothing was taken in; ask for a new one");
  td_statement_bind_uuid (insert, ":uuid", id);
  td_statement_bind_text (insert, ":prefix", prefix);
  td_statement_bind_integer (insert, ":created_ms", created_ms);
  return td_statement_run (insert, error);
}

static gboolean
put_peer (TdTaking *taking, const TdUuid *peer, const TdUuid *device, gint64 number, GError **error)
{
  g_autoptr (TdStatement) put = td_statement_get (taking->book, TD_SQL_PUT_PEER, error);
  if (put == NULL)
    return FALSE;
  td_statement_bind_uuid (put, ":peer", peer);
  td_statement_bind_text (put, ":prefix", taking->sum->from);
  td_statement_bind_uuid (put, ":device", device);
  td_statement_bind_integer (put, ":number", number);
  return td_statement_run (put, error);
}

/* Devices, and how far the writer holds the visits of each, so that those need not be sent to it. */
static gboolean
take_devices (TdTaking *taking, const TdUuid *writer, GError **error)
{
  g_autoptr (TdStatement) row = td_statement_get (taking->bundle, TD_SQL_BUNDLE_LIST_DEVICES, error);
  if (row == NULL)
    return FALSE;
  TdStep step;
  while ((step = td_statement_step (row, error)) == TD_STEP_ROW)
    {
      TdUuid id = td_statement_get_uuid (row, 0);
      gint64 number = td_statement_get_integer (row, 3);
      if (!take_device (taking, &id, td_statement_get_text (row, 1), td_statement_get_integer (row, 2), error))
        return FALSE;
      if (number > 0 && !td_uuid_equal (writer, &taking->book->device.id) &&
          !put_peer (taking, writer, &id, number, error))
        return FALSE;
    }
  return step == TD_STEP_DONE;
}

static gboolean
check_note (TdTaking *taking, TdStatement *row, GError **error)
{
  gsize length = strlen (td_statement_get_text (row, 5));
  return (length > 0 && length <= TD_ROUND_REASON_MAX && *td_statement_get_text (row, 6) != '\0' &&
          td_bundle_is_day (td_statement_get_integer (row, 2)) && td_bundle_is_day (td_statement_get_integer (row, 3)) &&
          td_bundle_is_moment (td_statement_get_integer (row, 7))) ||
         td_bundle_fail (error, TD_BOOK_ERROR_DAMAGED, taking->bundle->path,
                         "brings a note of the round at “%s” that cannot be one (its day, reason or person); nothing was "
                         "taken in; ask for the bundle once more", td_statement_get_text (row, 1));
}

static gboolean
take_notes (TdTaking *taking, GError **error)
{
  g_autoptr (TdStatement) row = td_statement_get (taking->bundle, TD_SQL_BUNDLE_LIST_NOTES, error);
  g_autoptr (TdStatement) find = row ? td_statement_get (taking->book, TD_SQL_FIND_NOTE, error) : NULL;
  g_autoptr (TdStatement) insert = find ? td_statement_get (taking->book, TD_SQL_TAKE_NOTE, error) : NULL;
  if (insert == NULL)
    return FALSE;
  TdStep step;
  while ((step = td_statement_step (row, error)) == TD_STEP_ROW)
    {
      TdUuid id = td_statement_get_uuid (row, 0);
      td_statement_bind_uuid (find, ":uuid", &id);
      TdStep found = td_statement_ask (find, error);
      td_statement_rewind (find);
      if (found == TD_STEP_FAILED)
        return FALSE;
      taking->sum->rows.same += found == TD_STEP_ROW;
      if (found == TD_STEP_ROW)
        continue;
      if (!check_note (taking, row, error))
        return FALSE;
      td_statement_take_row (insert, row, 0);
      if (!td_statement_run (insert, error))
        return FALSE;
      taking->sum->rows.added++;
    }
  return step == TD_STEP_DONE;
}

/* Conflicts that were met elsewhere are to be seen here too. */
static gboolean
take_conflicts (TdTaking *taking, GError **error)
{
  g_autoptr (TdStatement) row = td_statement_get (taking->bundle, TD_SQL_BUNDLE_LIST_CONFLICTS, error);
  g_autoptr (TdStatement) insert = row ? td_statement_get (taking->book, TD_SQL_TAKE_CONFLICT, error) : NULL;
  if (insert == NULL)
    return FALSE;
  TdStep step;
  while ((step = td_statement_step (row, error)) == TD_STEP_ROW)
    {
      gint64 kept = td_statement_get_integer (row, 4), other = td_statement_get_integer (row, 5);
      if (kept < 0 || kept > G_MAXINT32 || other < 0 || other > G_MAXINT32 ||
          !td_bundle_is_moment (td_statement_get_integer (row, 8)))
        return td_bundle_fail (error, TD_BOOK_ERROR_DAMAGED, taking->bundle->path,
                               "brings a conflict that cannot be read; nothing was taken in; ask for the bundle once more");
      td_statement_take_row (insert, row, 0);
      if (!td_statement_run (insert, error))
        return FALSE;
    }
  return step == TD_STEP_DONE;
}

static gboolean
remember (TdTaking *taking, const TdUuid *device, GError **error)
{
  g_autoptr (TdStatement) insert = td_statement_get (taking->book, TD_SQL_INSERT_BUNDLE, error);
  if (insert == NULL)
    return FALSE;
  td_statement_bind_hash (insert, ":sha256", taking->sum->sha256);
  td_statement_bind_uuid (insert, ":device", device);
  td_statement_bind_text (insert, ":prefix", taking->sum->from);
  td_statement_bind_integer (insert, ":written_ms", taking->sum->written_ms);
  td_statement_bind_integer (insert, ":taken_ms", td_clock_get_now_ms (taking->book->clock));
  td_statement_bind_integer (insert, ":visits", taking->sum->visits);
  return td_statement_run (insert, error);
}

static gboolean
take (TdTaking *taking, const TdUuid *device, GError **error)
{
  if (!td_cache_refresh (taking->book, error) || !find_bundle (taking, error))
    return FALSE;
  if (taking->sum->again)
    return TRUE;
  td_cache_clear (taking->book->cache);
  if (!take_devices (taking, device, error) || !td_bundle_take_masters (taking, error) ||
      !td_bundle_take_agreements (taking, error) || !td_bundle_take_visits (taking, error) ||
      !take_notes (taking, error) || !take_conflicts (taking, error))
    return FALSE;
  td_cache_clear (taking->book->cache);
  return td_project_open_visits (taking->book, error) && remember (taking, device, error);
}

static gboolean
take_whole (TdTaking *taking, gboolean refuse_test, GError **error)
{
  TdUuid device;
  if (!read_manifest (taking, &device, error) || !check_test (taking, refuse_test, error) ||
      !td_book_begin (taking->book, error))
    return FALSE;
  if (take (taking, &device, error))
    return td_book_commit (taking->book, error);
  td_book_rollback (taking->book);
  return FALSE;
}

gboolean
td_book_read_bundle (TdBook *book, const char *path, gboolean refuse_test, TdBundleSum *sum_out, GError **error)
{
  td_book_assert_owner (book);
  g_return_val_if_fail (path != NULL, FALSE);
  g_auto (TdBundleSum) sum = { .conflicts = g_ptr_array_new_with_free_func ((GDestroyNotify) td_bundle_conflict_free) };
  TdTaking taking = { book, td_bundle_open (path, error), &sum };
  if (taking.bundle == NULL)
    return FALSE;
  gboolean ok = take_whole (&taking, refuse_test, error);
  td_bundle_close (taking.bundle);
  if (ok && sum_out != NULL)
    {
      *sum_out = sum;
      memset (&sum, 0, sizeof sum);
    }
  return ok;
}

GPtrArray *
td_book_list_conflicts (TdBook *book, GError **error)
{
  td_book_assert_owner (book);
  g_autoptr (GPtrArray) conflicts = g_ptr_array_new_with_free_func ((GDestroyNotify) td_bundle_conflict_free);
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_LIST_CONFLICTS, error);
  if (row == NULL)
    return NULL;
  TdStep step;
  while ((step = td_statement_step (row, error)) == TD_STEP_ROW)
    {
      TdBundleConflict *conflict = g_new0 (TdBundleConflict, 1);
      conflict->kind = td_statement_dup_text (row, 0);
      conflict->slug = td_statement_dup_text (row, 1);
      conflict->kept_rev = td_statement_get_integer (row, 2);
      conflict->other_rev = td_statement_get_integer (row, 3);
      conflict->kept = td_statement_dup_text (row, 4);
      conflict->other = td_statement_dup_text (row, 5);
      conflict->met_ms = td_statement_get_integer (row, 6);
      g_ptr_array_add (conflicts, conflict);
    }
  return step == TD_STEP_DONE ? g_steal_pointer (&conflicts) : NULL;
}
