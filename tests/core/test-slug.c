#include "core-slug.h"

#include <string.h>

static const struct
{
  const char *text;
  const char *slug;
} slugs[] = {
  { "Two Lanterns Bar", "two-lanterns-bar" },
  { "  The  Copper--Kettle! ", "the-copper-kettle" },
  { "No. 7", "no-7" },
  { "Joe's & Ann\xE2\x80\x99s", "joes-anns" },
  { "Caf\xC3\xA9 S\xC3\xBC"
    "d",
    "cafe-sud" },
  { "Cafe\xCC\x81 Su\xCC\x88"
    "d",
    "cafe-sud" },
  { "Stra\xC3\x9F"
    "e \xC3\x98st \xC5\x81"
    "an",
    "strasse-ost-lan" },
  { "\xEF\xBC\xA1\xEF\xBC\x91", "a1" }, /* full width, folded by the compatibility form */
  /* sha256 of the bytes, by Python: hashlib.sha256 ("...".encode ()).hexdigest ()[:6] */
  { "", "e3b0c4" },
  { "---", "cb3f91" },
  { "\xCE\xA4\xCE\xB1\xCE\xB2\xCE\xB5\xCF\x81\xCE\xBD\xCE\xB1", "92f11d" },
  { "Bar \xE9\x85\x92", "bar-e59912" },
};

static void
test_slugs (void)
{
  for (gsize i = 0; i < G_N_ELEMENTS (slugs); i++)
    {
      g_autofree char *slug = td_slug_from_text (slugs[i].text);

      g_assert_cmpstr (slug, ==, slugs[i].slug);
    }
}

static void
test_long (void)
{
  g_autofree char *fits = g_strnfill (TD_SLUG_MAX, 'a');
  g_autofree char *longer = g_strnfill (TD_SLUG_MAX + 1, 'a');
  g_autofree char *longest = g_strnfill (5000, 'a');
  g_autofree char *slug_fits = td_slug_from_text (fits);
  g_autofree char *slug_longer = td_slug_from_text (longer);
  g_autofree char *slug_longest = td_slug_from_text (longest);

  g_assert_cmpstr (slug_fits, ==, fits);
  g_assert_cmpuint (strlen (slug_longer), ==, TD_SLUG_MAX);
  g_assert_cmpuint (strlen (slug_longest), ==, TD_SLUG_MAX);
  g_assert_cmpstr (slug_longer, !=, slug_longest);
}

/* A slug is its own slug. */
static void
test_stable (void)
{
  for (gsize i = 0; i < G_N_ELEMENTS (slugs); i++)
    {
      g_autofree char *again = td_slug_from_text (slugs[i].slug);

      g_assert_cmpstr (again, ==, slugs[i].slug);
    }
}

int
main (int argc, char *argv[])
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/slug/slugs", test_slugs);
  g_test_add_func ("/slug/long", test_long);
  g_test_add_func ("/slug/stable", test_stable);
  return g_test_run ();
}
