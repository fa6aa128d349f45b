#include "document-report-paint.h"

#include "document-i18n.h"
#include "document-words.h"

#include "core-safety.h"

#define DASH "\xe2\x80\x93"

static char *
strength_text (gint64 percent_milli, const char *basis)
{
  g_autofree char *figure = td_figure_percent (percent_milli);

  return percent_milli == TD_NONE ? g_strdup (DASH)
                                  : g_strdup_printf ("%s\n%s", figure, basis != NULL ? basis : "");
}

static char *
lot_text (const TdReportChemical *chemical)
{
  g_autofree char *expiry = NULL;

  if (chemical->lot == NULL)
    return g_strdup (_ ("NOT ON RECORD"));
  if (chemical->lot_expiry == TD_DATE_NONE)
    return g_strdup_printf ("%s%s", chemical->lot, chemical->lot_recalled ? _ ("\nRECALLED") : "");
  expiry = td_date_to_text (chemical->lot_expiry);
  return g_strdup_printf (_ ("%s\nuse by %s%s"), chemical->lot, expiry,
                          chemical->lot_recalled ? _ ("\nRECALLED") : "");
}

static char *
measured_text (const TdReportChemical *chemical)
{
  g_autofree char *strength = strength_text (chemical->strength.value, chemical->strength_basis);

  if (chemical->strength.value == TD_NONE)
    return g_strdup (DASH);
  g_strdelimit (strength, "\n", ' ');
  return g_strdup_printf ("%s\n%s%s%s", strength, td_word (chemical->strength_method),
                          chemical->strength.instrument != NULL ? ", " : "",
                          chemical->strength.instrument != NULL ? chemical->strength.instrument
                                                                : "");
}

static void
add_chemical (TdTable *table, const TdReport *report, const TdReportChemical *chemical)
{
  g_autofree char *lot = lot_text (chemical);
  g_autofree char *concentrate = td_units_volume (report->units, chemical->concentrate_ml);
  g_autofree char *water = td_units_volume (report->units, chemical->water_ml);
  g_autofree char *strength = strength_text (chemical->percent_milli, chemical->basis);
  g_autofree char *measured = measured_text (chemical);
  g_autofree char *temperature = td_units_temperature (report->units, chemical->temperature.value);
  g_autofree char *clock = td_report_clock (report, chemical->mixed_ms);
  g_autofree char *mixed
      = g_strdup_printf ("%s, %s", clock, chemical->person != NULL ? chemical->person : DASH);

  td_table_add (table, chemical->batch, chemical->product != NULL ? chemical->product : DASH, lot,
                concentrate, water, strength, td_word (chemical->known), measured, temperature,
                mixed);
}

static const char *
translate (const char *text)
{
  return _ (text);
}

/* NULL where the label says nothing of it. */
static char *
describe (const TdReportChemical *chemical, TdSafetyPart part)
{
  const gboolean coded = part == TD_SAFETY_HAZARD || part == TD_SAFETY_PRECAUTION;

  return td_safety_describe (part, chemical->safety[part], coded ? " " : ", ", translate);
}

static void
append_statements (GString *text, const TdReportChemical *chemical)
{
  g_autofree char *classes = describe (chemical, TD_SAFETY_CLASS);
  g_autofree char *hazards = describe (chemical, TD_SAFETY_HAZARD);
  g_autofree char *precautions = describe (chemical, TD_SAFETY_PRECAUTION);

  if (classes != NULL)
    g_string_append_printf (text, " %s %s.", chemical->danger ? _ ("Danger.") : _ ("Warning."), classes);
  if (hazards != NULL)
    g_string_append_printf (text, " %s", hazards);
  if (precautions != NULL)
    g_string_append_printf (text, " %s", precautions);
}

/* What the label of a product says, what the solution itself is, and which safety data sheet tells more. */
static void
add_label (TdFlow *flow, const TdReportChemical *chemical)
{
  g_autoptr (GString) text = g_string_new (chemical->product);
  g_autofree char *wear = describe (chemical, TD_SAFETY_PROTECTION);
  g_autofree char *never = describe (chemical, TD_SAFETY_NEVER_WITH);
  g_autofree char *revised
      = chemical->sds_revised != TD_DATE_NONE ? td_date_to_text (chemical->sds_revised) : NULL;

  g_string_append_c (text, ':');
  append_statements (text, chemical);
  if (wear != NULL)
    g_string_append_printf (text, _ (" Wear: %s."), wear);
  if (never != NULL)
    g_string_append_printf (text, _ (" Never bring together with: %s."), never);
  if (chemical->solution_class != NULL)
    g_string_append_printf (text, _ (" The solution as mixed is %s."),
                            _ (td_safety_find (TD_SAFETY_CLASS, chemical->solution_class)->text));
  if (revised != NULL)
    g_string_append_printf (text, _ (" Safety data sheet of %s."), revised);
  td_flow_add_paragraph (flow, text->str, &td_style_small);
}

/* Once for each product of which anything is known. */
static void
add_labels (TdFlow *flow, const TdReport *report)
{
  for (guint i = 0; i < report->chemicals->len; i++)
    {
      const TdReportChemical *chemical = &g_array_index (report->chemicals, TdReportChemical, i);
      gboolean said = chemical->product == NULL || chemical->safety[TD_SAFETY_HAZARD] == NULL;

      for (guint j = 0; j < i && !said; j++)
        said = g_strcmp0 (g_array_index (report->chemicals, TdReportChemical, j).product_id,
                          chemical->product_id) == 0;
      if (!said)
        add_label (flow, chemical);
    }
}

static void
add_disposals (TdFlow *flow, const TdReport *report)
{
  for (guint i = 0; i < report->disposals->len; i++)
    {
      const TdReportDisposal *disposal = &g_array_index (report->disposals, TdReportDisposal, i);
      g_autofree char *clock = td_report_clock (report, disposal->at_ms);
      g_autofree char *volume = td_units_volume (report->units, disposal->volume_ml);
      g_autofree char *ph = td_figure_ph (disposal->ph_milli);
      g_autofree char *text
          = g_strdup_printf (_ ("Left-over solution (mix %s): %s at pH %s, %s, at %s."),
                             disposal->batch != NULL ? disposal->batch : DASH, volume, ph,
                             td_word (disposal->drain), clock);

      td_flow_add_paragraph (flow, text, &td_style_text);
    }
}

void
td_report_paint_chemicals (TdFlow *flow, const TdReport *report)
{
  const TdColumn columns[] = {
    { _ ("Mix"), PANGO_ALIGN_LEFT, 0 },         { _ ("Product"), PANGO_ALIGN_LEFT, 110 },
    { _ ("Lot"), PANGO_ALIGN_LEFT, 0 },         { _ ("Concentrate"), PANGO_ALIGN_LEFT, 0, TRUE },
    { _ ("Water"), PANGO_ALIGN_LEFT, 0, TRUE }, { _ ("Strength"), PANGO_ALIGN_LEFT, 0, TRUE },
    { _ ("Amounts are"), PANGO_ALIGN_LEFT, 0 }, { _ ("Measured"), PANGO_ALIGN_LEFT, 70 },
    { _ ("Warm"), PANGO_ALIGN_LEFT, 0, TRUE },  { _ ("Mixed"), PANGO_ALIGN_LEFT, 0 },
  };
  g_autoptr (TdTable) table = td_table_new (columns, G_N_ELEMENTS (columns), 6.9);
  g_autofree char *lost = td_units_volume (report->units, report->beer_lost_ml);
  g_autofree char *rinse = td_units_volume (report->units, report->rinse_water_ml);
  g_autofree char *sums
      = g_strdup_printf (_ ("Beer pushed out and lost: %s. Rinse water noted: %s."), lost, rinse);

  td_flow_add_heading (flow, 1, _ ("Chemicals"));
  if (report->chemicals->len == 0)
    td_flow_add_paragraph (flow, _ ("No chemical was mixed."), &td_style_text);
  for (guint i = 0; i < report->chemicals->len; i++)
    add_chemical (table, report, &g_array_index (report->chemicals, TdReportChemical, i));
  td_flow_add_table (flow, table);
  if (report->chemicals->len > 0)
    td_flow_add_paragraph (
        flow,
        _ ("w/w: grams of active substance in 100 g of solution. w/v: grams in 100 mL of solution. "
           "v/v: mL of concentrate in 100 mL of solution."),
        &td_style_small);
  add_labels (flow, report);
  add_disposals (flow, report);
  td_flow_add_paragraph (flow, sums, &td_style_text);
}

static char *
lifts_text (const TdReport *report, const TdReportLockout *lockout)
{
  GString *text = g_string_new (NULL);

  for (guint i = 0; i < lockout->lifts->len; i++)
    {
      const TdReportLift *lift = &g_array_index (lockout->lifts, TdReportLift, i);
      g_autofree char *at = td_report_clock (report, lift->at_ms),
                      *again = td_report_clock (report, lift->again_ms);

      g_string_append_printf (text, _ ("%s%s to %s, %s"), i > 0 ? "\n" : "", at,
                              lift->again_ms != TD_NONE ? again : _ ("NOT HUNG AGAIN"),
                              lift->by != NULL ? lift->by : DASH);
    }
  if (text->len == 0)
    g_string_append (text, DASH);
  return g_string_free (text, FALSE);
}

static char *
removed_text (const TdReport *report, const TdReportLockout *lockout)
{
  g_autofree char *clock = td_report_clock (report, lockout->removed_ms);

  if (lockout->removed_ms == TD_NONE)
    return g_strdup (_ ("STILL HANGS"));
  return g_strdup_printf ("%s, %s%s", clock, lockout->removed_by,
                          lockout->employer_procedure ? _ ("\nby the employer's procedure") : "");
}

static void
add_lockout (TdTable *table, const TdReport *report, const TdReportLockout *lockout)
{
  g_autofree char *clock = td_report_clock (report, lockout->hung_ms);
  g_autofree char *hung = NULL, *lifts = lifts_text (report, lockout),
                  *removed = removed_text (report, lockout);
  g_autofree char *where = g_strdup_printf (
      "%s (%s)", lockout->place != NULL ? lockout->place : DASH, td_word (lockout->holds));

  if (g_strcmp0 (lockout->owner, lockout->hung_by) != 0)
    hung = g_strdup_printf (_ ("%s, %s\nhanded to %s"), clock, lockout->hung_by, lockout->owner);
  else
    hung = g_strdup_printf ("%s, %s", clock, lockout->hung_by);
  td_table_add (table, lockout->tag, td_word (lockout->kind), where, lockout->legend, hung, lifts,
                removed);
  if (lockout->removed_ms == TD_NONE)
    td_table_set_marked (table);
}

static void
add_safety_list (TdFlow *flow, const TdReport *report)
{
  for (guint i = 0; i < report->staff->len; i++)
    {
      const TdReportRemark *told = &g_array_index (report->staff, TdReportRemark, i);
      g_autofree char *clock = td_report_clock (report, told->at_ms);
      g_autofree char *text
          = g_strdup_printf (_ ("Staff told, %s: %s, at %s."), told->place, told->what, clock);

      td_flow_add_item (flow, "\xe2\x80\xa2", text, &td_style_text);
    }
  for (guint i = 0; i < report->rooms->len; i++)
    {
      const TdReportRemark *room = &g_array_index (report->rooms, TdReportRemark, i);
      g_autofree char *clock = td_report_clock (report, room->at_ms);
      g_autofree char *figure = room->figure != TD_NONE
                                    ? g_strdup_printf (" (%" G_GINT64_FORMAT " ppm)", room->figure)
                                    : g_strdup ("");
      g_autofree char *text
          = g_strdup_printf (_ ("%s checked at %s: carbon dioxide %s%s, way in and out %s. %s"),
                             room->place, clock, td_word (room->what), figure,
                             td_word (room->action), room->text != NULL ? room->text : "");

      td_flow_add_item (flow, "\xe2\x80\xa2", text, &td_style_text);
    }
}

static char *
worn_text (const char *worn)
{
  g_auto (GStrv) words = g_strsplit (worn, " ", -1);
  GString *text = g_string_new (NULL);

  for (guint i = 0; words[i] != NULL && *words[i] != '\0'; i++)
    g_string_append_printf (text, "%s%s", i > 0 ? ", " : "", td_field_name (words[i]));
  if (text->len == 0)
    g_string_append (text, _ ("nothing"));
  return g_string_free (text, FALSE);
}

static void
add_protection_list (TdFlow *flow, const TdReport *report)
{
  for (guint i = 0; i < report->protection->len; i++)
    {
      const TdReportRemark *on = &g_array_index (report->protection, TdReportRemark, i);
      g_autofree char *clock = td_report_clock (report, on->at_ms), *worn = worn_text (on->what);
      g_autofree char *text
          = g_strdup_printf (_ ("Protection put on at %s, %s: %s."), clock, on->place, worn);

      td_flow_add_item (flow, "\xe2\x80\xa2", text, &td_style_text);
    }
  for (guint i = 0; i < report->cooling->len; i++)
    {
      const TdReportRemark *turn = &g_array_index (report->cooling, TdReportRemark, i);
      g_autofree char *clock = td_report_clock (report, turn->at_ms);
      g_autofree char *text = g_strdup_printf (_ ("Cooling of %s %s at %s."), turn->place,
                                               td_word (turn->what), clock);

      td_flow_add_item (flow, "\xe2\x80\xa2", text, &td_style_text);
    }
}

void
td_report_paint_lockouts (TdFlow *flow, const TdReport *report)
{
  const TdColumn columns[] = {
    { _ ("Tag"), PANGO_ALIGN_LEFT, 0 },
    { _ ("Kind"), PANGO_ALIGN_LEFT, 0 },
    { _ ("Where"), PANGO_ALIGN_LEFT, 0 },
    { _ ("Legend"), PANGO_ALIGN_LEFT, 80 },
    { _ ("Hung"), PANGO_ALIGN_LEFT, 0, FALSE },
    { _ ("Lifted, until hung again"), PANGO_ALIGN_LEFT, 0 },
    { _ ("Removed for good"), PANGO_ALIGN_LEFT, 0 },
  };
  g_autoptr (TdTable) table = td_table_new (columns, G_N_ELEMENTS (columns), 6.9);

  td_flow_add_heading (flow, 1, _ ("Kept safe"));
  for (guint i = 0; i < report->lockouts->len; i++)
    add_lockout (table, report, &g_array_index (report->lockouts, TdReportLockout, i));
  if (report->lockouts->len == 0)
    td_flow_add_paragraph (flow, _ ("No lockout tag was hung."), &td_style_text);
  td_flow_add_table (flow, table);
  add_safety_list (flow, report);
  add_protection_list (flow, report);
}
