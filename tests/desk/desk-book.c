#include "desk-book.h"

#include "core-entry.h"
#include "store-journal.h"
#include "store-master.h"

#include <gio/gio.h>

/* How long after it happened each act of a replay is written down. */
#define WRITTEN_AFTER_MS 20000

static char *
read_text (const char *folder, const char *name)
{
  g_autofree char *path = g_test_build_filename (G_TEST_DIST, folder, name, NULL);
  g_autoptr (GError) error = NULL;
  char *text = NULL;

  g_file_get_contents (path, &text, NULL, &error);
  g_assert_no_error (error);
  return text;
}

void
td_test_book_fill (TdBook *book)
{
  g_autofree char *company = read_text ("../data/demo", "company.json");
  g_autoptr (GError) error = NULL;
  g_autoptr (TdJson) json = td_json_parse (company, -1, &error);
  g_autoptr (TdMasters) masters = NULL;
  g_autofree char *folder = g_test_build_filename (G_TEST_DIST, "../data/demo", NULL);
  g_autoptr (GDir) dir = g_dir_open (folder, 0, NULL);
  const char *name;

  g_assert_no_error (error);
  masters = td_masters_from_json (json, &error);
  g_assert_no_error (error);
  td_book_import_company (book, masters, NULL, &error);
  g_assert_no_error (error);
  while ((name = g_dir_read_name (dir)) != NULL)
    {
      g_autofree char *text = NULL;
      g_autoptr (TdSite) site = NULL;

      if (!g_str_has_suffix (name, ".site.json"))
        continue;
      text = read_text ("../data/demo", name);
      site = td_site_parse (text, -1, &error);
      g_assert_no_error (error);
      td_book_import_site (book, site, NULL, &error);
      g_assert_no_error (error);
    }
}

TdUuid
td_test_book_replay (TdBook *book, const char *name, guint but_last)
{
  g_autofree char *text = read_text ("replay", name);
  g_auto (GStrv) lines = g_strsplit (g_strchomp (text), "\n", -1);
  guint n = g_strv_length (lines);
  g_autoptr (GPtrArray) drafts = g_ptr_array_new_with_free_func ((GDestroyNotify) td_draft_free);
  g_autoptr (GArray) recorded = g_array_new (FALSE, FALSE, sizeof (gint64));
  g_autoptr (GError) error = NULL;

  g_assert_cmpuint (n, >, but_last);
  for (guint i = 0; i < n - but_last; i++)
    {
      g_autoptr (TdJson) json = td_json_parse (lines[i], -1, &error);
      TdDraft *draft;
      gint64 ms;

      g_assert_no_error (error);
      draft = td_draft_from_json (json, &error);
      g_assert_no_error (error);
      ms = draft->happened.utc_ms + WRITTEN_AFTER_MS;
      g_ptr_array_add (drafts, draft);
      g_array_append_val (recorded, ms);
    }
  td_book_append_many (book, drafts, (const gint64 *) recorded->data, NULL, &error);
  g_assert_no_error (error);
  return ((TdDraft *) g_ptr_array_index (drafts, 0))->visit;
}

void
td_test_book_make (const char *path, guint keep_open)
{
  g_autoptr (TdClock) clock = td_clock_new_pinned (TD_TEST_NOW_MS, 1000, 7);
  g_autoptr (GError) error = NULL;
  g_autoptr (TdBook) book = td_book_create (path, TRUE, clock, &error);

  g_assert_no_error (error);
  td_test_book_fill (book);
  td_test_book_replay (book, "01-two-lanterns-reversed.jsonl", 0);
  td_test_book_replay (book, "02-tin-heron-routine.jsonl", keep_open);
}
