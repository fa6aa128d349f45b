/* model-bill.h: one row of the Invoices place: an unbilled visit, a draft, an issued invoice or an account. */
#pragma once

#include "core-time.h"
#include "model-row.h"

G_BEGIN_DECLS

typedef enum
{
  TD_BILL_READY,        /* a visit that stands on a draft */
  TD_BILL_HELD,         /* a visit held back, for days days */
  TD_BILL_WAITING,      /* a visit that cannot be drafted; text says why */
  TD_BILL_DRAFT,        /* a draft of an invoice */
  TD_BILL_DRAFT_CREDIT, /* a proposed credit note */
  TD_BILL_OPEN,         /* an issued invoice of which something is to be paid */
  TD_BILL_OVERDUE,      /* the same, for days days behind its due date */
  TD_BILL_PAID,
  TD_BILL_CREDIT,       /* an issued credit note */
  TD_BILL_ACCOUNT
} TdBillState;
#define TD_BILL_N_STATES (TD_BILL_ACCOUNT + 1)

/* Immutable after td_bill_new(); reference counted, any thread. */
typedef struct
{
  gint64 key; /* unique in a list */
  TdBillState state;
  char *id;     /* of a visit, the key of a draft, the number of an invoice, the id of an account */
  char *number; /* of the report or the invoice; NULL for a draft and an account */
  char *who;    /* who pays; of a visit the site */
  char *account;
  char *account_id;
  char *currency;    /* NULL where there is no sum */
  gint64 total_minor; /* of a visit the net sum of its lines */
  gint64 open_minor;
  TdDate date; /* of the visit, the last day of a draft's work, the day of issue; TD_DATE_NONE */
  TdDate due;  /* TD_DATE_NONE */
  int days;
  guint count;  /* lines of a draft, sites of an account */
  char *text;   /* why a visit is held or waits; NULL */
  char *folded; /* what a search looks in; made by td_bill_new() */
} TdBill;

/* Takes copies of the strings of @template. */
TdBill *td_bill_new (const TdBill *template_);
TdBill *td_bill_ref (TdBill *bill);
void td_bill_unref (TdBill *bill);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdBill, td_bill_unref)

typedef enum
{
  TD_BILLS_NEWEST,
  TD_BILLS_OLDEST,
  TD_BILLS_BY_WHO,
  TD_BILLS_BY_SUM,    /* the largest first */
  TD_BILLS_BY_URGENCY /* held longest, due first */
} TdBillsOrder;

/* A total order: equals stand by their id. */
int td_bill_compare (const TdBill *a, const TdBill *b, TdBillsOrder order);
/* TRUE where each word stands in number, who, account or text; words as of td_round_fold_search(). */
gboolean td_bill_matches (const TdBill *bill, char *const *words);

#define TD_TYPE_BILL_ITEM (td_bill_item_get_type ())
/* Properties: "id", "number", "who", "account", "currency", "text" (strings), "state" (int, a TdBillState),
 * "total-minor", "open-minor" (int64), "date", "due" (int, a TdDate), "days" (int), "count" (uint). */
G_DECLARE_FINAL_TYPE (TdBillItem, td_bill_item, TD, BILL_ITEM, TdRow)

G_END_DECLS
