/* Adopting a plan: what was run already stays, the rest is laid out anew. */
#include <string.h>

#include "core-error.h"
#include "core-fold.h"

static gboolean
has_events (const TdFold *fold, guint outlet)
{
  return fold->first_chemical[outlet] != G_MAXINT64;
}

/* TRUE where chemical was sent through the circuit by that number. */
static gboolean
is_run (const TdFold *fold, int number)
{
  for (guint i = 0; i < fold->visit->n_lines; i++)
    {
      const GArray *events = fold->events[i];

      for (guint k = 0; events != NULL && has_events (fold, i) && k < events->len; k++)
        if (g_array_index (events, TdLineEvent, k).circuit == number)
          return TRUE;
    }
  return FALSE;
}

static const char *
get_text (const TdJson *object, const char *key)
{
  return td_json_get_string (td_json_get_member (object, key));
}

static TdLeg
read_leg (const TdSite *site, const TdJson *json)
{
  return (TdLeg){
    .outlet = (guint)td_site_find_outlet (site, get_text (json, "line")),
    .direction
    = strcmp (get_text (json, "direction"), "in") == 0 ? TD_DIRECTION_IN : TD_DIRECTION_OUT,
    .reversal = strcmp (get_text (json, "reversal"), "yes") == 0,
  };
}

static gboolean
has_same_legs (const TdSite *site, const TdVisitCircuit *circuit, const TdJson *legs)
{
  if (circuit->legs->len != td_json_get_length (legs))
    return FALSE;
  for (guint i = 0; i < circuit->legs->len; i++)
    {
      const TdLeg *old = &g_array_index (circuit->legs, TdLeg, i);
      TdLeg leg = read_leg (site, td_json_get_element (legs, i));

      if (old->outlet != leg.outlet || old->direction != leg.direction)
        return FALSE;
    }
  return TRUE;
}

/* A number stands for the same lines as long as its clock and record hang on it. */
static gboolean
check_numbers (const TdFold *fold, const TdEntry *entry, const TdJson *circuits, GError **error)
{
  for (guint i = 0; i < td_json_get_length (circuits); i++)
    {
      const TdJson *json = td_json_get_element (circuits, i);
      int number = (int)td_json_get_integer (td_json_get_member (json, "number"));
      const TdVisitCircuit *old = td_visit_find_circuit (fold->visit, number);

      if (old == NULL || !is_run (fold, number)
          || has_same_legs (fold->visit->site, old, td_json_get_member (json, "legs")))
        continue;
      td_fold_set_error (
          entry, TD_ERROR_IMPOSSIBLE, error,
          "chemical has been sent through circuit %d with other lines: give the new circuit "
          "another number",
          number);
      return FALSE;
    }
  return TRUE;
}

static void
forget_plan (TdFold *fold)
{
  TdVisit *visit = fold->visit;

  g_array_set_size (visit->statics, 0);
  for (guint i = 0; i < visit->n_lines; i++)
    {
      TdVisitLine *line = &visit->lines[i];

      /* A line that was cleaned keeps what it was cleaned by, unless the new plan names it. */
      if (has_events (fold, i))
        continue;
      line->method = TD_METHOD_NONE;
      line->circuit = 0;
      line->direction = TD_DIRECTION_OUT;
      line->reversal = FALSE;
    }
}

/* What the plan expects of the circuit, or NULL. */
static const TdJson *
find_predicted (const TdEntry *entry, int number)
{
  const TdJson *predicted = td_json_get_member (entry->body, "predicted");
  const TdJson *circuits;

  if (predicted == NULL)
    return NULL;
  circuits = td_json_get_member (predicted, "circuits");
  for (guint i = 0; i < td_json_get_length (circuits); i++)
    {
      const TdJson *circuit = td_json_get_element (circuits, i);

      if (td_json_get_integer (td_json_get_member (circuit, "number")) == number)
        return circuit;
    }
  return NULL;
}

static gint64
get_figure (const TdJson *predicted, const char *key, gint64 missing)
{
  const TdJson *figure = predicted != NULL ? td_json_get_member (predicted, key) : NULL;

  return figure != NULL ? td_json_get_integer (figure) : missing;
}

static void
read_predicted (TdVisitCircuit *circuit, const TdJson *predicted)
{
  circuit->predicted_flow_ml_min = get_figure (predicted, "flow_ml_min", 0);
  circuit->predicted_fill_s = get_figure (predicted, "fill_s", -1);
  circuit->predicted_volume_ml = get_figure (predicted, "volume_ml", -1);
  circuit->predicted_velocity_mm_s = get_figure (predicted, "velocity_mm_s", -1);
  circuit->predicted_rinse_s = get_figure (predicted, "rinse_s", -1);
  circuit->predicted_rinse_ml = get_figure (predicted, "rinse_ml", -1);
}

/* Takes over from the circuit of that number what was switched and seen, if it has not changed. */
static TdVisitCircuit
read_circuit (TdFold *fold, const TdEntry *entry, const TdJson *json)
{
  TdVisit *visit = fold->visit;
  const TdJson *legs = td_json_get_member (json, "legs");
  TdVisitCircuit circuit
      = { .number = (int)td_json_get_integer (td_json_get_member (json, "number")) };
  const TdVisitCircuit *old = td_visit_find_circuit (visit, circuit.number);

  circuit.station = get_text (json, "station");
  read_predicted (&circuit, find_predicted (entry, circuit.number));
  circuit.legs = g_array_new (FALSE, TRUE, sizeof (TdLeg));
  circuit.pump
      = old != NULL ? g_array_ref (old->pump) : g_array_new (FALSE, TRUE, sizeof (TdSwitch));
  if (old != NULL && has_same_legs (visit->site, old, legs))
    {
      circuit.return_in_bucket = old->return_in_bucket;
      circuit.flow = old->flow;
      circuit.rinse_water_ml = old->rinse_water_ml;
    }
  for (guint i = 0; i < td_json_get_length (legs); i++)
    {
      TdLeg leg = read_leg (visit->site, td_json_get_element (legs, i));
      TdVisitLine *line = &visit->lines[leg.outlet];

      g_array_append_val (circuit.legs, leg);
      line->method = TD_METHOD_CIRCULATING;
      line->circuit = circuit.number;
      line->direction = leg.direction;
      line->reversal = leg.reversal;
    }
  return circuit;
}

static int
compare_circuits (gconstpointer a, gconstpointer b)
{
  return ((const TdVisitCircuit *)a)->number - ((const TdVisitCircuit *)b)->number;
}

static void
lay_circuits (TdFold *fold, const TdEntry *entry, const TdJson *json)
{
  TdVisit *visit = fold->visit;
  GArray *fresh = g_array_new (FALSE, TRUE, sizeof (TdVisitCircuit));

  for (guint i = 0; i < td_json_get_length (json); i++)
    {
      TdVisitCircuit circuit = read_circuit (fold, entry, td_json_get_element (json, i));

      g_array_append_val (fresh, circuit);
    }
  for (guint i = visit->circuits->len; i-- > 0;)
    {
      int number = g_array_index (visit->circuits, TdVisitCircuit, i).number;
      gboolean again = FALSE;

      for (guint k = 0; k < fresh->len && !again; k++)
        again = g_array_index (fresh, TdVisitCircuit, k).number == number;
      if (again || !is_run (fold, number))
        g_array_remove_index (visit->circuits, i);
    }
  if (fresh->len > 0)
    g_array_append_vals (visit->circuits, fresh->data, fresh->len);
  g_array_unref (fresh);
  g_array_sort (visit->circuits, compare_circuits);
}

static void
lay_statics (TdVisit *visit, const TdJson *json)
{
  for (guint i = 0; i < td_json_get_length (json); i++)
    {
      const TdJson *item = td_json_get_element (json, i);
      const TdJson *fed_by = td_json_get_member (item, "fed_by");
      TdVisitStatic held = {
        .outlet = (guint)td_site_find_outlet (visit->site, get_text (item, "line")),
        .cooler = (guint)td_site_find_cooler (visit->site, get_text (item, "cooler")),
        .fed_by = fed_by != NULL ? (int)td_json_get_integer (fed_by) : 0,
      };
      TdVisitLine *line = &visit->lines[held.outlet];

      g_array_append_val (visit->statics, held);
      line->method = TD_METHOD_STATIC;
      line->circuit = 0;
      line->direction = TD_DIRECTION_OUT;
      line->reversal = FALSE;
    }
}

/* A side faucet that the plan does not name is held static at its own outlet when its line is
 * cleaned. */
static void
lay_side_faucets (TdVisit *visit)
{
  for (guint i = 0; i < visit->n_lines; i++)
    {
      const TdOutlet *place = &visit->site->outlets[i];

      if (place->side >= 0 && visit->lines[i].method == TD_METHOD_NONE
          && visit->lines[i - (guint)place->side - 1].method != TD_METHOD_NONE)
        visit->lines[i].method = TD_METHOD_STATIC;
    }
}

gboolean
td_fold_plan (TdFold *fold, const TdEntry *entry, GError **error)
{
  const TdJson *plan = td_json_get_member (entry->body, "plan");
  const TdJson *circuits;

  if (!td_plan_is_possible (fold->visit->site, plan, error))
    {
      g_prefix_error (error, "%s: ", td_kind_get_code (entry->envelope.kind));
      return FALSE;
    }
  circuits = td_json_get_member (plan, "circuits");
  if (!check_numbers (fold, entry, circuits, error))
    return FALSE;
  forget_plan (fold);
  lay_circuits (fold, entry, circuits);
  lay_statics (fold->visit, td_json_get_member (plan, "static"));
  lay_side_faucets (fold->visit);
  fold->visit->plan_adopted = td_fold_get_stamp (entry);
  fold->visit->planned_minutes = td_fold_get_integer (entry, "minutes", 0);
  return TRUE;
}
