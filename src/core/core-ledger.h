/* core-ledger.h: invoices, credit notes and payments as entries of double-entry bookkeeping.
 *
 * An entry's debits and credits are equal: what an invoice asks for is owed (receivable) against what was
 * earned (revenue, by what is charged and how it is taxed) and what is owed to the tax office (tax, by
 * rate).  A credit note is the same the other way round, a payment moves from receivable to bank.  Amounts
 * are whole minor units of the entry's currency. */
#pragma once

#include "core-invoice.h"
#include "core-masters.h"

G_BEGIN_DECLS

/* What an id of a posting may be, for messages. */
#define TD_LEDGER_IDS_TEXT \
  "receivable, bank, revenue, tax; for a part of them revenue-visit, revenue-call-out, revenue-tower, revenue-line, " \
  "revenue-minutes, revenue-out-of-hours, revenue-minimum, revenue-chemical, revenue-part, revenue-contract, " \
  "revenue-discount, tax-13.5"

typedef struct
{
  char *id; /* "receivable", "bank", "revenue-ITEM", "tax-PERCENT" */
  gint64 debit_minor, credit_minor; /* one of both is above 0, the other is 0 */
  gboolean taxed;                   /* of revenue and tax; the two below hold then */
  TdTaxCategory category;
  gint64 percent_milli;
} TdPosting;

typedef enum
{
  TD_LEDGER_INVOICE,
  TD_LEDGER_CREDIT,
  TD_LEDGER_PAYMENT
} TdLedgerKind;

typedef struct
{
  TdLedgerKind kind;
  TdDate day;
  char *document; /* number of the invoice or credit note; of a payment that of the invoice */
  char *party;    /* name of the payer */
  char *currency;
  char *text;     /* of a payment its reference, of a credit note its reason; NULL */
  GArray *postings; /* TdPosting; empty where nothing is owed */
} TdLedgerEntry;

/* @invoice: issued. Returns: (transfer full): its entry, balanced, or NULL with TD_ERROR_RANGE, or
 * TD_ERROR_IMPOSSIBLE where its sums do not follow from its lines. */
TdLedgerEntry *td_ledger_from_invoice (const TdInvoice *invoice, GError **error);
/* @amount_minor: negative for one that bounced. @text: (nullable). */
TdLedgerEntry *td_ledger_from_payment (const char *document, const char *party, const char *currency, TdDate day,
                                       gint64 amount_minor, const char *text);
void td_ledger_entry_free (TdLedgerEntry *entry);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdLedgerEntry, td_ledger_entry_free)

/* FALSE with TD_ERROR_IMPOSSIBLE where debits and credits differ. */
gboolean td_ledger_entry_check (const TdLedgerEntry *entry, GError **error);

const char *td_ledger_kind_to_text (TdLedgerKind kind); /* "invoice", "credit-note", "payment" */
/* TRUE for the ids above; the percent of a tax as td_milli_to_text() writes it. */
gboolean td_ledger_is_id (const char *id);
/* TRUE for what can stand as an account's code in files of accounting programs. */
gboolean td_ledger_is_code (const char *code);
/* Returns: (transfer none): the company's code for that id, else for its first word, else the standard:
 * "assets:receivable", "assets:bank", "income:work", "liabilities:tax". */
const char *td_ledger_find_code (const TdMasters *masters, const char *id);

G_END_DECLS
