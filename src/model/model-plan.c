#include "model-plan.h"

#include "core-leg.h"
#include "core-plan-check.h"
#include "core-units.h"
#include "model-i18n.h"
#include "model-steps-private.h"

#include <math.h>
#include <string.h>

static const char *const wish_texts[] = { "none", "static", "leave-out", "no-reversal" };

TdPlanWishes *
td_plan_wishes_new (const TdVisit *visit)
{
  TdPlanWishes *wishes = g_new0 (TdPlanWishes, 1);

  g_assert (visit != NULL);
  wishes->n_outlets = visit->n_lines;
  wishes->wishes = g_new0 (TdWish, MAX (visit->n_lines, 1));
  wishes->circuits = g_ptr_array_new_with_free_func ((GDestroyNotify) g_array_unref);
  return wishes;
}

void
td_plan_wishes_free (TdPlanWishes *wishes)
{
  if (wishes == NULL)
    return;
  g_free (wishes->wishes);
  g_free (wishes->station);
  g_ptr_array_unref (wishes->circuits);
  g_free (wishes);
}

static void
pin (TdPlanPins *pins, TdPinKind kind, const char *id)
{
  const char *const ids[] = { id, NULL };

  td_plan_pins_add (pins, kind, ids);
}

TdPlanPins *
td_plan_wishes_to_pins (const TdPlanWishes *wishes, const TdVisit *visit)
{
  static const TdPinKind kinds[] = { 0, TD_PIN_STATIC, TD_PIN_LEAVE_OUT, TD_PIN_NO_REVERSAL };
  TdPlanPins *pins = td_plan_pins_new ();

  g_return_val_if_fail (wishes != NULL && visit != NULL && wishes->n_outlets == visit->n_lines, pins);
  for (guint i = 0; i < visit->n_lines; i++)
    {
      const char *id = visit->site->outlets[i].id;

      if (!td_line_is_wanted (visit, i) || wishes->wishes[i] == TD_WISH_LEAVE_OUT)
        pin (pins, TD_PIN_LEAVE_OUT, id);
      else if (wishes->wishes[i] != TD_WISH_NONE)
        pin (pins, kinds[wishes->wishes[i]], id);
    }
  if (wishes->station != NULL)
    pin (pins, TD_PIN_STATION, wishes->station);
  for (guint i = 0; i < wishes->circuits->len; i++)
    {
      const GArray *lines = g_ptr_array_index (wishes->circuits, i);
      g_autoptr (GPtrArray) ids = g_ptr_array_new ();

      for (guint j = 0; j < lines->len; j++)
        g_ptr_array_add (ids, (gpointer) visit->site->outlets[g_array_index (lines, guint, j)].id);
      g_ptr_array_add (ids, NULL);
      td_plan_pins_add (pins, TD_PIN_CIRCUIT, (const char *const *) ids->pdata);
    }
  return pins;
}

gboolean
td_wish_from_text (const char *text, TdWish *wish_out)
{
  for (gsize i = 0; i < G_N_ELEMENTS (wish_texts); i++)
    if (g_strcmp0 (wish_texts[i], text) == 0)
      {
        *wish_out = (TdWish) i;
        return TRUE;
      }
  return FALSE;
}

const char *
td_wish_to_text (TdWish wish)
{
  g_return_val_if_fail ((guint) wish < G_N_ELEMENTS (wish_texts), "");
  return wish_texts[wish];
}

char *
td_plan_to_words (const TdPlan *plan)
{
  GString *text = g_string_new (NULL);

  g_return_val_if_fail (plan != NULL, g_string_free (text, FALSE));
  g_string_append_printf (text, g_dngettext (NULL, "%u circuit", "%u circuits", plan->n_circuits), plan->n_circuits);
  if (plan->n_statics > 0)
    g_string_append_printf (text, g_dngettext (NULL, ", %u static line", ", %u static lines", plan->n_statics), plan->n_statics);
  if (plan->reversals > 0)
    g_string_append_printf (text, g_dngettext (NULL, ", %u lever to set", ", %u levers to set", plan->reversals),
                            plan->reversals);
  if (!isnan (plan->minutes) && plan->minutes > 0)
    g_string_append_printf (text, _ (", about %.0f min"), plan->minutes);
  if (plan->gap != NULL)
    g_string_append_printf (text, ". %s", plan->gap);
  return g_string_free (text, FALSE);
}

char *
td_plan_hours_to_words (const TdPlanOutlook *outlook)
{
  GString *text = g_string_new (NULL);

  g_return_val_if_fail (outlook != NULL, g_string_free (text, FALSE));
  g_string_append_printf (text, g_dngettext (NULL, "One technician: %d min", "Two technicians: %d min", outlook->technicians),
                          (int) ((outlook->time->total_s + 59) / 60));
  for (guint i = 0; i < outlook->n_circuits; i++)
    g_string_append_printf (text, i == 0 ? _ (". Chemical in at the latest before opening: circuit %u %d min")
                                         : _ (", circuit %u %d min"),
                            outlook->circuits[i].circuit->number, (int) ((outlook->time->latest_s[i] + 59) / 60));
  return g_string_free (text, FALSE);
}

/* (transfer full) */
static char *
write_litres (double litres)
{
  char buffer[G_ASCII_DTOSTR_BUF_SIZE];

  return g_strdup (isfinite (litres) ? g_ascii_formatd (buffer, sizeof buffer, "%.1f", litres) : "\xe2\x80\x94");
}

char *
td_plan_amounts_to_words (const TdPlanOutlook *outlook)
{
  g_autofree char *reused = NULL;
  g_autofree char *fresh = NULL;
  g_autofree char *rinse = NULL;
  g_autofree char *lost = NULL;
  gboolean laminar = FALSE;

  g_return_val_if_fail (outlook != NULL, NULL);
  reused = write_litres (outlook->reused_l);
  fresh = write_litres (outlook->fresh_l);
  rinse = write_litres (outlook->rinse_l);
  lost = write_litres (outlook->beer_lost_ml / 1000.0);
  for (guint i = 0; i < outlook->n_circuits; i++)
    laminar |= outlook->circuits[i].rinse.laminar;
  return g_strdup_printf (_ ("Solution to mix: %s L where one filling serves all circuits, %s L where each gets its own. "
                             "Rinse water: about %s L; the pH decides. Beer lost: about %s L%s"),
                          reused, fresh, rinse, lost,
                          laminar ? _ (". A circuit flows so slowly that it rinses badly: flush it faster") : "");
}

char *
td_plan_marked_to_words (const TdVisit *visit, const GArray *lines)
{
  g_autoptr (GArray) own = g_array_new (FALSE, FALSE, sizeof (guint));
  g_autoptr (TdLegModel) model = NULL;
  g_autoptr (GPtrArray) faults = NULL;
  g_autoptr (GError) error = NULL;
  GString *text;

  g_return_val_if_fail (visit != NULL && lines != NULL, NULL);
  if (lines->len == 0)
    return g_strdup ("");
  for (guint i = 0; i < lines->len; i++)
    {
      const TdOutlet *outlet = &visit->site->outlets[g_array_index (lines, guint, i)];

      if (outlet->side >= 0)
        return g_strdup_printf (_ ("%s is a side faucet: it can only be held static."), outlet->id);
      g_array_append_val (own, outlet->line);
    }
  model = td_leg_model_new (visit->site, visit->settings, &error);
  if (model == NULL)
    return g_strdup (error->message);
  faults = td_plan_check_lines (visit->site, model, (const guint *) own->data, own->len);
  if (faults->len == 0)
    return g_strdup (_ ("The marked lines can run together as one circuit."));
  text = g_string_new (NULL);
  for (guint i = 0; i < faults->len; i++)
    g_string_append_printf (text, "%s%s", i > 0 ? " " : "", ((const TdPlanFault *) g_ptr_array_index (faults, i))->text);
  return g_string_free (text, FALSE);
}

char *
td_plan_line_to_words (const TdPlan *plan, const char *line)
{
  const TdPlanCircuit *circuit;
  const TdPlanLeg *leg;
  const TdPlanStatic *row;

  g_return_val_if_fail (plan != NULL && line != NULL, NULL);
  circuit = td_plan_find_circuit (plan, line);
  leg = td_plan_find_leg (plan, line);
  row = td_plan_find_static (plan, line);
  if (leg != NULL && circuit != NULL)
    return g_strdup_printf ("%s%u, %s%s", _ ("Circuit "), circuit->number, leg->runs_in ? _ ("runs in") : _ ("runs out"),
                            leg->reversal ? _ (", lever set inwards") : "");
  if (row != NULL)
    return g_strdup_printf ("%s%s%s", _ ("Static"), row->why != NULL ? ": " : "", row->why != NULL ? row->why : "");
  return g_strdup (_ ("Not cleaned"));
}
