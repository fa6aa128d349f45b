/* invoice: drafts, issued invoices, credit notes, payments, statements; each part in a file of its own. */
#include "ctl-invoice.h"

#include "ctl-commands.h"

#include "core-error.h"
#include "store-query.h"

#include <string.h>

#define DAY_MS G_GINT64_CONSTANT (86400000)

typedef struct
{
  const char *name;
  int words; /* after its name */
  TdCtlInvoiceRun run;
} Part;

static const Part parts[] = {
  { "draft", 0, td_ctl_invoice_draft },         { "waiting", 0, td_ctl_invoice_waiting },
  { "issue", 0, td_ctl_invoice_issue },         { "show", 1, td_ctl_invoice_show },
  { "list", 0, td_ctl_invoice_list },           { "credit", 1, td_ctl_invoice_credit },
  { "pay", 1, td_ctl_invoice_pay },             { "hold", 1, td_ctl_invoice_hold },
  { "series", 0, td_ctl_invoice_series },       { "statement", 1, td_ctl_invoice_statement },
  { "export", 0, td_ctl_invoice_export },
};

static void
clear (TdCtlInvoice *options)
{
  td_ctl_book_options_clear (&options->book);
  g_free (options->account);
  g_free (options->until);
  g_free (options->date);
  g_free (options->from);
  g_free (options->to);
  g_free (options->reason);
  g_free (options->amount);
  g_free (options->text);
  g_free (options->out);
  g_free (options->paper);
  g_free (options->prefix);
  g_free (options->format);
  g_strfreev (options->keys);
  g_strfreev (options->lines);
}

G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (TdCtlInvoice, clear)

gboolean
td_ctl_invoice_put (TdJsonBuilder *builder, const char *path, GError **error)
{
  g_autoptr (TdJson) json = td_json_builder_finish (builder);
  g_autofree char *text = td_json_to_text (json, TRUE);

  if (path != NULL)
    return g_file_set_contents (path, text, -1, error);
  return td_ctl_print (text, strlen (text), error);
}

char *
td_ctl_invoice_find_account (TdBook *book, const char *word, GError **error)
{
  g_autoptr (GPtrArray) rows = td_book_list_accounts (book, error);
  char *found = NULL;

  for (guint i = 0; rows != NULL && found == NULL && i < rows->len; i++)
    {
      const TdAccountRow *row = g_ptr_array_index (rows, i);

      if (strcmp (row->id, word) == 0 || strcmp (row->name, word) == 0)
        found = g_strdup (row->id);
    }
  if (rows != NULL && found == NULL)
    g_set_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_MISSING, "The book has no account '%s', by id or name", word);
  return found;
}

/* FALSE, with the reason printed, where a word is not a date. */
static gboolean
read_date (const TdCtlInfo *info, const char *option, const char *text, TdDate *date_out)
{
  *date_out = TD_DATE_NONE;
  if (text == NULL || td_date_parse (text, date_out, NULL))
    return TRUE;
  td_ctl_misuse (info, "%s takes a date as 2026-03-02, not '%s'", option, text);
  return FALSE;
}

static gboolean
check_options (const TdCtlInfo *info, TdCtlInvoice *options)
{
  if (!read_date (info, "--until", options->until, &options->until_day)
      || !read_date (info, "--date", options->date, &options->day)
      || !read_date (info, "--from", options->from, &options->from_day)
      || !read_date (info, "--to", options->to, &options->to_day))
    return FALSE;
  if (options->format != NULL && strcmp (options->format, "ubl") != 0)
    {
      td_ctl_misuse (info, "--format is ubl, not '%s'; other formats follow from the file's name", options->format);
      return FALSE;
    }
  options->paper_kind = TD_PAPER_A4;
  if (options->paper == NULL || td_paper_kind_from_text (options->paper, &options->paper_kind))
    return TRUE;
  td_ctl_misuse (info, "--paper is a4 or letter, not '%s'", options->paper);
  return FALSE;
}

static const Part *
find_part (const TdCtlInfo *info, char **words)
{
  for (gsize i = 0; i < G_N_ELEMENTS (parts); i++)
    if (strcmp (parts[i].name, words[0]) == 0)
      {
        int n = (int) g_strv_length (words) - 1;

        if (n == parts[i].words)
          return &parts[i];
        td_ctl_misuse (info, "'%s' takes %s", words[0], parts[i].words == 0 ? "no further word" : "one further word");
        return NULL;
      }
  td_ctl_misuse (info, "there is no '%s'", words[0]);
  return NULL;
}

/* The account by its id from here on. */
static gboolean
run (TdBook *book, const Part *part, TdCtlInvoice *options, char **words, GError **error)
{
  if (options->account != NULL)
    {
      char *id = td_ctl_invoice_find_account (book, options->account, error);

      if (id == NULL)
        return FALSE;
      g_free (options->account);
      options->account = id;
    }
  if (options->day == TD_DATE_NONE)
    options->day = (TdDate) (td_clock_get_now_ms (td_book_get_clock (book)) / DAY_MS);
  return part->run (book, options, words + 1, error);
}

static gboolean
parse (const TdCtlInfo *info, int argc, char **argv, TdCtlInvoice *o, char ***words_out, TdCtlStatus *status_out)
{
  const GOptionEntry entries[] = {
    TD_CTL_BOOK_ENTRIES (&o->book),
    { "json", 0, 0, G_OPTION_ARG_NONE, &o->json, "Print JSON", NULL },
    { "output", 'o', 0, G_OPTION_ARG_FILENAME, &o->out, "Write a file", "FILE" },
    { "paper", 0, 0, G_OPTION_ARG_STRING, &o->paper, "a4 (default) or letter", "PAPER" },
    { "all", 0, 0, G_OPTION_ARG_NONE, &o->all, "Everything that is drafted", NULL },
    { "account", 0, 0, G_OPTION_ARG_STRING, &o->account, "Of one account only, by id or name", "ACCOUNT" },
    { "key", 0, 0, G_OPTION_ARG_STRING_ARRAY, &o->keys, "A draft by its key; repeatable", "KEY" },
    { "until", 0, 0, G_OPTION_ARG_STRING, &o->until, "Visits up to that day", "DATE" },
    { "date", 0, 0, G_OPTION_ARG_STRING, &o->date, "Date of issue or payment (default: today)", "DATE" },
    { "from", 0, 0, G_OPTION_ARG_STRING, &o->from, "First day", "DATE" },
    { "to", 0, 0, G_OPTION_ARG_STRING, &o->to, "Last day", "DATE" },
    { "reason", 0, 0, G_OPTION_ARG_STRING, &o->reason, "Why", "TEXT" },
    { "line", 0, 0, G_OPTION_ARG_STRING_ARRAY, &o->lines, "A line to be credited, from 1; repeatable", "N" },
    { "again", 0, 0, G_OPTION_ARG_NONE, &o->again, "What is credited may be invoiced again", NULL },
    { "amount", 0, 0, G_OPTION_ARG_STRING, &o->amount, "What was paid, as 12.50", "AMOUNT" },
    { "text", 0, 0, G_OPTION_ARG_STRING, &o->text, "Reference of the payment", "TEXT" },
    { "release", 0, 0, G_OPTION_ARG_NONE, &o->release, "Let a held visit go", NULL },
    { "open", 0, 0, G_OPTION_ARG_NONE, &o->open, "What is not paid", NULL },
    { "overdue", 0, 0, G_OPTION_ARG_NONE, &o->overdue, "What should have been paid", NULL },
    { "with-reports", 0, 0, G_OPTION_ARG_NONE, &o->with_reports, "Bind the reports of its visits behind", NULL },
    { "format", 0, 0, G_OPTION_ARG_STRING, &o->format, "ubl: electronic invoices by EN 16931", "FORMAT" },
    { "prefix", 0, 0, G_OPTION_ARG_STRING, &o->prefix, "Stands before the numbers from now on", "TEXT" },
    { "here", 0, 0, G_OPTION_ARG_NONE, &o->here, "This copy of the book numbers from now on", NULL },
    { NULL }
  };

  return td_ctl_parse (info, entries, argc, argv, 1, 2, words_out, status_out);
}

TdCtlStatus
td_ctl_invoice (const TdCtlInfo *info, int argc, char **argv)
{
  g_auto (TdCtlInvoice) options = { 0 };
  g_auto (GStrv) words = NULL;
  g_autoptr (TdBook) book = NULL;
  const Part *part;
  GError *error = NULL;
  TdCtlStatus status;

  if (!parse (info, argc, argv, &options, &words, &status))
    return status;
  part = find_part (info, words);
  if (part == NULL || !check_options (info, &options))
    return TD_CTL_WRONG_USE;
  book = td_ctl_open_book_reading (&options.book, &error);
  if (book != NULL && run (book, part, &options, words, &error))
    return TD_CTL_DONE;
  if (g_error_matches (error, G_OPTION_ERROR, G_OPTION_ERROR_BAD_VALUE))
    {
      g_autoptr (GError) owned = error;

      return td_ctl_misuse (info, "%s", owned->message);
    }
  return td_ctl_refuse (info, error);
}
