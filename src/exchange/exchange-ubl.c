/* An invoice as UBL 2.1, elements in the order of its schema; see OASIS UBL 2.1 for Invoice and CreditNote, and
 * CEN/TS 16931-3-2 for which element holds which business term (BT) or group (BG). */
#include "exchange-ubl.h"

#include "exchange-ubl-private.h"

#include "core-error.h"
#include "core-money.h"

#include <string.h>

#define UBL "urn:oasis:names:specification:ubl:schema:xsd:"
/* UNTDID 1001: commercial invoice, credit note. */
#define TYPE_INVOICE "380"
#define TYPE_CREDIT "381"
/* UNTDID 4461: SEPA credit transfer, credit transfer. */
#define MEANS_SEPA "58"
#define MEANS_TRANSFER "30"
/* UNTDID 1001: invoicing data sheet; marks a document reference of a line as its object (BT-128). */
#define TYPE_OBJECT "130"

static void
write_date (TdXml *xml, const char *name, TdDate date)
{
  g_autofree char *text = date != TD_DATE_NONE ? td_date_to_text (date) : NULL;

  td_xml_text (xml, name, text);
}

static void
write_amount (TdXml *xml, const char *name, gint64 minor, const char *currency)
{
  g_autofree char *text = td_ubl_format_amount (minor, currency);

  td_xml_text_with (xml, name, "currencyID", currency, text);
}

static void
write_period (TdXml *xml, TdDate first, TdDate last)
{
  if (first == TD_DATE_NONE && last == TD_DATE_NONE)
    return;
  td_xml_open (xml, "cac:InvoicePeriod", NULL);
  write_date (xml, "cbc:StartDate", first);
  write_date (xml, "cbc:EndDate", last);
  td_xml_close (xml);
}

/* BT-118, BT-119, BT-120 and BT-151, BT-152: category O has no rate (BR-O-05). */
static void
write_category (TdXml *xml, const char *name, TdTaxCategory category, gint64 percent_milli, const char *reason)
{
  g_autofree char *percent = category != TD_TAX_O ? td_milli_to_text (percent_milli) : NULL;

  td_xml_open (xml, name, NULL);
  td_xml_text (xml, "cbc:ID", td_tax_to_text (category));
  td_xml_text (xml, "cbc:Percent", percent);
  td_xml_text (xml, "cbc:TaxExemptionReason", reason);
  td_xml_open (xml, "cac:TaxScheme", NULL);
  td_xml_text (xml, "cbc:ID", "VAT");
  td_xml_close (xml);
  td_xml_close (xml);
}

static void
write_head (TdXml *xml, const TdInvoice *invoice)
{
  gboolean credit = invoice->kind == TD_INVOICE_CREDIT;

  td_xml_text (xml, "cbc:CustomizationID", TD_UBL_SPECIFICATION);
  td_xml_text (xml, "cbc:ID", invoice->number);
  write_date (xml, "cbc:IssueDate", invoice->issued);
  if (!credit)
    write_date (xml, "cbc:DueDate", invoice->due);
  td_xml_text (xml, credit ? "cbc:CreditNoteTypeCode" : "cbc:InvoiceTypeCode", credit ? TYPE_CREDIT : TYPE_INVOICE);
  td_xml_text (xml, "cbc:Note", invoice->reason);
  td_xml_text (xml, "cbc:DocumentCurrencyCode", invoice->currency);
  td_xml_text (xml, "cbc:BuyerReference", invoice->payer.reference);
  write_period (xml, invoice->first, invoice->last);
  if (invoice->payer.purchase_order != NULL)
    {
      td_xml_open (xml, "cac:OrderReference", NULL);
      td_xml_text (xml, "cbc:ID", invoice->payer.purchase_order);
      td_xml_close (xml);
    }
  if (invoice->credits != NULL)
    {
      td_xml_open (xml, "cac:BillingReference", NULL);
      td_xml_open (xml, "cac:InvoiceDocumentReference", NULL);
      td_xml_text (xml, "cbc:ID", invoice->credits);
      td_xml_close (xml);
      td_xml_close (xml);
    }
}

/* BG-16, BG-17: how to pay.  Without an account the group is left out and the terms tell. */
static void
write_payment (TdXml *xml, const TdInvoice *invoice)
{
  const TdSeller *seller = &invoice->seller;
  g_auto (GStrv) parts = seller->iban != NULL ? g_strsplit (seller->iban, " ", -1) : NULL;
  g_autofree char *iban = parts != NULL ? g_strjoinv ("", parts) : NULL;

  if (iban == NULL || *iban == '\0' || invoice->kind == TD_INVOICE_CREDIT)
    return;
  td_xml_open (xml, "cac:PaymentMeans", NULL);
  td_xml_text (xml, "cbc:PaymentMeansCode", strcmp (invoice->currency, "EUR") == 0 ? MEANS_SEPA : MEANS_TRANSFER);
  td_xml_text (xml, "cbc:PaymentID", invoice->number);
  td_xml_open (xml, "cac:PayeeFinancialAccount", NULL);
  td_xml_text (xml, "cbc:ID", iban);
  td_xml_text (xml, "cbc:Name", seller->name);
  if (seller->bic != NULL && *seller->bic != '\0')
    {
      td_xml_open (xml, "cac:FinancialInstitutionBranch", NULL);
      td_xml_text (xml, "cbc:ID", seller->bic);
      td_xml_close (xml);
    }
  td_xml_close (xml);
  td_xml_close (xml);
}

/* BT-20. */
static void
write_terms (TdXml *xml, const TdInvoice *invoice)
{
  g_autofree char *text = NULL;

  if (invoice->kind == TD_INVOICE_CREDIT)
    text = g_strdup_printf ("Taken back from %s; nothing is to be paid.",
                            invoice->credits != NULL ? invoice->credits : "an earlier invoice");
  else if (invoice->seller.payment != NULL)
    text = g_strdup (invoice->seller.payment);
  else
    return;
  td_xml_open (xml, "cac:PaymentTerms", NULL);
  td_xml_text (xml, "cbc:Note", text);
  td_xml_close (xml);
}

static void
write_taxes (TdXml *xml, const TdInvoice *invoice)
{
  td_xml_open (xml, "cac:TaxTotal", NULL);
  write_amount (xml, "cbc:TaxAmount", invoice->tax_minor, invoice->currency);
  for (guint i = 0; i < invoice->taxes->len; i++)
    {
      const TdInvoiceTax *tax = &g_array_index (invoice->taxes, TdInvoiceTax, i);

      td_xml_open (xml, "cac:TaxSubtotal", NULL);
      write_amount (xml, "cbc:TaxableAmount", tax->base_minor, invoice->currency);
      write_amount (xml, "cbc:TaxAmount", tax->tax_minor, invoice->currency);
      write_category (xml, "cac:TaxCategory", tax->category, tax->percent_milli, tax->text);
      td_xml_close (xml);
    }
  td_xml_close (xml);
}

static void
write_totals (TdXml *xml, const TdInvoice *invoice)
{
  td_xml_open (xml, "cac:LegalMonetaryTotal", NULL);
  write_amount (xml, "cbc:LineExtensionAmount", invoice->net_minor, invoice->currency);
  write_amount (xml, "cbc:TaxExclusiveAmount", invoice->net_minor, invoice->currency);
  write_amount (xml, "cbc:TaxInclusiveAmount", invoice->total_minor, invoice->currency);
  write_amount (xml, "cbc:PayableAmount", invoice->total_minor, invoice->currency);
  td_xml_close (xml);
}

/* What the line is about, in words: site and faucet line. (transfer full) (nullable) */
static char *
describe (const TdInvoiceLine *line)
{
  if (line->site != NULL && line->line != NULL)
    return g_strdup_printf ("%s, %s", line->site, line->line);
  return g_strdup (line->site);
}

static void
write_line (TdXml *xml, const TdInvoice *invoice, guint i)
{
  const TdInvoiceLine *line = &g_array_index (invoice->lines, TdInvoiceLine, i);
  gboolean credit = invoice->kind == TD_INVOICE_CREDIT;
  g_autofree char *id = g_strdup_printf ("%u", i + 1);
  g_autofree char *quantity = td_milli_to_text (line->quantity_milli);
  g_autofree char *description = describe (line);

  td_xml_open (xml, credit ? "cac:CreditNoteLine" : "cac:InvoiceLine", NULL);
  td_xml_text (xml, "cbc:ID", id);
  td_xml_text_with (xml, credit ? "cbc:CreditedQuantity" : "cbc:InvoicedQuantity", "unitCode", line->unit, quantity);
  write_amount (xml, "cbc:LineExtensionAmount", line->net_minor, invoice->currency);
  write_period (xml, line->date, td_invoice_line_get_last (line));
  if (line->report != NULL)
    {
      td_xml_open (xml, "cac:DocumentReference", NULL);
      td_xml_text (xml, "cbc:ID", line->report);
      td_xml_text (xml, "cbc:DocumentTypeCode", TYPE_OBJECT);
      td_xml_close (xml);
    }
  td_xml_open (xml, "cac:Item", NULL);
  td_xml_text (xml, "cbc:Description", description);
  td_xml_text (xml, "cbc:Name", line->text);
  write_category (xml, "cac:ClassifiedTaxCategory", line->category, line->percent_milli, NULL);
  td_xml_close (xml);
  td_xml_open (xml, "cac:Price", NULL);
  write_amount (xml, "cbc:PriceAmount", line->unit_price_minor, invoice->currency);
  td_xml_close (xml);
  td_xml_close (xml);
}

static char *
write_all (const TdInvoice *invoice)
{
  gboolean credit = invoice->kind == TD_INVOICE_CREDIT;
  const char *const spaces[] = { "xmlns", credit ? UBL "CreditNote-2" : UBL "Invoice-2",
                                 "xmlns:cac", UBL "CommonAggregateComponents-2",
                                 "xmlns:cbc", UBL "CommonBasicComponents-2", NULL };
  g_autoptr (TdXml) xml = td_xml_new ();

  td_xml_open (xml, credit ? "CreditNote" : "Invoice", spaces);
  write_head (xml, invoice);
  td_ubl_write_seller (xml, &invoice->seller);
  td_ubl_write_buyer (xml, &invoice->payer);
  write_payment (xml, invoice);
  write_terms (xml, invoice);
  write_taxes (xml, invoice);
  write_totals (xml, invoice);
  for (guint i = 0; i < invoice->lines->len; i++)
    write_line (xml, invoice, i);
  td_xml_close (xml);
  return td_xml_finish (xml);
}

char *
td_ubl_write (const TdInvoice *invoice, GError **error)
{
  g_autoptr (GPtrArray) problems = NULL;
  g_autoptr (GString) text = NULL;

  g_return_val_if_fail (invoice != NULL, NULL);
  problems = td_ubl_check (invoice);
  if (problems->len == 0)
    return write_all (invoice);
  text = g_string_new (NULL);
  for (guint i = 0; i < problems->len; i++)
    {
      const TdUblProblem *problem = g_ptr_array_index (problems, i);

      g_string_append_printf (text, "%s%s, %s: %s", i > 0 ? "\n" : "", problem->rule, problem->place, problem->text);
    }
  g_set_error (error, TD_ERROR, TD_ERROR_SHAPE, "%s cannot be written as an electronic invoice: %s",
               invoice->number != NULL ? invoice->number : "A draft", text->str);
  return NULL;
}
