#include "ctl-book.h"

#include "core-error.h"
#include "store-query.h"

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
  TdMoment moment;

  if (now == NULL)
    return td_clock_new ();
  if (!td_moment_parse (now, &moment, error))
    {
      g_prefix_error (error, "--now: ");
      return NULL;
    }
  return td_clock_new_pinned (moment.utc_ms, PINNED_STEP_MS, (guint64) moment.utc_ms);
}

TdBook *
td_ctl_open_book (const TdCtlBookOptions *options, GError **error)
{
  g_autofree char *own = options->book == NULL ? td_ctl_get_own_book () : NULL;
  g_autoptr (TdClock) clock = td_ctl_make_clock (options->now, error);

  if (clock == NULL)
    return NULL;
  return td_book_open (options->book != NULL ? options->book : own, clock, error);
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
