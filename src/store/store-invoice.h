/* store-invoice.h: drafts, issued invoices, credits, holds.
 *
 * A draft is made anew each time it is asked for, from the closed visits that have not been invoiced and the
 * agreements of their days; nothing of it is kept.  Issuing gives each the next number of the book's one
 * series, freezes and seals it, in one transaction. */
#pragma once

#include "core-invoice.h"
#include "store-book.h"

G_BEGIN_DECLS

typedef struct
{
  char *key;          /* "ACCOUNT PAYER CURRENCY FIRST-DAY KIND ...": the same for the same draft */
  TdInvoice *invoice; /* without number and dates; a credit note where an invoiced visit was amended */
} TdInvoiceDraft;

/* Why a visit is in no draft. */
typedef enum
{
  TD_WAITING_HOLD,      /* held, with a reason */
  TD_WAITING_AGREEMENT, /* no agreement holds on its day */
  TD_WAITING_PRICE,     /* the agreement cannot price it */
  TD_WAITING_AMENDMENT  /* an amendment of it is open */
} TdWaitingWhy;

typedef struct
{
  TdUuid visit;
  char *number; /* of the report */
  char *account;
  char *account_id;
  char *site;
  TdDate date;
  TdWaitingWhy why;
  char *text;      /* reason of the hold, or what is missing */
  gint64 since_ms; /* of a hold; else 0 */
} TdWaiting;

typedef struct
{
  GPtrArray *drafts;  /* TdInvoiceDraft, by account, credit notes first */
  GPtrArray *waiting; /* TdWaiting */
} TdInvoiceDrafts;

void td_invoice_drafts_free (TdInvoiceDrafts *drafts);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdInvoiceDrafts, td_invoice_drafts_free)

/* Which drafts; all fields may be left 0. */
typedef struct
{
  const char *account_id;  /* NULL: every account */
  TdDate until;            /* visits up to that day, where has_until */
  gboolean has_until;
  const char *const *keys; /* (nullable): of the drafts wanted */
} TdDraftFilter;

/* @filter: (nullable). Returns: (transfer full), or NULL with a TD_BOOK_ERROR.  Reads only. */
TdInvoiceDrafts *td_book_draft_invoices (TdBook *book, const TdDraftFilter *filter, GError **error);
/* Drafts and issues in one transaction, credit notes before the invoices that replace them.
 * @issued: date of issue, not before the newest invoice's (TD_BOOK_ERROR_REFUSED).
 * Returns: (transfer full) (element-type utf8): numbers, in order, or NULL; nothing is issued then.
 * TD_BOOK_ERROR_REFUSED on a copy of the book that does not number (td_book_set_invoice_series()). */
GPtrArray *td_book_issue_invoices (TdBook *book, const TdDraftFilter *filter, TdDate issued, GError **error);

/* Takes an invoice back.  @lines: (nullable) (array length=n_lines): indices of lines; NULL: all that have not
 * been credited.  @again: the visits and months whose lines are then all credited may be invoiced again.
 * Returns: (transfer full): number of the credit note, or NULL with TD_BOOK_ERROR_MISSING, or _REFUSED where
 * nothing is left to be credited. */
char *td_book_credit_invoice (TdBook *book, const char *number, const guint *lines, guint n_lines, gboolean again,
                              const char *reason, TdDate issued, GError **error);

/* Returns: (transfer full) (element-type guint): indices of the lines that credit notes have taken back, in order,
 * or NULL with TD_BOOK_ERROR_MISSING. */
GArray *td_book_list_credited_lines (TdBook *book, const char *number, GError **error);

/* Holds a closed visit back from invoicing. TD_BOOK_ERROR_REFUSED where it is open, held or invoiced. */
gboolean td_book_hold_visit (TdBook *book, const TdUuid *visit, const char *reason, GError **error);
/* TD_BOOK_ERROR_MISSING where it is not held. */
gboolean td_book_release_visit (TdBook *book, const TdUuid *visit, GError **error);

/* Prefix of the numbers from now on; makes this copy of the book the one that numbers.  The count goes on.
 * @prefix: (nullable): NULL keeps it. 0..12 characters. */
gboolean td_book_set_invoice_series (TdBook *book, const char *prefix, GError **error);
/* @here_out: whether this copy numbers. Returns: (transfer full): the prefix, or NULL with an error. */
char *td_book_get_invoice_series (TdBook *book, gboolean *here_out, GError **error);

const char *td_waiting_why_to_text (TdWaitingWhy why); /* "hold", "agreement", "price", "amendment" */

G_END_DECLS
