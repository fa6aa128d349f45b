/* settings: the figures that govern the work. */
#include "ctl-book.h"
#include "ctl-commands.h"

#include "store-master.h"

#include <errno.h>
#include <stdio.h>
#include <string.h>

static void
print_setting (const TdSettings *settings, TdSettingId id)
{
  const TdSettingInfo *row = td_setting_get_info (id);

  printf ("%-36s %8" G_GINT64_FORMAT "  %s\n", row->key, td_settings_get (settings, id), row->text);
  if (td_settings_get (settings, id) != row->standard)
    printf ("%-36s %8" G_GINT64_FORMAT "  default (%s)\n", "", row->standard, row->source);
}

static TdCtlStatus
show (const TdCtlInfo *info, TdBook *book, const char *site, const char *key)
{
  GError *error = NULL;
  g_autoptr (TdSettings) settings = td_book_get_settings (book, site, &error);
  TdSettingId id;

  if (settings == NULL)
    return td_ctl_refuse (info, error);
  if (key == NULL)
    for (int i = 0; i < TD_N_SETTINGS; i++)
      print_setting (settings, (TdSettingId) i);
  else if (td_setting_find (key, &id))
    print_setting (settings, id);
  else
    return td_ctl_misuse (info, "there is no setting '%s'", key);
  return TD_CTL_DONE;
}

static TdCtlStatus
change (const TdCtlInfo *info, TdBook *book, const char *site, const char *key, const char *text)
{
  GError *error = NULL;
  gint64 value = 0;
  gboolean back = strcmp (text, "default") == 0;
  TdSettingId id;

  if (!td_setting_find (key, &id))
    return td_ctl_misuse (info, "there is no setting '%s'", key);
  if (!back && !g_ascii_string_to_signed (text, 10, G_MININT64, G_MAXINT64, &value, NULL))
    return td_ctl_misuse (info, "'%s' is not a whole number; the unit is %s", text, td_setting_get_info (id)->unit);
  if (!td_book_set_setting (book, site, id, back ? NULL : &value, &error))
    return td_ctl_refuse (info, error);
  return show (info, book, site, key);
}

TdCtlStatus
td_ctl_settings (const TdCtlInfo *info, int argc, char **argv)
{
  g_auto (TdCtlBookOptions) options = { NULL, NULL };
  g_autofree char *site = NULL;
  const GOptionEntry entries[] = {
    TD_CTL_BOOK_ENTRIES (&options),
    { "site", 0, 0, G_OPTION_ARG_STRING, &site, "Of one site, not of the company", "SITE" },
    { NULL }
  };
  g_auto (GStrv) words = NULL;
  g_autoptr (TdBook) book = NULL;
  GError *error = NULL;
  TdCtlStatus status;

  if (!td_ctl_parse (info, entries, argc, argv, 0, 2, &words, &status))
    return status;
  book = td_ctl_open_book_reading (&options, &error);
  if (book == NULL)
    return td_ctl_refuse (info, error);
  if (words[0] != NULL && words[1] != NULL)
    return change (info, book, site, words[0], words[1]);
  return show (info, book, site, words[0]);
}
