/* desk-bills-private.h: what the files of the Invoices place share. */
#pragma once

#include "desk-ask-form.h"
#include "desk-bills-job.h"
#include "desk-bills-page.h"
#include "desk-notice.h"
#include "model-lazy-list.h"

G_BEGIN_DECLS

typedef enum
{
  TD_BILLS_VISITS,
  TD_BILLS_DRAFTS,
  TD_BILLS_HELD,
  TD_BILLS_ISSUED,
  TD_BILLS_ACCOUNTS,
  TD_BILLS_N_LISTS
} TdBillsList;

struct _TdBillsPage
{
  GtkWidget parent;
  TdContext *context;
  GCancellable *cancellable;
  GCancellable *asked; /* of the newest question for issued invoices */
  TdRowKeys *keys;
  TdBillsUnbilled *unbilled; /* NULL before it was read */
  GPtrArray *accounts;       /* TdBill; NULL before */
  gboolean issued_read;
  GHashTable *by_key; /* gint64 in a TdBill of unbilled or accounts -> that */
  TdLazyList *lists[TD_BILLS_N_LISTS];
  GtkMultiSelection *choices[TD_BILLS_N_LISTS];
  TdBillsList list;

  GtkWidget *box;
  TdNotice *notice;
  GtkSearchEntry *search;
  GtkDropDown *filter;
  GtkDropDown *order;
  GtkLabel *count;
  GtkStack *stack;
  GtkLabel *nothing;
  GtkListView *view;
  TdAskForm *form;
  GtkWidget *open, *issue, *issue_all, *hold, *release, *export, *export_bound, *print;
};

/* Installs the actions of desk-bills-acts.c. */
void td_bills_acts_install (GtkWidgetClass *klass);
/* Says which of them make sense now. */
void td_bills_acts_update (TdBillsPage *self);
/* Handler of the form's "answered". */
void td_bills_acts_answered_cb (TdAskForm *form, const char *name, TdBillsPage *self);

/* Positions chosen in the list on show. (transfer full) */
GtkBitset *td_bills_get_chosen (TdBillsPage *self);
/* What is chosen in a list other than of the issued. (transfer full) (element-type TdBill) */
GPtrArray *td_bills_list_chosen (TdBillsPage *self);
TdDate td_bills_get_today (TdBillsPage *self);

G_END_DECLS
