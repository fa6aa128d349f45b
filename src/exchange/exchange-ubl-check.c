/* The rules that an invoice has to keep before it is written: parties and lines here, sums in a file of their own. */
#include "exchange-ubl-private.h"

#include "core-money.h"

#include <string.h>

typedef struct
{
  const char *code;
  const char *categories;
  const char *text;
} RuleInfo;

static const RuleInfo rules[] = {
#define TD_UBL_RULE(symbol, code, categories, text) { code, categories, text },
#include "exchange-ubl-rules.def"
#undef TD_UBL_RULE
};

/* "BR-S-05" of "BR-%s-05". (transfer full) */
static char *
make_code (const RuleInfo *rule, const char *category)
{
  g_auto (GStrv) parts = g_strsplit (rule->code, "%s", 2);

  return g_strjoinv (category, parts);
}

static void
free_problem (gpointer data)
{
  TdUblProblem *problem = data;

  g_free (problem->rule);
  g_free (problem->place);
  g_free (problem->text);
  g_free (problem);
}

void
td_ubl_report (GPtrArray *problems, TdUblRule rule, TdTaxCategory category, const char *place)
{
  TdUblProblem *problem = g_new0 (TdUblProblem, 1);

  problem->rule = make_code (&rules[rule], td_tax_to_text (category));
  problem->place = g_strdup (place);
  problem->text = g_strdup (rules[rule].text);
  g_ptr_array_add (problems, problem);
}

GPtrArray *
td_ubl_list_rules (void)
{
  GPtrArray *codes = g_ptr_array_new_with_free_func (g_free);

  for (gsize i = 0; i < G_N_ELEMENTS (rules); i++)
    {
      if (rules[i].categories[0] == '\0')
        g_ptr_array_add (codes, g_strdup (rules[i].code));
      for (const char *c = rules[i].categories; *c != '\0'; c++)
        {
          const char category[2] = { *c, '\0' };

          /* AE is the one category of two letters. */
          g_ptr_array_add (codes, make_code (&rules[i], *c == 'A' ? "AE" : category));
        }
    }
  return codes;
}

static gboolean
is_blank (const char *text)
{
  return text == NULL || text[strspn (text, " \t\r\n")] == '\0';
}

/* What is asked of both parties alike. */
typedef struct
{
  const char *place;
  const char *name, *address, *city, *country, *endpoint;
  TdUblRule no_name, no_address, no_country, no_scheme;
} Party;

static void
check_party (const Party *party, GPtrArray *problems)
{
  if (is_blank (party->name))
    td_ubl_report (problems, party->no_name, TD_TAX_S, party->place);
  if (is_blank (party->address) && is_blank (party->city))
    td_ubl_report (problems, party->no_address, TD_TAX_S, party->place);
  if (is_blank (party->country))
    td_ubl_report (problems, party->no_country, TD_TAX_S, party->place);
  else if (!td_ubl_is_country (party->country))
    td_ubl_report (problems, TD_UBL_COUNTRY_CODE, TD_TAX_S, party->place);
  if (!is_blank (party->endpoint))
    {
      const char *address = NULL;
      g_autofree char *scheme = td_ubl_split_endpoint (party->endpoint, &address);

      if (scheme == NULL)
        td_ubl_report (problems, party->no_scheme, TD_TAX_S, party->place);
      else if (!td_ubl_is_scheme (scheme, strlen (scheme)))
        td_ubl_report (problems, TD_UBL_SCHEME_CODE, TD_TAX_S, party->place);
    }
}

static void
check_parties (const TdInvoice *invoice, GPtrArray *problems)
{
  const TdSeller *seller = &invoice->seller;
  const TdPayer *payer = &invoice->payer;
  const Party of_seller
    = { "the seller",  seller->name,   seller->address,       seller->city,          seller->country,
        seller->endpoint, TD_UBL_SELLER_NAME, TD_UBL_SELLER_ADDRESS, TD_UBL_SELLER_COUNTRY, TD_UBL_SELLER_SCHEME };
  const Party of_payer
    = { "the payer",  payer->name,   payer->address,       payer->city,          payer->country,
        payer->endpoint, TD_UBL_BUYER_NAME, TD_UBL_BUYER_ADDRESS, TD_UBL_BUYER_COUNTRY, TD_UBL_BUYER_SCHEME };
  g_autofree char *seller_vat = td_ubl_get_vat (seller->tax_id);
  g_autofree char *payer_vat = td_ubl_get_vat (payer->tax_id);

  check_party (&of_seller, problems);
  if (seller_vat == NULL && is_blank (seller->registration))
    td_ubl_report (problems, TD_UBL_SELLER_ID, TD_TAX_S, of_seller.place);
  check_party (&of_payer, problems);
  if (!is_blank (payer->tax_id) && payer_vat == NULL)
    td_ubl_report (problems, TD_UBL_VAT_PREFIX, TD_TAX_S, of_payer.place);
}

static void
check_line (const TdInvoice *invoice, guint i, GPtrArray *problems)
{
  const TdInvoiceLine *line = &g_array_index (invoice->lines, TdInvoiceLine, i);
  g_autofree char *place = g_strdup_printf ("line %u", i + 1);

  if (is_blank (line->unit))
    td_ubl_report (problems, TD_UBL_UNIT, line->category, place);
  else if (!td_ubl_is_unit (line->unit))
    td_ubl_report (problems, TD_UBL_UNIT_CODE, line->category, place);
  if (is_blank (line->text))
    td_ubl_report (problems, TD_UBL_ITEM_NAME, line->category, place);
  if (line->unit_price_minor < 0)
    td_ubl_report (problems, TD_UBL_PRICE, line->category, place);
  if (line->category == TD_TAX_S ? line->percent_milli <= 0 : line->percent_milli != 0)
    td_ubl_report (problems, line->category == TD_TAX_S ? TD_UBL_STANDARD_RATE : TD_UBL_ZERO_RATE, line->category,
                   place);
  if (!td_ubl_has_cents (line->net_minor, invoice->currency))
    td_ubl_report (problems, TD_UBL_DECIMALS_LINE, line->category, place);
}

static void
check_head (const TdInvoice *invoice, GPtrArray *problems)
{
  const char *place = "the invoice";

  if (is_blank (invoice->number))
    td_ubl_report (problems, TD_UBL_NUMBER, TD_TAX_S, place);
  if (invoice->issued == TD_DATE_NONE)
    td_ubl_report (problems, TD_UBL_ISSUED, TD_TAX_S, place);
  if (is_blank (invoice->currency))
    td_ubl_report (problems, TD_UBL_CURRENCY, TD_TAX_S, place);
  else if (td_currency_get_decimals (invoice->currency) < 0)
    td_ubl_report (problems, TD_UBL_CURRENCY_CODE, TD_TAX_S, place);
  if (invoice->credits != NULL && is_blank (invoice->credits))
    td_ubl_report (problems, TD_UBL_PRECEDING, TD_TAX_S, place);
  if (invoice->first != TD_DATE_NONE && invoice->last != TD_DATE_NONE && invoice->last < invoice->first)
    td_ubl_report (problems, TD_UBL_PERIOD, TD_TAX_S, place);
  /* A credit note asks for nothing; its terms say so. */
  if (invoice->kind == TD_INVOICE_INVOICE && invoice->total_minor > 0 && invoice->due == TD_DATE_NONE)
    td_ubl_report (problems, TD_UBL_TERMS, TD_TAX_S, place);
  if (invoice->lines->len == 0)
    td_ubl_report (problems, TD_UBL_LINES, TD_TAX_S, place);
}

GPtrArray *
td_ubl_check (const TdInvoice *invoice)
{
  GPtrArray *problems = g_ptr_array_new_with_free_func (free_problem);

  g_return_val_if_fail (invoice != NULL, problems);
  check_head (invoice, problems);
  check_parties (invoice, problems);
  for (guint i = 0; i < invoice->lines->len; i++)
    check_line (invoice, i, problems);
  td_ubl_check_sums (invoice, problems);
  return problems;
}
