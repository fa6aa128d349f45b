/* Closed visits out of a bundle: nothing of one is believed that was not worked out again here. */
#include "store-bundle-private.h"

#include "store-attachment.h"
#include "store-check-private.h"
#include "store-photo.h"
#include "store-project.h"
#include "store-state.h"

#include <string.h>

typedef struct
{
  TdUuid id, device, closed_on, amends;
  gboolean is_amendment;
  char *site;
  char *sheet;
  gint64 number;
  char *previous; /* NULL for the first of its device */
  char *seal;
  gint64 at; /* entries that the book has already */
} Sealed;

static void
clear_sealed (gpointer data)
{
  Sealed *visit = data;
  g_free (visit->site);
  g_free (visit->sheet);
  g_free (visit->previous);
  g_free (visit->seal);
}

static gboolean
fail (TdTaking *taking, const Sealed *visit, TdBookError code, const char *text, GError **error)
{
  g_autofree char *id = td_uuid_to_text (&visit->id);
  return td_bundle_fail (error, code, taking->bundle->path, "brings the visit %s, %s; nothing was taken in", id, text);
}

static GArray *
list_visits (TdTaking *taking, GError **error)
{
  g_autoptr (GArray) visits = g_array_new (FALSE, TRUE, sizeof (Sealed));
  g_array_set_clear_func (visits, clear_sealed);
  g_autoptr (TdStatement) row = td_statement_get (taking->bundle, TD_SQL_BUNDLE_LIST_VISITS, error);
  if (row == NULL)
    return NULL;
  TdStep step;
  while ((step = td_statement_step (row, error)) == TD_STEP_ROW)
    {
      Sealed visit = { .id = td_statement_get_uuid (row, 0),
                       .site = td_statement_dup_text (row, 1),
                       .sheet = td_statement_get_hash (row, 2),
                       .device = td_statement_get_uuid (row, 3),
                       .amends = td_statement_get_uuid (row, 4),
                       .is_amendment = !td_statement_is_null (row, 4),
                       .closed_on = td_statement_get_uuid (row, 5),
                       .number = td_statement_get_integer (row, 6),
                       .previous = td_statement_get_hash (row, 7),
                       .seal = td_statement_get_hash (row, 8) };
      g_array_append_val (visits, visit);
      if (visit.sheet == NULL || visit.seal == NULL || visit.number < 1)
        {
          fail (taking, &visit, TD_BOOK_ERROR_DAMAGED, "which cannot be read", error);
          return NULL;
        }
    }
  return step == TD_STEP_DONE ? g_steal_pointer (&visits) : NULL;
}

typedef struct
{
  gint64 key;
  char *seal; /* NULL while open */
  gint64 entries;
  TdUuid device;
  gint64 number;
} Known;

static void
clear_known (Known *known)
{
  g_free (known->seal);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Known, clear_known)

static gboolean
find_visit (TdBook *book, const TdUuid *id, Known *known_out, GError **error)
{
  g_autoptr (TdStatement) find = td_statement_get (book, TD_SQL_FIND_VISIT_KEYS, error);
  if (find == NULL)
    return FALSE;
  td_statement_bind_uuid (find, ":uuid", id);
  TdStep step = td_statement_ask (find, error);
  if (step == TD_STEP_ROW)
    *known_out = (Known) { td_statement_get_integer (find, 0), td_statement_get_hash (find, 1),
                           td_statement_get_integer (find, 2), td_statement_get_uuid (find, 3),
                           td_statement_get_integer (find, 4) };
  return step != TD_STEP_FAILED;
}

/* @seal_out: (transfer full): of that report number, NULL where the book does not have it. */
static gboolean
find_seal (TdBook *book, const TdUuid *device, gint64 number, char **seal_out, GError **error)
{
  g_autoptr (TdStatement) find = td_statement_get (book, TD_SQL_FIND_SEAL_NUMBER, error);
  if (find == NULL)
    return FALSE;
  td_statement_bind_uuid (find, ":device", device);
  td_statement_bind_integer (find, ":number", number);
  TdStep step = td_statement_ask (find, error);
  *seal_out = step == TD_STEP_ROW ? td_statement_get_hash (find, 0) : NULL;
  return step != TD_STEP_FAILED;
}

/* The number is free, and the one before is there and is what this one is chained to. */
static gboolean
check_chain (TdTaking *taking, const Sealed *visit, GError **error)
{
  g_autofree char *same = NULL;
  g_autofree char *before = NULL;
  if (!find_seal (taking->book, &visit->closed_on, visit->number, &same, error) ||
      (visit->number > 1 && !find_seal (taking->book, &visit->closed_on, visit->number - 1, &before, error)))
    return FALSE;
  if (same != NULL)
    return fail (taking, visit, TD_BOOK_ERROR_CONFLICT,
                 "whose report number is another visit's in this book; two copies of one book were worked in that were not "
                 "made by restoring; restore one of them, so that it gets numbers of its own", error);
  if (visit->number > 1 && before == NULL)
    return fail (taking, visit, TD_BOOK_ERROR_MISSING,
                 "but visits that were sealed before it are neither in it nor in this book; ask for a bundle with all visits",
                 error);
  return g_strcmp0 (before, visit->previous) == 0 ||
         fail (taking, visit, TD_BOOK_ERROR_CONFLICT, "which is chained to another seal than the one in this book", error);
}

/* The visit that it amends is sealed here, and no other amends it. @ready_out: FALSE while it is not there. */
static gboolean
check_amended (TdTaking *taking, const Sealed *visit, gboolean *ready_out, GError **error)
{
  g_auto (Known) amended = { 0 };
  *ready_out = TRUE;
  if (!visit->is_amendment)
    return TRUE;
  if (!find_visit (taking->book, &visit->amends, &amended, error))
    return FALSE;
  *ready_out = amended.seal != NULL;
  if (!*ready_out)
    return TRUE;
  g_autoptr (TdStatement) other = td_statement_get (taking->book, TD_SQL_FIND_AMENDMENT, error);
  g_auto (Known) own = { 0 };
  if (other == NULL || !find_visit (taking->book, &visit->id, &own, error))
    return FALSE;
  td_statement_bind_integer (other, ":amends", amended.key);
  TdStep step = td_statement_ask (other, error);
  if (step == TD_STEP_ROW && td_statement_get_integer (other, 0) != own.key)
    return fail (taking, visit, TD_BOOK_ERROR_CONFLICT,
                 "which amends a visit that this book has amended too; one of the two must amend the other's amendment",
                 error);
  return step != TD_STEP_FAILED;
}

/* What the book has of the open visit is how it begins in the bundle. */
static gboolean
check_beginning (TdTaking *taking, const Sealed *visit, gint64 key, GError **error)
{
  g_autoptr (TdStatement) theirs = td_statement_get (taking->bundle, TD_SQL_BUNDLE_LIST_ENTRIES, error);
  g_autoptr (TdStatement) ours = theirs ? td_statement_get (taking->book, TD_SQL_SELECT_ENTRY_DIGEST, error) : NULL;
  if (ours == NULL)
    return FALSE;
  td_statement_bind_uuid (theirs, ":visit", &visit->id);
  for (gint64 seq = 1; seq <= visit->at; seq++)
    {
      td_statement_rewind (ours);
      td_statement_bind_integer (ours, ":visit", key);
      td_statement_bind_integer (ours, ":seq", seq);
      TdStep step = td_statement_step (theirs, error);
      if (step == TD_STEP_FAILED || td_statement_ask (ours, error) != TD_STEP_ROW)
        return FALSE;
      g_autofree char *a = step == TD_STEP_ROW ? td_statement_get_hash (theirs, 13) : NULL;
      g_autofree char *b = td_statement_get_hash (ours, 0);
      if (g_strcmp0 (a, b) != 0)
        return fail (taking, visit, TD_BOOK_ERROR_CONFLICT,
                     "which went on in this book otherwise than where it was closed", error);
    }
  return TRUE;
}

static gboolean
insert_visit (TdTaking *taking, const Sealed *visit, GError **error)
{
  g_autoptr (TdStatement) insert = td_statement_get (taking->book, TD_SQL_TAKE_VISIT, error);
  if (insert == NULL || !td_bundle_take_sheet (taking, visit->sheet, error))
    return FALSE;
  td_statement_bind_uuid (insert, ":uuid", &visit->id);
  td_statement_bind_text (insert, ":site", visit->site);
  td_statement_bind_hash (insert, ":sheet", visit->sheet);
  td_statement_bind_uuid (insert, ":device", &visit->device);
  if (visit->is_amendment)
    td_statement_bind_uuid (insert, ":amends", &visit->amends);
  return td_statement_run (insert, error);
}

static gboolean
insert_entries (TdTaking *taking, const Sealed *visit, GError **error)
{
  g_autoptr (TdStatement) row = td_statement_get (taking->bundle, TD_SQL_BUNDLE_LIST_ENTRIES, error);
  g_autoptr (TdStatement) insert = row ? td_statement_get (taking->book, TD_SQL_TAKE_ENTRY, error) : NULL;
  if (insert == NULL)
    return FALSE;
  td_statement_bind_uuid (row, ":visit", &visit->id);
  TdStep step;
  while ((step = td_statement_step (row, error)) == TD_STEP_ROW)
    {
      if (td_statement_get_integer (row, 1) <= visit->at)
        continue;
      td_statement_take_row (insert, row, 0);
      if (!td_statement_run (insert, error))
        return FALSE;
    }
  return step == TD_STEP_DONE;
}

static gboolean
insert_seal (TdTaking *taking, const Sealed *visit, GError **error)
{
  g_autoptr (TdStatement) insert = td_statement_get (taking->book, TD_SQL_TAKE_SEAL, error);
  if (insert == NULL)
    return FALSE;
  td_statement_bind_uuid (insert, ":device", &visit->closed_on);
  td_statement_bind_integer (insert, ":number", visit->number);
  td_statement_bind_uuid (insert, ":visit", &visit->id);
  td_statement_bind_hash (insert, ":previous", visit->previous);
  td_statement_bind_hash (insert, ":seal", visit->seal);
  return td_statement_run (insert, error);
}

/* Reads it back as any other closed visit: digests, fold, seal, snapshot, findings, pictures. */
static gboolean
verify (TdTaking *taking, const Sealed *visit, GError **error)
{
  g_autoptr (TdVisitState) state = NULL;
  TdChecking checking = { 0 };
  if (!td_visit_state_load (taking->book, &visit->id, &state, error))
    return FALSE;
  g_assert (state != NULL);
  gboolean ok = td_check_visit (taking->book, state, &checking, error);
  if (ok && checking.failure != NULL)
    {
      ok = td_bundle_fail (error, TD_BOOK_ERROR_DAMAGED, taking->bundle->path,
                           "brings a visit that does not hold together (%s); nothing was taken in; ask for the bundle once "
                           "more, and let the book that it came from be checked", checking.failure);
    }
  g_free (checking.failure);
  return ok && td_project_visit (taking->book, state, error);
}

/* What the triggers of the book refuse is told as what it is. */
static gboolean
write_visit (TdTaking *taking, Sealed *visit, gint64 key, GError **error)
{
  g_autoptr (GError) why = NULL;
  if (key != 0 && !check_beginning (taking, visit, key, error))
    return FALSE;
  if ((key != 0 || insert_visit (taking, visit, &why)) && insert_entries (taking, visit, &why) &&
      insert_seal (taking, visit, &why))
    return verify (taking, visit, error);
  if (g_error_matches (why, TD_BOOK_ERROR, TD_BOOK_ERROR_REFUSED))
    return fail (taking, visit, TD_BOOK_ERROR_DAMAGED, "which does not hold together; ask for the bundle once more", error);
  g_propagate_error (error, g_steal_pointer (&why));
  return FALSE;
}

/* @done_out: FALSE where it waits for the visit that it amends. */
static gboolean
take_visit (TdTaking *taking, Sealed *visit, gboolean *done_out, GError **error)
{
  g_auto (Known) known = { 0 };
  *done_out = TRUE;
  if (!find_visit (taking->book, &visit->id, &known, error))
    return FALSE;
  if (known.seal != NULL)
    {
      taking->sum->known++;
      return (strcmp (known.seal, visit->seal) == 0 && known.number == visit->number &&
              td_uuid_equal (&known.device, &visit->closed_on)) ||
             fail (taking, visit, TD_BOOK_ERROR_CONFLICT, "which is sealed otherwise in this book", error);
    }
  visit->at = known.entries;
  if (!check_chain (taking, visit, error) || !check_amended (taking, visit, done_out, error))
    return FALSE;
  if (!*done_out)
    return TRUE;
  taking->sum->visits++;
  return write_visit (taking, visit, known.key, error);
}

/* Every device's chain as far as it goes; an amendment waits for what it amends, which another chain may bring.
 * @next: where each chain stands. */
static gboolean
take_chains (TdTaking *taking, GArray *visits, gboolean *left_out, gboolean *moved_out, guint8 *done, GError **error)
{
  gboolean stuck = FALSE;
  *left_out = *moved_out = FALSE;
  for (guint i = 0; i < visits->len; i++)
    {
      Sealed *visit = &g_array_index (visits, Sealed, i);
      gboolean taken = FALSE;
      /* In the order of device, then number: one that waits holds up those after it in its chain. */
      if (i > 0 && !td_uuid_equal (&visit->closed_on, &g_array_index (visits, Sealed, i - 1).closed_on))
        stuck = FALSE;
      if (done[i] || stuck)
        {
          *left_out |= stuck;
          continue;
        }
      if (!take_visit (taking, visit, &taken, error))
        return FALSE;
      done[i] = taken;
      *moved_out |= taken;
      *left_out |= !taken;
      stuck = !taken;
    }
  return TRUE;
}

static gboolean
take_attachments (TdTaking *taking, GError **error)
{
  g_autoptr (TdStatement) row = td_statement_get (taking->bundle, TD_SQL_BUNDLE_LIST_ATTACHMENTS, error);
  g_autoptr (TdStatement) find = row ? td_statement_get (taking->book, TD_SQL_FIND_ATTACHMENT, error) : NULL;
  g_autoptr (TdStatement) insert = find ? td_statement_get (taking->book, TD_SQL_INSERT_ATTACHMENT, error) : NULL;
  if (insert == NULL)
    return FALSE;
  TdStep step;
  while ((step = td_statement_step (row, error)) == TD_STEP_ROW)
    {
      gsize n_bytes = 0;
      g_autofree char *sha256 = td_statement_get_hash (row, 0);
      const void *bytes = td_statement_get_blob (row, 2, &n_bytes);
      g_autofree char *hash = g_compute_checksum_for_data (G_CHECKSUM_SHA256, bytes, n_bytes);
      const char *media = td_photo_find_media (bytes, n_bytes);
      if (sha256 == NULL || strcmp (hash, sha256) != 0 || n_bytes > TD_ATTACHMENT_MAX ||
          g_strcmp0 (media, td_statement_get_text (row, 1)) != 0)
        return td_bundle_fail (error, TD_BOOK_ERROR_DAMAGED, taking->bundle->path,
                               "brings a picture that is not what it says; nothing was taken in; ask for the bundle once more");
      td_statement_bind_hash (find, ":sha256", sha256);
      TdStep found = td_statement_ask (find, error);
      td_statement_rewind (find);
      if (found == TD_STEP_FAILED)
        return FALSE;
      if (found == TD_STEP_ROW)
        continue;
      td_statement_bind_hash (insert, ":sha256", sha256);
      td_statement_bind_text (insert, ":media", media);
      td_statement_bind_blob (insert, ":bytes", bytes, n_bytes);
      if (!td_statement_run (insert, error))
        return FALSE;
      taking->sum->attachments++;
    }
  return step == TD_STEP_DONE;
}

gboolean
td_bundle_take_visits (TdTaking *taking, GError **error)
{
  g_autoptr (GArray) visits = take_attachments (taking, error) ? list_visits (taking, error) : NULL;
  if (visits == NULL)
    return FALSE;
  g_autofree guint8 *done = g_new0 (guint8, MAX (visits->len, 1));
  gboolean left = visits->len > 0, moved = TRUE;
  while (left && moved)
    if (!take_chains (taking, visits, &left, &moved, done, error))
      return FALSE;
  if (left)
    return td_bundle_fail (error, TD_BOOK_ERROR_MISSING, taking->bundle->path,
                           "brings an amendment of a visit that neither it nor this book has sealed; nothing was taken in; ask "
                           "for a bundle with all visits");
  return TRUE;
}
