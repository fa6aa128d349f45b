/* check: everything in a book that can be verified. */
#include "ctl-book.h"
#include "ctl-commands.h"

#include "store-check.h"

#include <stdio.h>

static void
print_kind (const char *kind, guint count, const char *failure, gpointer user_data)
{
  (void) user_data;
  if (failure == NULL)
    printf ("%-12s %8u  ok\n", kind, count);
  else
    printf ("%-12s %8u  WANTING: %s\n", kind, count, failure);
}

TdCtlStatus
td_ctl_check (const TdCtlInfo *info, int argc, char **argv)
{
  g_auto (TdCtlBookOptions) options = { NULL, NULL };
  const GOptionEntry entries[] = { TD_CTL_BOOK_ENTRIES (&options), { NULL } };
  g_auto (GStrv) words = NULL;
  g_autoptr (TdBook) book = NULL;
  GError *error = NULL;
  TdCtlStatus status;

  if (!td_ctl_parse (info, entries, argc, argv, 0, 0, &words, &status))
    return status;
  book = td_ctl_open_book_reading (&options, &error);
  if (book == NULL || !td_book_check (book, print_kind, NULL, &error))
    {
      fflush (stdout);
      return td_ctl_refuse (info, error);
    }
  return TD_CTL_DONE;
}
