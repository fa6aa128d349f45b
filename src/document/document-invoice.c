#include "document-invoice.h"

#include "document-i18n.h"
#include "document-invoice-private.h"
#include "document-table.h"
#include "document-words.h"

#include "core-money.h"

#include <string.h>

#define DASH "\xe2\x80\x93"

static const TdStyle name_style = { .size = 9.6, .bold = TRUE };
static const TdStyle value_style = { .size = 8.6 };
static const TdStyle label_style = { .size = 6.8, .grey = 0.3 };
static const TdStyle total_style = { .size = 11.0, .bold = TRUE, .align = PANGO_ALIGN_RIGHT };
static const TdStyle sum_style = { .size = 8.6, .align = PANGO_ALIGN_RIGHT };

static const char *
name_kind (const TdInvoice *invoice)
{
  return invoice->kind == TD_INVOICE_CREDIT ? _ ("Credit note") : _ ("Invoice");
}

char *
td_invoice_make_title (const TdInvoice *invoice)
{
  return g_strdup_printf ("%s %s, %s", name_kind (invoice),
                          invoice->number != NULL ? invoice->number : _ ("(draft)"), invoice->payer.name);
}

static double
paint_bill_to (TdCanvas *canvas, const TdInvoice *invoice, double y, double width)
{
  const TdPayer *payer = &invoice->payer;

  y += td_canvas_text (canvas, 0, y, width, _ ("Bill to"), &label_style) + 1;
  y += td_canvas_text (canvas, 0, y, width, payer->name, &name_style) + 1;
  y += td_canvas_text (canvas, 0, y, width, payer->address, &value_style);
  y += td_canvas_text (canvas, 0, y, width, payer->country, &value_style) + 3;
  y = td_invoice_paint_field (canvas, 0, y, width, _ ("For the attention of"), payer->contact);
  return td_invoice_paint_field (canvas, 0, y, width, _ ("Tax number of the payer"), payer->tax_id);
}

static double
paint_references (TdCanvas *canvas, const TdInvoice *invoice, double x, double y, double width)
{
  g_autofree char *period = NULL;

  y = td_invoice_paint_field (canvas, x, y, width, _ ("Your order"), invoice->payer.purchase_order);
  y = td_invoice_paint_field (canvas, x, y, width, _ ("Account"), invoice->account);
  if (invoice->first != TD_DATE_NONE)
    period = invoice->first == invoice->last ? td_date_to_text (invoice->first)
                                             : td_document_period (invoice->first, invoice->last);
  y = td_invoice_paint_field (canvas, x, y, width, _ ("Work done"), period);
  y = td_invoice_paint_field (canvas, x, y, width, _ ("Place of supply"), invoice->place);
  y = td_invoice_paint_field (canvas, x, y, width, _ ("Takes back, in part or whole"), invoice->credits);
  return td_invoice_paint_field (canvas, x, y, width, _ ("Reason"), invoice->reason);
}

static double
paint_dates (TdCanvas *canvas, const TdInvoice *invoice, double x, double y, double width)
{
  g_autofree char *issued = invoice->issued != TD_DATE_NONE ? td_date_to_text (invoice->issued) : NULL;
  g_autofree char *due = invoice->due != TD_DATE_NONE ? td_date_to_text (invoice->due) : NULL;
  g_autofree char *total = td_money_to_text (invoice->total_minor, invoice->currency);

  y = td_invoice_paint_field (canvas, x, y, width, _ ("Date"), issued);
  if (invoice->kind == TD_INVOICE_INVOICE)
    y = td_invoice_paint_field (canvas, x, y, width, _ ("Due by"), due);
  y += td_canvas_text (canvas, x, y, width,
                       invoice->kind == TD_INVOICE_CREDIT ? _ ("Credited") : _ ("To pay"), &label_style);
  return y + td_canvas_text (canvas, x, y, width, total, &name_style);
}

static void
paint_head (TdFlow *flow, const TdInvoice *invoice)
{
  const double width = td_flow_get_width (flow), column = width / 3.0;
  TdCanvas *canvas = td_canvas_new (flow);
  double y = td_invoice_paint_letterhead (canvas, width, &invoice->seller, name_kind (invoice),
                                          invoice->number != NULL ? invoice->number : _ ("DRAFT"));
  /* Painted before they are compared: MAX() would paint twice. */
  double left = paint_bill_to (canvas, invoice, y, column - 10);
  double middle = paint_references (canvas, invoice, column, y, column - 10);
  double right = paint_dates (canvas, invoice, 2 * column, y, column);

  td_flow_add_canvas (flow, canvas, MAX (MAX (left, middle), right));
  td_flow_add_space (flow, 12);
}

static const char *
name_unit (const char *unit)
{
  if (strcmp (unit, TD_UNIT_LITRE) == 0)
    return _ ("L");
  return strcmp (unit, TD_UNIT_MINUTE) == 0 ? _ ("min") : "";
}

/* One heading for each report, so that every line under it can be traced. */
static void
add_group (TdTable *table, const TdInvoiceLine *line, const TdInvoiceLine *before)
{
  g_autofree char *date = NULL, *text = NULL;

  if (before != NULL && g_strcmp0 (before->visit, line->visit) == 0)
    return;
  date = td_date_to_text (line->date);
  if (line->report != NULL)
    text = g_strdup_printf (_ ("Report %s \xc2\xb7 %s \xc2\xb7 %s"), line->report, date, line->site);
  else
    text = g_strdup (_ ("By contract"));
  td_table_add_group (table, text);
}

static void
add_line (TdTable *table, const TdInvoice *invoice, const TdInvoiceLine *line, guint n)
{
  g_autofree char *number = g_strdup_printf ("%u", n);
  g_autofree char *figure = td_invoice_quantity (line->quantity_milli);
  g_autofree char *quantity = g_strdup_printf ("%s\xc2\xa0%s", figure, name_unit (line->unit));
  g_autofree char *price = td_invoice_amount (line->unit_price_minor, invoice->currency);
  g_autofree char *net = td_invoice_amount (line->net_minor, invoice->currency);
  g_autofree char *rate = td_invoice_percent (line->percent_milli);
  g_autofree char *tax = g_strdup_printf ("%s\xc2\xa0%s", td_tax_to_text (line->category), rate);

  td_table_add (table, number, line->text, g_strchomp (quantity), price, tax, net);
}

static void
paint_lines (TdFlow *flow, const TdInvoice *invoice)
{
  g_autofree char *price = g_strdup_printf (_ ("Price, %s"), invoice->currency);
  g_autofree char *net = g_strdup_printf (_ ("Net, %s"), invoice->currency);
  const TdColumn columns[] = {
    { _ ("No."), PANGO_ALIGN_RIGHT, 26, TRUE }, { _ ("What"), PANGO_ALIGN_LEFT, 0, FALSE },
    { _ ("Quantity"), PANGO_ALIGN_RIGHT, 0, TRUE }, { price, PANGO_ALIGN_RIGHT, 0, TRUE },
    { _ ("Tax"), PANGO_ALIGN_RIGHT, 0, TRUE }, { net, PANGO_ALIGN_RIGHT, 0, TRUE },
  };
  g_autoptr (TdTable) table = td_table_new (columns, G_N_ELEMENTS (columns), 7.6);

  for (guint i = 0; i < invoice->lines->len; i++)
    {
      const TdInvoiceLine *line = &g_array_index (invoice->lines, TdInvoiceLine, i);

      add_group (table, line, i > 0 ? line - 1 : NULL);
      add_line (table, invoice, line, i + 1);
    }
  td_flow_add_table (flow, table);
  td_flow_add_space (flow, 10);
}

static void
paint_taxes (TdFlow *flow, const TdInvoice *invoice)
{
  const TdColumn columns[] = {
    { _ ("Tax"), PANGO_ALIGN_LEFT, 0, TRUE },          { _ ("Rate"), PANGO_ALIGN_RIGHT, 0, TRUE },
    { _ ("On the net of"), PANGO_ALIGN_RIGHT, 0, TRUE }, { _ ("Tax amount"), PANGO_ALIGN_RIGHT, 0, TRUE },
    { _ ("Note"), PANGO_ALIGN_LEFT, 0, FALSE },
  };
  g_autoptr (TdTable) table = td_table_new (columns, G_N_ELEMENTS (columns), 7.6);

  for (guint i = 0; i < invoice->taxes->len; i++)
    {
      const TdInvoiceTax *tax = &g_array_index (invoice->taxes, TdInvoiceTax, i);
      g_autofree char *rate = td_invoice_percent (tax->percent_milli);
      g_autofree char *base = td_money_to_text (tax->base_minor, invoice->currency);
      g_autofree char *amount = td_money_to_text (tax->tax_minor, invoice->currency);

      td_table_add (table, td_tax_to_text (tax->category), rate, base, amount, tax->text != NULL ? tax->text : "");
    }
  td_flow_add_table (flow, table);
  td_flow_add_space (flow, 8);
}

static double
paint_sum (TdCanvas *canvas, double width, double y, const char *label, gint64 minor, const char *currency,
           const TdStyle *style)
{
  g_autofree char *amount = td_money_to_text (minor, currency);

  td_canvas_text (canvas, 0, y, width - 110, label, style);
  return y + td_canvas_text (canvas, width - 105, y, 105, amount, style) + 2;
}

static void
paint_sums (TdFlow *flow, const TdInvoice *invoice, const TdInvoiceContext *context)
{
  const double width = td_flow_get_width (flow);
  TdCanvas *canvas = td_canvas_new (flow);
  const char *total = invoice->kind == TD_INVOICE_CREDIT ? _ ("Total credited") : _ ("Total to pay");
  double y = 0;

  y = paint_sum (canvas, width, y, _ ("Net"), invoice->net_minor, invoice->currency, &sum_style);
  y = paint_sum (canvas, width, y, _ ("Tax"), invoice->tax_minor, invoice->currency, &sum_style);
  td_canvas_rule (canvas, width - 200, y, width, y, 0.8, 0);
  y = paint_sum (canvas, width, y + 3, total, invoice->total_minor, invoice->currency, &total_style);
  if (context != NULL && context->has_balance && (context->paid_minor != 0 || context->credited_minor != 0))
    {
      y = paint_sum (canvas, width, y + 3, _ ("Paid so far"), context->paid_minor, invoice->currency, &sum_style);
      y = paint_sum (canvas, width, y, _ ("Credited"), context->credited_minor, invoice->currency, &sum_style);
      y = paint_sum (canvas, width, y, _ ("Still open"), context->open_minor, invoice->currency, &total_style);
    }
  td_flow_add_canvas (flow, canvas, y);
  td_flow_add_space (flow, 10);
}

static void
paint_end (TdFlow *flow, const TdInvoice *invoice)
{
  g_autofree char *due = NULL, *text = NULL;

  if (invoice->kind == TD_INVOICE_INVOICE && invoice->due != TD_DATE_NONE)
    {
      due = td_date_to_text (invoice->due);
      text = g_strdup_printf (_ ("Please pay by %s and name %s."), due, invoice->number);
      td_flow_add_paragraph (flow, text, &td_style_strong);
    }
  if (invoice->seller.payment != NULL)
    td_flow_add_paragraph (flow, invoice->seller.payment, &td_style_text);
  td_flow_add_paragraph (flow,
                         _ ("Tax is computed once for each category and rate on the sum of its lines. Categories: S "
                            "standard rate, Z zero rated, E exempt, AE reverse charge."),
                         &td_style_small);
}

TdPages *
td_invoice_to_pages (const TdInvoice *invoice, const TdInvoiceContext *context, TdFonts *fonts, TdPaperKind kind,
                     GError **error)
{
  const TdPaper paper = td_paper_get (kind);
  g_autofree char *head = NULL, *foot = NULL;
  TdFurniture furniture = { 0 };
  TdFlow *flow;

  g_return_val_if_fail (invoice != NULL && fonts != NULL, NULL);
  flow = td_flow_new (&paper, fonts);
  paint_head (flow, invoice);
  paint_lines (flow, invoice);
  paint_taxes (flow, invoice);
  paint_sums (flow, invoice, context);
  paint_end (flow, invoice);
  head = td_invoice_make_title (invoice);
  if (context != NULL && context->seal != NULL)
    foot = g_strdup_printf (_ ("%s %s \xc2\xb7 seal %.12s"), name_kind (invoice), invoice->number, context->seal);
  else
    foot = g_strdup (_ ("Draft, not issued"));
  furniture.head_left = head;
  furniture.head_right = invoice->seller.name;
  furniture.foot_left = foot;
  /* TRANSLATORS: printed large across every page of an invoice that has not been issued. */
  furniture.stamp = invoice->number == NULL ? _ ("DRAFT") : NULL;
  return td_pages_new (flow, &furniture, error);
}
