/* The readers of short texts: dates, moments, identifiers, figures with units. */
#include <math.h>
#include <string.h>

#include "core-time.h"
#include "core-units.h"
#include "core-uuid.h"
#include "fuzz.h"

static void
check_times (const char *text)
{
  TdDate date;
  TdMoment moment;

  if (td_date_parse (text, &date, NULL))
    {
      g_autofree char *again = td_date_to_text (date);

      g_assert_cmpstr (text, ==, again);
    }
  if (td_moment_parse (text, &moment, NULL))
    {
      g_autofree char *again = td_moment_to_text (&moment);
      TdMoment second;

      g_assert_true (td_moment_parse (again, &second, NULL));
      g_assert_cmpint (moment.utc_ms, ==, second.utc_ms);
      g_assert_cmpint (moment.offset_min, ==, second.offset_min);
    }
}

static void
check_uuid (const char *text)
{
  TdUuid uuid;

  if (td_uuid_parse (text, &uuid, NULL))
    {
      g_autofree char *again = td_uuid_to_text (&uuid);

      g_assert_cmpint (g_ascii_strcasecmp (text, again), ==, 0);
    }
}

/* Shown, read and shown again: the second showing is the first. */
static void
check_quantities (const char *text)
{
  static const TdUnitStyle styles[]
      = { { TD_UNITS_METRIC, '.' }, { TD_UNITS_METRIC, ',' }, { TD_UNITS_US, '.' } };

  for (int i = 0; i < TD_N_QUANTITIES; i++)
    for (gsize j = 0; j < G_N_ELEMENTS (styles); j++)
      {
        g_autoptr (GError) error = NULL;
        g_autofree char *shown = NULL;
        double value = NAN;

        if (!td_quantity_parse ((TdQuantity) i, text, &styles[j], &value, &error))
          {
            g_assert_nonnull (error);
            g_assert_true (g_utf8_validate (error->message, -1, NULL));
            continue;
          }
        g_assert_no_error (error);
        g_assert_true (isfinite (value));
        shown = td_quantity_format ((TdQuantity) i, value, &styles[j]);
        g_assert_true (g_utf8_validate (shown, -1, NULL));
      }
}

int
LLVMFuzzerTestOneInput (const uint8_t *data, size_t size)
{
  g_autofree char *text = g_strndup ((const char *) data, size);

  check_times (text);
  check_uuid (text);
  check_quantities (text);
  return 0;
}
