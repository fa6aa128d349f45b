/* Comma-separated values: every rule of RFC 4180, section 2, and the place of every error. */
#include "core-csv.h"
#include "core-error.h"

#include <string.h>

typedef struct
{
  const char *name;
  const char *text;
  guint rows;
  guint row, field; /* looked at */
  const char *expected;
} Case;

static const Case cases[] = {
  { "one line without an end", "a,b", 1, 0, 1, "b" },                              /* 2.2 */
  { "CRLF ends a line", "a,b\r\nc,d\r\n", 2, 1, 0, "c" },                          /* 2.1 */
  { "LF ends a line", "a,b\nc,d\n", 2, 1, 1, "d" },                                /* ours */
  { "spaces belong to the field", " a , b ", 1, 0, 0, " a " },                     /* 2.4 */
  { "quotes are not part of it", "\"a\",\"b\"", 1, 0, 1, "b" },                    /* 2.5 */
  { "comma in quotes", "\"a,b\",c", 1, 0, 0, "a,b" },                              /* 2.6 */
  { "line end in quotes", "\"a\r\nb\",c", 1, 0, 0, "a\r\nb" },                     /* 2.6 */
  { "doubled quotes are one", "\"a\"\"b\",c", 1, 0, 0, "a\"b" },                   /* 2.7 */
  { "only a doubled quote", "\"\"\"\",c", 1, 0, 0, "\"" },                         /* 2.7 */
  { "empty fields", ",,\n,x,", 2, 1, 1, "x" },                                     /* grammar: field may be empty */
  { "empty last field", "a,", 1, 0, 1, "" },                                       /* grammar */
  { "empty quoted field", "\"\",b", 1, 0, 0, "" },                                 /* grammar */
  { "byte order mark", "\xef\xbb\xbfname\nx", 2, 0, 0, "name" },                   /* ours: spreadsheets write it */
  { "blank line at the end", "a,b\nc,d\n\n", 2, 1, 0, "c" },                        /* ours: editors leave it */
  { "blank lines between", "\r\na,b\r\n\r\n\nc,d", 2, 1, 1, "d" },                /* ours */
  { "beyond ASCII", "Καφέ,b", 1, 0, 0, "Καφέ" },                                   /* ours: UTF-8 */
};

static void
test_fields (gconstpointer data)
{
  const Case *c = data;
  GError *error = NULL;
  g_autoptr (TdCsv) csv = td_csv_parse (c->text, -1, &error);
  g_assert_no_error (error);
  g_assert_cmpuint (td_csv_get_n_rows (csv), ==, c->rows);
  g_assert_cmpstr (td_csv_get_field (csv, c->row, c->field), ==, c->expected);
}

typedef struct
{
  const char *name;
  const char *text;
  gssize length;
  const char *place;
} Wrong;

static const Wrong wrongs[] = {
  { "empty", "", -1, "line 1, column 1: " },
  { "only a byte order mark", "\xef\xbb\xbf", -1, "line 1, column 1: " },
  { "only blank lines", "\n\r\n", -1, "line 3, column 1: " },
  { "a line is counted that is passed over", "a,b\n\nc\n", -1, "line 3, column 1: " },
  { "quote never closed", "a,b\n\"c,d\n", -1, "line 2, column 1: " },
  { "text after a closing quote", "a\n\"b\"c", -1, "line 2, column 4: " },
  { "quote in a plain field", "ab\"c,d", -1, "line 1, column 3: " },
  { "too few fields", "a,b\nc\n", -1, "line 2, column 1: " },
  { "too many fields", "a,b\nc,d,e\n", -1, "line 2, column 5: " },
  { "lone carriage return", "a\rb", -1, "line 1, column 2: " },
  { "not UTF-8", "a,b\n\xffx,y", -1, "line 2, column 1: " },
  { "NUL byte", "a,\0b", 4, "line 1, column 3: " },
  { "columns count characters", "é\"", -1, "line 1, column 2: " },
};

static void
test_refused (gconstpointer data)
{
  const Wrong *w = data;
  g_autoptr (GError) error = NULL;
  g_autoptr (TdCsv) csv = td_csv_parse (w->text, w->length, &error);
  g_assert_null (csv);
  g_assert_error (error, TD_ERROR, TD_ERROR_PARSE);
  g_assert_true (g_str_has_prefix (error->message, w->place));
  g_assert_cmpuint (strlen (error->message), >, strlen (w->place));
}

static void
test_place (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (TdCsv) csv = td_csv_parse ("a,b\n\"x\ny\",z\n", -1, NULL);
  g_assert_nonnull (csv);
  g_assert_cmpuint (td_csv_get_n_fields (csv, 1), ==, 2);
  g_assert_false (td_csv_set_error (csv, 1, 1, TD_ERROR_SHAPE, &error, "no %s", "good"));
  g_assert_error (error, TD_ERROR, TD_ERROR_SHAPE);
  g_assert_cmpstr (error->message, ==, "line 3, column 4: no good");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autofree char *path = g_strdup_printf ("/csv/%s", cases[i].name);
      g_test_add_data_func (path, &cases[i], test_fields);
    }
  for (gsize i = 0; i < G_N_ELEMENTS (wrongs); i++)
    {
      g_autofree char *path = g_strdup_printf ("/csv/refused/%s", wrongs[i].name);
      g_test_add_data_func (path, &wrongs[i], test_refused);
    }
  g_test_add_func ("/csv/place", test_place);
  return g_test_run ();
}
