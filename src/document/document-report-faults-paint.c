#include "document-report-paint.h"

#include "document-i18n.h"
#include "document-words.h"

#include <string.h>

#define DASH "\xe2\x80\x93"

static void
add_fault (TdTable *table, const TdReport *report, const TdReportFault *fault)
{
  g_autofree char *clock = td_report_clock (report, fault->at_ms);
  g_autofree char *done = NULL, *where = NULL, *signs = NULL;
  const char *next = fault->quote_wanted && fault->follow_up ? _ ("Price wanted; we come back.")
                     : fault->quote_wanted                   ? _ ("Price wanted.")
                     : fault->follow_up                      ? _ ("We come back.")
                                                             : "";

  done = g_strdup_printf ("%s%s%s", fault->action != NULL ? fault->action : "",
                          fault->action != NULL && *next != '\0' ? " " : "", next);
  where = g_strdup_printf ("%s\n%s", fault->place != NULL ? fault->place : _ ("site"), clock);
  signs = g_strdup_printf ("%s, %s\n%s", td_word (fault->symptom), td_word (fault->extent),
                           td_word (fault->cause));
  td_table_add (table, where, td_word (fault->severity), signs, fault->text,
                *done != '\0' ? done : DASH);
  if (g_strcmp0 (fault->severity, "safety") == 0
      || g_strcmp0 (fault->severity, "stops-service") == 0)
    td_table_set_marked (table);
}

static void
add_parts (TdFlow *flow, const TdReport *report)
{
  const TdColumn columns[] = {
    { _ ("Line"), PANGO_ALIGN_LEFT, 0 },      { _ ("At"), PANGO_ALIGN_LEFT, 0 },
    { _ ("Quantity"), PANGO_ALIGN_RIGHT, 0 }, { _ ("Part fitted"), PANGO_ALIGN_LEFT, 0 },
    { _ ("Remark"), PANGO_ALIGN_LEFT, 0 },
  };
  g_autoptr (TdTable) table = td_table_new (columns, G_N_ELEMENTS (columns), 7.2);

  for (guint i = 0; i < report->parts->len; i++)
    {
      const TdReportPart *part = &g_array_index (report->parts, TdReportPart, i);
      g_autofree char *clock = td_report_clock (report, part->at_ms);
      g_autofree char *quantity = g_strdup_printf ("%" G_GINT64_FORMAT, part->quantity);

      td_table_add (table, td_report_line_title (report, part->line), clock, quantity, part->part,
                    part->text);
    }
  if (td_table_get_length (table) == 0)
    return;
  td_flow_add_heading (flow, 2, _ ("Parts fitted"));
  td_flow_add_table (flow, table);
}

static void
add_remarks (TdFlow *flow, const TdReport *report, const GArray *remarks, const char *title)
{
  if (remarks->len == 0)
    return;
  td_flow_add_heading (flow, 2, title);
  for (guint i = 0; i < remarks->len; i++)
    {
      const TdReportRemark *remark = &g_array_index (remarks, TdReportRemark, i);
      g_autofree char *clock = td_report_clock (report, remark->at_ms);
      g_autofree char *text = g_strdup_printf (
          "%s%s%s: %s%s%.12s", clock, remark->place != NULL ? ", " : "",
          remark->place != NULL ? remark->place : "", remark->text != NULL ? remark->text : "",
          remark->sha256 != NULL ? _ (" SHA-256 ") : "",
          remark->sha256 != NULL ? remark->sha256 : "");

      td_flow_add_item (flow, "\xe2\x80\xa2", text, &td_style_text);
    }
}

void
td_report_paint_faults (TdFlow *flow, const TdReport *report)
{
  const TdColumn columns[] = {
    { _ ("Where, and when"), PANGO_ALIGN_LEFT, 90 },        { _ ("Severity"), PANGO_ALIGN_LEFT, 0 },
    { _ ("Symptom, extent, cause"), PANGO_ALIGN_LEFT, 90 }, { _ ("In words"), PANGO_ALIGN_LEFT, 0 },
    { _ ("Done, and next"), PANGO_ALIGN_LEFT, 0 },
  };
  g_autoptr (TdTable) table = td_table_new (columns, G_N_ELEMENTS (columns), 7.2);

  td_flow_add_heading (flow, 1, _ ("Faults found"));
  for (guint i = 0; i < report->faults->len; i++)
    add_fault (table, report, &g_array_index (report->faults, TdReportFault, i));
  if (report->faults->len == 0)
    td_flow_add_paragraph (flow, _ ("None was noted."), &td_style_text);
  td_flow_add_table (flow, table);
  add_parts (flow, report);
  add_remarks (flow, report, report->notes, _ ("Notes"));
  add_remarks (flow, report, report->photos, _ ("Pictures in the record"));
}

/* The sentence without the line's name, which has a column of its own. */
static const char *
strip_title (const char *text, const char *title)
{
  gsize length = title != NULL ? strlen (title) : 0;

  if (length > 0 && g_str_has_prefix (text, title) && g_str_has_prefix (text + length, ": "))
    return text + length + 2;
  return text;
}

void
td_report_paint_findings (TdFlow *flow, const TdReport *report)
{
  const TdColumn columns[] = {
    { _ ("Weight"), PANGO_ALIGN_LEFT, 0 },
    { _ ("Where"), PANGO_ALIGN_LEFT, 70 },
    { _ ("Finding"), PANGO_ALIGN_LEFT, 0 },
    { _ ("Reason given"), PANGO_ALIGN_LEFT, 0 },
  };
  g_autoptr (TdTable) table = td_table_new (columns, G_N_ELEMENTS (columns), 7.2);

  td_flow_add_heading (flow, 1, _ ("Held against the rules"));
  for (guint i = 0; i < report->findings->len; i++)
    {
      const TdReportFinding *finding = &g_array_index (report->findings, TdReportFinding, i);
      g_autofree char *weight = td_word_capital (finding->severity);
      gboolean advice = g_strcmp0 (finding->severity, "advice") == 0;
      const char *text;
      gboolean asked = g_strcmp0 (finding->severity, "reason") == 0;
      const char *reason = finding->reason != NULL ? finding->reason
                           : asked                 ? _ ("NONE GIVEN")
                                                   : DASH;

      text = strip_title (finding->text, finding->line != NULL
                                             ? td_report_line_title (report, finding->line)
                                             : NULL);
      td_table_add (table, weight,
                    finding->line != NULL ? td_report_line_title (report, finding->line)
                                          : _ ("visit"),
                    text, reason);
      if (!advice)
        td_table_set_marked (table);
    }
  if (report->findings->len == 0)
    td_flow_add_paragraph (flow, _ ("Nothing was found wanting."), &td_style_text);
  td_flow_add_table (flow, table);
}

static gboolean
used (const TdReport *report, const char *kind)
{
  for (guint i = 0; i < report->chemicals->len; i++)
    if (g_strcmp0 (g_array_index (report->chemicals, TdReportChemical, i).kind, kind) == 0)
      return TRUE;
  return FALSE;
}

static void
add_caution (TdFlow *flow, const char *text)
{
  td_flow_add_item (flow, "!", text, &td_style_text);
}

/* The label's own words once for each product. */
static void
add_label_words (TdFlow *flow, const TdReport *report)
{
  for (guint i = 0; i < report->chemicals->len; i++)
    {
      const TdReportChemical *chemical = &g_array_index (report->chemicals, TdReportChemical, i);
      g_autofree char *text = NULL;
      gboolean said = chemical->caution == NULL;

      for (guint j = 0; j < i && !said; j++)
        said = g_strcmp0 (g_array_index (report->chemicals, TdReportChemical, j).product_id,
                          chemical->product_id)
               == 0;
      if (said)
        continue;
      text = g_strdup_printf ("%s: %s", chemical->product, chemical->caution);
      add_caution (flow, text);
    }
}

/* Hazard classes: Regulation (EC) 1272/2008, annex VI for sodium hydroxide and phosphoric acid. */
void
td_report_paint_cautions (TdFlow *flow, const TdReport *report)
{
  td_flow_add_heading (flow, 1, _ ("Cautions"));
  add_label_words (flow, report);
  if (used (report, "caustic") || used (report, "caustic-chlorinated"))
    add_caution (
        flow,
        _ ("Caustic line cleaner burns skin and eyes, also at working strength, and may look like dark "
           "beer. On skin or in eyes: rinse with plenty of water at once and get medical help. If it was "
           "drunk: rinse the mouth, do not make the person vomit, call the emergency number."));
  if (used (report, "acid"))
    add_caution (
        flow,
        _ ("Acid line cleaner burns skin and eyes. It must never meet a chlorinated cleaner: toxic gas."));
  add_caution (
      flow,
      _ ("A line that is tagged or named above as not to be poured must not be opened, whatever runs out "
         "of it. Only the person who hung a tag takes it away."));
  add_caution (
      flow,
      _ ("Carbon dioxide from a leaking gas line suffocates without smell in a cold room or cellar: go "
         "in only where the air has been checked. Kegs and gas lines stand under pressure."));
  td_flow_add_paragraph (
      flow,
      _ ("The label and the safety data sheet of the product, local codes and licensed practice go "
         "before anything said here. Limits and intervals in this report are settings of the "
         "company and of the site, not law."),
      &td_style_small);
}
