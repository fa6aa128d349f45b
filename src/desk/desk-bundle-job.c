#include "desk-bundle-job.h"

#include "desk-i18n.h"

#include <glib/gstdio.h>

struct _TdBundleJob
{
  char *path; /* a file or the folder */
  gboolean folder, write, read;
  GHashTable *seen;
};

void
td_bundle_answer_free (gpointer data)
{
  TdBundleAnswer *answer = data;

  g_string_free (answer->text, TRUE);
  g_string_free (answer->failures, TRUE);
  g_free (answer);
}

static TdBundleJob *
new_job (const char *path, gboolean folder, gboolean write, gboolean read)
{
  TdBundleJob *job = g_new0 (TdBundleJob, 1);

  job->path = g_strdup (path);
  job->folder = folder;
  job->write = write;
  job->read = read;
  return job;
}

TdBundleJob *
td_bundle_job_new_write (const char *path)
{
  g_return_val_if_fail (path != NULL, NULL);
  return new_job (path, FALSE, TRUE, FALSE);
}

TdBundleJob *
td_bundle_job_new_read (const char *path)
{
  g_return_val_if_fail (path != NULL, NULL);
  return new_job (path, FALSE, FALSE, TRUE);
}

TdBundleJob *
td_bundle_job_new_folder (const char *folder, gboolean write, GHashTable *seen)
{
  TdBundleJob *job = new_job (folder, TRUE, write, TRUE);

  job->seen = g_hash_table_ref (seen);
  return job;
}

void
td_bundle_job_free (gpointer data)
{
  TdBundleJob *job = data;

  g_clear_pointer (&job->seen, g_hash_table_unref);
  g_free (job->path);
  g_free (job);
}

static void
begin_line (GString *text)
{
  if (text->len > 0)
    g_string_append_c (text, '\n');
}

static void
add_conflicts (GString *text, const GPtrArray *conflicts)
{
  for (guint i = 0; i < conflicts->len; i++)
    {
      const TdBundleConflict *conflict = g_ptr_array_index (conflicts, i);

      begin_line (text);
      /* TRANSLATORS: kind and name of a row, "product caustic-30". */
      g_string_append_printf (text,
                              _ ("%s %s was changed in two books: version %u holds, version %u is kept to be seen."),
                              conflict->kind, conflict->slug, conflict->kept_rev, conflict->other_rev);
    }
}

static gboolean
write_file (TdBook *book, const char *path, TdBundleAnswer *answer, GError **error)
{
  g_auto (TdBundleSum) sum = { 0 };

  if (!td_book_write_bundle (book, path, NULL, &sum, error))
    return FALSE;
  begin_line (answer->text);
  g_string_append_printf (answer->text, _ ("The bundle is written and verified: %u visits, %u pictures, %u other rows."),
                          sum.visits, sum.attachments, sum.rows.added);
  answer->done++;
  return TRUE;
}

static gboolean
read_file (TdBook *book, const char *path, gboolean quiet, TdBundleAnswer *answer, GError **error)
{
  g_auto (TdBundleSum) sum = { 0 };

  if (!td_book_read_bundle (book, path, TRUE, &sum, error))
    return FALSE;
  /* What only came again is no news to somebody who did not ask. */
  if (quiet && sum.visits + sum.attachments + sum.rows.added + sum.rows.changed + sum.conflicts->len == 0)
    return TRUE;
  begin_line (answer->text);
  if (sum.again)
    g_string_append_printf (answer->text, _ ("This bundle of %s was taken in before; nothing changed."), sum.from);
  else
    g_string_append_printf (answer->text,
                            _ ("From %s: %u visits (%u known already), %u pictures. Other rows: %u new, %u changed."),
                            sum.from, sum.visits, sum.known, sum.attachments, sum.rows.added, sum.rows.changed);
  add_conflicts (answer->text, sum.conflicts);
  answer->done++;
  return TRUE;
}

/* What a file is known by until it changes. (transfer full) (nullable) */
static char *
describe_file (const char *path, const char *name)
{
  GStatBuf status;

  if (g_stat (path, &status) != 0)
    return NULL;
  return g_strdup_printf ("%s %" G_GINT64_FORMAT " %" G_GINT64_FORMAT ".%09ld", name, (gint64) status.st_size,
                          (gint64) status.st_mtim.tv_sec, status.st_mtim.tv_nsec);
}

static void
read_one (TdBook *book, TdBundleJob *job, const char *name, TdBundleAnswer *answer)
{
  g_autofree char *path = g_build_filename (job->path, name, NULL);
  g_autofree char *mark = describe_file (path, name);
  g_autoptr (GError) failure = NULL;

  if (mark == NULL || g_hash_table_contains (job->seen, mark))
    return;
  if (!read_file (book, path, TRUE, answer, &failure))
    {
      begin_line (answer->failures);
      g_string_append (answer->failures, failure->message);
      /* A book that is busy is asked again; a bundle that is refused stays refused until it changes. */
      if (g_error_matches (failure, TD_BOOK_ERROR, TD_BOOK_ERROR_LOCKED)
          || g_error_matches (failure, TD_BOOK_ERROR, TD_BOOK_ERROR_IO))
        return;
    }
  g_hash_table_add (job->seen, g_steal_pointer (&mark));
}

static int
compare_names (gconstpointer a, gconstpointer b)
{
  return g_strcmp0 (*(const char *const *) a, *(const char *const *) b);
}

static gboolean
run_folder (TdBook *book, TdBundleJob *job, TdBundleAnswer *answer, GError **error)
{
  g_autofree char *own = g_strconcat (td_book_get_device (book)->prefix, TD_BUNDLE_ENDING, NULL);
  g_autofree char *path = g_build_filename (job->path, own, NULL);
  g_autoptr (GPtrArray) names = g_ptr_array_new_with_free_func (g_free);
  g_autoptr (GDir) folder = g_dir_open (job->path, 0, error);
  const char *name;

  if (folder == NULL)
    return FALSE;
  while ((name = g_dir_read_name (folder)) != NULL)
    if (g_str_has_suffix (name, TD_BUNDLE_ENDING) && g_strcmp0 (name, own) != 0)
      g_ptr_array_add (names, g_strdup (name));
  g_ptr_array_sort (names, compare_names);
  for (guint i = 0; i < names->len; i++)
    read_one (book, job, g_ptr_array_index (names, i), answer);
  /* Written last, so that it tells what was just read, too. */
  return !job->write || write_file (book, path, answer, error);
}

gboolean
td_bundle_job_run (TdBook *book, gpointer data, gpointer *result_out, GError **error)
{
  TdBundleJob *job = data;
  TdBundleAnswer *answer = g_new0 (TdBundleAnswer, 1);
  gboolean ok;

  answer->text = g_string_new (NULL);
  answer->failures = g_string_new (NULL);
  if (job->folder)
    ok = run_folder (book, job, answer, error);
  else
    ok = (!job->write || write_file (book, job->path, answer, error))
         && (!job->read || read_file (book, job->path, FALSE, answer, error));
  if (ok)
    *result_out = answer;
  else
    td_bundle_answer_free (answer);
  return ok;
}
