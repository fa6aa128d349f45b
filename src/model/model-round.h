/* model-round.h: one site in the round, and its row. */
#pragma once

#include "core-time.h"
#include "core-uuid.h"
#include "model-row.h"

G_BEGIN_DECLS

/* Where a site stands, the most pressing first: the order of the round. */
typedef enum
{
  TD_ROUND_OPEN,    /* a visit has begun and is not closed */
  TD_ROUND_OVERDUE, /* days < 0 */
  TD_ROUND_TODAY,
  TD_ROUND_SOON,    /* within TD_ROUND_SOON_DAYS */
  TD_ROUND_LATER,
  TD_ROUND_UNKNOWN  /* nothing is due: the book knows no line */
} TdRoundState;

/* How many days ahead a site counts as coming up: the days that a week's round is planned for. */
#define TD_ROUND_SOON_DAYS 7

/* Immutable after td_round_new(); reference counted, any thread. */
typedef struct
{
  gint64 key; /* of its row: unique in a snapshot, the same from one to the next */
  char *site_id;
  char *site;
  char *account;
  char *address;   /* NULL where not said */
  guint lines;     /* faucets */
  char *task;      /* most pressing: "caustic", ...; NULL where nothing is due */
  TdDate last;     /* when that was last done, TD_DATE_NONE: never */
  TdDate due;      /* TD_DATE_NONE where nothing is due */
  int days;        /* from today to due, negative: overdue */
  gboolean open;   /* there is an open visit */
  TdUuid open_visit;
  guint missed;    /* planned visits written down as missed since the last one */
  gboolean moved;  /* the visit was moved since the last one */
  TdDate moved_to; /* where it was */
  char *reason;    /* of the note that was made last; NULL where nothing was missed or moved */
  char *folded;    /* what a search looks in; made by td_round_new() */
} TdRound;

/* Takes copies of the strings of @template. */
TdRound *td_round_new (const TdRound *template_);
TdRound *td_round_ref (TdRound *round);
void td_round_unref (TdRound *round);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdRound, td_round_unref)

TdRoundState td_round_get_state (const TdRound *round);
/* The order of the round: by state, then the longest overdue, then account and site by code point. */
int td_round_compare (const TdRound *a, const TdRound *b);
/* The words of what was typed, parted by spaces, made ready for td_round_matches(). @search: (nullable).
 * Returns: (transfer full). */
char **td_round_fold_search (const char *search);
/* TRUE where each word stands in site, account or address, in whatever case. */
gboolean td_round_matches (const TdRound *round, char *const *words);

#define TD_TYPE_ROUND_ITEM (td_round_item_get_type ())
/* Properties: "site-id", "site", "account", "address", "task" (strings), "lines" (uint), "state" (int, a
 * TdRoundState), "days" (int), "due", "last" (int, a TdDate), "visit" (string, of the open visit), "missed" (uint),
 * "moved-to" (int, a TdDate), "reason" (string). */
G_DECLARE_FINAL_TYPE (TdRoundItem, td_round_item, TD, ROUND_ITEM, TdRow)

G_END_DECLS
