/* export: tables of the book as CSV, and site sheets. */
#include "ctl-book.h"
#include "ctl-commands.h"

#include "exchange-csv.h"
#include "store-export.h"
#include "store-query.h"

#include <stdio.h>
#include <string.h>

typedef struct
{
  TdCtlBookOptions book;
  char *out, *from, *to;
  gboolean spreadsheet;
} Options;

static void
clear (Options *options)
{
  td_ctl_book_options_clear (&options->book);
  g_free (options->out);
  g_free (options->from);
  g_free (options->to);
}

G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Options, clear)

static gboolean
read_day (const TdCtlInfo *info, const char *option, const char *text, TdDate *day_out)
{
  g_autoptr (GError) error = NULL;

  *day_out = TD_DATE_NONE;
  if (text == NULL || td_date_parse (text, day_out, &error))
    return TRUE;
  td_ctl_misuse (info, "%s: %s", option, error->message);
  return FALSE;
}

static gboolean
export_table (TdBook *book, TdExport table, const Options *options, TdDate from, TdDate to, GError **error)
{
  const char *path = options->out != NULL ? options->out : "-";
  g_autoptr (TdOut) out = td_out_new (path, error);
  g_autoptr (TdCsvWriter) writer = NULL;

  if (out == NULL)
    return FALSE;
  writer = td_csv_writer_new (out, options->spreadsheet ? TD_CSV_SPREADSHEET : TD_CSV_PLAIN);
  if (!td_book_export (book, table, from, to, td_csv_writer_add, writer, error) || !td_out_finish (out, error))
    return FALSE;
  if (strcmp (path, "-") != 0)
    printf ("%s: %s, rows: %u\n", path, td_export_to_text (table), td_csv_writer_get_n_rows (writer) - 1);
  return TRUE;
}

static gboolean
export_sheet (TdBook *book, const char *site, const char *path, GError **error)
{
  g_autofree char *text = td_book_get_sheet_text (book, site, error);

  if (text == NULL || !td_out_write_file (path, text, -1, error))
    return FALSE;
  if (strcmp (path, "-") != 0)
    printf ("%s: sheet of %s\n", path, site);
  return TRUE;
}

/* A file each, named by the site's id. */
static gboolean
export_sheets (TdBook *book, const char *folder, GError **error)
{
  g_autoptr (GPtrArray) sites = NULL;

  if (folder == NULL || !g_file_test (folder, G_FILE_TEST_IS_DIR))
    {
      g_set_error_literal (error, G_OPTION_ERROR, G_OPTION_ERROR_BAD_VALUE,
                           "sheets are a file each: say -o FOLDER, one that is there");
      return FALSE;
    }
  sites = td_book_list_sites (book, error);
  for (guint i = 0; sites != NULL && i < sites->len; i++)
    {
      const char *site = ((const TdSiteRow *) g_ptr_array_index (sites, i))->id;
      g_autofree char *name = g_strconcat (site, ".site.json", NULL);
      g_autofree char *path = g_build_filename (folder, name, NULL);

      if (!export_sheet (book, site, path, error))
        return FALSE;
    }
  return sites != NULL;
}

static gboolean
run (TdBook *book, TdExport table, char **words, const Options *options, TdDate from, TdDate to, GError **error)
{
  if (table != TD_N_EXPORTS)
    return export_table (book, table, options, from, to, error);
  if (words[1] != NULL)
    return export_sheet (book, words[1], options->out != NULL ? options->out : "-", error);
  return export_sheets (book, options->out, error);
}

static gboolean
check_words (const TdCtlInfo *info, char **words, TdExport *table_out)
{
  gboolean sheet = strcmp (words[0], "sheet") == 0;

  if (sheet != (words[1] != NULL))
    td_ctl_misuse (info, sheet ? "say which site: export sheet SITE" : "'%s' takes no further word", words[0]);
  else if (sheet || strcmp (words[0], "sheets") == 0 || td_export_from_text (words[0], table_out))
    return TRUE;
  else
    td_ctl_misuse (info, "there is no table '%s'", words[0]);
  return FALSE;
}

TdCtlStatus
td_ctl_export (const TdCtlInfo *info, int argc, char **argv)
{
  g_auto (Options) options = { .spreadsheet = FALSE };
  const GOptionEntry entries[] = {
    TD_CTL_BOOK_ENTRIES (&options.book),
    { "output", 'o', 0, G_OPTION_ARG_FILENAME, &options.out, "Where to (default: standard output)", "FILE" },
    { "from", 0, 0, G_OPTION_ARG_STRING, &options.from, "First day", "DATE" },
    { "to", 0, 0, G_OPTION_ARG_STRING, &options.to, "Last day", "DATE" },
    { "spreadsheet", 0, 0, G_OPTION_ARG_NONE, &options.spreadsheet, "Safe to open in a spreadsheet", NULL },
    { NULL }
  };
  g_auto (GStrv) words = NULL;
  g_autoptr (TdBook) book = NULL;
  TdExport table = TD_N_EXPORTS;
  TdDate from, to;
  GError *error = NULL;
  TdCtlStatus status;

  if (!td_ctl_parse (info, entries, argc, argv, 1, 2, &words, &status))
    return status;
  if (!check_words (info, words, &table) || !read_day (info, "--from", options.from, &from)
      || !read_day (info, "--to", options.to, &to))
    return TD_CTL_WRONG_USE;
  if (from != TD_DATE_NONE && to != TD_DATE_NONE && from > to)
    return td_ctl_misuse (info, "--from is later than --to");
  if ((from != TD_DATE_NONE || to != TD_DATE_NONE) && (table == TD_N_EXPORTS || !td_export_has_days (table)))
    return td_ctl_misuse (info, "'%s' has no days to choose by", words[0]);
  book = td_ctl_open_book_reading (&options.book, &error);
  if (book != NULL && run (book, table, words, &options, from, to, &error))
    return TD_CTL_DONE;
  return td_ctl_refuse (info, error);
}
