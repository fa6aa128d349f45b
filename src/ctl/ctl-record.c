/* record: journal entries from standard input, one a line. */
#include "ctl-book.h"
#include "ctl-commands.h"

#include "store-journal.h"

#include <errno.h>
#include <gio/gio.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Longest line taken in, bytes: a signature of 50,000 points fits. */
#define MAX_LINE (4 * 1024 * 1024)

static void
answer_refused (guint64 number, const GError *error)
{
  g_autofree char *flat = g_strdelimit (g_strdup (error->message), "\n\r", ' ');

  printf ("refused %" G_GUINT64_FORMAT ": %s\n", number, flat);
  fflush (stdout);
}

static gboolean
record_line (TdBook *book, const char *line, gssize length, GError **error)
{
  g_autoptr (TdJson) json = td_json_parse (line, length, error);
  g_autoptr (TdDraft) draft = NULL;

  if (json == NULL)
    return FALSE;
  draft = td_draft_from_json (json, error);
  return draft != NULL && td_book_append (book, draft, NULL, NULL, error);
}

/* FALSE where at least one line was refused or the answer could not be given. */
static gboolean
record_lines (const TdCtlInfo *info, TdBook *book, TdCtlStatus *status_out)
{
  char *line = NULL;
  size_t room = 0;
  guint64 number = 0;
  gssize length;

  *status_out = TD_CTL_DONE;
  while ((length = getline (&line, &room, stdin)) >= 0)
    {
      g_autoptr (GError) error = NULL;

      number++;
      while (length > 0 && strchr (" \t\r\n", line[length - 1]) != NULL && line[length - 1] != '\0')
        length--;
      if (length == 0)
        continue;
      if (length > MAX_LINE)
        g_set_error (&error, G_IO_ERROR, G_IO_ERROR_MESSAGE_TOO_LARGE, "the line is longer than %d bytes", MAX_LINE);
      if (error == NULL && record_line (book, line, length, &error))
        {
          /* The entry is on disk: only now may the writer hear of it. */
          printf ("ok %" G_GUINT64_FORMAT "\n", number);
          if (fflush (stdout) != 0)
            break;
          continue;
        }
      answer_refused (number, error);
      fprintf (stderr, "tundishctl %s: line %" G_GUINT64_FORMAT ": %s\n", info->command, number, error->message);
      *status_out = TD_CTL_REFUSED;
    }
  free (line);
  if (ferror (stdin) || ferror (stdout))
    {
      *status_out = td_ctl_refuse (info, g_error_new (G_IO_ERROR, g_io_error_from_errno (errno),
                                                      "Reading or answering stopped after line %" G_GUINT64_FORMAT
                                                      "; what was answered with ok is safe",
                                                      number));
      return FALSE;
    }
  return *status_out == TD_CTL_DONE;
}

static TdCtlStatus
print_count (const TdCtlInfo *info, TdBook *book, const char *word)
{
  GError *error = NULL;
  TdUuid visit;
  guint count = 0;

  if (!td_ctl_find_visit (book, word, &visit, &error) || !td_book_count_entries (book, &visit, &count, &error))
    return td_ctl_refuse (info, error);
  printf ("%u\n", count);
  return TD_CTL_DONE;
}

TdCtlStatus
td_ctl_record (const TdCtlInfo *info, int argc, char **argv)
{
  g_auto (TdCtlBookOptions) options = { NULL, NULL };
  g_autofree char *count = NULL;
  const GOptionEntry entries[] = {
    TD_CTL_BOOK_ENTRIES (&options),
    { "count", 0, 0, G_OPTION_ARG_STRING, &count, "Print how many entries the visit has", "VISIT" },
    { NULL }
  };
  g_auto (GStrv) words = NULL;
  g_autoptr (TdBook) book = NULL;
  GError *error = NULL;
  TdCtlStatus status;

  if (!td_ctl_parse (info, entries, argc, argv, 0, 0, &words, &status))
    return status;
  book = td_ctl_open_book (&options, &error);
  if (book == NULL)
    return td_ctl_refuse (info, error);
  if (count != NULL)
    return print_count (info, book, count);
  record_lines (info, book, &status);
  return status;
}
