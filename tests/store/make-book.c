/* Makes the book of the present version that the tests keep for all time to come.
 *
 * usage: make-book FILE (tests/data/books/vN.tundish, N being the version)
 *
 * To be run once for each version, when its migration is done; see src/store/README.md. */
#include "book-bench.h"

#include "store-backup.h"

int
main (int argc, char **argv)
{
  g_autoptr (GError) error = NULL;
  TdUuid closed = book_bench_visit (1), open = book_bench_visit (2);
  gint64 contact = 1000;
  if (argc != 2)
    {
      g_printerr ("usage: %s FILE\n", argv[0]);
      return 2;
    }
  g_autoptr (BookBench) bench = book_bench_new ();
  g_autofree char *picture = book_bench_path (bench, "a.jpg");
  g_autofree char *line = g_strdup_printf ("06:13 photo file='%s' line=B6 text=drip", picture);
  g_assert_true (g_file_set_contents (picture, "\xff\xd8\xff\xe0 picture", -1, NULL));
  book_bench_add_closed (bench, &closed);
  g_assert_true (td_book_set_setting (bench->book, "two-lanterns-bar", TD_SETTING_CONTACT_STATIC, &contact, NULL));
  book_bench_add_visit (bench, &open, 0);
  book_bench_add (bench, &open, line);
  if (!td_book_backup (bench->path, argv[1], &error))
    {
      g_printerr ("%s\n", error->message);
      return 1;
    }
  return 0;
}
