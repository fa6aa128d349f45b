/* core-interval.h: when something is due again, in civil dates of the site's zone.
 *
 * The tool has no interval of its own: every one is a setting, since laws and contracts differ. */
#pragma once

#include "core-settings.h"
#include "core-time.h"

G_BEGIN_DECLS

typedef enum
{
  TD_INTERVAL_DAYS,
  TD_INTERVAL_MONTHS /* calendar months, by the end-of-month rule of td_date_add_months() */
} TdIntervalUnit;

typedef struct
{
  int count; /* > 0 */
  TdIntervalUnit unit;
} TdInterval;

/* The interval that a setting of unit "d" or "months" stands for; another setting is a programmer's
 * error. */
TdInterval td_interval_from_setting (const TdSettings *settings, TdSettingId id);

/* The day on which it is due again after it was done on @last; TD_DATE_NONE where @last is TD_DATE_NONE
 * (never done: due at once) or the calendar ends. */
TdDate td_interval_get_due (TdInterval interval, TdDate last);

/* Days from @due to @today: > 0 overdue, 0 due today, < 0 still to go. Neither may be TD_DATE_NONE. */
int td_date_get_days_late (TdDate due, TdDate today);

G_END_DECLS
