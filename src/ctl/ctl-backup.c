/* backup and restore: copies of a book. */
#include "ctl-book.h"
#include "ctl-commands.h"

#include "store-backup.h"

#include <stdio.h>

TdCtlStatus
td_ctl_backup (const TdCtlInfo *info, int argc, char **argv)
{
  const GOptionEntry entries[] = { { NULL } };
  g_auto (GStrv) words = NULL;
  GError *error = NULL;
  TdCtlStatus status;

  if (!td_ctl_parse (info, entries, argc, argv, 2, 2, &words, &status))
    return status;
  if (!td_book_backup (words[0], words[1], &error))
    return td_ctl_refuse (info, error);
  printf ("%s: a copy of %s, read back and verified\n", words[1], words[0]);
  return TD_CTL_DONE;
}

TdCtlStatus
td_ctl_restore (const TdCtlInfo *info, int argc, char **argv)
{
  gboolean replace = FALSE;
  const GOptionEntry entries[] = {
    { "replace", 0, 0, G_OPTION_ARG_NONE, &replace, "Replace a book that stands there; it is kept beside it", NULL },
    { NULL }
  };
  g_auto (GStrv) words = NULL;
  g_autoptr (TdClock) clock = NULL;
  g_autofree char *kept = NULL;
  GError *error = NULL;
  TdCtlStatus status;

  if (!td_ctl_parse (info, entries, argc, argv, 2, 2, &words, &status))
    return status;
  clock = td_clock_new ();
  if (!td_book_restore (words[0], words[1], replace, clock, &kept, &error))
    return td_ctl_refuse (info, error);
  printf ("%s: restored from %s, verified; it writes as a new device from now on\n", words[1], words[0]);
  if (kept != NULL)
    printf ("%s: the book that stood there before\n", kept);
  return TD_CTL_DONE;
}
