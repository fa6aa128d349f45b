#include "core-plan-outlook.h"

#include <math.h>
#include <string.h>

#include "core-json-build.h"

/* ---- JSON ---- */

static const char *const work_keys[]
    = { "walk", "wait", "set-up", "pump", "push-out", "fill", "contact", "hold", "rinse", "faucet", "put-back" };

static void
write_rinse (TdJsonBuilder *b, const TdOutlookRinse *rinse)
{
  td_json_builder_key (b, "rinse");
  td_json_builder_begin_object (b);
  td_json_builder_member_real (b, "water_l", rinse->water_l, 2);
  td_json_builder_member_real (b, "s", rinse->seconds, 0);
  td_json_builder_member_real (b, "volumes", rinse->volumes, 2);
  td_json_builder_member_real (b, "pockets_ml", rinse->pockets_ml, 0);
  td_json_builder_member_boolean (b, "reckoned", rinse->reckoned);
  td_json_builder_member_boolean (b, "laminar", rinse->laminar);
  td_json_builder_member_boolean (b, "uncertain", rinse->uncertain);
  td_json_builder_end (b);
}

static void
write_circuit (TdJsonBuilder *b, const TdPlanOutlook *outlook, guint at)
{
  const TdOutlookCircuit *circuit = &outlook->circuits[at];
  td_json_builder_begin_object (b);
  td_json_builder_member_integer (b, "number", circuit->circuit->number);
  td_json_builder_member_integer (b, "chemical_in_s", outlook->time->chemical_s[at]);
  td_json_builder_member_integer (b, "done_s", outlook->time->done_s[at]);
  td_json_builder_member_integer (b, "latest_before_opening_s", outlook->time->latest_s[at]);
  td_json_builder_key (b, "fronts");
  td_json_builder_begin_array (b);
  for (guint i = 0; i < circuit->circuit->n_legs; i++)
    {
      td_json_builder_begin_object (b);
      td_json_builder_member_string (b, "line", circuit->circuit->legs[i].line);
      td_json_builder_member_real (b, "s", circuit->fronts_s[i], 1);
      td_json_builder_end (b);
    }
  td_json_builder_end (b);
  write_rinse (b, &circuit->rinse);
  td_json_builder_member_real (b, "beer_lost_l", circuit->beer_lost_ml * 1e-3, 3);
  td_json_builder_end (b);
}

static void
write_static (TdJsonBuilder *b, const TdOutlookStatic *still)
{
  td_json_builder_begin_object (b);
  td_json_builder_member_string (b, "line", still->still->line);
  td_json_builder_member_real (b, "front_s", still->front_s, 1);
  write_rinse (b, &still->rinse);
  td_json_builder_member_real (b, "beer_lost_l", still->beer_lost_ml * 1e-3, 3);
  td_json_builder_end (b);
}

static void
write_bar (TdJsonBuilder *b, const TdPlanBar *bar)
{
  td_json_builder_begin_object (b);
  td_json_builder_member_string (b, "work", work_keys[bar->work]);
  if (bar->circuit > 0)
    td_json_builder_member_integer (b, "circuit", bar->circuit);
  if (bar->line != NULL)
    td_json_builder_member_string (b, "line", bar->line);
  if (bar->place != NULL)
    td_json_builder_member_string (b, "place", bar->place);
  if (bar->technician > 0)
    td_json_builder_member_integer (b, "technician", bar->technician);
  td_json_builder_member_integer (b, "from_s", bar->from_s);
  td_json_builder_member_integer (b, "to_s", bar->to_s);
  td_json_builder_end (b);
}

static void
write_amounts (TdJsonBuilder *b, const TdPlanOutlook *outlook)
{
  td_json_builder_key (b, "solution");
  td_json_builder_begin_object (b);
  td_json_builder_member_real (b, "reused_l", outlook->reused_l, 2);
  td_json_builder_member_real (b, "fresh_l", outlook->fresh_l, 2);
  td_json_builder_end (b);
  td_json_builder_key (b, "rinse");
  td_json_builder_begin_object (b);
  td_json_builder_member_real (b, "end_share", outlook->end_share, 9);
  td_json_builder_member_real (b, "water_l", outlook->rinse_l, 1);
  td_json_builder_end (b);
  td_json_builder_key (b, "beer");
  td_json_builder_begin_object (b);
  td_json_builder_member_real (b, "lost_l", outlook->beer_lost_ml * 1e-3, 2);
  if (outlook->beer_minor >= 0)
    td_json_builder_member_integer (b, "price_minor", outlook->beer_minor);
  else
    td_json_builder_member_null (b, "price_minor");
  td_json_builder_end (b);
}

TdJson *
td_plan_outlook_to_json (const TdPlanOutlook *outlook)
{
  g_return_val_if_fail (outlook != NULL, NULL);
  G_STATIC_ASSERT (G_N_ELEMENTS (work_keys) == TD_PLAN_WORK_PUT_BACK + 1);
  g_autoptr (TdJsonBuilder) b = td_json_builder_new ();

  td_json_builder_begin_object (b);
  td_json_builder_member_integer (b, "technicians", outlook->technicians);
  td_json_builder_member_integer (b, "minutes", (outlook->time->total_s + 59) / 60);
  td_json_builder_member_integer (b, "bound_minutes", (outlook->time->bound_s + 59) / 60);
  write_amounts (b, outlook);
  td_json_builder_key (b, "circuits");
  td_json_builder_begin_array (b);
  for (guint i = 0; i < outlook->n_circuits; i++)
    write_circuit (b, outlook, i);
  td_json_builder_end (b);
  td_json_builder_key (b, "static");
  td_json_builder_begin_array (b);
  for (guint i = 0; i < outlook->n_statics; i++)
    write_static (b, &outlook->statics[i]);
  td_json_builder_end (b);
  td_json_builder_key (b, "bars");
  td_json_builder_begin_array (b);
  for (guint i = 0; i < outlook->time->n_bars; i++)
    write_bar (b, &outlook->time->bars[i]);
  td_json_builder_end (b);
  td_json_builder_end (b);
  return td_json_builder_finish (b);
}

/* ---- text ---- */

/* One sign each, so that a chart reads without colour. */
static const char work_signs[] = "-.sPocChrfb";

static void
print (GString *text, const char *format, double value)
{
  char buffer[G_ASCII_DTOSTR_BUF_SIZE];
  g_string_append (text, isfinite (value) ? g_ascii_formatd (buffer, sizeof buffer, format, value) : "-");
}

/* Whose row a bar stands in. */
typedef struct
{
  char *name;
  guint circuit;    /* what runs by itself in a circuit */
  const char *line; /* or in a static line */
  guint technician; /* or what somebody does */
} Row;

static gboolean
stands_in (const TdPlanBar *bar, const Row *row)
{
  if (row->technician > 0)
    return bar->technician == row->technician;
  if (bar->work == TD_PLAN_WORK_WALK || bar->work == TD_PLAN_WORK_WAIT)
    return FALSE;
  if (row->line != NULL)
    return bar->line != NULL && strcmp (bar->line, row->line) == 0;
  return bar->line == NULL && bar->circuit == row->circuit;
}

/* The chemical in a line weighs more than the hand on it. */
static guint
rank (TdPlanWork work)
{
  return work == TD_PLAN_WORK_CONTACT || work == TD_PLAN_WORK_HOLD ? 2
         : work == TD_PLAN_WORK_WALK || work == TD_PLAN_WORK_WAIT  ? 0
                                                                   : 1;
}

static void
draw_row (GString *text, const TdPlanTime *time, const Row *row, guint width)
{
  g_autofree char *cells = g_strnfill (width, ' ');
  g_autofree guint *ranks = g_new0 (guint, width + 1);
  for (guint i = 0; i < time->n_bars; i++)
    {
      const TdPlanBar *bar = &time->bars[i];
      if (!stands_in (bar, row))
        continue;
      gint64 from = bar->from_s * width / MAX (time->total_s, 1);
      gint64 to = MAX (from + 1, bar->to_s * width / MAX (time->total_s, 1));
      for (gint64 k = from; k < MIN (to, width); k++)
        if (cells[k] == ' ' || rank (bar->work) >= ranks[k])
          {
            cells[k] = work_signs[bar->work];
            ranks[k] = rank (bar->work);
          }
    }
  g_string_append_printf (text, "%-14s|%s|\n", row->name, cells);
}

static void
draw_chart (GString *text, const TdPlanOutlook *outlook, guint columns)
{
  guint width = columns - 17;
  g_string_append_printf (text, "\n%-14s 0 %*" G_GINT64_FORMAT " min\n", "", (int)width - 6,
                          (outlook->time->total_s + 59) / 60);
  for (guint i = 0; i < outlook->n_circuits; i++)
    {
      g_autofree char *name = g_strdup_printf ("circuit %u", i + 1);
      draw_row (text, outlook->time, &(Row){ .name = name, .circuit = i + 1 }, width);
    }
  for (guint i = 0; i < outlook->n_statics; i++)
    {
      const char *line = outlook->statics[i].still->line;
      g_autofree char *name = g_strdup_printf ("static %.7s", line);
      draw_row (text, outlook->time, &(Row){ .name = name, .line = line }, width);
    }
  for (guint i = 1; i <= outlook->technicians; i++)
    {
      g_autofree char *name = g_strdup_printf ("technician %u", i);
      draw_row (text, outlook->time, &(Row){ .name = name, .technician = i }, width);
    }
  g_string_append (text, "s set up  P place the pump  o push out  c chemical in  C contact  h hold\n"
                         "r rinse  f faucet  b put back  - walk  . wait\n");
}

static void
tell_circuit (GString *text, const TdPlanOutlook *outlook, guint at)
{
  const TdOutlookCircuit *circuit = &outlook->circuits[at];
  g_string_append_printf (text, "circuit %-3u  chemical in at %3" G_GINT64_FORMAT " min, at the latest %3" G_GINT64_FORMAT
                                " min before opening; full after ",
                          circuit->circuit->number, outlook->time->chemical_s[at] / 60,
                          (outlook->time->latest_s[at] + 59) / 60);
  print (text, "%.0f", circuit->fronts_s[circuit->circuit->n_legs - 1]);
  g_string_append (text, " s; rinse ");
  print (text, "%.1f", circuit->rinse.water_l);
  g_string_append (text, " L (");
  print (text, "%.1f", circuit->rinse.volumes);
  g_string_append_printf (text, " volumes%s)\n",
                          circuit->rinse.laminar     ? ", laminar: flush faster"
                          : circuit->rinse.uncertain ? ", uncertain"
                          : circuit->rinse.reckoned  ? ", by rule of thumb"
                                                     : "");
}

char *
td_plan_outlook_to_text (const TdPlanOutlook *outlook, guint columns)
{
  g_return_val_if_fail (outlook != NULL && columns >= 60, NULL);
  GString *text = g_string_new (NULL);

  g_string_append_printf (text, "%" G_GINT64_FORMAT " min with %s (no order of the work takes less than %" G_GINT64_FORMAT " min)\n",
                          (outlook->time->total_s + 59) / 60,
                          outlook->technicians == 1 ? "one technician" : "two technicians",
                          (outlook->time->bound_s + 59) / 60);
  g_string_append (text, "solution to mix: ");
  print (text, "%.1f", outlook->reused_l);
  g_string_append (text, " L where one filling serves all circuits, ");
  print (text, "%.1f", outlook->fresh_l);
  g_string_append (text, " L where each gets its own\nrinse water: ");
  print (text, "%.0f", outlook->rinse_l);
  g_string_append (text, " L as a forecast; the pH against the tap's decides\nbeer lost: ");
  print (text, "%.1f", outlook->beer_lost_ml * 1e-3);
  g_string_append (text, " L");
  if (outlook->beer_minor >= 0)
    g_string_append_printf (text, ", at its price %" G_GINT64_FORMAT " minor units", outlook->beer_minor);
  g_string_append (text, "\n");
  for (guint i = 0; i < outlook->n_circuits; i++)
    tell_circuit (text, outlook, i);
  draw_chart (text, outlook, columns);
  return g_string_free (text, FALSE);
}
