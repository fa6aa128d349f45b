/* core-agreement.h: what an account pays, from when to when, who pays it, and how it is taxed.
 *
 * A TdAgreement is immutable and reference counted; every one comes from td_agreement_from_json().  The
 * agreement that holds on the day of a visit prices it, whenever the invoice is drafted.  All amounts are
 * whole minor units of its currency, quantities thousandths, percentages thousandths of a percent. */
#pragma once

#include "core-json.h"
#include "core-party.h"
#include "core-time.h"
#include "core-visit.h"

G_BEGIN_DECLS

#define TD_AGREEMENT_FORMAT "tundish-agreement/1"

/* What a line of an invoice is for. */
typedef enum
{
  TD_ITEM_VISIT,
  TD_ITEM_CALL_OUT,
  TD_ITEM_TOWER,
  TD_ITEM_LINE,
  TD_ITEM_MINUTES,
  TD_ITEM_OUT_OF_HOURS,
  TD_ITEM_MINIMUM,
  TD_ITEM_CHEMICAL,
  TD_ITEM_PART,
  TD_ITEM_CONTRACT,
  TD_ITEM_DISCOUNT,  /* follows what it is taken off */
  TD_ITEM_NO_CHARGE, /* a line of nothing that says why */
  TD_N_ITEMS
} TdItem;

/* Those that the agreement's rules may name are the ones up to TD_ITEM_CONTRACT. */
#define TD_ITEM_BIT(item) (1u << (item))
#define TD_ITEMS_ALL (TD_ITEM_BIT (TD_ITEM_DISCOUNT) - 1)
/* Work as such, without goods: what discount, out-of-hours percentage and minimum look at. */
#define TD_ITEMS_SERVICE \
  (TD_ITEM_BIT (TD_ITEM_VISIT) | TD_ITEM_BIT (TD_ITEM_CALL_OUT) | TD_ITEM_BIT (TD_ITEM_TOWER) \
   | TD_ITEM_BIT (TD_ITEM_LINE) | TD_ITEM_BIT (TD_ITEM_MINUTES))

/* Categories of value added tax, by the codes of EN 16931-1 BT-118 (UNTDID 5305). */
typedef enum
{
  TD_TAX_S,  /* standard rate, above 0 */
  TD_TAX_Z,  /* zero rated */
  TD_TAX_E,  /* exempt; the reason must stand on the invoice */
  TD_TAX_AE, /* reverse charge: the buyer owes the tax; that, and both tax ids, must stand on it */
  TD_TAX_O,  /* outside the scope of the tax; the reason must stand on the invoice, which has no other category */
  TD_N_TAXES
} TdTaxCategory;

typedef struct
{
  char *id;             /* "owner", ...; stays the same from agreement to agreement */
  char *account;        /* name of the account that its invoices stand in, those of every account that names
                         * it, in one; NULL: each account's own */
  char *name;           /* bill to */
  char *address;
  char *country;        /* ISO 3166-1 alpha-2, NULL where not said; so are all below */
  char *email;
  char *contact;
  char *tax_id;
  char *purchase_order; /* the payer's own reference */
  char *city;           /* so too all that follows */
  char *postcode;
  char *region;         /* state, county */
  char *phone;
  char *registration;   /* in the register of companies */
  char *endpoint;       /* where electronic invoices go, TD_PARTY_ENDPOINT */
  char *reference;      /* what the payer wants to find on its invoices, such as a cost centre */
} TdPayer;

/* All texts of a payer but its id; keys as in the agreement's file. */
extern const TdPartyField td_payer_fields[];

/* Rules are tried in their order; the first that fits holds. */
typedef struct
{
  guint items;  /* TD_ITEM_BIT()s */
  int payer;    /* index, -1: whoever pays */
  char **sites; /* ids; NULL: every site */
  TdTaxCategory category;
  gint64 percent_milli;
  char *text; /* the reason of E, the words of AE; else NULL */
} TdTaxRule;

typedef struct
{
  guint items;
  int payer;    /* who pays what fits */
  char **sites; /* NULL: every site */
  char **lines; /* ids; NULL: every line, and what belongs to none */
  int clean;    /* TdClean, -1: either */
  char *work;   /* kind of the visit; NULL: every one */
} TdPayerRule;

typedef struct
{
  gint64 unit_minor;
  int clean;  /* TdClean, -1: either */
  int method; /* TdMethod, -1: any */
  char **sites;
  char **lines;
} TdLinePrice;

typedef struct
{
  char *name; /* of a part as the technician writes it, or the id of a product */
  gint64 minor; /* a part's price; a litre of concentrate at cost */
} TdItemPrice;

typedef struct
{
  char *work; /* "re-clean", ... */
  char *reason;
  guint items; /* that cost nothing then */
} TdNoCharge;

typedef enum
{
  TD_COLLECT_MONTH, /* one invoice for each payer and calendar month */
  TD_COLLECT_VISIT  /* one for each visit */
} TdCollect;

typedef struct _TdAgreement
{
  char *account; /* name as in the book */
  TdDate from;
  TdDate to; /* its last day; TD_DATE_NONE: until another begins */
  char *currency;
  int terms_days; /* due so many days after issue; default 14 */
  TdCollect collect;
  char *place; /* of supply, as printed; NULL where not said */

  gint64 visit_minor, call_out_minor, tower_minor, minute_minor, minimum_minor;
  gint64 included_minutes;
  gint64 out_of_hours_minor, out_of_hours_percent_milli;
  gint64 discount_percent_milli;
  gint64 chemical_markup_percent_milli;
  GArray *lines;     /* TdLinePrice, in order; the last fits every line */
  GArray *parts;     /* TdItemPrice */
  GArray *chemicals; /* TdItemPrice; a product that is not among them costs nothing of its own */
  GArray *no_charge; /* TdNoCharge */

  gint64 monthly_minor; /* -1: no flat contract */
  gint64 month_visits;  /* agreed for a month */
  gint64 missed_minor;  /* taken off for each that was not made */
  guint covers;         /* items of routine visits that the contract pays */

  GArray *payers;      /* TdPayer, at least one; the first pays what no rule gives to another */
  GArray *payer_rules; /* TdPayerRule */
  GArray *taxes;       /* TdTaxRule; together they fit everything */
} TdAgreement;

/* Reads an agreement; the format is described in DEVELOPERS.md.  Unknown keys, ids that stand for nothing,
 * a tax of which the category and the rate do not agree (EN 16931-1 BR-S-5, BR-Z-5, BR-E-5, BR-E-10,
 * BR-AE-5, BR-AE-10, BR-O-5, BR-O-10), reverse charge to a payer without a tax id (BR-AE-2), taxes or line prices that leave
 * something open, are errors with line and column.
 * Returns: (transfer full): the agreement, or NULL with TD_ERROR_SHAPE, _RANGE or _REFERENCE. */
TdAgreement *td_agreement_from_json (const TdJson *json, GError **error);
TdAgreement *td_agreement_ref (TdAgreement *agreement);
void td_agreement_unref (TdAgreement *agreement);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdAgreement, td_agreement_unref)

/* TRUE where it holds on that day. */
gboolean td_agreement_holds (const TdAgreement *agreement, TdDate date);
/* What is asked about: an item of a visit. */
typedef struct
{
  TdItem item;
  const char *site; /* id; NULL for what belongs to no site */
  const char *line; /* id; NULL for what belongs to no line */
  int clean;        /* TdClean, -1 */
  int method;       /* TdMethod, -1 */
  const char *work;
} TdItemAsked;

/* Index into payers. */
guint td_agreement_find_payer (const TdAgreement *agreement, const TdItemAsked *asked);
/* Returns: (transfer none): the rule; there always is one. */
const TdTaxRule *td_agreement_find_tax (const TdAgreement *agreement, const TdItemAsked *asked, guint payer);
/* The price of cleaning a line. */
gint64 td_agreement_get_line_price (const TdAgreement *agreement, const TdItemAsked *asked);
/* FALSE where the agreement has no price of that name. @prices: parts or chemicals. */
gboolean td_agreement_find_price (const GArray *prices, const char *name, gint64 *minor_out);
/* Returns: (transfer none) (nullable): why that kind of visit costs nothing. */
const TdNoCharge *td_agreement_find_no_charge (const TdAgreement *agreement, const char *work);

const char *td_item_to_text (TdItem item); /* "visit", "call-out", ... */
const char *td_tax_to_text (TdTaxCategory category); /* "S", "Z", "E", "AE", "O" */
gboolean td_tax_from_text (const char *text, TdTaxCategory *category_out);

/* Copies and frees the parts of a payer. */
void td_payer_copy (const TdPayer *from, TdPayer *to);
void td_payer_clear (TdPayer *payer);

G_END_DECLS
