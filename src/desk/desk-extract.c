#include "desk-extract.h"

#include "desk-chem-job.h"
#include "desk-i18n.h"
#include "document-inspect-pages.h"

#define MS_PER_DAY G_GINT64_CONSTANT (86400000)
/* R.I. Gen. Laws 3-7-25 keeps records for one year; nobody is known to ask for more. */
#define DAYS 364

/* What the question is about, until it is answered. */
typedef struct
{
  TdDocumentView *view; /* not looked at once the question is cancelled */
  TdPaperKind paper;
  gint64 now_ms;
} Question;

/* What the file is written from. */
typedef struct
{
  TdInspection *inspection;
  TdPaperKind paper;
  gint64 now_ms;
} Kept;

static void
free_kept (gpointer data)
{
  td_inspection_free (((Kept *) data)->inspection);
  g_free (data);
}

static gboolean
write_extract (gpointer document, const char *path, GError **error)
{
  Kept *kept = document;

  return td_inspection_write_pdf (kept->inspection, path, kept->paper, kept->now_ms, error);
}

/* @inspection: (transfer full) */
static void
show (const Question *question, TdInspection *inspection)
{
  g_autofree char *name = g_strdup_printf (_ ("%s cleaning record"), inspection->site);
  g_autoptr (GError) error = NULL;
  TdPages *pages = td_inspection_to_pages (inspection, question->paper, &error);
  Kept *kept = g_new0 (Kept, 1);

  kept->inspection = inspection;
  kept->paper = question->paper;
  kept->now_ms = question->now_ms;
  if (pages != NULL)
    {
      td_document_view_set_document (question->view, pages, name, write_extract, kept, free_kept);
      return;
    }
  td_document_view_set_error (question->view, error);
  free_kept (kept);
}

static void
inspected_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  g_autofree Question *question = user_data;
  g_autoptr (GError) error = NULL;
  gpointer inspection = NULL;

  if (td_queue_run_finish (result, &inspection, &error))
    show (question, inspection);
  else if (!g_error_matches (error, G_IO_ERROR, G_IO_ERROR_CANCELLED))
    td_document_view_set_error (question->view, error);
}

void
td_extract_show (TdDocumentView *view, TdContext *context, const char *site_id, GCancellable *cancellable)
{
  g_autofree char *paper = g_settings_get_string (td_context_get_settings (context), "paper");
  gint64 now_ms = td_context_get_now_ms (context);
  TdDate today = (TdDate) (now_ms / MS_PER_DAY);
  Question *question = g_new0 (Question, 1);
  TdChemAsk *ask = td_chem_ask_new (today - DAYS, today, now_ms);

  question->view = view;
  question->paper = TD_PAPER_A4;
  question->now_ms = now_ms;
  td_paper_kind_from_text (paper, &question->paper);
  ask->site = g_strdup (site_id);
  td_context_run_async (context, TD_JOB_READ, td_chem_job_inspect, ask, td_chem_ask_free,
                        (GDestroyNotify) td_inspection_free, cancellable, inspected_cb, question);
}
