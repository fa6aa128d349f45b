/* The writer of comma-separated values: cells by hand, read back by the strict reader; files that appear whole or not. */
#include "core-csv.h"
#include "exchange-csv.h"

#include <glib/gstdio.h>
#include <string.h>

static const struct
{
  const char *cell;
  const char *plain;
  const char *spreadsheet;
} cells[] = {
  { "", "", "" },
  { "plain", "plain", "plain" },
  { "a,b", "\"a,b\"", "\"a,b\"" },
  { "say \"no\"", "\"say \"\"no\"\"\"", "\"say \"\"no\"\"\"" },
  { "two\nlines", "\"two\nlines\"", "\"two\nlines\"" },
  { " led", "\" led\"", "\" led\"" },
  { "1=1", "1=1", "1=1" },
  { "=1+1", "=1+1", "'=1+1" },
  { "+353 20", "+353 20", "'+353 20" },
  { "+5", "+5", "'+5" },
  { "-cmd", "-cmd", "'-cmd" },
  { "-", "-", "'-" },
  { "-12.50", "-12.50", "-12.50" },
  { "-12", "-12", "-12" },
  { "-12.", "-12.", "'-12." },
  { "-1-2", "-1-2", "'-1-2" },
  { "@sum", "@sum", "'@sum" },
  { "\t=1", "\t=1", "'\t=1" },
  { "\r=1", "\"\r=1\"", "\"'\r=1\"" },
  { "\n=1", "\"\n=1\"", "\"'\n=1\"" },
  { "=\"a\",b", "\"=\"\"a\"\",b\"", "\"'=\"\"a\"\",b\"" },
  { "\uff1d1", "\uff1d1", "'\uff1d1" },
  { "\uff0b1", "\uff0b1", "'\uff0b1" },
  { "\uff0d1", "\uff0d1", "'\uff0d1" },
  { "\uff201", "\uff201", "'\uff201" },
};

static void
test_cells (void)
{
  for (gsize i = 0; i < G_N_ELEMENTS (cells); i++)
    {
      g_autoptr (GString) plain = g_string_new (NULL);
      g_autoptr (GString) safe = g_string_new (NULL);

      td_csv_append_cell (plain, cells[i].cell, TD_CSV_PLAIN);
      td_csv_append_cell (safe, cells[i].cell, TD_CSV_SPREADSHEET);
      g_assert_cmpstr (plain->str, ==, cells[i].plain);
      g_assert_cmpstr (safe->str, ==, cells[i].spreadsheet);
    }
}

typedef struct
{
  char *folder;
  char *path;
} Place;

static Place
make_place (void)
{
  Place place = { g_dir_make_tmp ("tundish-csv-XXXXXX", NULL), NULL };

  place.path = g_build_filename (place.folder, "table.csv", NULL);
  return place;
}

static guint
count_files (const char *folder)
{
  g_autoptr (GDir) dir = g_dir_open (folder, 0, NULL);
  guint n = 0;

  while (g_dir_read_name (dir) != NULL)
    n++;
  return n;
}

static void
clear_place (Place *place)
{
  (void) g_unlink (place->path);
  g_assert_cmpint (g_rmdir (place->folder), ==, 0); /* nothing else was left in it */
  g_free (place->path);
  g_free (place->folder);
}

/* Every cell, in one row and one a row, comes back as it was. */
static void
test_back (void)
{
  Place place = make_place ();
  const char *row[G_N_ELEMENTS (cells)];
  g_autoptr (GError) error = NULL;
  g_autofree char *text = NULL;
  gsize length = 0;

  for (gsize i = 0; i < G_N_ELEMENTS (cells); i++)
    row[i] = cells[i].cell;
  {
    g_autoptr (TdOut) out = td_out_new (place.path, &error);
    g_assert_no_error (error);
    g_autoptr (TdCsvWriter) writer = td_csv_writer_new (out, TD_CSV_PLAIN);
    /* More than what is gathered before it is written. */
    for (int i = 0; i < 2000; i++)
      g_assert_true (td_csv_writer_add (writer, row, G_N_ELEMENTS (cells), &error));
    g_assert_cmpuint (td_csv_writer_get_n_rows (writer), ==, 2000);
    g_assert_false (g_file_test (place.path, G_FILE_TEST_EXISTS)); /* not before its end */
    g_assert_true (td_out_finish (out, &error));
  }
  g_assert_true (g_file_get_contents (place.path, &text, &length, NULL));
  g_assert_cmpuint (length, >, 65536);
  g_autoptr (TdCsv) csv = td_csv_parse (text, (gssize) length, &error);
  g_assert_no_error (error);
  g_assert_cmpuint (td_csv_get_n_rows (csv), ==, 2000);
  for (guint i = 0; i < G_N_ELEMENTS (cells); i++)
    {
      g_assert_cmpstr (td_csv_get_field (csv, 0, i), ==, cells[i].cell);
      g_assert_cmpstr (td_csv_get_field (csv, 1999, i), ==, cells[i].cell);
    }
  clear_place (&place);
}

static void
test_spreadsheet (void)
{
  Place place = make_place ();
  const char *const names[] = { "a", "b" };
  const char *const row[] = { "=1", "-1.50" };
  g_autofree char *text = NULL;

  {
    g_autoptr (TdOut) out = td_out_new (place.path, NULL);
    g_autoptr (TdCsvWriter) writer = td_csv_writer_new (out, TD_CSV_SPREADSHEET);
    g_assert_true (td_csv_writer_add (writer, names, 2, NULL));
    g_assert_true (td_csv_writer_add (writer, row, 2, NULL));
    g_assert_true (td_out_finish (out, NULL));
  }
  g_assert_true (g_file_get_contents (place.path, &text, NULL, NULL));
  g_assert_cmpstr (text, ==, "\xef\xbb\xbf" "a,b\r\n'=1,-1.50\r\n");
  clear_place (&place);
}

/* What was begun and not finished leaves what stood there, and nothing beside it. */
static void
test_unfinished (void)
{
  Place place = make_place ();
  g_autofree char *text = NULL;

  g_assert_true (td_out_write_file (place.path, "before", -1, NULL));
  {
    g_autoptr (TdOut) out = td_out_new (place.path, NULL);
    g_assert_true (td_out_write (out, "after", -1, NULL));
    g_assert_cmpuint (count_files (place.folder), ==, 2);
  }
  g_assert_true (g_file_get_contents (place.path, &text, NULL, NULL));
  g_assert_cmpstr (text, ==, "before");
  g_assert_cmpuint (count_files (place.folder), ==, 1);
  clear_place (&place);
}

static void
test_refused (void)
{
  Place place = make_place ();
  g_autofree char *inside = g_build_filename (place.path, "x.csv", NULL);
  g_autofree char *quoted = g_strconcat ("“", inside, "” ", NULL);
  g_autoptr (GError) error = NULL;

  g_assert_null (td_out_new (inside, &error));
  g_assert_error (error, G_FILE_ERROR, G_FILE_ERROR_NOENT);
  g_assert_nonnull (strstr (error->message, quoted));
  g_clear_error (&error);
  /* A folder has that name: it shows at the end, and the temporary file is gone. */
  g_assert_cmpint (g_mkdir (place.path, 0700), ==, 0);
  g_assert_false (td_out_write_file (place.path, "a", -1, &error));
  g_assert_error (error, G_FILE_ERROR, G_FILE_ERROR_ISDIR);
  g_assert_cmpint (g_rmdir (place.path), ==, 0);
  clear_place (&place);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/csv/cells", test_cells);
  g_test_add_func ("/csv/back", test_back);
  g_test_add_func ("/csv/spreadsheet", test_spreadsheet);
  g_test_add_func ("/csv/unfinished", test_unfinished);
  g_test_add_func ("/csv/refused", test_refused);
  return g_test_run ();
}
