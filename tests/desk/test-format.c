/* Figures and states as words: the closures of the templates, case by case. */
#include "core-rule.h"
#include "core-site.h"
#include "desk-format.h"
#include "desk-moment-button.h"
#include "model-round.h"
#include "store-zone.h"

#include <math.h>

#define SAYS(call, wanted) \
  G_STMT_START \
  { \
    g_autofree char *text_ = (call); \
    g_assert_cmpstr (text_, ==, wanted); \
  } \
  G_STMT_END

static void
test_dates (void)
{
  SAYS (td_format_date (NULL, TD_DATE_NONE), "");
  SAYS (td_format_date (NULL, td_date_make (2026, 3, 2)), "2 Mar 2026");
  SAYS (td_format_date (NULL, td_date_make (2028, 2, 29)), "29 Feb 2028");
  SAYS (td_format_date (NULL, 0), "1 Jan 1970");
}

static void
test_due (void)
{
  SAYS (td_format_due (NULL, TD_ROUND_OPEN, -4), "Visit open");
  SAYS (td_format_due (NULL, TD_ROUND_OVERDUE, -1), "Overdue 1 day");
  SAYS (td_format_due (NULL, TD_ROUND_OVERDUE, -9), "Overdue 9 days");
  SAYS (td_format_due (NULL, TD_ROUND_TODAY, 0), "Due today");
  SAYS (td_format_due (NULL, TD_ROUND_SOON, 1), "Due in 1 day");
  SAYS (td_format_due (NULL, TD_ROUND_LATER, 30), "Due in 30 days");
  SAYS (td_format_due (NULL, TD_ROUND_UNKNOWN, 0), "Nothing due");
  SAYS (td_format_task_line (NULL, "caustic", td_date_make (2026, 3, 2)), "Caustic clean, last 2 Mar 2026");
  SAYS (td_format_task_line (NULL, "acid", TD_DATE_NONE), "Acid clean, first time");
  SAYS (td_format_task_line (NULL, NULL, TD_DATE_NONE), "");
  SAYS (td_format_round_note (NULL, 0, TD_DATE_NONE, NULL), "");
  SAYS (td_format_round_note (NULL, 1, TD_DATE_NONE, "locked"), "Missed: locked");
  SAYS (td_format_round_note (NULL, 2, TD_DATE_NONE, "locked"), "Missed 2 times: locked");
  SAYS (td_format_round_note (NULL, 0, td_date_make (2026, 3, 2), "party"), "Moved to 2 Mar 2026: party");
  SAYS (td_format_round_note (NULL, 1, td_date_make (2026, 3, 2), "party"), "Missed · Moved to 2 Mar 2026: party");
  SAYS (td_format_task (NULL, "something-else"), "something-else");
  for (int state = TD_ROUND_OPEN; state <= TD_ROUND_UNKNOWN; state++)
    {
      g_auto (GStrv) classes = td_format_state_classes (NULL, state);
      g_autofree char *icon = td_format_state_icon (NULL, state);

      g_assert_cmpstr (classes[0], ==, "chip");
      g_assert_nonnull (classes[1]);
      g_assert_true (g_str_has_suffix (icon, "-symbolic"));
    }
}

static void
test_figures (void)
{
  /* 10 m are 32.8 ft; 100 mL are 3.4 US fl oz, by definition of foot and fluid ounce. */
  td_format_set_units (TD_UNITS_US);
  SAYS (td_format_length (NULL, 10), "32.8\u00a0ft");
  SAYS (td_format_volume (NULL, 100), "3.4\u00a0fl oz");
  td_format_set_units (TD_UNITS_METRIC);
  SAYS (td_format_length (NULL, 10), "10\u00a0m");
  SAYS (td_format_volume (NULL, 100), "100\u00a0mL");
  SAYS (td_format_length (NULL, NAN), "");
  SAYS (td_format_volume (NULL, NAN), "");
  SAYS (td_format_number (NULL, 0), "–");
  SAYS (td_format_number (NULL, 12), "12");
  SAYS (td_format_lines (NULL, 1), "1 line");
  SAYS (td_format_lines (NULL, 24), "24 lines");
  SAYS (td_format_late (NULL, 59), "");
  SAYS (td_format_late (NULL, 1500), "written down 25 min later");
}

static void
test_words (void)
{
  SAYS (td_format_pair (NULL, "a", "b"), "a · b");
  SAYS (td_format_pair (NULL, "a", ""), "a");
  SAYS (td_format_pair (NULL, NULL, "b"), "b");
  SAYS (td_format_pair (NULL, NULL, NULL), "");
  SAYS (td_format_fittings (NULL, TD_BEER_PUMP_REVERSIBLE, FALSE, TRUE, FALSE), "Pump ⇅ · FOB");
  SAYS (td_format_fittings (NULL, TD_BEER_PUMP_ONE_WAY, TRUE, FALSE, FALSE), "Pump ↑");
  SAYS (td_format_fittings (NULL, TD_BEER_PUMP_NONE, TRUE, FALSE, TRUE), "Split · Check ↑");
  SAYS (td_format_fittings (NULL, TD_BEER_PUMP_NONE, FALSE, FALSE, FALSE), "");
  SAYS (td_format_visit_title (NULL, NULL, FALSE, FALSE), "Open visit");
  SAYS (td_format_visit_title (NULL, "AB-1", TRUE, FALSE), "AB-1");
  SAYS (td_format_visit_title (NULL, "AB-1", TRUE, TRUE), "AB-1, amended");
  SAYS (td_format_findings (NULL, 0, 0, 0), "Nothing found");
  SAYS (td_format_findings (NULL, 1, 2, 1), "1 stop · 2 to explain · 1 advice");
  SAYS (td_format_finding_title (NULL, TD_SEVERITY_STOP, "Bar 2"), "Stop · Bar 2");
  SAYS (td_format_finding_title (NULL, TD_SEVERITY_ADVICE, NULL), "Advice");
  SAYS (td_format_finding_text (NULL, "tag-left", "tag 1 on Bar 2 still hangs"), "tag 1 on Bar 2 still hangs");
  SAYS (td_format_finding_text (NULL, "no-such-rule", "x"), "x");
  SAYS (td_format_finding_text (NULL, NULL, NULL), "");
  SAYS (td_format_reason (NULL, "rain"), "Because: rain");
  SAYS (td_format_entry_title (NULL, "pH read", FALSE, FALSE), "pH read");
  SAYS (td_format_entry_title (NULL, "pH read", TRUE, FALSE), "pH read, corrected");
  SAYS (td_format_entry_title (NULL, "pH read", TRUE, TRUE), "pH read, taken back");
  SAYS (td_format_entry_detail (NULL, NULL), "");
  g_assert_false (td_format_has_text (NULL, ""));
  g_assert_true (td_format_has_text (NULL, "x"));
}

/* Civil time in Dublin, by its rules: an hour ahead of UTC from 29 March 2026 01:00 UTC to 25 October
 * 2026 01:00 UTC (Europe/Dublin of the IANA time zone database). */
static const struct
{
  int month, day, hour, minute;
  gint64 utc_minutes; /* since the day's midnight UTC */
} moments[] = {
  { 1, 15, 12, 0, 720 },  { 7, 1, 0, 0, -60 },    { 7, 1, 23, 59, 1379 }, { 3, 29, 0, 30, 30 },
  { 3, 29, 3, 0, 120 },   { 10, 25, 0, 30, -30 }, { 10, 25, 3, 0, 180 },
};

static void
test_local_time (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (TdZone) zone = td_zone_load ("Europe/Dublin", &error);

  g_assert_no_error (error);
  for (gsize i = 0; i < G_N_ELEMENTS (moments); i++)
    {
      TdDate date = td_date_make (2026, moments[i].month, moments[i].day);
      gint64 utc_ms = td_zone_make_utc_ms (zone, date, moments[i].hour, moments[i].minute);

      g_assert_cmpint (utc_ms - date * G_GINT64_CONSTANT (86400000), ==, moments[i].utc_minutes * 60000);
    }
  g_assert_cmpint (td_zone_make_utc_ms (NULL, 1, 1, 1), ==, 86400000 + 3660000);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/format/dates", test_dates);
  g_test_add_func ("/format/due", test_due);
  g_test_add_func ("/format/figures", test_figures);
  g_test_add_func ("/format/words", test_words);
  g_test_add_func ("/format/local-time", test_local_time);
  return g_test_run ();
}
