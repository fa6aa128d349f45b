/* What a bundle says must be such as this program writes it: names become names of files, days and moments are
 * reckoned with, percentages are divided by. */
#include "store-bundle-private.h"

#include "store-master-read.h"

#include "core-json-read-text.h"
#include "core-time.h"

#include <string.h>

#define MS_PER_DAY G_GINT64_CONSTANT (86400000)
/* Days since 1970 beyond any of the years 1..9999, so that their milliseconds are no overflow. */
#define DAYS_MAX 4000000
/* Length of a device's prefix, letters. */
#define PREFIX_LENGTH 4
#define SMALL "abcdefghijklmnopqrstuvwxyz0123456789-"
#define CAPITALS "ABCDEFGHIJKLMNOPQRSTUVWXYZ"

gboolean
td_bundle_is_moment (gint64 ms)
{
  const TdMoment moment = { ms, 0 };
  return td_moment_get_date (&moment) != TD_DATE_NONE;
}

gboolean
td_bundle_is_day (gint64 day)
{
  return day > -DAYS_MAX && day < DAYS_MAX && td_bundle_is_moment (day * MS_PER_DAY);
}

gboolean
td_bundle_is_prefix (const char *text)
{
  g_return_val_if_fail (text != NULL, FALSE);
  return strlen (text) == PREFIX_LENGTH && strspn (text, CAPITALS) == PREFIX_LENGTH;
}

gboolean
td_bundle_is_slug (TdMasterKind kind, const char *slug)
{
  g_return_val_if_fail (slug != NULL, FALSE);
  /* Made by td_slug_from_text(), and a file is named by it. */
  if (kind == TD_MASTER_SITE || kind == TD_MASTER_ACCOUNT)
    return *slug != '\0' && strspn (slug, SMALL) == strlen (slug);
  if (kind == TD_MASTER_TECHNICIAN || kind == TD_MASTER_INSTRUMENT || kind == TD_MASTER_PRODUCT || kind == TD_MASTER_LOT)
    return td_id_is_valid (slug);
  return *slug != '\0';
}

gboolean
td_bundle_read_masters (TdBook *book, char **wrong_out, GError **error)
{
  g_autoptr (GError) why = NULL;
  g_assert (wrong_out != NULL && *wrong_out == NULL);
  g_autoptr (TdMasters) masters = td_masters_read (book, error);
  if (masters == NULL)
    return FALSE;
  g_autoptr (TdJson) json = td_masters_to_json (masters);
  g_autoptr (TdMasters) again = td_masters_from_json (json, &why);
  if (again == NULL)
    *wrong_out = g_strdup (why->message);
  return TRUE;
}
