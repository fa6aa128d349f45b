#include "core-kind.h"

#include <string.h>

/* The table of kinds in DEVELOPERS.md is the one that the program itself would write.  With
 * TUNDISH_UPDATE=1 in the environment the test writes it there. */

#define OPENING "<!-- kinds -->\n"
#define CLOSING "<!-- /kinds -->\n"

static void
test_table (void)
{
  g_autofree char *path
      = g_build_filename (g_test_get_dir (G_TEST_DIST), "..", "DEVELOPERS.md", NULL);
  g_autofree char *text = NULL;
  g_autofree char *table = td_kind_to_markdown ();
  g_autofree char *stands = NULL;
  g_autoptr (GError) error = NULL;
  char *from;
  char *to;

  g_file_get_contents (path, &text, NULL, &error);
  g_assert_no_error (error);
  from = strstr (text, OPENING);
  g_assert_nonnull (from);
  from += strlen (OPENING);
  to = strstr (from, CLOSING);
  g_assert_nonnull (to);
  stands = g_strndup (from, (gsize) (to - from));
  if (strcmp (stands, table) == 0)
    return;
  if (g_strcmp0 (g_getenv ("TUNDISH_UPDATE"), "1") == 0)
    {
      g_autofree char *before = g_strndup (text, (gsize) (from - text));
      g_autofree char *whole = g_strconcat (before, table, to, NULL);

      g_file_set_contents (path, whole, -1, &error);
      g_assert_no_error (error);
      return;
    }
  g_test_message ("DEVELOPERS.md is behind the table of kinds; run the test with TUNDISH_UPDATE=1");
  g_assert_cmpstr (stands, ==, table);
}

/* Every kind, field and word stands in it, and every row has its four cells. */
static void
test_rows (void)
{
  g_autofree char *table = td_kind_to_markdown ();
  g_auto (GStrv) rows = g_strsplit (table, "\n", -1);

  for (guint i = 0; rows[i] != NULL && *rows[i] != '\0'; i++)
    {
      guint bars = 0;

      for (const char *p = rows[i]; *p != '\0'; p++)
        bars += *p == '|';
      g_assert_cmpuint (bars, ==, 5);
    }
  for (guint kind = 0; kind < TD_N_KINDS; kind++)
    {
      g_autofree char *row = g_strdup_printf ("| **`%s`** |", td_kind_get_code ((TdKind) kind));

      g_assert_nonnull (strstr (table, row));
    }
}

int
main (int argc, char *argv[])
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/kind-table/table", test_table);
  g_test_add_func ("/kind-table/rows", test_rows);
  return g_test_run ();
}
