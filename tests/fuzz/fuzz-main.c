/* Runs a fuzz target over the files of a folder and over mutations of them, the same ones every time.
 *
 * usage: fuzz-TARGET FOLDER */
#include <glib.h>
#include <string.h>

#include "fuzz.h"

#define MUTATIONS_PER_FILE 150

/* What a reader of JSON or of figures may trip over. */
static const char *const tokens[] = { "{",  "}",      "[",     "]",       "\"",     ",",    ":",     "\\",
                                      "\n", "\\u",    "\\ud8", "0",       "-",      ".",    "e9",    "1e309",
                                      "\"id\"", "null", "true", "\xEF\xBB\xBF", "\xF0", "/",  "99999999999",
                                      "-0.0", "\"\"", "{}",   "\xC2\xA0", "\xC2\xBD" };

/* Changes one place: a bit, a byte, a token put in, a stretch taken out or doubled, the end cut off. */
static void
mutate_once (GByteArray *bytes, GRand *random)
{
  guint at = bytes->len > 0 ? (guint) g_rand_int_range (random, 0, (gint32) bytes->len) : 0;
  guint reach = (guint) g_rand_int_range (random, 1, 40);
  guint length = MIN (bytes->len - at, reach);
  const char *token = tokens[g_rand_int_range (random, 0, G_N_ELEMENTS (tokens))];
  g_autoptr (GByteArray) tail = g_byte_array_new ();

  switch (g_rand_int_range (random, 0, 6))
    {
    case 0:
      if (bytes->len > 0)
        bytes->data[at] ^= (guint8) (1u << g_rand_int_range (random, 0, 8));
      break;
    case 1:
      if (bytes->len > 0)
        bytes->data[at] = (guint8) g_rand_int (random);
      break;
    case 2:
      g_byte_array_append (tail, bytes->data + at, bytes->len - at);
      g_byte_array_set_size (bytes, at);
      g_byte_array_append (bytes, (const guint8 *) token, (guint) strlen (token));
      g_byte_array_append (bytes, tail->data, tail->len);
      break;
    case 3:
      if (length > 0)
        g_byte_array_remove_range (bytes, at, length);
      break;
    case 4:
      g_byte_array_append (tail, bytes->data + at, length);
      g_byte_array_append (bytes, tail->data, tail->len);
      break;
    default:
      g_byte_array_set_size (bytes, at);
      break;
    }
}

static void
run (const guint8 *data, gsize size)
{
  /* A copy of just the size, so that a sanitizer sees a read beyond the end. */
  g_autofree guint8 *exact = g_malloc (MAX (size, 1));

  if (size > 0)
    memcpy (exact, data, size);
  LLVMFuzzerTestOneInput (exact, size);
}

static void
test_file (gconstpointer path)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GRand) random = g_rand_new_with_seed (g_str_hash (strrchr (path, '/')));
  g_autofree char *data = NULL;
  gsize size;

  g_assert_true (g_file_get_contents (path, &data, &size, &error));
  g_assert_no_error (error);
  run ((const guint8 *) data, size);
  for (int i = 0; i < MUTATIONS_PER_FILE; i++)
    {
      g_autoptr (GByteArray) bytes = g_byte_array_new ();

      g_byte_array_append (bytes, (const guint8 *) data, (guint) size);
      for (gint32 j = g_rand_int_range (random, 1, 5); j > 0; j--)
        mutate_once (bytes, random);
      run (bytes->data, bytes->len);
    }
}

int
main (int argc, char **argv)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GDir) folder = NULL;
  g_autoptr (GPtrArray) paths = g_ptr_array_new_with_free_func (g_free);
  const char *name;

  g_test_init (&argc, &argv, NULL);
  g_assert_cmpint (argc, ==, 2);
  folder = g_dir_open (argv[1], 0, &error);
  g_assert_no_error (error);
  while ((name = g_dir_read_name (folder)) != NULL)
    {
      g_autofree char *label = g_strdup_printf ("/fuzz/%s", name);
      char *path = g_build_filename (argv[1], name, NULL);

      g_ptr_array_add (paths, path);
      g_test_add_data_func (label, path, test_file);
    }
  g_assert_cmpuint (paths->len, >, 0);
  return g_test_run ();
}
