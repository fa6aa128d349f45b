/* report: the service report of a visit, as PDF, JSON or the text that its seal was made from. */
#include "ctl-report.h"

#include "ctl-book.h"
#include "ctl-commands.h"
#include "ctl-paper.h"

#include "core-json-build.h"
#include "document-report-pages.h"
#include "store-query.h"

#include <string.h>

typedef struct
{
  TdCtlBookOptions book;
  char *out, *paper, *units;
  gboolean json, sealed_text;
  TdPaperKind paper_kind;
  TdUnits units_kind;
} Options;

static void
clear (Options *options)
{
  td_ctl_book_options_clear (&options->book);
  g_free (options->out);
  g_free (options->paper);
  g_free (options->units);
}

G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Options, clear)

/* The report number of another visit. Returns: (transfer full) (nullable). */
static char *
find_number (TdBook *book, const TdUuid *visit)
{
  g_autoptr (TdVisitRecord) record = td_book_load_visit (book, visit, NULL);

  return record != NULL ? g_strdup (record->row->number) : NULL;
}

TdReport *
td_ctl_make_report (TdBook *book, const TdUuid *visit, TdUnits units, GError **error)
{
  g_autoptr (TdVisitRecord) record = td_book_load_visit (book, visit, error);
  TdReportContext context = TD_REPORT_CONTEXT_INIT;
  g_autofree char *amends = NULL;
  g_autofree char *amended_by = NULL;

  if (record == NULL)
    return NULL;
  if (record->row->amends)
    amends = find_number (book, &record->row->amends_id);
  if (record->row->amended)
    amended_by = find_number (book, &record->row->amended_by);
  context.number = record->row->number;
  context.seal = record->seal;
  context.previous_seal = record->previous_seal;
  context.amends_number = amends;
  context.amended_by = amended_by;
  context.now_ms = td_clock_get_now_ms (td_book_get_clock (book));
  return td_report_new (record->visit, record->findings, &context, units);
}

static gboolean
print_json (const TdReport *report, GError **error)
{
  g_autoptr (TdJson) json = td_report_to_json (report);
  g_autofree char *text = td_json_to_text (json, TRUE);

  return td_ctl_print (text, strlen (text), error);
}

static gboolean
write_pdf (const TdReport *report, const Options *options, GError **error)
{
  g_autoptr (TdPages) pages = td_report_to_pages (report, options->paper_kind, error);
  g_autofree char *title = NULL;
  const TdPdfInfo info = td_report_make_info (report, &title);

  return td_ctl_write_pages (pages, options->out, &info, error);
}

static gboolean
write_report (TdBook *book, const TdUuid *visit, const Options *options, GError **error)
{
  g_autofree char *text = NULL;
  g_autoptr (TdReport) report = NULL;

  if (options->sealed_text)
    {
      text = td_book_get_sealed_text (book, visit, error);
      return text != NULL && td_ctl_print (text, strlen (text), error);
    }
  report = td_ctl_make_report (book, visit, options->units_kind, error);
  if (report == NULL)
    return FALSE;
  if (options->json && !print_json (report, error))
    return FALSE;
  return options->out == NULL || write_pdf (report, options, error);
}

/* FALSE, with the reason printed, where the options do not go together. */
static gboolean
check_options (const TdCtlInfo *info, Options *options)
{
  if (options->out == NULL && !options->json && !options->sealed_text)
    td_ctl_misuse (info, "say what to write: -o FILE.pdf, --json or --sealed-text");
  else if (options->sealed_text && (options->out != NULL || options->json))
    td_ctl_misuse (info, "--sealed-text stands alone");
  else if (options->json && td_ctl_is_stdout (options->out))
    td_ctl_misuse (info, "-o - and --json both write to standard output; ask for one of them");
  else if (options->paper != NULL && !td_paper_kind_from_text (options->paper, &options->paper_kind))
    td_ctl_misuse (info, "--paper is a4 or letter, not '%s'", options->paper);
  else if (options->units != NULL && !td_units_from_text (options->units, &options->units_kind))
    td_ctl_misuse (info, "--units is metric or us, not '%s'", options->units);
  else
    return TRUE;
  return FALSE;
}

TdCtlStatus
td_ctl_report (const TdCtlInfo *info, int argc, char **argv)
{
  g_auto (Options) options = { .paper_kind = TD_PAPER_A4, .units_kind = TD_UNITS_METRIC };
  const GOptionEntry entries[] = {
    TD_CTL_BOOK_ENTRIES (&options.book),
    { "output", 'o', 0, G_OPTION_ARG_FILENAME, &options.out, "Write the report as a PDF; - is standard output", "FILE.pdf" },
    { "json", 0, 0, G_OPTION_ARG_NONE, &options.json, "Print every figure of the report as JSON", NULL },
    { "sealed-text", 0, 0, G_OPTION_ARG_NONE, &options.sealed_text, "Print the text whose SHA-256 is the seal", NULL },
    { "paper", 0, 0, G_OPTION_ARG_STRING, &options.paper, "a4 (default) or letter", "PAPER" },
    { "units", 0, 0, G_OPTION_ARG_STRING, &options.units, "metric (default) or us", "UNITS" },
    { NULL }
  };
  g_auto (GStrv) words = NULL;
  g_autoptr (TdBook) book = NULL;
  TdUuid visit;
  GError *error = NULL;
  TdCtlStatus status;

  if (!td_ctl_parse (info, entries, argc, argv, 1, 1, &words, &status))
    return status;
  if (!check_options (info, &options))
    return TD_CTL_WRONG_USE;
  book = td_ctl_open_book_reading (&options.book, &error);
  if (book == NULL || !td_ctl_find_visit (book, words[0], &visit, &error) ||
      !write_report (book, &visit, &options, &error))
    return td_ctl_refuse (info, error);
  return TD_CTL_DONE;
}
