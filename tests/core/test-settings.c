/* The table of settings is sound, and a setting keeps within its range. */
#include <string.h>

#include "core-error.h"
#include "core-interval.h"
#include "core-settings.h"

/* The unit at the end of a key, by the unit that is shown. */
static const struct
{
  const char *unit;
  const char *ending;
} endings[] = {
  { "d", "-days" },          { "months", "-months" },   { "s", "-s" },         { "mm", "-mm" },
  { "0.001 %", "-percent-milli" }, { "0.001 C", "-c-milli" }, { "0.001 pH", "-ph-milli" },
  { "mL/min", "-ml-min" },   { "kPa", "-kpa" },         { "%", "-percent" },   { "ppm", "-ppm" },
  { "um", "-um" },           { "0.001", "-milli" },     { "min", "-min" },     { "mL", "-ml" },
  { "m", "-m" },             { "count", "-count" },     { "rules", "-rules" },
  { "mg/L", "-mg-l" },       { "minor/L", "-minor-l" },
};

static gboolean
ends_in_unit (const TdSettingInfo *info)
{
  for (gsize i = 0; i < G_N_ELEMENTS (endings); i++)
    if (strcmp (endings[i].unit, info->unit) == 0)
      return g_str_has_suffix (info->key, endings[i].ending);
  return FALSE;
}

static void
test_table (void)
{
  for (guint i = 0; i < TD_N_SETTINGS; i++)
    {
      const TdSettingInfo *info = td_setting_get_info ((TdSettingId) i);
      TdSettingId found;

      g_assert_cmpint (info->minimum, <, info->maximum);
      g_assert_cmpint (info->standard, >=, info->minimum);
      g_assert_cmpint (info->standard, <=, info->maximum);
      g_assert_cmpuint (strlen (info->source), >, 0);
      g_assert_true (g_str_has_suffix (info->text, "."));
      if (!ends_in_unit (info))
        g_error ("the key %s does not end in its unit %s", info->key, info->unit);
      /* The first with that key is this one: keys differ. */
      g_assert_true (td_setting_find (info->key, &found));
      g_assert_cmpint (found, ==, (int) i);
    }
}

static void
test_defaults (void)
{
  /* Figures of the Brewers Association manual, ch. 7, as the rules quote them. */
  static const struct
  {
    TdSettingId id;
    gint64 value;
  } cases[] = {
    { TD_SETTING_CAUSTIC_INTERVAL, 14 },     { TD_SETTING_ACID_INTERVAL, 3 },
    { TD_SETTING_FAUCET_INTERVAL, 14 },      { TD_SETTING_FOB_INTERVAL, 6 },
    { TD_SETTING_CAUSTIC_MIN, 2000 },        { TD_SETTING_SOLUTION_MIN, 26667 }, /* 80 F */
    { TD_SETTING_SOLUTION_MAX, 43333 },      { TD_SETTING_CONTACT_CIRCULATING, 900 },
    { TD_SETTING_CONTACT_STATIC, 1200 },     { TD_SETTING_STATIC_LENGTH, 4572 }, /* 15 ft */
    { TD_SETTING_FLOW_MIN, 3785 },           { TD_SETTING_BEER_TEMPERATURE, 3333 },
  };
  g_autoptr (TdSettings) settings = td_settings_new ();

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    g_assert_cmpint (td_settings_get (settings, cases[i].id), ==, cases[i].value);
}

static void
test_with (void)
{
  g_autoptr (TdSettings) settings = td_settings_new ();
  g_autoptr (TdSettings) same = td_settings_ref (settings);
  g_autoptr (GError) error = NULL;
  g_autoptr (TdSettings) weekly
      = td_settings_with (settings, TD_SETTING_CAUSTIC_INTERVAL, 7, &error);

  g_assert_no_error (error);
  g_assert_cmpint (td_settings_get (weekly, TD_SETTING_CAUSTIC_INTERVAL), ==, 7);
  g_assert_cmpint (td_settings_get (same, TD_SETTING_CAUSTIC_INTERVAL), ==, 14);
  for (guint i = 0; i < TD_N_SETTINGS; i++)
    if (i != TD_SETTING_CAUSTIC_INTERVAL)
      g_assert_cmpint (td_settings_get (weekly, (TdSettingId) i), ==,
                       td_settings_get (settings, (TdSettingId) i));
}

static void
test_range (void)
{
  g_autoptr (TdSettings) settings = td_settings_new ();

  for (guint i = 0; i < TD_N_SETTINGS; i++)
    {
      const TdSettingInfo *info = td_setting_get_info ((TdSettingId) i);
      g_autoptr (GError) error = NULL;
      g_autoptr (TdSettings) low = td_settings_with (settings, (TdSettingId) i, info->minimum, NULL);
      g_autoptr (TdSettings) high = td_settings_with (settings, (TdSettingId) i, info->maximum, NULL);

      g_assert_cmpint (td_settings_get (low, (TdSettingId) i), ==, info->minimum);
      g_assert_cmpint (td_settings_get (high, (TdSettingId) i), ==, info->maximum);
      g_assert_null (td_settings_with (settings, (TdSettingId) i, info->maximum + 1, &error));
      g_assert_error (error, TD_ERROR, TD_ERROR_RANGE);
      g_assert_nonnull (strstr (error->message, info->key));
      g_clear_error (&error);
      g_assert_null (td_settings_with (settings, (TdSettingId) i, info->minimum - 1, &error));
      g_assert_error (error, TD_ERROR, TD_ERROR_RANGE);
    }
}

static void
test_find_refuses (void)
{
  TdSettingId id = TD_SETTING_POUR_RATE;

  g_assert_false (td_setting_find ("", &id));
  g_assert_false (td_setting_find ("caustic-interval", &id));
  g_assert_false (td_setting_find ("caustic-interval-days ", &id));
  g_assert_cmpint (id, ==, TD_SETTING_POUR_RATE);
}

static void
test_interval (void)
{
  static const struct
  {
    TdSettingId id;
    const char *last;
    const char *due;
    const char *today;
    int late;
  } cases[] = {
    { TD_SETTING_CAUSTIC_INTERVAL, "2026-03-02", "2026-03-16", "2026-03-16", 0 },
    { TD_SETTING_CAUSTIC_INTERVAL, "2026-02-20", "2026-03-06", "2026-03-16", 10 },
    { TD_SETTING_CAUSTIC_INTERVAL, "2024-02-20", "2024-03-05", "2024-02-29", -5 },
    { TD_SETTING_ACID_INTERVAL, "2025-11-30", "2026-02-28", "2026-03-01", 1 },
    { TD_SETTING_FOB_INTERVAL, "2025-08-31", "2026-02-28", "2026-02-27", -1 },
    { TD_SETTING_HOSE_INTERVAL, "2024-02-29", "2025-02-28", "2025-02-28", 0 },
  };
  g_autoptr (TdSettings) settings = td_settings_new ();

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      TdInterval interval = td_interval_from_setting (settings, cases[i].id);
      TdDate last;
      TdDate today;
      TdDate due;
      g_autofree char *text = NULL;

      g_assert_true (td_date_parse (cases[i].last, &last, NULL));
      g_assert_true (td_date_parse (cases[i].today, &today, NULL));
      due = td_interval_get_due (interval, last);
      text = td_date_to_text (due);
      g_assert_cmpstr (text, ==, cases[i].due);
      g_assert_cmpint (td_date_get_days_late (due, today), ==, cases[i].late);
    }
}

static void
test_interval_ends (void)
{
  const TdInterval days = { 7, TD_INTERVAL_DAYS };
  const TdInterval months = { 1, TD_INTERVAL_MONTHS };
  const TdDate last = td_date_make (9999, 12, 31);

  g_assert_cmpint (td_interval_get_due (days, TD_DATE_NONE), ==, TD_DATE_NONE);
  g_assert_cmpint (td_interval_get_due (months, TD_DATE_NONE), ==, TD_DATE_NONE);
  g_assert_cmpint (td_interval_get_due (days, last), ==, TD_DATE_NONE);
  g_assert_cmpint (td_interval_get_due (months, last), ==, TD_DATE_NONE);
  g_assert_cmpint (td_interval_get_due (days, last - 7), ==, last);
  g_assert_cmpint (td_interval_get_due (days, G_MAXINT32), ==, TD_DATE_NONE);
  g_assert_cmpint (td_date_get_days_late (G_MAXINT32, G_MININT32 + 1), ==, G_MININT);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/settings/table", test_table);
  g_test_add_func ("/settings/defaults", test_defaults);
  g_test_add_func ("/settings/with", test_with);
  g_test_add_func ("/settings/range", test_range);
  g_test_add_func ("/settings/find-refuses", test_find_refuses);
  g_test_add_func ("/interval/settings", test_interval);
  g_test_add_func ("/interval/ends", test_interval_ends);
  return g_test_run ();
}
