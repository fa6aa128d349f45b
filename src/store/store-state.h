/* store-state.h: a visit as the book has it: its row, its sheet, its entries, and what they fold to. */
#pragma once

#include "core-entry.h"
#include "core-rule.h"
#include "core-visit.h"
#include "store-book.h"

G_BEGIN_DECLS

typedef struct
{
  gint64 key; /* of the visit's row */
  TdUuid id;
  TdUuid device; /* where it was begun; nil for one that is just being begun */
  gint64 site_key;
  char *site_id;
  char *sheet_sha256;
  gint64 amends_key; /* 0 where it amends none */
  TdUuid amends_id;
  gboolean closed;
  char *number;        /* report number, NULL while open */
  char *seal;          /* NULL while open */
  char *previous_seal; /* NULL for the first of its device */
  TdLineHistory *history; /* what the context's points to; NULL for a closed visit that kept none */
  TdVisitContext context; /* of a closed visit by its snapshot, else as the book is now; owned */
  TdZone *zone;
  GPtrArray *entries; /* TdEntry */
  TdVisit *visit;
} TdVisitState;

/* Reads and folds a visit; each entry is held against its digest. Within a transaction.
 * @state_out: NULL where the book has no such visit. Returns FALSE with TD_BOOK_ERROR_DAMAGED where the
 * journal does not hold together, or another error. */
gboolean td_visit_state_load (TdBook *book, const TdUuid *id, TdVisitState **state_out, GError **error);
void td_visit_state_free (TdVisitState *state);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdVisitState, td_visit_state_free)

/* A state for a visit that is just being begun at a site; no entries, not folded.
 * @sheet_sha256: (nullable): NULL for the site's newest.
 * Returns: (transfer full): it, or NULL with TD_BOOK_ERROR_MISSING where there is no such site. */
TdVisitState *td_visit_state_begin (TdBook *book, const TdUuid *id, const char *site_id,
                                    const char *sheet_sha256, GError **error);

/* Looks up what other visits of the site did, once the visit's row is there. */
gboolean td_visit_state_read_history (TdBook *book, TdVisitState *state, GError **error);

/* What the rules find: of a closed visit as its snapshot keeps it, else judged as of the last entry, so
 * that the same journal always gives the same list.
 * Returns: (transfer full) (element-type TdFinding). */
GPtrArray *td_visit_state_get_findings (const TdVisitState *state);

/* The report number in words: "KRTB-00012". (transfer full) */
char *td_report_number_make (const char *prefix, gint64 number);
/* SHA-256 over envelope, LF, body, LF; 64 hex digits. (transfer full) */
char *td_entry_make_digest (const TdEntry *entry);

G_END_DECLS
