/* The calendar file, byte by byte where RFC 5545 asks for it, and read back by libical where it is
 * installed (test-calendar.py). */
#include "core-error.h"
#include "exchange-calendar.h"

#include <string.h>

static const TdAppointment PLAIN = {
  .uid = "two-lanterns-bar.caustic@0190", .changed_ms = G_GINT64_CONSTANT (1772431807000), .date = 20516,
  .summary = "Two Lanterns Bar: caustic clean", .location = "2 Quay Row, Port Larrick", .categories = "CAUSTIC",
};

/* 20516 days after 1970-01-01 is 2026-03-04; 1772431807 s is 2026-03-02T06:10:07Z (both by `date -u`). */
static void
test_bytes (void)
{
  g_autofree char *text = td_calendar_write ("Round", &PLAIN, 1, NULL);

  g_assert_cmpstr (text, ==,
                   "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//Tundish//Round//EN\r\nCALSCALE:GREGORIAN\r\n"
                   "METHOD:PUBLISH\r\nNAME:Round\r\nBEGIN:VEVENT\r\nUID:two-lanterns-bar.caustic@0190\r\n"
                   "DTSTAMP:20260302T061007Z\r\nLAST-MODIFIED:20260302T061007Z\r\nSEQUENCE:0\r\n"
                   "DTSTART;VALUE=DATE:20260304\r\nDTEND;VALUE=DATE:20260305\r\n"
                   "SUMMARY:Two Lanterns Bar: caustic clean\r\nLOCATION:2 Quay Row\\, Port Larrick\r\n"
                   "CATEGORIES:CAUSTIC\r\nSTATUS:CONFIRMED\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n");
}

static void
test_timed_and_cancelled (void)
{
  TdAppointment row = PLAIN;
  g_autofree char *text = NULL;

  row.date = TD_DATE_NONE;
  row.start_ms = G_GINT64_CONSTANT (1772431800000);
  row.minutes = 90;
  row.sequence = 3;
  row.cancelled = TRUE;
  row.description = "Line 1;\nback\\slash, and a tab\there\x01";
  text = td_calendar_write (NULL, &row, 1, NULL);
  g_assert_nonnull (strstr (text, "\r\nDTSTART:20260302T061000Z\r\nDTEND:20260302T074000Z\r\n"));
  g_assert_nonnull (strstr (text, "\r\nSEQUENCE:3\r\n"));
  g_assert_nonnull (strstr (text, "\r\nSTATUS:CANCELLED\r\n"));
  g_assert_nonnull (strstr (text, "\r\nDESCRIPTION:Line 1\\;\\nback\\\\slash\\, and a tab here\r\n"));
  g_assert_null (strstr (text, "NAME:"));
}

/* No line over 75 octets, no character parted, and unfolding gives the text back (section 3.1). */
static void
test_folding (void)
{
  static const char *const words[] = { "x", "é", "Ω", "樽", "🍺", " " };
  GRand *chance = g_rand_new_with_seed (5545);

  for (int round = 0; round < 300; round++)
    {
      g_autoptr (GString) summary = g_string_new ("s");
      TdAppointment row = PLAIN;
      g_autofree char *text = NULL;
      g_autofree char *wanted = NULL;
      g_auto (GStrv) lines = NULL;
      g_auto (GStrv) pieces = NULL;
      g_autofree char *unfolded = NULL;

      for (int i = g_rand_int_range (chance, 0, 200); i > 0; i--)
        g_string_append (summary, words[g_rand_int_range (chance, 0, G_N_ELEMENTS (words))]);
      row.summary = summary->str;
      text = td_calendar_write ("Round", &row, 1, NULL);
      g_assert_true (g_utf8_validate (text, -1, NULL));
      lines = g_strsplit (text, "\r\n", -1);
      for (guint i = 0; lines[i] != NULL; i++)
        {
          g_assert_cmpuint (strlen (lines[i]), <=, 75);
          g_assert_true (g_utf8_validate (lines[i], -1, NULL));
          g_assert_null (strpbrk (lines[i], "\r\n"));
        }
      pieces = g_strsplit (text, "\r\n ", -1);
      unfolded = g_strjoinv ("", pieces);
      wanted = g_strdup_printf ("\r\nSUMMARY:%s\r\n", summary->str);
      g_assert_nonnull (strstr (unfolded, wanted));
    }
  g_rand_free (chance);
}

static void
test_refused (void)
{
  TdAppointment pair[2] = { PLAIN, PLAIN };
  TdAppointment row;
  g_autoptr (GError) twice = NULL;

  g_assert_null (td_calendar_write ("Round", pair, 2, &twice));
  g_assert_error (twice, TD_ERROR, TD_ERROR_SHAPE);
  g_assert_nonnull (strstr (twice->message, PLAIN.summary));
  for (int i = 0; i < 6; i++)
    {
      g_autoptr (GError) error = NULL;

      row = PLAIN;
      if (i == 0)
        row.uid = NULL;
      else if (i == 1)
        row.uid = "with space";
      else if (i == 2)
        row.summary = "";
      else if (i == 3)
        row.date = TD_DATE_NONE;
      else if (i == 4)
        row.date = 5000000;
      else
        row.changed_ms = G_MAXINT64;
      g_assert_null (td_calendar_write ("Round", &row, 1, &error));
      g_assert_error (error, TD_ERROR, TD_ERROR_SHAPE);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/calendar/bytes", test_bytes);
  g_test_add_func ("/calendar/timed-and-cancelled", test_timed_and_cancelled);
  g_test_add_func ("/calendar/folding", test_folding);
  g_test_add_func ("/calendar/refused", test_refused);
  return g_test_run ();
}
