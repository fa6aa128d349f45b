#include "desk-import-job.h"

#include "core-error.h"
#include "core-masters.h"
#include "desk-i18n.h"

#include <string.h>

typedef struct
{
  char *name;
  GBytes *bytes; /* NULL until it is read from the file */
  GFile *file;   /* NULL where the bytes were handed in */
} Source;

struct _TdImportJob
{
  GPtrArray *sources;
};

typedef enum
{
  FORM_COMPANY,
  FORM_SITE,
  FORM_ACCOUNTS,
  FORM_UNKNOWN,
  N_FORMS
} Form;

void
td_import_sum_free (gpointer data)
{
  TdImportSum *sum = data;

  g_string_free (sum->failures, TRUE);
  g_free (sum);
}

static void
free_source (gpointer data)
{
  Source *source = data;

  g_free (source->name);
  g_clear_pointer (&source->bytes, g_bytes_unref);
  g_clear_object (&source->file);
  g_free (source);
}

TdImportJob *
td_import_job_new (void)
{
  TdImportJob *job = g_new0 (TdImportJob, 1);

  job->sources = g_ptr_array_new_with_free_func (free_source);
  return job;
}

void
td_import_job_free (gpointer data)
{
  TdImportJob *job = data;

  g_ptr_array_unref (job->sources);
  g_free (job);
}

static Source *
add_source (TdImportJob *job, const char *name)
{
  Source *source = g_new0 (Source, 1);

  source->name = g_strdup (name);
  g_ptr_array_add (job->sources, source);
  return source;
}

void
td_import_job_add (TdImportJob *job, const char *name, GBytes *bytes)
{
  g_return_if_fail (job != NULL && name != NULL && bytes != NULL);
  add_source (job, name)->bytes = g_bytes_ref (bytes);
}

void
td_import_job_add_file (TdImportJob *job, GFile *file)
{
  g_autofree char *name = NULL;

  g_return_if_fail (job != NULL && G_IS_FILE (file));
  name = g_file_get_basename (file);
  add_source (job, name)->file = g_object_ref (file);
}

static gboolean
read_source (Source *source, GError **error)
{
  if (source->bytes == NULL)
    source->bytes = g_file_load_bytes (source->file, NULL, NULL, error);
  return source->bytes != NULL;
}

/* What kind of file it says to be. @json_out: (out) (transfer full) (nullable): what was read of it. */
static gboolean
look (Source *source, Form *form_out, TdJson **json_out, GError **error)
{
  gsize length = 0;
  const char *text = g_bytes_get_data (source->bytes, &length);
  g_autofree char *lower = g_ascii_strdown (source->name, -1);
  g_autoptr (TdJson) json = NULL;
  const TdJson *format = NULL;

  *form_out = FORM_UNKNOWN;
  if (g_str_has_suffix (lower, ".csv"))
    {
      *form_out = FORM_ACCOUNTS;
      return TRUE;
    }
  json = td_json_parse (text != NULL ? text : "", (gssize) length, error);
  if (json == NULL)
    return FALSE;
  if (td_json_get_kind (json) == TD_JSON_OBJECT)
    format = td_json_get_member (json, "format");
  if (format != NULL && td_json_get_kind (format) == TD_JSON_STRING)
    {
      if (g_str_equal (td_json_get_string (format), TD_SITE_FORMAT))
        *form_out = FORM_SITE;
      else if (g_str_equal (td_json_get_string (format), TD_COMPANY_FORMAT))
        *form_out = FORM_COMPANY;
    }
  if (*form_out == FORM_UNKNOWN)
    {
      g_set_error (error, TD_ERROR, TD_ERROR_SHAPE,
                   _ ("This is neither a site sheet (“format”: “%s”) nor a company file (“%s”)."),
                   TD_SITE_FORMAT, TD_COMPANY_FORMAT);
      return FALSE;
    }
  *json_out = g_steal_pointer (&json);
  return TRUE;
}

static void
add_count (TdImportSum *sum, const TdImportCount *count)
{
  sum->rows.added += count->added;
  sum->rows.changed += count->changed;
  sum->rows.same += count->same;
}

static gboolean
import_one (TdBook *book, Source *source, Form form, const TdJson *json, TdImportSum *sum, GError **error)
{
  TdImportCount count = { 0 };
  TdSiteImport outcome = { 0 };

  if (form == FORM_SITE)
    {
      g_autoptr (TdSite) site = td_site_from_json (json, error);

      if (site == NULL || !td_book_import_site (book, site, &outcome, error))
        return FALSE;
      sum->sites[outcome.outcome]++;
      td_site_import_clear (&outcome);
      return TRUE;
    }
  if (form == FORM_COMPANY)
    {
      g_autoptr (TdMasters) masters = td_masters_from_json (json, error);

      if (masters == NULL || !td_book_import_company (book, masters, &count, error))
        return FALSE;
    }
  else
    {
      gsize length = 0;
      const char *text = g_bytes_get_data (source->bytes, &length);

      if (!td_book_import_csv (book, text != NULL ? text : "", (gssize) length, &count, error))
        return FALSE;
    }
  add_count (sum, &count);
  return TRUE;
}

gboolean
td_import_job_run (TdBook *book, gpointer data, gpointer *result_out, GError **error)
{
  TdImportJob *job = data;
  TdImportSum *sum = g_new0 (TdImportSum, 1);
  guint n = job->sources->len;
  g_autofree Form *forms = g_new0 (Form, n);
  g_autoptr (GPtrArray) read = g_ptr_array_new_full (n, NULL);

  sum->failures = g_string_new (NULL);
  sum->files = n;
  for (guint pass = 0; pass < N_FORMS; pass++)
    for (guint i = 0; i < n; i++)
      {
        Source *source = g_ptr_array_index (job->sources, i);
        g_autoptr (GError) failure = NULL;

        if (pass == 0)
          {
            TdJson *json = NULL;

            forms[i] = N_FORMS;
            if (read_source (source, &failure) && !look (source, &forms[i], &json, &failure))
              forms[i] = N_FORMS;
            g_ptr_array_add (read, json);
          }
        if (failure == NULL && forms[i] == pass)
          import_one (book, source, forms[i], g_ptr_array_index (read, i), sum, &failure);
        if (failure == NULL)
          continue;
        sum->failed++;
        g_string_append_printf (sum->failures, "%s%s: %s", sum->failures->len > 0 ? "\n" : "", source->name,
                                failure->message);
      }
  for (guint i = 0; i < n; i++)
    if (g_ptr_array_index (read, i) != NULL)
      td_json_unref (g_ptr_array_index (read, i));
  *result_out = sum;
  return TRUE;
}
