#include "desk-day-job.h"

#include "desk-i18n.h"
#include "document-day.h"
#include "document-pdf.h"
#include "document-words.h"
#include "store-round.h"

struct _TdDayJob
{
  char *path;
  gint64 now_ms;
  TdPaperKind paper;
};

TdDayJob *
td_day_job_new (const char *path, gint64 now_ms, TdPaperKind paper)
{
  TdDayJob *job = g_new0 (TdDayJob, 1);

  g_return_val_if_fail (path != NULL, job);
  job->path = g_strdup (path);
  job->now_ms = now_ms;
  job->paper = paper;
  return job;
}

void
td_day_job_free (gpointer data)
{
  TdDayJob *job = data;

  g_free (job->path);
  g_free (job);
}

static TdDate
get_day (gint64 now_ms)
{
  g_autoptr (GDateTime) now = g_date_time_new_from_unix_local (now_ms / 1000);

  return td_date_make (g_date_time_get_year (now), g_date_time_get_month (now), g_date_time_get_day_of_month (now));
}

static gboolean
add_sheet (TdBook *book, const TdDayJob *job, const char *technician, TdFonts *fonts, GPtrArray *documents, GError **error)
{
  g_autoptr (TdDaySheet) sheet = td_book_make_day (book, technician, get_day (job->now_ms), job->now_ms, error);
  TdPages *pages = sheet != NULL ? td_day_to_pages (sheet, fonts, job->paper, error) : NULL;

  if (pages != NULL)
    g_ptr_array_add (documents, pages);
  return pages != NULL;
}

gboolean
td_day_job_run (TdBook *book, gpointer data, gpointer *result_out, GError **error)
{
  TdDayJob *job = data;
  const TdPdfInfo info = { .title = _ ("Day sheets"), .language = td_document_language (), .utc_ms = job->now_ms };
  g_autoptr (GPtrArray) documents = g_ptr_array_new_with_free_func ((GDestroyNotify) td_pages_free);
  g_autoptr (TdFonts) fonts = td_fonts_new (td_document_language (), error);
  g_autoptr (TdMasters) masters = fonts != NULL ? td_book_get_masters (book, error) : NULL;

  if (masters == NULL)
    return FALSE;
  for (guint i = 0; i < masters->n_technicians; i++)
    if (!add_sheet (book, job, masters->technicians[i].id, fonts, documents, error))
      return FALSE;
  if (documents->len == 0)
    {
      g_set_error_literal (error, TD_BOOK_ERROR, TD_BOOK_ERROR_MISSING,
                           _ ("The book knows no technician; no file was made."));
      return FALSE;
    }
  return td_pdf_write_bound (documents, job->path, &info, error);
}
