#include "document-inspect-pages.h"

#include "document-canvas.h"
#include "document-i18n.h"
#include "document-pdf.h"
#include "document-table.h"
#include "document-units.h"
#include "document-words.h"

#define NONE "\xe2\x80\x93"
#define LEAST_DAYS 365 /* R.I. Gen. Laws 3-7-25: kept for one year from the last entry */

/* ---- what is asked for ---- */

static void
paint_items (TdFlow *flow, const TdInspection *inspection)
{
  const TdColumn columns[] = {
    { _ ("Asked for"), PANGO_ALIGN_LEFT, 0, FALSE },
    { _ ("On record"), PANGO_ALIGN_RIGHT, 0, TRUE },
    { _ ("Missing"), PANGO_ALIGN_RIGHT, 0, TRUE },
  };
  g_autoptr (TdTable) table = td_table_new (columns, G_N_ELEMENTS (columns), 7.8);
  guint n = inspection->visits->len;

  td_flow_add_heading (flow, 2, _ ("What the rules ask for"));
  for (guint item = 0; item < TD_N_RECORD_ITEMS; item++)
    {
      guint missing = td_inspection_count_missing (inspection, item);
      g_autofree char *there = g_strdup_printf (_ ("%u of %u"), n - missing, n);
      g_autofree char *gone = missing > 0 ? g_strdup_printf ("%u", missing) : g_strdup (NONE);

      if (!td_record_rules_ask (inspection->rules, item))
        continue;
      td_table_add (table, _ (td_record_item_get_text (item)), there, gone);
      if (missing > 0)
        td_table_set_marked (table);
    }
  td_flow_add_table (flow, table);
}

static void
add_gap (TdFlow *flow, const TdInspectedVisit *visit)
{
  g_autoptr (GString) text = g_string_new (NULL);
  g_autofree char *date = td_date_to_text (visit->date);

  for (guint item = 0; item < TD_N_RECORD_ITEMS; item++)
    if (visit->missing[item])
      g_string_append_printf (text, "%s%s", text->len > 0 ? "; " : "", _ (td_record_item_get_text (item)));
  if (text->len == 0)
    return;
  g_string_prepend (text, ": ");
  g_string_prepend (text, visit->number != NULL ? visit->number : _ ("visit not closed"));
  g_string_prepend (text, ", ");
  g_string_prepend (text, date);
  td_flow_add_item (flow, "!", text->str, &td_style_text);
}

/* A record that begins long after its period says so: what lies before it is no gap that can be seen. */
static void
add_beginning (TdFlow *flow, const TdInspection *inspection)
{
  const TdInspectedVisit *first
      = inspection->visits->len > 0 ? g_ptr_array_index (inspection->visits, 0) : NULL;
  g_autofree char *date = first != NULL ? td_date_to_text (first->date) : NULL;
  g_autofree char *text = NULL;

  if (first == NULL || first->days >= 0 || first->date - inspection->from <= inspection->interval_days)
    return;
  text = g_strdup_printf (_ ("The book holds no cleaning of this site before %s."), date);
  td_flow_add_item (flow, "!", text, &td_style_text);
}

static void
paint_gaps (TdFlow *flow, const TdInspection *inspection)
{
  g_autofree char *days = g_strdup_printf ("%d", inspection->interval_days);

  td_flow_add_heading (flow, 2, _ ("What is missing"));
  if (inspection->visits->len == 0)
    td_flow_add_item (flow, "!", _ ("The book holds no cleaning of this site in the period."), &td_style_text);
  else if (td_inspection_is_overdue (inspection))
    {
      g_autofree char *since = g_strdup_printf ("%d", inspection->days_since);
      g_autofree char *text = g_strdup_printf (
          _ ("The last cleaning lies %s days before the end of the period; the interval is %s days."), since, days);

      td_flow_add_item (flow, "!", text, &td_style_text);
    }
  add_beginning (flow, inspection);
  for (guint i = 0; i < inspection->visits->len; i++)
    add_gap (flow, g_ptr_array_index (inspection->visits, i));
  if (inspection->visits->len > 0 && td_inspection_count_all_missing (inspection) == 0
      && !td_inspection_is_overdue (inspection))
    td_flow_add_paragraph (flow, _ ("Nothing that these rules ask for is missing."), &td_style_text);
  if (inspection->rules == TD_RECORD_RULES_RHODE_ISLAND && inspection->to - inspection->from + 1 < LEAST_DAYS)
    td_flow_add_item (flow, "!", _ ("The period is shorter than the year for which records are kept."), &td_style_text);
}

/* ---- the cleanings ---- */

static char *
make_method (const TdInspectedVisit *visit)
{
  g_autofree char *run
      = visit->circulating != NULL ? g_strdup_printf (_ ("circulating: %s"), visit->circulating) : NULL;
  g_autofree char *still = visit->still != NULL ? g_strdup_printf (_ ("static: %s"), visit->still) : NULL;

  if (run != NULL && still != NULL)
    return g_strdup_printf ("%s\n%s", run, still);
  return run != NULL ? g_steal_pointer (&run) : still != NULL ? g_steal_pointer (&still) : g_strdup (NONE);
}

static char *
make_countersigned (const TdInspectedVisit *visit)
{
  if (visit->countersigned_by != NULL)
    return g_strdup (visit->countersigned_by);
  return g_strdup (visit->not_countersigned != NULL ? td_word (visit->not_countersigned) : NONE);
}

static void
add_cleaning (TdTable *table, const TdInspectedVisit *visit)
{
  g_autofree char *date = td_date_to_text (visit->date);
  g_autofree char *method = make_method (visit);
  g_autofree char *rinsed = g_strdup_printf (_ ("%u of %u"), visit->rinsed, visit->passes);
  g_autofree char *other = make_countersigned (visit);
  g_autofree char *days = visit->days >= 0 ? g_strdup_printf ("%d", visit->days) : g_strdup (NONE);
  gboolean marked = FALSE;

  td_table_add (table, date, visit->number != NULL ? visit->number : _ ("not closed"), days, visit->cleaners, method,
                rinsed, visit->signed_by != NULL ? visit->signed_by : NONE, other);
  for (guint item = 0; item < TD_N_RECORD_ITEMS; item++)
    marked |= visit->missing[item];
  if (marked)
    td_table_set_marked (table);
}

static void
paint_cleanings (TdFlow *flow, const TdInspection *inspection)
{
  const TdColumn columns[] = {
    { _ ("Date"), PANGO_ALIGN_LEFT, 0, TRUE },        { _ ("Report"), PANGO_ALIGN_LEFT, 0, TRUE },
    { _ ("Days"), PANGO_ALIGN_RIGHT, 0, TRUE },       { _ ("Cleaned by"), PANGO_ALIGN_LEFT, 70, FALSE },
    { _ ("Method and lines"), PANGO_ALIGN_LEFT, 0 },  { _ ("Rinses as the tap"), PANGO_ALIGN_RIGHT, 44, FALSE },
    { _ ("Signed"), PANGO_ALIGN_LEFT, 60, FALSE },    { _ ("Countersigned"), PANGO_ALIGN_LEFT, 66, FALSE },
  };
  g_autoptr (TdTable) table = td_table_new (columns, G_N_ELEMENTS (columns), 7);

  if (inspection->visits->len == 0)
    return;
  td_flow_add_heading (flow, 2, _ ("Cleanings"));
  td_flow_add_paragraph (flow, _ ("Days: since the cleaning before. A bar at the edge: something that is asked for is missing."),
                         &td_style_small);
  for (guint i = 0; i < inspection->visits->len; i++)
    add_cleaning (table, g_ptr_array_index (inspection->visits, i));
  td_flow_add_table (flow, table);
}

/* ---- chemicals ---- */

static void
add_mix (TdTable *table, const TdInspectedVisit *visit, const TdInspectedMix *mix)
{
  g_autofree char *date = td_date_to_text (visit->date);
  g_autofree char *amount
      = mix->concentrate_ml >= 0 ? g_strdup_printf ("%" G_GINT64_FORMAT, mix->concentrate_ml) : g_strdup (NONE);
  g_autofree char *percent = mix->percent_milli >= 0 ? td_figure_percent (mix->percent_milli) : NULL;
  g_autofree char *strength
      = percent != NULL ? g_strdup_printf ("%s %s", percent, td_basis_to_text (mix->basis)) : g_strdup (NONE);
  g_autofree char *sheet = mix->sds_revised != TD_DATE_NONE ? td_date_to_text (mix->sds_revised) : g_strdup (NONE);

  td_table_add (table, date, mix->product != NULL ? mix->product : NONE, mix->lot != NULL ? mix->lot : NONE, amount,
                strength, sheet);
}

static void
paint_chemicals (TdFlow *flow, const TdInspection *inspection)
{
  const TdColumn columns[] = {
    { _ ("Date"), PANGO_ALIGN_LEFT, 0, TRUE },     { _ ("Chemical"), PANGO_ALIGN_LEFT, 0, FALSE },
    { _ ("Lot"), PANGO_ALIGN_LEFT, 0, TRUE },      { _ ("Concentrate, mL"), PANGO_ALIGN_RIGHT, 0, TRUE },
    { _ ("Strength"), PANGO_ALIGN_RIGHT, 0, TRUE }, { _ ("Safety data sheet of"), PANGO_ALIGN_LEFT, 0, TRUE },
  };
  g_autoptr (TdTable) table = td_table_new (columns, G_N_ELEMENTS (columns), 7.2);

  for (guint i = 0; i < inspection->visits->len; i++)
    {
      const TdInspectedVisit *visit = g_ptr_array_index (inspection->visits, i);

      for (guint m = 0; m < visit->mixes->len; m++)
        add_mix (table, visit, &g_array_index (visit->mixes, TdInspectedMix, m));
    }
  if (td_table_get_length (table) == 0)
    return;
  td_flow_add_heading (flow, 2, _ ("Chemicals"));
  td_flow_add_table (flow, table);
}

static void
paint_parts (TdFlow *flow, const TdInspection *inspection)
{
  gboolean any = FALSE;

  td_flow_add_heading (flow, 2, _ ("Changes of components"));
  for (guint i = 0; i < inspection->visits->len; i++)
    {
      const TdInspectedVisit *visit = g_ptr_array_index (inspection->visits, i);
      g_autofree char *date = td_date_to_text (visit->date);
      g_autofree char *text = g_strdup_printf ("%s: %s", date, visit->parts);

      if (visit->parts == NULL)
        continue;
      any = TRUE;
      td_flow_add_item (flow, "\xe2\x80\xa2", text, &td_style_text);
    }
  if (!any)
    td_flow_add_paragraph (flow, _ ("No change of a component is on record in this period."), &td_style_text);
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
  td_canvas_text (canvas, half + 16, 36, half, _ ("Signature: handed over"), &label);
  td_flow_add_canvas (flow, canvas, 48);
}

static void
paint_head (TdFlow *flow, const TdInspection *inspection, const char *period)
{
  const TdRecordRulesInfo *info = td_record_rules_get_info (inspection->rules);
  g_autofree char *rules = g_strdup_printf (_ ("Rules: %s (%s)."), _ (info->name), _ (info->source));
  g_autofree char *cleaned = g_strdup_printf (_ ("Cleaned by: %s"), inspection->company);

  td_flow_add_heading (flow, 1, _ ("Cleaning record for inspection"));
  td_flow_add_paragraph (flow, inspection->site, &td_style_strong);
  if (inspection->account != NULL)
    td_flow_add_paragraph (flow, inspection->account, &td_style_text);
  if (inspection->address != NULL)
    td_flow_add_paragraph (flow, inspection->address, &td_style_text);
  td_flow_add_paragraph (flow, period, &td_style_strong);
  if (inspection->company != NULL)
    td_flow_add_paragraph (flow, cleaned, &td_style_text);
  td_flow_add_paragraph (flow, rules, &td_style_text);
  td_flow_add_paragraph (flow,
                         _ ("Which rules hold is a setting of the site. The text of the law decides, not this page."),
                         &td_style_small);
}

TdPages *
td_inspection_to_pages (const TdInspection *inspection, TdPaperKind kind, GError **error)
{
  const TdPaper paper = td_paper_get (kind);
  g_autoptr (TdFonts) fonts = td_fonts_new (td_document_language (), error);
  g_autofree char *period = NULL;
  g_autofree char *head = NULL;
  TdFurniture furniture = { 0 };
  TdFlow *flow;

  g_return_val_if_fail (inspection != NULL, NULL);
  if (fonts == NULL)
    return NULL;
  period = td_document_period (inspection->from, inspection->to);
  head = g_strdup_printf (_ ("Cleaning record, %s"), inspection->site);
  flow = td_flow_new (&paper, fonts);
  paint_head (flow, inspection, period);
  paint_items (flow, inspection);
  paint_gaps (flow, inspection);
  paint_cleanings (flow, inspection);
  paint_chemicals (flow, inspection);
  paint_parts (flow, inspection);
  paint_signature (flow);
  furniture.head_left = head;
  furniture.head_right = inspection->company;
  furniture.foot_left = period;
  return td_pages_new (flow, &furniture, error);
}

TdPdfInfo
td_inspection_make_info (const TdInspection *inspection, gint64 now_ms, char **title_out)
{
  *title_out = g_strdup_printf (_ ("Cleaning record, %s"), inspection->site);
  return (TdPdfInfo){ .title = *title_out, .author = inspection->company, .language = td_document_language (), .utc_ms = now_ms };
}

gboolean
td_inspection_write_pdf (const TdInspection *inspection, const char *path, TdPaperKind paper, gint64 now_ms, GError **error)
{
  g_autoptr (TdPages) pages = td_inspection_to_pages (inspection, paper, error);
  g_autofree char *title = NULL;
  const TdPdfInfo info = td_inspection_make_info (inspection, now_ms, &title);

  return pages != NULL && td_pdf_write (pages, path, &info, error);
}
