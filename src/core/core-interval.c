#include "core-interval.h"

#include <string.h>

TdInterval
td_interval_from_setting (const TdSettings *settings, TdSettingId id)
{
  const TdSettingInfo *info = td_setting_get_info (id);
  gboolean months = strcmp (info->unit, "months") == 0;

  g_assert (settings != NULL);
  g_assert (months || strcmp (info->unit, "d") == 0);
  return (TdInterval) { (int) td_settings_get (settings, id),
                        months ? TD_INTERVAL_MONTHS : TD_INTERVAL_DAYS };
}

TdDate
td_interval_get_due (TdInterval interval, TdDate last)
{
  g_assert (interval.count > 0);
  if (last == TD_DATE_NONE)
    return TD_DATE_NONE;
  if (interval.unit == TD_INTERVAL_MONTHS)
    return td_date_add_months (last, interval.count);
  /* The calendar ends with the year 9999, as td_date_make() has it. */
  if ((gint64) last + interval.count > td_date_make (9999, 12, 31))
    return TD_DATE_NONE;
  return last + interval.count;
}

int
td_date_get_days_late (TdDate due, TdDate today)
{
  gint64 late = (gint64) today - due;

  g_return_val_if_fail (due != TD_DATE_NONE && today != TD_DATE_NONE, 0);
  return (int) CLAMP (late, G_MININT, G_MAXINT);
}
