/* core-invoice.h: invoices and credit notes as values.
 *
 * A TdInvoice is reference counted; a draft becomes an invoice when it gets number, dates and seller, and is
 * never changed after that.  Amounts are whole minor units.  A credit note has the sign of the invoice that
 * it takes back: positive amounts that the payer does not owe.
 *
 * How a sum is made: a line's net is quantity times unit price, rounded once, half away from zero; the net
 * sum adds the lines; tax is computed once for each category and rate, on the sum of its lines, and rounded
 * once (EN 16931-1, BR-CO-10, BR-CO-14, BR-CO-15, BR-CO-17). */
#pragma once

#include "core-agreement.h"
#include "core-masters.h"
#include "core-uuid.h"

G_BEGIN_DECLS

#define TD_INVOICE_FORMAT "tundish-invoice/1"

/* Units of quantities, by the codes of UN/ECE Recommendation 20. */
#define TD_UNIT_ONE "C62"
#define TD_UNIT_LITRE "LTR"
#define TD_UNIT_MINUTE "MIN"

typedef enum
{
  TD_INVOICE_INVOICE, /* UNTDID 1001: 380 */
  TD_INVOICE_CREDIT   /* 381 */
} TdInvoiceKind;

typedef struct
{
  TdItem item;
  char *text;
  gint64 quantity_milli; /* negative for what is taken off (EN 16931-1 BR-27: prices never are) */
  const char *unit;      /* TD_UNIT_ONE, ... */
  gint64 unit_price_minor;
  gint64 net_minor;
  TdTaxCategory category;
  gint64 percent_milli;
  char *tax_text; /* NULL */
  char *visit;    /* id, NULL for a month's flat price; so are report and site */
  char *report;   /* number */
  char *site;     /* name */
  char *line;     /* id, NULL where it is for none */
  char *account;  /* id of the account that it was done for, NULL: the invoice's own */
  TdDate date;    /* of the visit, or the first of the month */
  int of;         /* of a credit note: index of the line that it takes back; -1 */
} TdInvoiceLine;

typedef struct
{
  TdTaxCategory category;
  gint64 percent_milli;
  gint64 base_minor;
  gint64 tax_minor;
  char *text; /* what must stand on the invoice; NULL */
} TdInvoiceTax;

typedef struct
{
  char *name, *address, *phone, *tax_id, *payment; /* NULL where not known */
  char *city, *postcode, *region, *country;
  char *email, *contact;
  char *registration; /* in the register of companies */
  char *endpoint;     /* electronic address, TD_PARTY_ENDPOINT */
  char *iban, *bic;
} TdSeller;

/* All texts of a seller; keys as in the company file. */
extern const TdPartyField td_seller_fields[];

typedef struct _TdInvoice
{
  TdInvoiceKind kind;
  char *number; /* NULL for a draft */
  char *account;
  char *account_id;
  TdSeller seller;
  TdPayer payer; /* bill to, as at drafting */
  char *currency;
  char *place;   /* NULL */
  TdDate issued, due; /* TD_DATE_NONE for a draft */
  int terms_days;
  TdDate first, last; /* the days of its work; TD_DATE_NONE where it has none */
  char *credits;      /* number of the invoice that a credit note takes back; NULL */
  char *reason;       /* of a credit note; NULL */
  GArray *lines;      /* TdInvoiceLine */
  GArray *taxes;      /* TdInvoiceTax, by category, then the higher rate first */
  gint64 net_minor, tax_minor, total_minor;
} TdInvoice;

/* Returns: (transfer full): an empty draft. @payer: copied. */
TdInvoice *td_invoice_new (TdInvoiceKind kind, const char *account_id, const char *account, const TdPayer *payer,
                           const char *currency);
TdInvoice *td_invoice_ref (TdInvoice *invoice);
void td_invoice_unref (TdInvoice *invoice);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdInvoice, td_invoice_unref)

/* Takes over the texts of @line and computes its net. FALSE with TD_ERROR_RANGE where it is too large;
 * the line is freed then. */
gboolean td_invoice_take_line (TdInvoice *invoice, TdInvoiceLine *line, GError **error);
/* Computes net sum, taxes, total and the days from the lines. FALSE with TD_ERROR_RANGE. */
gboolean td_invoice_sum (TdInvoice *invoice, GError **error);

/* The last day that a line stands for: its own, of a contract's line the last of its month. */
TdDate td_invoice_line_get_last (const TdInvoiceLine *line);
/* Finds first and last from the lines. */
void td_invoice_find_days (TdInvoice *invoice);

/* Turns a draft into an invoice. @seller: copied. */
void td_invoice_issue (TdInvoice *invoice, const char *number, TdDate issued, const TdSeller *seller);

/* @which: (nullable) (array length=n_which): indices of the lines to be taken back, each once; NULL: all.
 * Returns: (transfer full): the credit note as a draft, or NULL with TD_ERROR_RANGE or _IMPOSSIBLE (a credit
 * note itself). */
TdInvoice *td_invoice_credit (const TdInvoice *invoice, const guint *which, guint n_which, const char *reason,
                              GError **error);

/* Returns: (transfer full) (element-type utf8): ids of the visits, each once, in order of the lines. */
GPtrArray *td_invoice_list_visits (const TdInvoice *invoice);
/* The sums again from the lines; FALSE with TD_ERROR_IMPOSSIBLE that names the first that differs. */
gboolean td_invoice_check (const TdInvoice *invoice, GError **error);

/* Fills in what a frozen invoice does not know of its seller and payer because it was not asked for when it was
 * issued: parts of the address, country, contact, register number, electronic address, bank account.  What
 * decides tax, names and addresses are never filled in.  @masters, @payer: (nullable): as they stand today. */
void td_invoice_complete (TdInvoice *invoice, const TdMasters *masters, const TdPayer *payer);

const char *td_invoice_kind_to_text (TdInvoiceKind kind); /* "invoice", "credit-note" */
void td_seller_copy (const TdSeller *from, TdSeller *to);
void td_seller_clear (TdSeller *seller);
void td_invoice_line_clear (TdInvoiceLine *line);
void td_invoice_line_copy (const TdInvoiceLine *from, TdInvoiceLine *to);

G_END_DECLS
