/* Taxes, sums and decimals of an invoice, each made again from its lines. */
#include "exchange-ubl-private.h"

#include "core-money.h"

static char *
name_tax (const TdInvoiceTax *tax)
{
  g_autofree char *percent = td_milli_to_text (tax->percent_milli);

  return g_strdup_printf ("tax %s %s %%", td_tax_to_text (tax->category), percent);
}

/* Lines of a tax and their sum; FALSE where there is none. */
static gboolean
sum_lines (const TdInvoice *invoice, const TdInvoiceTax *tax, gint64 *sum_out)
{
  gboolean found = FALSE;

  *sum_out = 0;
  for (guint i = 0; i < invoice->lines->len; i++)
    {
      const TdInvoiceLine *line = &g_array_index (invoice->lines, TdInvoiceLine, i);

      if (line->category != tax->category || line->percent_milli != tax->percent_milli)
        continue;
      found = TRUE;
      if (!td_money_add (sum_out, line->net_minor, NULL))
        *sum_out = G_MININT64;
    }
  return found;
}

static void
check_amount (const TdInvoiceTax *tax, GPtrArray *problems, const char *place)
{
  gint64 expected = 0;
  gboolean right = td_money_get_percent (tax->base_minor, tax->percent_milli, &expected, NULL)
                   && expected == tax->tax_minor;

  if (!right)
    td_ubl_report (problems, TD_UBL_TAX_AMOUNT, tax->category, place);
  if (tax->category == TD_TAX_S ? !right : tax->tax_minor != 0)
    td_ubl_report (problems, tax->category == TD_TAX_S ? TD_UBL_STANDARD_TAX : TD_UBL_ZERO_TAX, tax->category, place);
}

static void
check_tax (const TdInvoice *invoice, const TdInvoiceTax *tax, GPtrArray *problems)
{
  g_autofree char *place = name_tax (tax);
  gboolean reason = tax->text != NULL && *tax->text != '\0';
  gint64 sum = 0;

  if (!sum_lines (invoice, tax, &sum))
    td_ubl_report (problems, TD_UBL_CATEGORY_ONCE, tax->category, place);
  else if (sum != tax->base_minor)
    td_ubl_report (problems, TD_UBL_CATEGORY_BASE, tax->category, place);
  check_amount (tax, problems, place);
  if (tax->category == TD_TAX_S || tax->category == TD_TAX_Z)
    {
      if (reason)
        td_ubl_report (problems, TD_UBL_NO_REASON, tax->category, place);
    }
  else if (!reason)
    td_ubl_report (problems, TD_UBL_REASON, tax->category, place);
  if (!td_ubl_has_cents (tax->base_minor, invoice->currency))
    td_ubl_report (problems, TD_UBL_DECIMALS_BASE, tax->category, place);
  if (!td_ubl_has_cents (tax->tax_minor, invoice->currency))
    td_ubl_report (problems, TD_UBL_DECIMALS_CATEGORY, tax->category, place);
}

/* Every line's tax stands in the breakdown. */
static void
check_breakdown (const TdInvoice *invoice, GPtrArray *problems)
{
  for (guint i = 0; i < invoice->lines->len; i++)
    {
      const TdInvoiceLine *line = &g_array_index (invoice->lines, TdInvoiceLine, i);
      g_autofree char *place = g_strdup_printf ("line %u", i + 1);
      gboolean found = FALSE;

      for (guint t = 0; t < invoice->taxes->len && !found; t++)
        {
          const TdInvoiceTax *tax = &g_array_index (invoice->taxes, TdInvoiceTax, t);

          found = tax->category == line->category && tax->percent_milli == line->percent_milli;
        }
      if (!found)
        td_ubl_report (problems, TD_UBL_CATEGORY_ONCE, line->category, place);
    }
}

/* What the categories on the invoice ask of its parties. */
static void
check_category (const TdInvoice *invoice, TdTaxCategory category, GPtrArray *problems)
{
  const TdSeller *seller = &invoice->seller;
  g_autofree char *seller_vat = td_ubl_get_vat (seller->tax_id);
  g_autofree char *payer_vat = td_ubl_get_vat (invoice->payer.tax_id);
  gboolean known = seller->tax_id != NULL && *seller->tax_id != '\0';
  gboolean payer_known = payer_vat != NULL || (invoice->payer.registration != NULL && *invoice->payer.registration != '\0');

  if (category == TD_TAX_AE ? !known || !payer_known : category == TD_TAX_O ? FALSE : !known)
    td_ubl_report (problems, category == TD_TAX_AE ? TD_UBL_REVERSE_PARTY : TD_UBL_CATEGORY_PARTY, category,
                   "seller and payer");
  if (category == TD_TAX_O && (seller_vat != NULL || payer_vat != NULL))
    td_ubl_report (problems, TD_UBL_OUTSIDE_PARTY, category, "seller and payer");
}

static void
check_categories (const TdInvoice *invoice, GPtrArray *problems)
{
  gboolean there[TD_N_TAXES] = { FALSE };
  gboolean lines[TD_N_TAXES] = { FALSE };
  guint taxes = 0;

  for (guint i = 0; i < invoice->lines->len; i++)
    lines[g_array_index (invoice->lines, TdInvoiceLine, i).category] = TRUE;
  for (guint i = 0; i < invoice->taxes->len; i++)
    there[g_array_index (invoice->taxes, TdInvoiceTax, i).category] = TRUE;
  for (guint c = 0; c < TD_N_TAXES; c++)
    {
      taxes += there[c];
      if (lines[c])
        check_category (invoice, (TdTaxCategory) c, problems);
    }
  if (there[TD_TAX_O] && taxes > 1)
    td_ubl_report (problems, TD_UBL_OUTSIDE_ALONE, TD_TAX_O, "the tax breakdown");
  for (guint c = 0; there[TD_TAX_O] && c < TD_N_TAXES; c++)
    if (lines[c] && c != TD_TAX_O)
      td_ubl_report (problems, TD_UBL_OUTSIDE_LINES, TD_TAX_O, "the lines");
}

static void
check_totals (const TdInvoice *invoice, GPtrArray *problems)
{
  const char *place = "the totals";
  gint64 net = 0;
  gint64 tax = 0;
  gint64 total = invoice->net_minor;
  gboolean fits = TRUE;

  for (guint i = 0; i < invoice->lines->len; i++)
    fits = fits && td_money_add (&net, g_array_index (invoice->lines, TdInvoiceLine, i).net_minor, NULL);
  if (!fits || net != invoice->net_minor)
    td_ubl_report (problems, TD_UBL_NET_SUM, TD_TAX_S, place);
  for (guint i = 0; i < invoice->taxes->len; i++)
    fits = fits && td_money_add (&tax, g_array_index (invoice->taxes, TdInvoiceTax, i).tax_minor, NULL);
  if (!fits || tax != invoice->tax_minor)
    td_ubl_report (problems, TD_UBL_TAX_SUM, TD_TAX_S, place);
  if (!td_money_add (&total, invoice->tax_minor, NULL) || total != invoice->total_minor)
    td_ubl_report (problems, TD_UBL_TOTAL, TD_TAX_S, place);
}

static void
check_decimals (const TdInvoice *invoice, GPtrArray *problems)
{
  const char *place = "the totals";

  if (!td_ubl_has_cents (invoice->net_minor, invoice->currency))
    {
      td_ubl_report (problems, TD_UBL_DECIMALS_LINES, TD_TAX_S, place);
      td_ubl_report (problems, TD_UBL_DECIMALS_NET, TD_TAX_S, place);
    }
  if (!td_ubl_has_cents (invoice->tax_minor, invoice->currency))
    td_ubl_report (problems, TD_UBL_DECIMALS_TAX, TD_TAX_S, place);
  if (!td_ubl_has_cents (invoice->total_minor, invoice->currency))
    {
      td_ubl_report (problems, TD_UBL_DECIMALS_TOTAL, TD_TAX_S, place);
      td_ubl_report (problems, TD_UBL_DECIMALS_DUE, TD_TAX_S, place);
    }
}

void
td_ubl_check_sums (const TdInvoice *invoice, GPtrArray *problems)
{
  g_return_if_fail (invoice != NULL && problems != NULL);
  if (invoice->taxes->len == 0)
    td_ubl_report (problems, TD_UBL_BREAKDOWN, TD_TAX_S, "the tax breakdown");
  check_breakdown (invoice, problems);
  check_categories (invoice, problems);
  for (guint i = 0; i < invoice->taxes->len; i++)
    check_tax (invoice, &g_array_index (invoice->taxes, TdInvoiceTax, i), problems);
  check_totals (invoice, problems);
  check_decimals (invoice, problems);
}
