/* new: an empty book. */
#include "ctl-book.h"
#include "ctl-commands.h"

#include <stdio.h>

TdCtlStatus
td_ctl_new (const TdCtlInfo *info, int argc, char **argv)
{
  gboolean test = FALSE;
  g_autofree char *now = NULL;
  const GOptionEntry entries[] = {
    { "test", 0, 0, G_OPTION_ARG_NONE, &test, "Mark it as a test book, on which --now is allowed", NULL },
    { "now", 0, 0, G_OPTION_ARG_STRING, &now, "Pin the clock, with --test only (ISO 8601)", "TIME" },
    { NULL }
  };
  g_auto (GStrv) words = NULL;
  g_autoptr (TdClock) clock = NULL;
  g_autoptr (TdBook) book = NULL;
  GError *error = NULL;
  TdCtlStatus status;

  if (!td_ctl_parse (info, entries, argc, argv, 1, 1, &words, &status))
    return status;
  clock = td_ctl_make_clock_for (now, words[0], &error);
  if (clock == NULL)
    {
      g_autoptr (GError) owned = error;

      return td_ctl_misuse (info, "%s", owned->message);
    }
  book = td_book_create (words[0], test, clock, &error);
  if (book == NULL)
    return td_ctl_refuse (info, error);
  printf ("%s: an empty %sservice book\n", words[0], test ? "test " : "");
  return TD_CTL_DONE;
}
