#include "document-account-pages.h"

#include "document-account-private.h"
#include "document-canvas.h"
#include "document-i18n.h"
#include "document-pdf.h"
#include "document-table.h"
#include "document-time.h"
#include "document-words.h"

#include "core-money.h"

static char *
make_number (gint64 value, gint64 none)
{
  return value == none ? g_strdup (TD_ACCOUNT_NONE) : g_strdup_printf ("%" G_GINT64_FORMAT, value);
}

/* What was counted less what the account comes to can only be told of all cells; a count's own difference
 * stands under adjusted. */
static void
add_account_row (TdTable *table, const TdAuditRow *row)
{
  const TdStockAccount *a = &row->account;
  g_autofree char *name = row->detail != NULL ? g_strdup_printf ("%s, %s", row->name, row->detail) : g_strdup (row->name);
  g_autofree char *opening = make_number (a->opening_ml, G_MININT64);
  g_autofree char *received = make_number (a->received_ml, G_MININT64);
  g_autofree char *used = make_number (a->used_ml, G_MININT64);
  g_autofree char *disposed = make_number (a->disposed_ml, G_MININT64);
  gint64 moved = a->adjusted_ml + a->moved_ml;
  g_autofree char *adjusted = moved != 0 ? g_strdup_printf ("%+" G_GINT64_FORMAT, moved) : g_strdup ("0");
  g_autofree char *closing = make_number (a->closing_ml, G_MININT64);
  g_autofree char *counted = make_number (a->counted_ml, -1);
  g_autofree char *expected = make_number (a->expected_ml, -1);

  td_table_add (table, name, opening, received, used, disposed, adjusted, closing, counted, expected);
  if (a->closing_ml < 0)
    td_table_set_marked (table);
}

static void
paint_account (TdFlow *flow, const char *title, const char *adjusted, const GArray *rows)
{
  const TdColumn columns[] = {
    { _ ("Product"), PANGO_ALIGN_LEFT, 0, FALSE },     { _ ("Opening"), PANGO_ALIGN_RIGHT, 0, TRUE },
    { _ ("Received"), PANGO_ALIGN_RIGHT, 0, TRUE },    { _ ("Used"), PANGO_ALIGN_RIGHT, 0, TRUE },
    { _ ("Disposed"), PANGO_ALIGN_RIGHT, 0, TRUE },    { adjusted, PANGO_ALIGN_RIGHT, 0, TRUE },
    { _ ("Closing"), PANGO_ALIGN_RIGHT, 0, TRUE },     { _ ("Counted"), PANGO_ALIGN_RIGHT, 0, TRUE },
    { _ ("Expected"), PANGO_ALIGN_RIGHT, 0, TRUE },
  };
  g_autoptr (TdTable) table = td_table_new (columns, G_N_ELEMENTS (columns), 7.6);

  td_flow_add_heading (flow, 2, title);
  for (guint i = 0; i < rows->len; i++)
    add_account_row (table, &g_array_index (rows, TdAuditRow, i));
  if (rows->len == 0)
    td_flow_add_paragraph (flow, _ ("Nothing came, went or was counted."), &td_style_text);
  else
    td_flow_add_table (flow, table);
}

/* How the amounts are known, and what they cost. */
static void
paint_ways (TdFlow *flow, const TdAudit *audit)
{
  const TdColumn columns[] = {
    { _ ("Product"), PANGO_ALIGN_LEFT, 0, FALSE },     { _ ("Mixes"), PANGO_ALIGN_RIGHT, 0, TRUE },
    { _ ("Measured, mL"), PANGO_ALIGN_RIGHT, 0, TRUE }, { _ ("Accepted, mL"), PANGO_ALIGN_RIGHT, 0, TRUE },
    { _ ("Estimated, mL"), PANGO_ALIGN_RIGHT, 0, TRUE }, { _ ("Water, mL"), PANGO_ALIGN_RIGHT, 0, TRUE },
    { _ ("Cost"), PANGO_ALIGN_RIGHT, 0, TRUE },
  };
  g_autoptr (TdTable) table = td_table_new (columns, G_N_ELEMENTS (columns), 7.6);
  g_autofree char *waste = make_number (audit->solution_disposed_ml, G_MININT64);
  g_autofree char *text = NULL;

  td_flow_add_heading (flow, 2, _ ("How the uses are known"));
  for (guint i = 0; i < audit->products->len; i++)
    {
      const TdAuditRow *row = &g_array_index (audit->products, TdAuditRow, i);
      g_autofree char *uses = make_number (row->uses, G_MININT64);
      g_autofree char *measured = make_number (row->known_ml[0], G_MININT64);
      g_autofree char *accepted = make_number (row->known_ml[1], G_MININT64);
      g_autofree char *estimated = make_number (row->known_ml[2], G_MININT64);
      g_autofree char *water = make_number (row->water_ml, G_MININT64);
      g_autofree char *cost
          = row->cost_minor >= 0 ? td_money_to_text (row->cost_minor, row->currency) : g_strdup (TD_ACCOUNT_NONE);

      td_table_add (table, row->name, uses, measured, accepted, estimated, water, cost);
    }
  if (audit->products->len > 0)
    td_flow_add_table (flow, table);
  text = g_strdup_printf (_ ("Solution disposed of: %s mL. Judge by measured amounts and by counts."), waste);
  td_flow_add_paragraph (flow, text, &td_style_small);
}

/* What one line takes: litres, water and cost. */
static void
paint_lines (TdFlow *flow, const TdAudit *audit)
{
  const TdColumn columns[] = {
    { _ ("Product"), PANGO_ALIGN_LEFT, 0, FALSE },           { _ ("Lines"), PANGO_ALIGN_RIGHT, 0, TRUE },
    { _ ("Concentrate a line, mL"), PANGO_ALIGN_RIGHT, 0, TRUE }, { _ ("Water a line, mL"), PANGO_ALIGN_RIGHT, 0, TRUE },
    { _ ("Cost a line"), PANGO_ALIGN_RIGHT, 0, TRUE },
  };
  g_autoptr (TdTable) table = td_table_new (columns, G_N_ELEMENTS (columns), 7.6);

  for (guint i = 0; i < audit->products->len; i++)
    {
      const TdAuditRow *row = &g_array_index (audit->products, TdAuditRow, i);
      gint64 n = td_audit_count_lines (audit, row->account.product);
      g_autofree char *lines = make_number (n, G_MININT64);
      g_autofree char *used = NULL, *water = NULL, *cost = NULL;

      if (n == 0)
        continue;
      used = make_number ((row->account.used_ml + n / 2) / n, G_MININT64);
      water = make_number ((row->water_ml + n / 2) / n, G_MININT64);
      cost = row->cost_minor >= 0 ? td_money_to_text ((row->cost_minor + n / 2) / n, row->currency)
                                  : g_strdup (TD_ACCOUNT_NONE);
      td_table_add (table, row->name, lines, used, water, cost);
    }
  if (td_table_get_length (table) == 0)
    return;
  td_flow_add_heading (flow, 2, _ ("What a line takes"));
  td_flow_add_paragraph (flow, _ ("Faucets' lines that a mix was sent through, each mix counted."), &td_style_small);
  td_flow_add_table (flow, table);
}

/* The name of a product that the account by product has, too. */
static const char *
find_name (const TdAudit *audit, const char *product)
{
  for (guint i = 0; i < audit->products->len; i++)
    if (g_strcmp0 (g_array_index (audit->products, TdAuditRow, i).account.product, product) == 0)
      return g_array_index (audit->products, TdAuditRow, i).name;
  return product;
}

static const char *
say_method (const char *method)
{
  if (g_strcmp0 (method, "both") == 0)
    return _ ("circulating and static");
  return g_strcmp0 (method, "none") == 0 ? _ ("sent into no line") : td_word (method);
}

static void
paint_groups (TdFlow *flow, const char *title, const char *column, const TdAudit *audit, TdAuditGroupKind kind)
{
  const GPtrArray *groups = audit->groups[kind];
  const TdColumn columns[] = {
    { column, PANGO_ALIGN_LEFT, 0, FALSE },          { _ ("Product"), PANGO_ALIGN_LEFT, 0, TRUE },
    { _ ("Mixes"), PANGO_ALIGN_RIGHT, 0, TRUE },    { _ ("Used, mL"), PANGO_ALIGN_RIGHT, 0, TRUE },
    { _ ("Expected, mL"), PANGO_ALIGN_RIGHT, 0, TRUE },
  };
  g_autoptr (TdTable) table = td_table_new (columns, G_N_ELEMENTS (columns), 7.6);

  if (groups->len == 0)
    return;
  td_flow_add_heading (flow, 2, title);
  for (guint i = 0; i < groups->len; i++)
    {
      const TdAuditGroup *group = g_ptr_array_index (groups, i);
      g_autofree char *uses = make_number (group->uses, G_MININT64);
      g_autofree char *used = make_number (group->used_ml, G_MININT64);
      g_autofree char *expected = make_number (group->expected_ml, -1);

      td_table_add (table, kind == TD_AUDIT_METHODS ? say_method (group->name) : group->name,
                    find_name (audit, group->product), uses, used, expected);
    }
  td_flow_add_table (flow, table);
}

static void
paint_exceptions (TdFlow *flow, const TdAudit *audit)
{
  const TdColumn columns[] = {
    { _ ("Date"), PANGO_ALIGN_LEFT, 0, TRUE },        { _ ("What"), PANGO_ALIGN_LEFT, 130, FALSE },
    { _ ("Report"), PANGO_ALIGN_LEFT, 0, TRUE },      { _ ("Site"), PANGO_ALIGN_LEFT, 90, FALSE },
    { _ ("In figures"), PANGO_ALIGN_LEFT, 0, FALSE }, { _ ("Looked into"), PANGO_ALIGN_LEFT, 90, FALSE },
  };
  g_autoptr (TdTable) table = td_table_new (columns, G_N_ELEMENTS (columns), 7.2);
  g_autofree char *text = g_strdup_printf (_ ("Exceptions: %u, of them not looked into: %u."), audit->exceptions->len,
                                           td_audit_count_open (audit));

  td_flow_add_heading (flow, 2, _ ("Exceptions"));
  td_flow_add_paragraph (flow, text, &td_style_text);
  for (guint i = 0; i < audit->exceptions->len; i++)
    {
      const TdAuditException *row = g_ptr_array_index (audit->exceptions, i);
      g_autofree char *date = row->date != TD_DATE_NONE ? td_date_to_text (row->date) : g_strdup (TD_ACCOUNT_NONE);
      g_autofree char *seen = row->acknowledged ? g_strdup_printf ("%s: %s", row->by, row->reason) : g_strdup (TD_ACCOUNT_NONE);

      td_table_add (table, date, _ (td_exception_get_info (row->id)->text), row->number != NULL ? row->number : TD_ACCOUNT_NONE,
                    row->site != NULL ? row->site : TD_ACCOUNT_NONE, row->text, seen);
      if (!row->acknowledged)
        td_table_set_marked (table);
    }
  if (audit->exceptions->len > 0)
    td_flow_add_table (flow, table);
}

static void
paint_signature (TdFlow *flow)
{
  const double width = td_flow_get_width (flow), half = (width - 16) / 2;
  const TdStyle label = { .size = 6.8, .grey = 0.3 };
  TdCanvas *canvas = td_canvas_new (flow);

  td_canvas_rule (canvas, 0, 34, half, 34, 0.6, 0);
  td_canvas_rule (canvas, half + 16, 34, width, 34, 0.6, 0);
  td_canvas_text (canvas, 0, 36, half, _ ("Date, name"), &label);
  td_canvas_text (canvas, half + 16, 36, half, _ ("Signature: looked through, and the counts confirmed"), &label);
  td_flow_add_canvas (flow, canvas, 48);
  td_flow_add_space (flow, 6);
}

static void
paint_all (TdFlow *flow, const TdAudit *audit, const char *period)
{
  td_flow_add_heading (flow, 1, _ ("Chemical account"));
  if (audit->company != NULL)
    td_flow_add_paragraph (flow, audit->company, &td_style_strong);
  td_flow_add_paragraph (flow, period, &td_style_strong);
  td_flow_add_paragraph (flow, _ ("Millilitres of concentrate as delivered. Closing = opening + received - used - "
                                  "disposed + adjusted. Adjusted is what counts found more or less than the book; counted "
                                  "is the sum of the last counts, without what was not counted."),
                         &td_style_small);
  paint_account (flow, _ ("By product"), _ ("Adjusted"), audit->products);
  paint_signature (flow);
  paint_ways (flow, audit);
  paint_lines (flow, audit);
  td_account_paint_expected (flow, audit);
  td_account_paint_months (flow, audit);
  paint_account (flow, _ ("By lot"), _ ("Adjusted"), audit->lots);
  paint_account (flow, _ ("By place"), _ ("Adjusted and moved"), audit->places);
  paint_groups (flow, _ ("By site"), _ ("Site"), audit, TD_AUDIT_SITES);
  paint_groups (flow, _ ("By technician"), _ ("Technician"), audit, TD_AUDIT_TECHNICIANS);
  paint_groups (flow, _ ("By method"), _ ("Method"), audit, TD_AUDIT_METHODS);
  td_account_paint_rules (flow, audit);
  paint_exceptions (flow, audit);
}

TdPages *
td_account_to_pages (const TdAudit *audit, TdPaperKind kind, GError **error)
{
  const TdPaper paper = td_paper_get (kind);
  g_autoptr (TdFonts) fonts = td_fonts_new (td_document_language (), error);
  g_autofree char *period = NULL;
  g_autofree char *head = NULL;
  TdFurniture furniture = { 0 };
  TdFlow *flow;

  g_return_val_if_fail (audit != NULL, NULL);
  if (fonts == NULL)
    return NULL;
  period = td_document_period (audit->from, audit->to);
  head = g_strdup_printf (_ ("Chemical account, %s"), period);
  flow = td_flow_new (&paper, fonts);
  paint_all (flow, audit, period);
  furniture.head_left = head;
  furniture.head_right = audit->company;
  furniture.foot_left = period;
  return td_pages_new (flow, &furniture, error);
}

TdPdfInfo
td_account_make_info (const TdAudit *audit, gint64 now_ms, char **title_out)
{
  g_autofree char *period = td_document_period (audit->from, audit->to);

  *title_out = g_strdup_printf (_ ("Chemical account, %s"), period);
  return (TdPdfInfo){ .title = *title_out, .author = audit->company, .language = td_document_language (), .utc_ms = now_ms };
}

gboolean
td_account_write_pdf (const TdAudit *audit, const char *path, TdPaperKind paper, gint64 now_ms, GError **error)
{
  g_autoptr (TdPages) pages = td_account_to_pages (audit, paper, error);
  g_autofree char *title = NULL;
  const TdPdfInfo info = td_account_make_info (audit, now_ms, &title);

  return pages != NULL && td_pdf_write (pages, path, &info, error);
}
