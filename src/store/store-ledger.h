/* store-ledger.h: issued invoices in lists and one by one, payments, statements. */
#pragma once

#include "core-invoice.h"
#include "core-statement.h"
#include "store-book.h"

G_BEGIN_DECLS

/* One invoice or credit note in a list. */
typedef struct
{
  gint64 key; /* its count, without prefix */
  char *number;
  TdInvoiceKind kind;
  char *account_id, *account;
  char *payer;   /* id */
  char *bill_to; /* name */
  char *currency;
  TdDate issued, due;
  gint64 net_minor, tax_minor, total_minor;
  char *credits; /* number of the invoice that it takes back, NULL */
  gint64 paid_minor, credited_minor, open_minor; /* of an invoice */
} TdInvoiceRow;

TdInvoiceRow *td_invoice_row_ref (TdInvoiceRow *row);
void td_invoice_row_unref (TdInvoiceRow *row);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdInvoiceRow, td_invoice_row_unref)

typedef enum
{
  TD_INVOICES_BY_NUMBER, /* newest first */
  TD_INVOICES_BY_ISSUED, /* oldest first */
  TD_INVOICES_BY_BILL_TO,
  TD_INVOICES_BY_TOTAL,  /* largest first */
  TD_INVOICES_BY_DUE     /* due first; only those of which something is open */
} TdInvoicesOrder;

typedef struct
{
  const char *account_id; /* NULL: every account */
  gboolean open_only;
  gboolean overdue_only; /* due before today */
  TdDate today;
  const char *search;    /* part of number, bill-to or name of the account; NULL */
  TdInvoicesOrder order;
} TdInvoicesFilter;

/* The keys of all that fit, for lists that read rows as they are shown. @filter: (nullable).
 * Returns: (transfer full) (element-type gint64), or NULL with a TD_BOOK_ERROR. */
GArray *td_book_list_invoice_keys (TdBook *book, const TdInvoicesFilter *filter, GError **error);
/* Returns: (transfer full): the row, or NULL with TD_BOOK_ERROR_MISSING. */
TdInvoiceRow *td_book_get_invoice_row (TdBook *book, gint64 key, GError **error);
/* Both in one. Returns: (transfer full) (element-type TdInvoiceRow). */
GPtrArray *td_book_list_invoices (TdBook *book, const TdInvoicesFilter *filter, GError **error);

/* What is open of an account in one currency. */
typedef struct
{
  char *account_id;
  char *currency;
  gint64 open_minor;
  gint64 overdue_minor; /* of it, what was due before the day asked about */
  TdDate due;           /* the earliest */
  guint invoices;
} TdAccountBalance;

/* @account_id: (nullable): of one account alone. @today: of the overdue.
 * Returns: (transfer full) (element-type TdAccountBalance): by account, then currency, without those that owe
 * nothing; NULL with a TD_BOOK_ERROR. */
GPtrArray *td_book_list_account_balances (TdBook *book, const char *account_id, TdDate today, GError **error);
void td_account_balance_free (TdAccountBalance *balance);

typedef struct
{
  TdDate day;
  gint64 amount_minor;
  char *text; /* NULL */
} TdPayment;

typedef struct
{
  TdInvoiceRow *row;
  TdInvoice *invoice;
  GArray *payments; /* TdPayment, by day */
  char *seal, *previous_seal; /* previous: NULL for the first */
} TdInvoiceRecord;

/* Returns: (transfer full): the invoice of that number, or NULL with TD_BOOK_ERROR_MISSING or _DAMAGED. */
TdInvoiceRecord *td_book_load_invoice (TdBook *book, const char *number, GError **error);
void td_invoice_record_free (TdInvoiceRecord *record);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdInvoiceRecord, td_invoice_record_free)

/* Writes a payment down. @amount_minor: not 0; negative takes one back. TD_BOOK_ERROR_REFUSED where more
 * than is open would be paid, or less than nothing would have been. @text: (nullable). */
gboolean td_book_pay_invoice (TdBook *book, const char *number, gint64 amount_minor, TdDate day, const char *text,
                              GError **error);

/* Returns: (transfer full), or NULL with TD_BOOK_ERROR_MISSING. */
TdAccountStatement *td_book_make_statement (TdBook *book, const char *account_id, TdDate from, TdDate to,
                                            GError **error);
G_END_DECLS
