#include "document-i18n.h"
#include "document-invoice-private.h"
#include "document-invoice.h"
#include "document-table.h"
#include "document-words.h"

#include "core-money.h"

#include <string.h>

static void
paint_head (TdFlow *flow, const TdAccountStatement *statement, const TdSeller *seller)
{
  const double width = td_flow_get_width (flow), column = width / 3.0;
  TdCanvas *canvas = td_canvas_new (flow);
  g_autofree char *period = td_document_period (statement->from, statement->to);
  double y = td_invoice_paint_letterhead (canvas, width, seller, _ ("Statement of account"),
                                          statement->account);
  /* Painted before they are compared: MAX() would paint twice. */
  double left = td_invoice_paint_field (canvas, 0, y, column, _ ("Account"), statement->account);
  double right = td_invoice_paint_field (canvas, column, y, column, _ ("From and to"), period);

  td_flow_add_canvas (flow, canvas, MAX (left, right));
  td_flow_add_space (flow, 10);
}

static void
add_row (TdTable *table, const TdStatementLine *row)
{
  g_autofree char *day = td_date_to_text (row->day);
  g_autofree char *due = row->due != TD_DATE_NONE ? td_date_to_text (row->due) : g_strdup ("");
  g_autofree char *amount = td_money_to_text (row->amount_minor, row->currency);
  g_autofree char *balance = td_money_to_text (row->balance_minor, row->currency);
  const char *kind = strcmp (row->kind, "invoice") == 0   ? _ ("Invoice")
                     : strcmp (row->kind, "payment") == 0 ? _ ("Payment")
                                                          : _ ("Credit note");
  g_autofree char *what = row->text != NULL ? g_strdup_printf ("%s, %s", kind, row->text) : g_strdup (kind);

  td_table_add (table, day, what, row->number, row->bill_to, due, amount, balance);
}

static void
paint_rows (TdFlow *flow, const TdAccountStatement *statement)
{
  const TdColumn columns[] = {
    { _ ("Date"), PANGO_ALIGN_LEFT, 0, TRUE },     { _ ("What"), PANGO_ALIGN_LEFT, 0, FALSE },
    { _ ("Number"), PANGO_ALIGN_LEFT, 0, TRUE },   { _ ("Bill to"), PANGO_ALIGN_LEFT, 0, FALSE },
    { _ ("Due by"), PANGO_ALIGN_LEFT, 0, TRUE },   { _ ("Amount"), PANGO_ALIGN_RIGHT, 0, TRUE },
    { _ ("Balance"), PANGO_ALIGN_RIGHT, 0, TRUE },
  };
  g_autoptr (TdTable) table = td_table_new (columns, G_N_ELEMENTS (columns), 7.4);

  for (guint i = 0; i < statement->lines->len; i++)
    add_row (table, &g_array_index (statement->lines, TdStatementLine, i));
  if (td_table_get_length (table) > 0)
    td_flow_add_table (flow, table);
  else
    td_flow_add_paragraph (flow, _ ("Nothing was invoiced or paid in this time."), &td_style_text);
  td_flow_add_space (flow, 10);
}

TdPages *
td_statement_to_pages (const TdAccountStatement *statement, const TdMasters *masters, TdFonts *fonts, TdPaperKind kind, GError **error)
{
  const TdPaper paper = td_paper_get (kind);
  g_autofree char *to = NULL, *head = NULL;
  TdFurniture furniture = { 0 };
  TdSeller seller = { 0 };
  TdFlow *flow;

  g_return_val_if_fail (statement != NULL && masters != NULL && fonts != NULL, NULL);
  flow = td_flow_new (&paper, fonts);
  to = td_date_to_text (statement->to);
  td_party_fill (td_seller_fields, &seller, td_company_fields, masters);
  paint_head (flow, statement, &seller);
  td_seller_clear (&seller);
  for (guint i = 0; i < statement->balances->len; i++)
    {
      const TdStatementBalance *sum = &g_array_index (statement->balances, TdStatementBalance, i);
      g_autofree char *opening = td_money_to_text (sum->opening_minor, sum->currency);
      g_autofree char *closing = td_money_to_text (sum->closing_minor, sum->currency);
      g_autofree char *text = g_strdup_printf (_ ("Balance before: %s. Balance on %s: %s."), opening, to, closing);

      td_flow_add_paragraph (flow, text, &td_style_strong);
    }
  td_flow_add_space (flow, 6);
  paint_rows (flow, statement);
  head = g_strdup_printf (_ ("Statement of account, %s"), statement->account);
  furniture.head_left = head;
  furniture.head_right = masters->company;
  furniture.foot_left = head;
  return td_pages_new (flow, &furniture, error);
}
