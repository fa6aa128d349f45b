#include "draw-hours.h"

#include "draw-i18n.h"

#include <string.h>

#define LABEL_MM 30.0
#define NOTE_MM 44.0
#define SCALE_MM 6.0

const char *
td_hours_get_letter (TdPlanWork work)
{
  static const char *const letters[] = {
    [TD_PLAN_WORK_WALK] = "",      [TD_PLAN_WORK_WAIT] = "",   [TD_PLAN_WORK_SET_UP] = "s",
    [TD_PLAN_WORK_PUMP] = "P",     [TD_PLAN_WORK_PUSH_OUT] = "o", [TD_PLAN_WORK_FILL] = "c",
    [TD_PLAN_WORK_CONTACT] = "C",  [TD_PLAN_WORK_HOLD] = "h",  [TD_PLAN_WORK_RINSE] = "r",
    [TD_PLAN_WORK_FAUCET] = "f",   [TD_PLAN_WORK_PUT_BACK] = "b",
  };

  g_return_val_if_fail ((guint) work < G_N_ELEMENTS (letters), "");
  return letters[work];
}

static void
clear_row (gpointer data)
{
  TdHoursRow *row = data;

  g_free (row->label);
  g_free (row->note);
  g_free (row->bars);
}

void
td_hours_free (TdHours *hours)
{
  g_return_if_fail (hours != NULL);
  for (guint i = 0; i < hours->n_rows; i++)
    clear_row (&hours->rows[i]);
  g_free (hours->rows);
  g_free (hours->legend);
  g_free (hours);
}

/* What stands in a row. */
typedef struct
{
  guint circuit;
  const char *line;
  guint technician;
} Choice;

static gboolean
is_chosen (const TdPlanBar *bar, const Choice *choice)
{
  if (choice->technician > 0)
    return bar->technician == choice->technician;
  if (bar->work == TD_PLAN_WORK_WALK || bar->work == TD_PLAN_WORK_WAIT)
    return FALSE;
  if (choice->line != NULL)
    return g_strcmp0 (bar->line, choice->line) == 0;
  return bar->line == NULL && bar->circuit == choice->circuit;
}

static double
to_x (const TdHours *hours, gint64 seconds)
{
  return hours->left + (hours->right - hours->left) * (double) seconds / (double) MAX (hours->total_s, 1);
}

static TdHoursRow
make_row (const TdHours *hours, const TdPlanTime *time, const Choice *choice, char *label, guint at)
{
  g_autoptr (GArray) bars = g_array_new (FALSE, FALSE, sizeof (TdHoursBar));
  TdHoursRow row = { .label = label, .y = SCALE_MM + at * TD_HOURS_ROW_MM, .in_x = -1.0 };

  for (guint i = 0; i < time->n_bars; i++)
    {
      const TdPlanBar *bar = &time->bars[i];
      TdHoursBar own = { bar->work, to_x (hours, bar->from_s), 0.0 };

      if (!is_chosen (bar, choice))
        continue;
      own.width = to_x (hours, bar->to_s) - own.x;
      g_array_append_val (bars, own);
    }
  row.n_bars = bars->len;
  row.bars = (TdHoursBar *) g_array_steal (bars, NULL);
  return row;
}

static char *
get_title (const TdSite *site, const char *line)
{
  int outlet = td_site_find_outlet (site, line);

  return outlet >= 0 ? td_outlet_get_title (site, (guint) outlet) : g_strdup (line);
}

static char *
write_legend (void)
{
  GString *text = g_string_new (NULL);

  for (TdPlanWork work = TD_PLAN_WORK_SET_UP; work <= TD_PLAN_WORK_PUT_BACK; work++)
    g_string_append_printf (text, "%s%s %s", text->len > 0 ? " \xc2\xb7 " : "", td_hours_get_letter (work),
                            _ (td_plan_work_get_text (work)));
  return g_string_free (text, FALSE);
}

TdHours *
td_hours_new (const TdSite *site, const TdPlanOutlook *outlook, double width_mm)
{
  static const guint steps[] = { 5, 10, 15, 30, 60, 120, 240 };
  const TdPlanTime *time;
  TdHours *hours;
  guint n = 0;

  g_return_val_if_fail (site != NULL && outlook != NULL, NULL);
  time = outlook->time;
  hours = g_new0 (TdHours, 1);
  hours->width = MAX (width_mm, TD_HOURS_MIN_WIDTH_MM);
  hours->row_mm = TD_HOURS_ROW_MM;
  hours->left = LABEL_MM;
  hours->right = hours->width - NOTE_MM;
  hours->total_s = time->total_s;
  hours->tick_min = steps[0];
  for (guint i = 1; i < G_N_ELEMENTS (steps) && time->total_s / 60 > 10 * hours->tick_min; i++)
    hours->tick_min = steps[i];
  hours->rows = g_new0 (TdHoursRow, outlook->n_circuits + outlook->n_statics + outlook->technicians + 1);
  for (guint i = 0; i < outlook->n_circuits; i++, n++)
    {
      Choice choice = { .circuit = outlook->circuits[i].circuit->number };

      hours->rows[n] = make_row (hours, time, &choice, g_strdup_printf (_ ("Circuit %u"), choice.circuit), n);
      hours->rows[n].in_x = to_x (hours, time->chemical_s[i]);
      hours->rows[n].note
          = g_strdup_printf (_ ("in %d min before opening"), (int) ((time->latest_s[i] + 59) / 60));
    }
  for (guint i = 0; i < outlook->n_statics; i++, n++)
    {
      Choice choice = { .line = outlook->statics[i].still->line };

      hours->rows[n] = make_row (hours, time, &choice, get_title (site, choice.line), n);
    }
  for (guint i = 1; i <= outlook->technicians; i++, n++)
    {
      Choice choice = { .technician = i };

      hours->rows[n] = make_row (hours, time, &choice, g_strdup_printf (_ ("Technician %u"), i), n);
    }
  hours->n_rows = n;
  hours->legend = write_legend ();
  hours->height = SCALE_MM + (n + 1) * TD_HOURS_ROW_MM + 1.0;
  return hours;
}
