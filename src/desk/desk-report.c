#include "desk-report.h"

#include "desk-format.h"
#include "desk-i18n.h"
#include "document-report-pages.h"

/* What the file is called: the number of the report, or the site and "draft". */
static char *
make_name (const TdReport *report)
{
  if (report->number != NULL)
    return g_strdup (report->number);
  /* Translators: the name of a file: a site's name, and that the report is not final. */
  return g_strdup_printf (_ ("%s draft"), report->site);
}

/* What is kept to write the file: the same bytes as the command line writes. */
typedef struct
{
  TdReport *report;
  TdPaperKind paper;
} Kept;

static gboolean
write_report (gpointer document, const char *path, GError **error)
{
  Kept *kept = document;

  return td_report_write_pdf (kept->report, path, kept->paper, error);
}

static void
free_kept (gpointer document)
{
  Kept *kept = document;

  td_report_free (kept->report);
  g_free (kept);
}

gboolean
td_report_show (TdDocumentView *view, TdSession *session, GSettings *settings, GError **error)
{
  const TdReportContext context = {
    .number = td_session_get_row (session)->number,
    .seal = td_session_get_seal (session),
    .previous_seal = td_session_get_previous_seal (session),
    .amends_number = td_session_get_amends_number (session),
    .amended_by = td_session_get_amended_by_number (session),
    .now_ms = td_session_get_now_ms (session),
    .due = { TD_DATE_NONE, TD_DATE_NONE },
  };
  g_autoptr (TdReport) report = td_report_new (td_session_get_visit (session), td_session_get_findings (session),
                                               &context, td_format_get_style ()->system);
  g_autofree char *name = make_name (report);
  g_autofree char *paper = g_settings_get_string (settings, "paper");
  TdPaperKind kind = TD_PAPER_A4;
  TdPages *pages;
  Kept *kept;

  td_paper_kind_from_text (paper, &kind);
  pages = td_report_to_pages (report, kind, error);
  if (pages == NULL)
    return FALSE;
  kept = g_new0 (Kept, 1);
  kept->report = g_steal_pointer (&report);
  kept->paper = kind;
  td_document_view_set_document (view, pages, name, write_report, kept, free_kept);
  return TRUE;
}
