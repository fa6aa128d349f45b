/* exchange-ubl-private.h: what check and writer of electronic invoices share. */
#pragma once

#include "exchange-ubl.h"
#include "exchange-xml.h"

G_BEGIN_DECLS

typedef enum
{
#define TD_UBL_RULE(symbol, code, categories, text) TD_UBL_##symbol,
#include "exchange-ubl-rules.def"
#undef TD_UBL_RULE
  TD_N_UBL_RULES
} TdUblRule;

/* Adds a problem. @category: of a rule with categories; else any. */
void td_ubl_report (GPtrArray *problems, TdUblRule rule, TdTaxCategory category, const char *place);
/* Taxes, sums and decimals. */
void td_ubl_check_sums (const TdInvoice *invoice, GPtrArray *problems);

/* Code lists. */
gboolean td_ubl_is_country (const char *code);
/* A scheme of electronic addresses (EAS), of @length characters. */
gboolean td_ubl_is_scheme (const char *code, gsize length);
gboolean td_ubl_is_unit (const char *code);

/* Returns: (transfer full) (nullable): a VAT identifier without spaces, points and hyphens, if @tax_id has the
 * form of one: two letters of a country (Greece: EL) and at least one digit. */
char *td_ubl_get_vat (const char *tax_id);
/* Splits "SCHEME:ADDRESS". Returns: (transfer full) (nullable): the scheme; NULL where there is none.
 * @address_out: (transfer none). */
char *td_ubl_split_endpoint (const char *endpoint, const char **address_out);
/* An amount with at most two decimals; FALSE where it has more. */
gboolean td_ubl_has_cents (gint64 minor, const char *currency);
/* Returns: (transfer full): "12.30": the currency's decimals, of more than two the zeros at the end left out. */
char *td_ubl_format_amount (gint64 minor, const char *currency);

/* The party elements. */
void td_ubl_write_seller (TdXml *xml, const TdSeller *seller);
void td_ubl_write_buyer (TdXml *xml, const TdPayer *payer);

G_END_DECLS
