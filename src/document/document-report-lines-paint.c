#include "document-report-paint.h"

#include "document-i18n.h"
#include "document-report-groups.h"
#include "document-words.h"

#define DASH "\xe2\x80\x93"
#define TICK "\xe2\x9c\x93"
#define CROSS "\xe2\x9c\x97"

static char *
number_text (const TdReportLine *line)
{
  return line->number > 0 ? g_strdup_printf ("%d", line->number) : g_strdup (line->id);
}

static char *
method_text (const TdReportPass *pass)
{
  if (g_strcmp0 (pass->method, "circulating") == 0 && pass->circuit > 0)
    return g_strdup_printf (_ ("circuit %d"), pass->circuit);
  return g_strdup (td_word (pass->method));
}

/* Contact against what is asked for; a shortfall carries its word. */
static char *
contact_text (const TdReportPass *pass)
{
  g_autofree char *contact = td_figure_minutes (pass->contact_s);
  g_autofree char *required = td_figure_minutes (pass->required_s);
  gboolean enough = pass->contact_s != TD_NONE && pass->required_s != TD_NONE
                    && pass->contact_s >= pass->required_s;

  return g_strdup_printf ("%s / %s%s", contact, required, enough ? "" : _ ("\nSHORT"));
}

static char *
ph_text (const TdReportPass *pass)
{
  g_autofree char *rinse = td_figure_ph (pass->rinse_ph.value),
                  *tap = td_figure_ph (pass->tap_ph.value);

  return g_strdup_printf ("%s / %s %s", rinse, tap, pass->rinse_passed ? TICK : CROSS);
}

static char *
lever_text (const TdReport *report, const TdReportLine *line)
{
  g_autofree char *set = NULL, *back = NULL, *flow = NULL;

  if (!line->reversed && line->restored_ms == TD_NONE)
    return g_strdup (DASH);
  set = td_report_clock (report, line->reversed_ms);
  back = line->restored_ms != TD_NONE ? td_report_clock (report, line->restored_ms)
                                      : g_strdup (_ ("NOT BACK"));
  if (line->proved_out_ms == TD_NONE)
    return g_strdup_printf ("%s / %s", set, back);
  flow = td_report_clock (report, line->proved_out_ms);
  /* TRANSLATORS: when outward flow was seen after the lever had been set back. */
  return g_strdup_printf (_ ("%s / %s\nproved %s"), set, back, flow);
}

/* A tick and the time of the first act; where the second that belongs to it is missing, its name.
 */
static char *
pair_text (const TdReport *report, gint64 first_ms, gint64 second_ms, const char *missing)
{
  g_autofree char *clock = NULL;

  if (first_ms == TD_NONE)
    return g_strdup (DASH);
  clock = td_report_clock (report, first_ms);
  if (missing != NULL && second_ms == TD_NONE)
    return g_strdup_printf ("%s %s\n%s", TICK, clock, missing);
  return g_strdup_printf ("%s %s", TICK, clock);
}

/* Both times: a FOB that was flooded and not rinsed is a pocket of chemical. */
static char *
fob_text (const TdReport *report, const TdReportLine *line)
{
  g_autofree char *flooded = td_report_clock (report, line->fob_flooded_ms);
  g_autofree char *rinsed = td_report_clock (report, line->fob_rinsed_ms);

  if (!line->has_fob)
    return g_strdup (_ ("none"));
  if (line->fob_flooded_ms == TD_NONE)
    return g_strdup (DASH);
  return g_strdup_printf ("%s / %s", flooded,
                          line->fob_rinsed_ms != TD_NONE ? rinsed : _ ("NOT RINSED"));
}

static char *
beer_text (const TdReport *report, const TdReportLine *line)
{
  g_autofree char *clock = NULL;

  if (line->beer_clear_ms == TD_NONE)
    return g_strdup (DASH);
  clock = td_report_clock (report, line->beer_clear_ms);
  return g_strdup_printf ("%u \xc3\x97 %s", line->beer_clear_count, clock);
}

static void
add_pass_row (TdTable *table,
              const TdReport *report,
              const TdReportLine *line,
              const TdReportPass *pass,
              gboolean first)
{
  g_autofree char *number = number_text (line), *method = method_text (pass);
  g_autofree char *contact = contact_text (pass), *ph = ph_text (pass),
                  *lever = lever_text (report, line);
  g_autofree char *faucet
      = pair_text (report, line->faucet_stripped_ms, line->faucet_rebuilt_ms, _ ("NOT REBUILT"));
  g_autofree char *coupler = pair_text (report, line->coupler_brushed_ms, TD_NONE, NULL);
  g_autofree char *fob = fob_text (report, line);
  g_autofree char *beer = beer_text (report, line);

  td_table_add (table, first ? number : NULL, first ? line->product : NULL, td_word (pass->clean),
                method, td_word (line->direction), first ? lever : NULL, contact, ph,
                first ? faucet : NULL, first ? coupler : NULL, first ? fob : NULL,
                first ? beer : NULL);
  if (line->pour == TD_POUR_NOT)
    td_table_set_marked (table);
}

static void
add_lines_of_tower (TdTable *table, const TdReport *report, const char *tower)
{
  gboolean named = FALSE;

  for (guint i = 0; i < report->lines->len; i++)
    {
      const TdReportLine *line = &g_array_index (report->lines, TdReportLine, i);

      if (g_strcmp0 (line->tower, tower) != 0)
        continue;
      for (guint j = 0; j < line->passes->len; j++)
        {
          if (!named)
            td_table_add_group (table, tower);
          named = TRUE;
          add_pass_row (table, report, line, &g_array_index (line->passes, TdReportPass, j),
                        j == 0);
        }
    }
}

static void
add_clean_table (TdFlow *flow, const TdReport *report)
{
  const TdColumn columns[] = {
    { _ ("No."), PANGO_ALIGN_RIGHT, 0 },
    { _ ("Beer"), PANGO_ALIGN_LEFT, 90 },
    { _ ("Clean"), PANGO_ALIGN_LEFT, 0, TRUE },
    { _ ("Method"), PANGO_ALIGN_LEFT, 0, TRUE },
    { _ ("Ran"), PANGO_ALIGN_LEFT, 0 },
    { _ ("Lever in / back"), PANGO_ALIGN_LEFT, 0, TRUE },
    { _ ("Contact / asked"), PANGO_ALIGN_LEFT, 0, TRUE },
    { _ ("Rinse pH / tap"), PANGO_ALIGN_LEFT, 0, TRUE },
    { _ ("Faucet stripped"), PANGO_ALIGN_LEFT, 0, TRUE },
    { _ ("Coupler brushed"), PANGO_ALIGN_LEFT, 0, TRUE },
    { _ ("FOB flooded / rinsed"), PANGO_ALIGN_LEFT, 0, TRUE },
    { _ ("Beer clear"), PANGO_ALIGN_LEFT, 0, TRUE },
  };
  g_autoptr (TdTable) table = td_table_new (columns, G_N_ELEMENTS (columns), 6.9);
  const char *tower = NULL;

  for (guint i = 0; i < report->lines->len; i++)
    {
      const TdReportLine *line = &g_array_index (report->lines, TdReportLine, i);

      if (g_strcmp0 (line->tower, tower) != 0)
        add_lines_of_tower (table, report, line->tower);
      tower = line->tower;
    }
  if (td_table_get_length (table) == 0)
    td_flow_add_paragraph (flow, _ ("No chemical was sent into any line."), &td_style_text);
  td_flow_add_table (flow, table);
}

static char *
reading_text (const TdReportReading *reading,
              char *(*format) (TdUnits units, gint64 value),
              TdUnits units)
{
  g_autofree char *figure = format (units, reading->value);

  if (reading->value == TD_NONE || g_strcmp0 (reading->known, "measured") == 0
      || reading->known == NULL)
    return g_steal_pointer (&figure);
  return g_strdup_printf ("%s (%s)", figure, td_word (reading->known));
}

static gboolean
has_readings (const TdReportLine *line)
{
  return line->found_pressure.value != TD_NONE || line->found_temperature.value != TD_NONE
         || line->found_lever != NULL || line->found_keg != NULL || line->found_gas != NULL
         || line->beer_temperature.value != TD_NONE || line->keg_pressure.value != TD_NONE
         || line->pump_pressure.value != TD_NONE || line->pour_rate.value != TD_NONE
         || line->leak_checked_ms != TD_NONE;
}

static void
add_reading_row (TdTable *table, const TdReport *report, const TdReportLine *line)
{
  g_autofree char *found_temperature
      = reading_text (&line->found_temperature, td_units_temperature, report->units);
  g_autofree char *temperature
      = reading_text (&line->beer_temperature, td_units_temperature, report->units);
  g_autofree char *found_pressure
      = reading_text (&line->found_pressure, td_units_pressure, report->units);
  g_autofree char *pressure = reading_text (&line->keg_pressure, td_units_pressure, report->units);
  g_autofree char *pump = reading_text (&line->pump_pressure, td_units_pressure, report->units);
  g_autofree char *rate = reading_text (&line->pour_rate, td_units_pour_rate, report->units);
  g_autofree char *state
      = g_strdup_printf (_ ("lever %s, keg %s, gas %s"), td_word (line->found_lever),
                         td_word (line->found_keg), td_word (line->found_gas));
  gboolean noted = line->found_lever != NULL || line->found_keg != NULL || line->found_gas != NULL;
  const char *leak = line->leak_checked_ms == TD_NONE ? DASH
                     : line->leaking                  ? _ ("LEAK")
                                                      : _ ("tight");

  td_table_add (table, line->title, noted ? state : DASH, found_temperature, temperature,
                found_pressure, pressure, pump, rate, leak);
}

static void
add_readings_table (TdFlow *flow, const TdReport *report)
{
  const TdColumn columns[] = {
    { _ ("Line"), PANGO_ALIGN_LEFT, 0 },
    { _ ("Found"), PANGO_ALIGN_LEFT, 110 },
    { _ ("Beer, found"), PANGO_ALIGN_LEFT, 0, TRUE },
    { _ ("Beer, left"), PANGO_ALIGN_LEFT, 0, TRUE },
    { _ ("Keg, found"), PANGO_ALIGN_LEFT, 0, TRUE },
    { _ ("Keg, left"), PANGO_ALIGN_LEFT, 0, TRUE },
    { _ ("Pump gas"), PANGO_ALIGN_LEFT, 0, TRUE },
    { _ ("Pours"), PANGO_ALIGN_LEFT, 0, TRUE },
    { _ ("Leaks"), PANGO_ALIGN_LEFT, 0 },
  };
  g_autoptr (TdTable) table = td_table_new (columns, G_N_ELEMENTS (columns), 6.9);

  for (guint i = 0; i < report->lines->len; i++)
    {
      const TdReportLine *line = &g_array_index (report->lines, TdReportLine, i);

      if (has_readings (line))
        add_reading_row (table, report, line);
    }
  if (td_table_get_length (table) == 0)
    return;
  td_flow_add_heading (flow, 2, _ ("As found, as left"));
  td_flow_add_table (flow, table);
}

static gboolean
is_left_out (const TdReportLine *line)
{
  return line->left_out_ms != TD_NONE && line->out_of_service_ms == TD_NONE;
}

static gboolean
is_out_of_service (const TdReportLine *line)
{
  return line->out_of_service_ms != TD_NONE;
}

static const char *
left_out_key (const TdReportLine *line)
{
  return line->left_out_reason;
}

static const char *
service_key (const TdReportLine *line)
{
  return line->service_reason;
}

static void
add_group (TdFlow *flow, const TdReport *report, const GPtrArray *group)
{
  const TdReportLine *line = g_ptr_array_index (group, 0);
  gboolean out = is_out_of_service (line);
  g_autofree char *titles = td_report_titles (group), *text = NULL;
  g_autofree char *clock
      = td_report_clock (report, out ? line->out_of_service_ms : line->left_out_ms);

  if (out)
    text = g_strdup_printf (_ ("%s: left out of service at %s, %s, handed to %s. %s"), titles,
                            clock, td_word (line->service_condition), line->service_handed_to,
                            line->service_reason);
  else
    text = g_strdup_printf (_ ("%s: left out at %s. %s"), titles, clock, line->left_out_reason);
  td_flow_add_item (flow, "\xe2\x80\xa2", text, &td_style_text);
}

static void
add_unfinished (TdFlow *flow, const TdReport *report)
{
  g_autoptr (GPtrArray) services = td_report_group (report, is_out_of_service, service_key);
  g_autoptr (GPtrArray) left_out = td_report_group (report, is_left_out, left_out_key);

  if (services->len + left_out->len == 0)
    return;
  td_flow_add_heading (flow, 2, _ ("Not cleaned or not finished"));
  for (guint i = 0; i < services->len; i++)
    add_group (flow, report, g_ptr_array_index (services, i));
  for (guint i = 0; i < left_out->len; i++)
    add_group (flow, report, g_ptr_array_index (left_out, i));
}

void
td_report_paint_lines (TdFlow *flow, const TdReport *report)
{
  td_flow_add_heading (flow, 1, _ ("Line by line"));
  add_clean_table (flow, report);
  add_unfinished (flow, report);
  add_readings_table (flow, report);
}
