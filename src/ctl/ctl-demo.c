/* demo: a book of an invented company. */
#include "ctl-book.h"
#include "ctl-commands.h"

#include "demo-book.h"

#include <stdio.h>

TdCtlStatus
td_ctl_demo (const TdCtlInfo *info, int argc, char **argv)
{
  int visits = 0;
  g_autofree char *now = NULL;
  const GOptionEntry entries[] = {
    { "visits", 0, 0, G_OPTION_ARG_INT, &visits, "Add so many generated visits", "N" },
    { "now", 0, 0, G_OPTION_ARG_STRING, &now, "The moment that the book stands at (default " TD_DEMO_NOW ")", "TIME" },
    { NULL }
  };
  g_auto (GStrv) words = NULL;
  g_autoptr (TdBook) book = NULL;
  GError *error = NULL;
  TdMoment moment;
  TdCtlStatus status;

  if (!td_ctl_parse (info, entries, argc, argv, 1, 1, &words, &status))
    return status;
  if (visits < 0 || visits > 100000)
    return td_ctl_misuse (info, "--visits takes a number from 0 to 100000");
  if (!td_moment_parse (now != NULL ? now : TD_DEMO_NOW, &moment, &error))
    {
      g_autoptr (GError) owned = error;

      return td_ctl_misuse (info, "--now: %s", owned->message);
    }
  book = td_demo_book_create (words[0], moment.utc_ms, (guint) visits, &error);
  if (book == NULL)
    return td_ctl_refuse (info, error);
  printf ("%s: a book of an invented company, as of %s\n", words[0], now != NULL ? now : TD_DEMO_NOW);
  return TD_CTL_DONE;
}
