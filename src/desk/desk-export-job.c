#include "desk-export-job.h"

#include "desk-i18n.h"
#include "exchange-ubl.h"
#include "store-query.h"

#include <string.h>

TdExportJob *
td_export_job_new (TdExportWhat what, const char *path)
{
  TdExportJob *job;

  g_return_val_if_fail (path != NULL, NULL);
  job = g_new0 (TdExportJob, 1);
  job->what = what;
  job->path = g_strdup (path);
  job->from = job->to = TD_DATE_NONE;
  return job;
}

void
td_export_job_free (gpointer data)
{
  TdExportJob *job = data;

  g_free (job->number);
  g_free (job->path);
  g_free (job);
}

static gboolean
write_table (TdBook *book, const TdExportJob *job, guint *count_out, GError **error)
{
  g_autoptr (TdOut) out = td_out_new (job->path, error);
  g_autoptr (TdCsvWriter) writer = NULL;

  if (out == NULL)
    return FALSE;
  writer = td_csv_writer_new (out, job->kind);
  if (!td_book_export (book, job->table, job->from, job->to, td_csv_writer_add, writer, error)
      || !td_out_finish (out, error))
    return FALSE;
  *count_out = td_csv_writer_get_n_rows (writer) - 1;
  return TRUE;
}

static gboolean
write_sheets (TdBook *book, const TdExportJob *job, guint *count_out, GError **error)
{
  g_autoptr (GPtrArray) sites = td_book_list_sites (book, error);

  for (guint i = 0; sites != NULL && i < sites->len; i++)
    {
      const char *site = ((const TdSiteRow *) g_ptr_array_index (sites, i))->id;
      g_autofree char *name = g_strconcat (site, ".site.json", NULL);
      g_autofree char *path = g_build_filename (job->path, name, NULL);
      g_autofree char *text = td_book_get_sheet_text (book, site, error);

      if (text == NULL || !td_out_write_file (path, text, -1, error))
        return FALSE;
      ++*count_out;
    }
  return sites != NULL;
}

static gboolean
write_invoice (TdBook *book, const TdExportJob *job, guint *count_out, GError **error)
{
  g_autoptr (TdInvoice) invoice = td_book_get_invoice_to_send (book, job->number, error);
  g_autofree char *xml = invoice != NULL ? td_ubl_write (invoice, error) : NULL;

  *count_out = 1;
  return xml != NULL && td_out_write_file (job->path, xml, -1, error);
}

/* What was written, in words. (transfer full) */
static char *
describe (const TdExportJob *job, guint count)
{
  if (job->what == TD_EXPORT_JOB_INVOICE)
    return g_strdup_printf (_ ("The electronic invoice %s was written."), job->number);
  if (job->what == TD_EXPORT_JOB_SHEETS)
    return g_strdup_printf (
      g_dngettext (GETTEXT_PACKAGE, "%u site sheet was written.", "%u site sheets were written.", count), count);
  return g_strdup_printf (g_dngettext (GETTEXT_PACKAGE, "%u row was written.", "%u rows were written.", count), count);
}

gboolean
td_export_job_run (TdBook *book, gpointer data, gpointer *result_out, GError **error)
{
  static gboolean (*const writers[]) (TdBook *book, const TdExportJob *job, guint *count_out, GError **error)
    = { [TD_EXPORT_JOB_TABLE] = write_table,
        [TD_EXPORT_JOB_SHEETS] = write_sheets,
        [TD_EXPORT_JOB_INVOICE] = write_invoice };
  const TdExportJob *job = data;
  guint count = 0;

  g_return_val_if_fail ((guint) job->what < G_N_ELEMENTS (writers), FALSE);
  if (!writers[job->what](book, job, &count, error))
    return FALSE;
  *result_out = describe (job, count);
  return TRUE;
}

gboolean
td_export_find_days (const char *word, TdDate today, TdDate *from_out, TdDate *to_out)
{
  int year, month, day;
  TdDate first;
  int months;

  g_return_val_if_fail (word != NULL && today != TD_DATE_NONE, FALSE);
  *from_out = *to_out = TD_DATE_NONE;
  if (strcmp (word, "all") == 0)
    return TRUE;
  td_date_split (today, &year, &month, &day);
  if (g_str_has_suffix (word, "-month"))
    {
      first = td_date_make (year, month, 1);
      months = 1;
    }
  else if (g_str_has_suffix (word, "-year"))
    {
      first = td_date_make (year, 1, 1);
      months = 12;
    }
  else
    return FALSE;
  if (g_str_has_prefix (word, "last-"))
    first = td_date_add_months (first, -months);
  else if (!g_str_has_prefix (word, "this-"))
    return FALSE;
  *from_out = first;
  *to_out = td_date_add_months (first, months) - 1;
  return TRUE;
}
