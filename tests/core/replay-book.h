/* A visit as a book would keep it, in memory: entries appended one by one and folded. */
#pragma once

#include "core-visit.h"
#include "demo-files.h"

typedef struct
{
  TdVisitContext context;
  GPtrArray *entries; /* TdEntry */
  TdVisit *visit;     /* of all of them, NULL before the first */
} ReplayBook;

static inline void
replay_book_clear (ReplayBook *book)
{
  g_clear_pointer (&book->visit, td_visit_unref);
  g_clear_pointer (&book->entries, g_ptr_array_unref);
  g_clear_pointer (&book->context.site, td_site_unref);
  g_clear_pointer (&book->context.masters, td_masters_unref);
  g_clear_pointer (&book->context.settings, td_settings_unref);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (ReplayBook, replay_book_clear)

/* @site_id: a site of data/demo. */
static inline void
replay_book_init (ReplayBook *book, const char *site_id)
{
  book->context.site = read_demo_site (site_id);
  book->context.masters = read_demo_company ();
  book->context.settings = td_settings_new ();
  book->entries = g_ptr_array_new_with_free_func ((GDestroyNotify) td_entry_unref);
  book->visit = NULL;
}

/* Puts the entry, written down @late_ms after it happened, behind the others, without folding. */
static inline gboolean
replay_book_put (ReplayBook *book, const TdDraft *draft, gint64 late_ms, GError **error)
{
  TdEnvelope envelope = {
    .visit = draft->visit,
    .seq = book->entries->len + 1,
    .kind = draft->kind,
    .version = TD_ENTRY_VERSION,
    .happened = draft->happened,
    .zone = book->context.site->zone,
    .recorded_ms = draft->happened.utc_ms + late_ms,
    .boot_id = (char *) "boot",
    .boottime_ms = draft->happened.utc_ms + late_ms - G_GINT64_CONSTANT (1700000000000),
    .person = draft->person,
  };
  TdEntry *entry = td_entry_new (&envelope, draft->body, error);

  if (entry != NULL)
    g_ptr_array_add (book->entries, entry);
  return entry != NULL;
}

static inline gboolean
replay_book_fold (ReplayBook *book, GError **error)
{
  TdVisit *visit = td_visit_fold (&book->context, book->entries, error);

  if (visit == NULL)
    return FALSE;
  g_clear_pointer (&book->visit, td_visit_unref);
  book->visit = visit;
  return TRUE;
}

/* Both. Of a refused entry nothing stays. */
static inline gboolean
replay_book_append (ReplayBook *book, const TdDraft *draft, gint64 late_ms, GError **error)
{
  if (!replay_book_put (book, draft, late_ms, error))
    return FALSE;
  if (replay_book_fold (book, error))
    return TRUE;
  g_ptr_array_remove_index (book->entries, book->entries->len - 1);
  return FALSE;
}

/* Returns: (transfer full): the draft of one line of a replay. */
static inline TdDraft *
replay_read_line (const char *text, GError **error)
{
  g_autoptr (TdJson) line = td_json_parse (text, -1, error);

  return line != NULL ? td_draft_from_json (line, error) : NULL;
}
