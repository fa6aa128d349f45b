/* The reader of site sheets: a sheet that it takes is written once and for all, and its parts hang
 * together. */
#include <math.h>

#include "core-error.h"
#include "core-json-build.h"
#include "core-site.h"
#include "fuzz.h"

static void
check_parts (const TdSite *site)
{
  g_assert_cmpuint (site->n_outlets, >=, site->n_lines);
  for (guint i = 0; i < site->n_outlets; i++)
    {
      const TdOutlet *outlet = &site->outlets[i];
      g_autofree char *title = td_outlet_get_title (site, i);
      double volume = td_outlet_get_volume_ml (site, i);

      g_assert_true (g_utf8_validate (title, -1, NULL));
      g_assert_cmpuint (outlet->tower, <, site->n_towers);
      g_assert_cmpuint (outlet->cooler, <, site->n_coolers);
      g_assert_cmpuint (outlet->line, <, site->n_lines);
      g_assert_cmpint (td_site_find_outlet (site, outlet->id), ==, (int) i);
      g_assert_true (isnan (volume) || (volume >= 0 && isfinite (volume)));
    }
}

int
LLVMFuzzerTestOneInput (const uint8_t *data, size_t size)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (TdSite) site = td_site_parse ((const char *) data, (gssize) size, &error);
  g_autoptr (TdSite) again = NULL;
  g_autoptr (TdJson) first = NULL;
  g_autoptr (TdJson) second = NULL;
  g_autofree char *first_text = NULL;
  g_autofree char *second_text = NULL;

  if (site == NULL)
    {
      g_assert_nonnull (error);
      g_assert_true (g_str_has_prefix (error->message, "line "));
      g_assert_true (g_utf8_validate (error->message, -1, NULL));
      return 0;
    }
  g_assert_no_error (error);
  check_parts (site);
  first = td_site_to_json (site);
  first_text = td_json_to_text (first, TRUE);
  again = td_site_parse (first_text, -1, &error);
  g_assert_no_error (error);
  second = td_site_to_json (again);
  second_text = td_json_to_text (second, TRUE);
  g_assert_cmpstr (first_text, ==, second_text);
  return 0;
}
