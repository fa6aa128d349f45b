/* core-date.c: civil dates, the half of core-time.h that knows no time of day. */
#include "core-time.h"

#include <string.h>

#include "core-error.h"
#include "core-text.h"
#include "core-time-private.h"

/* The Gregorian calendar repeats after 400 years of 146097 days.  Counting years from 1 March puts the
 * leap day at the end of a year, and the months from March on then have 31 30 31 30 31, twice, and the
 * rest: day (153 m + 2) / 5 of the year starts month m. */
#define DAYS_PER_ERA 146097
#define YEARS_PER_ERA 400
/* From 0000-03-01 to 1970-01-01. */
#define EPOCH_SHIFT 719468
/* Years that a date may have: four digits in ISO 8601. */
#define YEAR_FIRST 1
#define YEAR_LAST 9999

static gboolean
is_leap (int year)
{
  return year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
}

static int
days_in_month (int year, int month)
{
  static const int days[] = { 31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31 };

  g_assert (month >= 1 && month <= 12);
  return month == 2 && is_leap (year) ? 29 : days[month - 1];
}

TdDate
td_date_make (int year, int month, int day)
{
  int years;
  int era;
  int year_of_era;
  int day_of_year;

  if (year < YEAR_FIRST || year > YEAR_LAST || month < 1 || month > 12)
    return TD_DATE_NONE;
  if (day < 1 || day > days_in_month (year, month))
    return TD_DATE_NONE;
  years = month > 2 ? year : year - 1;
  era = years / YEARS_PER_ERA;
  year_of_era = years % YEARS_PER_ERA;
  day_of_year = (153 * (month > 2 ? month - 3 : month + 9) + 2) / 5 + day - 1;
  return era * DAYS_PER_ERA + year_of_era * 365 + year_of_era / 4 - year_of_era / 100 + day_of_year
         - EPOCH_SHIFT;
}

void
td_date_split (TdDate date, int *year_out, int *month_out, int *day_out)
{
  gint64 days = (gint64) date + EPOCH_SHIFT;
  gint64 era = (days >= 0 ? days : days - (DAYS_PER_ERA - 1)) / DAYS_PER_ERA;
  int day_of_era = (int) (days - era * DAYS_PER_ERA);
  /* Leap days passed are taken out before dividing by 365. */
  int year_of_era
      = (day_of_era - day_of_era / 1460 + day_of_era / 36524 - day_of_era / (DAYS_PER_ERA - 1)) / 365;
  int day_of_year = day_of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
  int month_from_march = (5 * day_of_year + 2) / 153;
  int month = month_from_march < 10 ? month_from_march + 3 : month_from_march - 9;

  g_assert (date != TD_DATE_NONE);
  *day_out = day_of_year - (153 * month_from_march + 2) / 5 + 1;
  *month_out = month;
  *year_out = (int) (era * YEARS_PER_ERA) + year_of_era + (month <= 2 ? 1 : 0);
}

/* Reads exactly @count digits. */
gboolean
td_time_read_digits (const char **at, int count, int *value_out)
{
  int value = 0;

  g_assert (at != NULL && count > 0 && count <= 9);
  for (int i = 0; i < count; i++)
    {
      if (!g_ascii_isdigit ((*at)[i]))
        return FALSE;
      value = value * 10 + ((*at)[i] - '0');
    }
  *at += count;
  *value_out = value;
  return TRUE;
}

gboolean
td_time_read_char (const char **at, char character)
{
  if (**at != character)
    return FALSE;
  (*at)++;
  return TRUE;
}

gboolean
td_time_read_date (const char **at, int *year_out, int *month_out, int *day_out)
{
  return td_time_read_digits (at, 4, year_out) && td_time_read_char (at, '-')
         && td_time_read_digits (at, 2, month_out) && td_time_read_char (at, '-')
         && td_time_read_digits (at, 2, day_out);
}

gboolean
td_date_parse (const char *text, TdDate *date_out, GError **error)
{
  const char *at = text;
  int year;
  int month;
  int day;
  TdDate date;

  g_return_val_if_fail (text != NULL && date_out != NULL, FALSE);
  if (!td_time_read_date (&at, &year, &month, &day) || *at != '\0')
    {
      g_autofree char *excerpt = td_text_excerpt (text);

      g_set_error (error, TD_ERROR, TD_ERROR_PARSE, "\"%s\" is not a date like 2026-03-02", excerpt);
      return FALSE;
    }
  date = td_date_make (year, month, day);
  if (date == TD_DATE_NONE)
    {
      g_set_error (error, TD_ERROR, TD_ERROR_PARSE, "there is no day %s in the calendar", text);
      return FALSE;
    }
  *date_out = date;
  return TRUE;
}

char *
td_date_to_text (TdDate date)
{
  int year;
  int month;
  int day;

  g_return_val_if_fail (date != TD_DATE_NONE, NULL);
  td_date_split (date, &year, &month, &day);
  return g_strdup_printf ("%04d-%02d-%02d", year, month, day);
}

int
td_date_get_weekday (TdDate date)
{
  int weekday;

  g_assert (date != TD_DATE_NONE);
  weekday = (int) (((gint64) date + 3) % 7); /* 1970-01-01 was a Thursday, 4 */
  return (weekday < 0 ? weekday + 7 : weekday) + 1;
}

TdDate
td_date_add_months (TdDate date, int months)
{
  int year;
  int month;
  int day;
  gint64 count;

  g_return_val_if_fail (date != TD_DATE_NONE, TD_DATE_NONE);
  td_date_split (date, &year, &month, &day);
  count = (gint64) year * 12 + (month - 1) + months;
  if (count < YEAR_FIRST * 12 || count >= (YEAR_LAST + 1) * 12)
    return TD_DATE_NONE;
  year = (int) (count / 12);
  month = (int) (count % 12) + 1;
  return td_date_make (year, month, MIN (day, days_in_month (year, month)));
}
