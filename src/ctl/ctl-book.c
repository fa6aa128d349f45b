#include "ctl-book.h"

#include "core-error.h"
#include "store-query.h"

#include <errno.h>
#include <glib/gstdio.h>
#include <string.h>

/* The step of a pinned clock between two recorded entries, milliseconds. */
#define PINNED_STEP_MS 1000

void
td_ctl_book_options_clear (TdCtlBookOptions *options)
{
  g_clear_pointer (&options->book, g_free);
  g_clear_pointer (&options->now, g_free);
}

char *
td_ctl_get_own_book (void)
{
  return g_build_filename (g_get_user_data_dir (), "tundish", "book.tundish", NULL);
}

TdClock *
td_ctl_make_clock (const char *now, GError **error)
{
  return td_ctl_make_clock_for (now, NULL, error);
}

TdClock *
td_ctl_make_clock_for (const char *now, const char *path, GError **error)
{
  g_autoptr (GError) wrong = NULL;
  TdMoment moment;

  if (now == NULL)
    return td_clock_new ();
  if (!td_moment_parse (now, &moment, &wrong))
    {
      g_set_error (error, G_OPTION_ERROR, G_OPTION_ERROR_BAD_VALUE, "--now: %s", wrong->message);
      return NULL;
    }
  return td_clock_new_pinned (moment.utc_ms, PINNED_STEP_MS,
                              (guint64) moment.utc_ms ^ (path != NULL ? (guint64) g_str_hash (path) << 32 : 0));
}

/* The first command of a new user: a book that is only theirs needs no order to be made. */
static TdBook *
make_own_book (const char *path, TdClock *clock, GError **error)
{
  g_autofree char *folder = g_path_get_dirname (path);
  TdBook *book;

  if (g_mkdir_with_parents (folder, 0700) != 0)
    {
      g_set_error (error, G_FILE_ERROR, g_file_error_from_errno (errno),
                   "The folder “%s” of your own book cannot be made (%s); name a book with --book", folder,
                   g_strerror (errno));
      return NULL;
    }
  book = td_book_create (path, FALSE, clock, error);
  if (book != NULL)
    g_printerr ("tundishctl: made your own service book, %s\n", path);
  return book;
}

typedef TdBook *(*OpenBook) (const char *path, TdClock *clock, GError **error);

static TdBook *
open_book (const TdCtlBookOptions *options, OpenBook open, GError **error)
{
  g_autofree char *own = NULL;
  g_autoptr (TdClock) clock = td_ctl_make_clock (options->now, error);

  if (clock == NULL)
    return NULL;
  if (options->book != NULL && *options->book == '\0')
    {
      g_set_error_literal (error, G_OPTION_ERROR, G_OPTION_ERROR_BAD_VALUE, "--book: the name of the file is empty");
      return NULL;
    }
  if (options->book != NULL)
    return open (options->book, clock, error);
  own = td_ctl_get_own_book ();
  if (options->now == NULL && !g_file_test (own, G_FILE_TEST_EXISTS))
    return make_own_book (own, clock, error);
  return open (own, clock, error);
}

TdBook *
td_ctl_open_book (const TdCtlBookOptions *options, GError **error)
{
  return open_book (options, td_book_open, error);
}

TdBook *
td_ctl_open_book_reading (const TdCtlBookOptions *options, GError **error)
{
  return open_book (options, td_book_open_reading, error);
}

gboolean
td_ctl_find_visit (TdBook *book, const char *word, TdUuid *visit_out, GError **error)
{
  g_autoptr (GPtrArray) rows = NULL;
  const TdVisitRow *found = NULL;
  guint matches = 0;
  gsize length = strlen (word);

  if (td_uuid_parse (word, visit_out, NULL))
    return TRUE;
  rows = td_book_list_visits (book, NULL, error);
  if (rows == NULL)
    return FALSE;
  for (guint i = 0; i < rows->len; i++)
    {
      const TdVisitRow *row = g_ptr_array_index (rows, i);
      char id[TD_UUID_TEXT_LENGTH + 1];

      td_uuid_format (&row->id, id);
      if (g_strcmp0 (row->number, word) == 0)
        {
          *visit_out = row->id;
          return TRUE;
        }
      if (length >= 4 && strncmp (id, word, length) == 0)
        {
          found = row;
          matches++;
        }
    }
  if (matches == 1)
    {
      *visit_out = found->id;
      return TRUE;
    }
  g_set_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_MISSING,
               matches == 0 ? "There is no visit '%s' in this book; 'tundishctl visits' lists them"
                            : "More than one visit begins with '%s'; give more of its id",
               word);
  return FALSE;
}
