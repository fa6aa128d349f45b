/* make-report: a report without a book, to be looked at.
 *
 * make-report REPLAY [-o FILE.pdf] [--json] [--paper a4|letter] [--units metric|us] [--upto N]
 *             [--site FILE]
 * REPLAY: a name in tests/replay without its ending, or with --site a path. */
#include "document-report-pages.h"
#include "visit-cases.h"

#include "core-json-build.h"

#include <stdio.h>

static char *output, *paper_text, *units_text, *site_path;
static gboolean as_json;
static int upto;

static const GOptionEntry options[]
    = { { "output", 'o', 0, G_OPTION_ARG_FILENAME, &output, "Where the PDF goes", "FILE" },
        { "json", 0, 0, G_OPTION_ARG_NONE, &as_json, "Write JSON to standard output", NULL },
        { "paper", 0, 0, G_OPTION_ARG_STRING, &paper_text, "a4 or letter", "KIND" },
        { "units", 0, 0, G_OPTION_ARG_STRING, &units_text, "metric or us", "KIND" },
        { "upto", 0, 0, G_OPTION_ARG_INT, &upto, "Take only so many entries", "N" },
        { "site", 0, 0, G_OPTION_ARG_FILENAME, &site_path, "The site's sheet", "FILE" },
        { NULL } };

static VisitCase
load (const char *name)
{
  g_autofree char *site = NULL, *replay = NULL;

  if (site_path == NULL)
    return visit_case_load (name, (guint)upto);
  site = read_source_file (site_path);
  replay = read_source_file (name);
  return visit_case_fold (site, replay, (guint)upto);
}

int
main (int argc, char **argv)
{
  g_autoptr (GOptionContext) parser = g_option_context_new ("REPLAY");
  g_autoptr (GError) error = NULL;
  g_autoptr (TdReport) report = NULL;
  g_autofree char *seal = NULL;
  TdReportContext context = TD_REPORT_CONTEXT_INIT;
  TdPaperKind paper = TD_PAPER_A4;
  TdUnits units = TD_UNITS_METRIC;
  VisitCase one;

  g_option_context_add_main_entries (parser, options, NULL);
  if (!g_option_context_parse (parser, &argc, &argv, &error) || argc != 2)
    g_error ("%s", error != NULL ? error->message : "give one replay");
  g_assert_true (paper_text == NULL || td_paper_kind_from_text (paper_text, &paper));
  g_assert_true (units_text == NULL || td_units_from_text (units_text, &units));
  one = load (argv[1]);
  seal = visit_case_seal (&one);
  context.number = "A-0042";
  context.seal = seal;
  context.now_ms = one.visit->arrived.utc_ms + 3600000;
  report = td_report_new (one.visit, one.findings, &context, units);
  if (as_json)
    {
      g_autoptr (TdJson) json = td_report_to_json (report);
      g_autofree char *text = td_json_to_text (json, TRUE);
      /* g_print() would turn letters into question marks outside of a UTF-8 locale. */
      fputs (text, stdout);
    }
  if (output != NULL && !td_report_write_pdf (report, output, paper, &error))
    {
      g_printerr ("%s\n", error->message);
      visit_case_clear (&one);
      return 1;
    }
  visit_case_clear (&one);
  return 0;
}
