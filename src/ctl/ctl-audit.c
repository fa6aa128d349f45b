/* audit: the chemical account of a period. */
#include "ctl-book.h"
#include "ctl-commands.h"
#include "ctl-extract.h"
#include "ctl-paper.h"

#include "core-json-build.h"
#include "document-account-pages.h"
#include "store-audit.h"

#include <stdio.h>
#include <string.h>

typedef struct
{
  TdCtlBookOptions book;
  char *from, *to, *csv, *out, *paper, *acknowledge, *reason, *person, *site, *rules;
  gboolean json, extract;
  TdPaperKind paper_kind;
} Options;

static void
clear (Options *options)
{
  td_ctl_book_options_clear (&options->book);
  g_free (options->from);
  g_free (options->to);
  g_free (options->csv);
  g_free (options->out);
  g_free (options->paper);
  g_free (options->acknowledge);
  g_free (options->reason);
  g_free (options->person);
  g_free (options->site);
  g_free (options->rules);
}

G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Options, clear)

static void
print_table (const TdAudit *audit)
{
  g_autofree char *from = td_date_to_text (audit->from);
  g_autofree char *to = td_date_to_text (audit->to);

  printf ("Chemical account, %s to %s, mL of concentrate\n\n%-18s %9s %9s %9s %9s %9s %9s %9s %9s\n", from, to,
          "product", "opening", "received", "used", "disposed", "adjusted", "closing", "counted", "expected");
  for (guint i = 0; i < audit->products->len; i++)
    {
      const TdStockAccount *row = &g_array_index (audit->products, TdAuditRow, i).account;

      printf ("%-18s %9" G_GINT64_FORMAT " %9" G_GINT64_FORMAT " %9" G_GINT64_FORMAT " %9" G_GINT64_FORMAT
              " %+9" G_GINT64_FORMAT " %9" G_GINT64_FORMAT,
              row->product, row->opening_ml, row->received_ml, row->used_ml, row->disposed_ml, row->adjusted_ml,
              row->closing_ml);
      if (row->counted_ml >= 0)
        printf (" %9" G_GINT64_FORMAT, row->counted_ml);
      else
        printf (" %9s", "-");
      if (row->expected_ml >= 0)
        printf (" %9" G_GINT64_FORMAT "\n", row->expected_ml);
      else
        printf (" %9s\n", "-");
    }
  printf ("\n%u exceptions, %u of them not acknowledged\n", audit->exceptions->len, td_audit_count_open (audit));
  for (guint i = 0; i < audit->exceptions->len; i++)
    {
      const TdAuditException *row = g_ptr_array_index (audit->exceptions, i);

      printf ("%-36s %-12s %s%s\n", row->key, row->number != NULL ? row->number : "-", row->text,
              row->acknowledged ? "  (acknowledged)" : "");
    }
}

static gboolean
print_json (const TdAudit *audit, GError **error)
{
  g_autoptr (TdJson) json = td_audit_to_json (audit);
  g_autofree char *text = td_json_to_text (json, TRUE);

  return td_ctl_print (text, strlen (text), error);
}

static gboolean
write_pdf (const TdAudit *audit, const Options *options, gint64 now_ms, GError **error)
{
  g_autoptr (TdPages) pages = td_account_to_pages (audit, options->paper_kind, error);
  g_autofree char *title = NULL;
  const TdPdfInfo info = td_account_make_info (audit, now_ms, &title);

  return td_ctl_write_pages (pages, options->out, &info, error);
}

static gboolean
write_audit (const TdAudit *audit, const Options *options, gint64 now_ms, GError **error)
{
  if (options->out != NULL && !write_pdf (audit, options, now_ms, error))
    return FALSE;
  if (options->csv != NULL)
    {
      g_autofree char *csv = td_audit_to_csv (audit);

      if (td_ctl_is_stdout (options->csv) ? !td_ctl_print (csv, strlen (csv), error)
                                          : !g_file_set_contents (options->csv, csv, -1, error))
        return FALSE;
    }
  if (options->json && !print_json (audit, error))
    return FALSE;
  if (!options->json && options->csv == NULL && options->out == NULL)
    print_table (audit);
  return TRUE;
}

/* FALSE, with the reason printed, where an extract is not asked for rightly. */
static gboolean
check_extract (const TdCtlInfo *info, Options *options)
{
  if (options->site == NULL)
    td_ctl_misuse (info, "say of which --site the extract is");
  else if (options->csv != NULL || options->acknowledge != NULL)
    td_ctl_misuse (info, "an extract is written as -o FILE.pdf or --json");
  else if (options->paper != NULL && !td_paper_kind_from_text (options->paper, &options->paper_kind))
    td_ctl_misuse (info, "--paper is a4 or letter, not '%s'", options->paper);
  else
    return TRUE;
  return FALSE;
}

/* The period; FALSE, with the reason printed, where it is none. */
static gboolean
read_period (const TdCtlInfo *info, Options *options, TdDate *from_out, TdDate *to_out)
{
  g_autoptr (GError) error = NULL;

  if (options->json + td_ctl_is_stdout (options->out) + td_ctl_is_stdout (options->csv) > 1)
    {
      td_ctl_misuse (info, "--json, -o - and --csv - all write to standard output; ask for one of them");
      return FALSE;
    }
  if (options->extract && options->from == NULL && options->to == NULL)
    return check_extract (info, options);
  if (options->from == NULL || options->to == NULL)
    td_ctl_misuse (info, "say the period: --from DATE --to DATE");
  else if (!td_date_parse (options->from, from_out, &error))
    td_ctl_misuse (info, "--from: %s", error->message);
  else if (!td_date_parse (options->to, to_out, &error))
    td_ctl_misuse (info, "--to: %s", error->message);
  else if (*from_out > *to_out)
    td_ctl_misuse (info, "--from is later than --to");
  else if (options->acknowledge != NULL && (options->reason == NULL || options->person == NULL))
    td_ctl_misuse (info, "an exception is acknowledged with --reason TEXT and --person WHO");
  else if (options->acknowledge != NULL && (options->json || options->csv != NULL || options->out != NULL))
    td_ctl_misuse (info, "--acknowledge stands alone");
  else if (options->extract)
    return check_extract (info, options);
  else if (options->paper != NULL && !td_paper_kind_from_text (options->paper, &options->paper_kind))
    td_ctl_misuse (info, "--paper is a4 or letter, not '%s'", options->paper);
  else
    return TRUE;
  return FALSE;
}

/* Without a period, of the year that ends today. */
static TdCtlStatus
run_extract (const TdCtlInfo *info, TdBook *book, const Options *options, TdDate from, TdDate to)
{
  const TdMoment now = { td_clock_get_now_ms (td_book_get_clock (book)), 0 };
  TdDate today = td_moment_get_date (&now);
  const TdCtlExtract extract = { options->site, options->rules, options->out, options->json, options->paper_kind,
                                 options->from != NULL ? from : today - 364, options->to != NULL ? to : today };

  return td_ctl_extract (info, book, &extract);
}

static TdCtlStatus
run (const TdCtlInfo *info, TdBook *book, const Options *options, TdDate from, TdDate to)
{
  GError *error = NULL;
  gint64 now_ms = td_clock_get_now_ms (td_book_get_clock (book));
  g_autoptr (TdAudit) audit = td_book_get_audit (book, from, to, now_ms, &error);

  if (audit == NULL)
    return td_ctl_refuse (info, error);
  if (options->acknowledge == NULL)
    return write_audit (audit, options, now_ms, &error) ? TD_CTL_DONE : td_ctl_refuse (info, error);
  if (!td_book_acknowledge (book, audit, options->acknowledge, options->person, options->reason, &error))
    return td_ctl_refuse (info, error);
  printf ("%s: acknowledged by %s\n", options->acknowledge, options->person);
  return TD_CTL_DONE;
}

TdCtlStatus
td_ctl_audit (const TdCtlInfo *info, int argc, char **argv)
{
  g_auto (Options) options = { .paper_kind = TD_PAPER_A4 };
  const GOptionEntry entries[] = {
    TD_CTL_BOOK_ENTRIES (&options.book),
    { "from", 0, 0, G_OPTION_ARG_STRING, &options.from, "First day of the period", "DATE" },
    { "to", 0, 0, G_OPTION_ARG_STRING, &options.to, "Last day of the period", "DATE" },
    { "json", 0, 0, G_OPTION_ARG_NONE, &options.json, "Print JSON", NULL },
    { "csv", 0, 0, G_OPTION_ARG_FILENAME, &options.csv, "Write comma-separated values", "FILE" },
    { "output", 'o', 0, G_OPTION_ARG_FILENAME, &options.out, "Write the account as a PDF", "FILE.pdf" },
    { "paper", 0, 0, G_OPTION_ARG_STRING, &options.paper, "a4 (default) or letter", "PAPER" },
    { "site", 0, 0, G_OPTION_ARG_STRING, &options.site, "Of an extract: the site, by id", "SITE" },
    { "extract", 0, 0, G_OPTION_ARG_NONE, &options.extract, "The site's cleaning record for an inspector", NULL },
    { "rules", 0, 0, G_OPTION_ARG_STRING, &options.rules, "Of an extract: all, us-pa, us-ri, de-former", "RULES" },
    { "acknowledge", 0, 0, G_OPTION_ARG_STRING, &options.acknowledge, "Note that an exception was looked into", "KEY" },
    { "reason", 0, 0, G_OPTION_ARG_STRING, &options.reason, "What was found out", "TEXT" },
    { "person", 0, 0, G_OPTION_ARG_STRING, &options.person, "By whom", "WHO" },
    { NULL }
  };
  g_auto (GStrv) words = NULL;
  g_autoptr (TdBook) book = NULL;
  TdDate from = 0, to = 0;
  GError *error = NULL;
  TdCtlStatus status;

  if (!td_ctl_parse (info, entries, argc, argv, 0, 0, &words, &status))
    return status;
  if (!read_period (info, &options, &from, &to))
    return TD_CTL_WRONG_USE;
  book = td_ctl_open_book_reading (&options.book, &error);
  if (book == NULL)
    return td_ctl_refuse (info, error);
  return options.extract ? run_extract (info, book, &options, from, to) : run (info, book, &options, from, to);
}
