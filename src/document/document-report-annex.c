#include "document-report-paint.h"

#include "document-i18n.h"
#include "document-time.h"
#include "document-words.h"

#define DASH "\xe2\x80\x93"

static char *
legs_text (const TdReportCircuit *circuit)
{
  GString *text = g_string_new (NULL);

  for (guint i = 0; i < circuit->legs->len; i++)
    {
      const TdReportLeg *leg = &g_array_index (circuit->legs, TdReportLeg, i);

      g_string_append_printf (text, "%s%s %s%s", i > 0 ? " \xe2\x86\x92 " : "", leg->title,
                              td_word (leg->direction), leg->reversal ? _ (" (lever set in)") : "");
    }
  return g_string_free (text, FALSE);
}

static char *
pump_text (const TdReport *report, const TdReportCircuit *circuit)
{
  GString *text = g_string_new (NULL);

  for (guint i = 0; i < circuit->pump->len; i++)
    {
      const TdReportSwitch *turn = &g_array_index (circuit->pump, TdReportSwitch, i);
      g_autofree char *clock = td_report_clock (report, turn->at_ms);

      g_string_append_printf (text, "%s%s %s", i > 0 ? ", " : "", td_word (turn->on ? "on" : "off"),
                              clock);
    }
  if (text->len == 0)
    g_string_append (text, DASH);
  return g_string_free (text, FALSE);
}

static void
add_circuits (TdFlow *flow, const TdReport *report)
{
  const TdColumn columns[] = {
    { _ ("Circuit"), PANGO_ALIGN_LEFT, 0 },
    { _ ("Cleaning pump at"), PANGO_ALIGN_LEFT, 80 },
    { _ ("Order of flow, from the bucket and back"), PANGO_ALIGN_LEFT, 0 },
    { _ ("Flow / expected"), PANGO_ALIGN_LEFT, 0, TRUE },
    { _ ("Pump"), PANGO_ALIGN_LEFT, 110 },
    { _ ("Return in bucket"), PANGO_ALIGN_LEFT, 0 },
  };
  g_autoptr (TdTable) table = td_table_new (columns, G_N_ELEMENTS (columns), 7.2);

  for (guint i = 0; i < report->circuits->len; i++)
    {
      const TdReportCircuit *circuit = &g_array_index (report->circuits, TdReportCircuit, i);
      g_autofree char *number = g_strdup_printf ("%d", circuit->number);
      g_autofree char *legs = legs_text (circuit), *pump = pump_text (report, circuit);
      g_autofree char *flow_text = td_units_flow (report->units, circuit->flow_ml_min);
      g_autofree char *expected = td_units_flow (report->units, circuit->predicted_ml_min);
      g_autofree char *both = g_strdup_printf ("%s / %s", flow_text, expected);
      g_autofree char *back = td_report_clock (report, circuit->return_ms);

      td_table_add (table, number, circuit->station, legs, both, pump, back);
    }
  for (guint i = 0; i < report->statics->len; i++)
    {
      const TdReportStatic *line = &g_array_index (report->statics, TdReportStatic, i);
      g_autofree char *fed = line->fed_by > 0
                                 ? g_strdup_printf (_ ("fed from circuit %d"), line->fed_by)
                                 : g_strdup (_ ("set up on its own"));

      td_table_add (table, td_word ("static"), line->cooler, line->title, DASH, fed, DASH);
    }
  td_flow_add_heading (flow, 1, _ ("Annex 1: circuits"));
  if (td_table_get_length (table) == 0)
    td_flow_add_paragraph (flow, _ ("No plan was adopted."), &td_style_text);
  td_flow_add_table (flow, table);
}

static char *
figure_text (const TdReport *report, TdCompared compared, gint64 figure)
{
  if (figure == TD_COMPARED_UNKNOWN)
    return g_strdup (DASH);
  switch (compared)
    {
    case TD_COMPARED_FLOW:
      return td_units_flow (report->units, figure);
    case TD_COMPARED_VOLUME:
    case TD_COMPARED_WATER:
      return td_units_volume (report->units, figure);
    case TD_COMPARED_VELOCITY:
      return td_units_velocity (report->units, figure);
    default:
      return td_figure_minutes (figure);
    }
}

/* Planned over run, one figure a column. */
static void
add_compared (TdFlow *flow, const TdReport *report)
{
  const TdColumn columns[] = {
    { _ ("Circuit"), PANGO_ALIGN_LEFT, 0 },
    { "", PANGO_ALIGN_LEFT, 0, TRUE },
    { _ ("Flow"), PANGO_ALIGN_LEFT, 0, TRUE },
    { _ ("Time to fill"), PANGO_ALIGN_LEFT, 0, TRUE },
    { _ ("Volume"), PANGO_ALIGN_LEFT, 0, TRUE },
    { _ ("Slowest"), PANGO_ALIGN_LEFT, 0, TRUE },
    { _ ("Contact"), PANGO_ALIGN_LEFT, 0, TRUE },
    { _ ("Rinse"), PANGO_ALIGN_LEFT, 0, TRUE },
    { _ ("Rinse water"), PANGO_ALIGN_LEFT, 0, TRUE },
  };
  g_autoptr (TdTable) table = td_table_new (columns, G_N_ELEMENTS (columns), 7.2);

  for (guint i = 0; i < report->circuits->len; i++)
    {
      const TdReportCircuit *circuit = &g_array_index (report->circuits, TdReportCircuit, i);
      g_autofree char *number = g_strdup_printf ("%d", circuit->number);

      for (guint row = 0; row < 2; row++)
        {
          const gint64 *figures = row == 0 ? circuit->compared.planned : circuit->compared.run;
          char *cells[TD_N_COMPARED];

          for (guint k = 0; k < TD_N_COMPARED; k++)
            cells[k] = figure_text (report, k, figures[k]);
          td_table_add (table, row == 0 ? number : "", row == 0 ? _ ("planned") : _ ("run"), cells[0],
                        cells[1], cells[2], cells[3], cells[4], cells[5], cells[6]);
          for (guint k = 0; k < TD_N_COMPARED; k++)
            g_free (cells[k]);
        }
    }
  if (td_table_get_length (table) == 0)
    return;
  td_flow_add_heading (flow, 2, _ ("Planned against run"));
  td_flow_add_table (flow, table);
  if (report->planned_minutes != TD_NONE && report->run_minutes != TD_NONE)
    {
      g_autofree char *minutes = g_strdup_printf (
          _ ("The plan reckoned with %d min of work; from arrival to closing it was %d min."),
          (int) report->planned_minutes, (int) report->run_minutes);

      td_flow_add_paragraph (flow, minutes, &td_style_text);
    }
  if (report->flow_words != NULL)
    td_flow_add_paragraph (flow, report->flow_words, &td_style_text);
}

static char *
act_words (const TdReportAct *act)
{
  GString *text = g_string_new (act->words);

  if (act->corrected_by > 0)
    g_string_append_printf (text, act->voided ? _ ("%sVOID, see %u") : _ ("%scorrected by %u"),
                            text->len > 0 ? " \xc2\xb7 " : "", act->corrected_by);
  return g_string_free (text, FALSE);
}

static void
add_timeline (TdFlow *flow, const TdReport *report)
{
  const TdColumn columns[] = {
    { _ ("No."), PANGO_ALIGN_RIGHT, 0 },
    { _ ("Happened"), PANGO_ALIGN_LEFT, 0, TRUE },
    { _ ("Written down"), PANGO_ALIGN_LEFT, 0, TRUE },
    { _ ("By"), PANGO_ALIGN_LEFT, 90 },
    { _ ("Act"), PANGO_ALIGN_LEFT, 120 },
    { _ ("In detail"), PANGO_ALIGN_LEFT, 0 },
  };
  g_autoptr (TdTable) table = td_table_new (columns, G_N_ELEMENTS (columns), 6.6);
  g_autofree char *offset = td_offset_to_text (report->offset_min);
  g_autofree char *intro = g_strdup_printf (
      _ ("Every entry as it was made, with the time that the person gave and the time at which the "
         "machine wrote it down; times are %s. Corrections stand beside what they correct."),
      offset);

  for (guint i = 0; i < report->timeline->len; i++)
    {
      const TdReportAct *act = &g_array_index (report->timeline, TdReportAct, i);
      g_autofree char *seq = g_strdup_printf ("%u", act->seq), *words = act_words (act);
      g_autofree char *happened
          = td_time_clock_seconds (act->happened_ms, report->offset_min, report->arrived_ms);
      g_autofree char *clock
          = td_time_clock_seconds (act->recorded_ms, report->offset_min, report->arrived_ms);
      g_autofree char *recorded = g_strdup_printf ("%s%s", clock, act->late ? _ (" late") : "");

      td_table_add (table, seq, happened, recorded, act->person, _ (act->kind_text), words);
    }
  td_flow_add_heading (flow, 1, _ ("Annex 2: every act, in the order of the record"));
  td_flow_add_paragraph (flow, intro, &td_style_small);
  td_flow_add_table (flow, table);
}

static void
add_seal (TdFlow *flow, const TdReport *report)
{
  const TdStyle digits = { .size = 15.0, .bold = TRUE };
  guint first = td_flow_count (flow);
  g_autofree char *short_seal = NULL, *whole = NULL, *previous = NULL, *visit = NULL;

  td_flow_add_heading (flow, 1, _ ("Annex 3: the seal"));
  visit = g_strdup_printf (_ ("Visit %s, judged by the rules of version %d."), report->visit_id,
                           report->rules_version);
  td_flow_add_paragraph (flow, visit, &td_style_small);
  if (report->seal == NULL)
    {
      td_flow_add_paragraph (
          flow, _ ("There is none: the visit is not closed, or this paper was printed without it."),
          &td_style_text);
      return;
    }
  short_seal = g_strndup (report->seal, 12);
  whole = g_strdup_printf (_ ("in full %s"), report->seal);
  previous = report->previous_seal != NULL
                 ? g_strdup_printf (_ ("the device's seal before it %s"), report->previous_seal)
                 : g_strdup (_ ("It is the first seal of its device."));
  td_flow_add_paragraph (flow, short_seal, &digits);
  td_flow_add_paragraph (flow, whole, &td_style_small);
  td_flow_add_paragraph (flow, previous, &td_style_small);
  td_flow_add_paragraph (
      flow,
      _ ("The seal is the SHA-256 of the seal before it and of every entry of this visit as it was "
         "written down. Anyone who has the service book can have the sealed text written out "
         "(tundishctl report --sealed-text) and work the digits out again: they are the same only if "
         "no entry was changed, added or taken away since this paper was printed."),
      &td_style_text);
  td_flow_add_paragraph (
      flow,
      _ ("What it does not prove: that an act was done as it was written down, or at that time; nor "
         "that the whole book was not made anew by somebody who owns the file. Against that stand "
         "the copies that were printed and sent at the time."),
      &td_style_text);
  td_flow_keep_from (flow, first);
}

void
td_report_paint_annex (TdFlow *flow, const TdReport *report)
{
  add_circuits (flow, report);
  add_compared (flow, report);
  add_timeline (flow, report);
  add_seal (flow, report);
}
