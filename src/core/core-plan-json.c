/* Plans as JSON: "tundish-plan/1" out and in, and the body of the journal. */
#include "core-plan.h"

#include <math.h>
#include <string.h>

#include "core-error.h"
#include "core-json-build.h"
#include "core-plan-outlook.h"

/* ---- writing ---- */

static void
write_figure (TdJsonBuilder *b, const char *key, double value, int decimals)
{
  if (isfinite (value))
    td_json_builder_member_real (b, key, value, decimals);
  else
    td_json_builder_member_null (b, key);
}

static void
write_strings (TdJsonBuilder *b, const char *key, char **strings)
{
  if (strings == NULL || strings[0] == NULL)
    return;
  td_json_builder_key (b, key);
  td_json_builder_begin_array (b);
  for (guint i = 0; strings[i] != NULL; i++)
    td_json_builder_string (b, strings[i]);
  td_json_builder_end (b);
}

static void
write_leg (TdJsonBuilder *b, const TdPlanLeg *leg, gboolean body)
{
  td_json_builder_begin_object (b);
  td_json_builder_member_string (b, "line", leg->line);
  td_json_builder_member_string (b, "direction", leg->runs_in ? "in" : "out");
  if (body)
    td_json_builder_member_string (b, "reversal", leg->reversal ? "yes" : "no");
  else
    {
      td_json_builder_member_boolean (b, "reversal", leg->reversal);
      write_figure (b, "velocity_m_s", leg->velocity_m_s, 3);
      write_figure (b, "reynolds", leg->reynolds, 0);
      if (leg->why != NULL)
        td_json_builder_member_string (b, "why", leg->why);
    }
  td_json_builder_end (b);
}

static void
write_circuit (TdJsonBuilder *b, const TdPlanCircuit *circuit, gboolean body)
{
  td_json_builder_begin_object (b);
  td_json_builder_member_integer (b, "number", circuit->number);
  td_json_builder_member_string (b, "station", circuit->station);
  if (!body)
    {
      write_figure (b, "flow_l_min", circuit->flow_l_min, 3);
      write_figure (b, "pump_head_m", circuit->pump_head_m, 3);
      write_figure (b, "max_pressure_kpa", circuit->max_pressure_kpa, 1);
      write_figure (b, "volume_l", circuit->volume_l, 3);
      write_figure (b, "fill_s", circuit->fill_s, 1);
      write_figure (b, "turnovers", circuit->turnovers, 2);
    }
  td_json_builder_key (b, "legs");
  td_json_builder_begin_array (b);
  for (guint i = 0; i < circuit->n_legs; i++)
    write_leg (b, &circuit->legs[i], body);
  td_json_builder_end (b);
  td_json_builder_end (b);
}

static void
write_static (TdJsonBuilder *b, const TdPlanStatic *still, gboolean body)
{
  td_json_builder_begin_object (b);
  td_json_builder_member_string (b, "line", still->line);
  td_json_builder_member_string (b, "cooler", still->cooler);
  if (still->fed_by > 0)
    td_json_builder_member_integer (b, "fed_by", still->fed_by);
  else if (!body)
    td_json_builder_member_null (b, "fed_by");
  if (!body && still->why != NULL)
    td_json_builder_member_string (b, "why", still->why);
  td_json_builder_end (b);
}

static void
write_work (TdJsonBuilder *b, const TdPlan *plan, gboolean body)
{
  td_json_builder_key (b, "circuits");
  td_json_builder_begin_array (b);
  for (guint i = 0; i < plan->n_circuits; i++)
    write_circuit (b, &plan->circuits[i], body);
  td_json_builder_end (b);
  td_json_builder_key (b, "static");
  td_json_builder_begin_array (b);
  for (guint i = 0; i < plan->n_statics; i++)
    write_static (b, &plan->statics[i], body);
  td_json_builder_end (b);
  if (!body)
    write_strings (b, "left_out", plan->left_out);
}

TdJson *
td_plan_to_json (const TdPlan *plan)
{
  g_return_val_if_fail (plan != NULL, NULL);

  g_autoptr (TdJsonBuilder) b = td_json_builder_new ();
  td_json_builder_begin_object (b);
  td_json_builder_member_string (b, "format", TD_PLAN_FORMAT);
  write_work (b, plan, FALSE);
  td_json_builder_key (b, "totals");
  td_json_builder_begin_object (b);
  td_json_builder_member_integer (b, "static", plan->n_statics);
  td_json_builder_member_integer (b, "circuits", plan->n_circuits);
  td_json_builder_member_integer (b, "reversals", plan->reversals);
  write_figure (b, "solution_l", plan->solution_l, 2);
  write_figure (b, "minutes", plan->minutes, 0);
  td_json_builder_end (b);
  td_json_builder_member_boolean (b, "proven", plan->proven);
  td_json_builder_key (b, "bound");
  td_json_builder_begin_object (b);
  td_json_builder_member_integer (b, "static", plan->bound_static);
  td_json_builder_member_integer (b, "circuits", plan->bound_circuits);
  td_json_builder_end (b);
  if (plan->gap != NULL)
    td_json_builder_member_string (b, "gap", plan->gap);
  write_strings (b, "warnings", plan->warnings);
  td_json_builder_end (b);
  return td_json_builder_finish (b);
}

TdJson *
td_plan_to_body (const TdPlan *plan)
{
  g_return_val_if_fail (plan != NULL, NULL);

  g_autoptr (TdJsonBuilder) b = td_json_builder_new ();
  td_json_builder_begin_object (b);
  write_work (b, plan, TRUE);
  td_json_builder_end (b);
  return td_json_builder_finish (b);
}

static void
write_whole (TdJsonBuilder *b, const char *key, double value)
{
  if (isfinite (value))
    td_json_builder_member_integer (b, key, llround (value));
}

/* Of all legs: each is told in its widest tube. */
static double
get_slowest_m_s (const TdPlanCircuit *circuit)
{
  double slowest = INFINITY;

  for (guint i = 0; i < circuit->n_legs; i++)
    slowest = fmin (slowest, isnan (circuit->legs[i].velocity_m_s) ? INFINITY
                                                                   : circuit->legs[i].velocity_m_s);
  return slowest;
}

TdJson *
td_plan_to_predicted (const TdPlan *plan, const TdPlanOutlook *outlook)
{
  g_return_val_if_fail (plan != NULL, NULL);

  g_autoptr (TdJsonBuilder) b = td_json_builder_new ();
  guint n = 0;
  td_json_builder_begin_object (b);
  td_json_builder_key (b, "circuits");
  td_json_builder_begin_array (b);
  for (guint i = 0; i < plan->n_circuits; i++)
    {
      const TdPlanCircuit *circuit = &plan->circuits[i];
      if (!isfinite (circuit->flow_l_min))
        continue;
      td_json_builder_begin_object (b);
      td_json_builder_member_integer (b, "number", circuit->number);
      td_json_builder_member_integer (b, "flow_ml_min", llround (circuit->flow_l_min * 1000.0));
      write_whole (b, "fill_s", circuit->fill_s);
      write_whole (b, "volume_ml", circuit->volume_l * 1000.0);
      write_whole (b, "velocity_mm_s", get_slowest_m_s (circuit) * 1000.0);
      if (outlook != NULL)
        {
          write_whole (b, "rinse_s", outlook->circuits[i].rinse.seconds);
          write_whole (b, "rinse_ml", outlook->circuits[i].rinse.water_l * 1000.0);
        }
      td_json_builder_end (b);
      n++;
    }
  td_json_builder_end (b);
  td_json_builder_end (b);
  g_autoptr (TdJson) predicted = td_json_builder_finish (b);
  return n > 0 ? g_steal_pointer (&predicted) : NULL;
}

/* ---- reading ---- */

static gboolean
check_keys (const TdJson *object, const char *const *keys, const char *what, GError **error)
{
  if (td_json_get_kind (object) != TD_JSON_OBJECT)
    {
      td_json_set_error (object, TD_ERROR_SHAPE, error, "%s must be an object", what);
      return FALSE;
    }
  for (guint i = 0; i < td_json_get_length (object); i++)
    if (!g_strv_contains (keys, td_json_get_key (object, i)))
      {
        td_json_set_error (td_json_get_element (object, i), TD_ERROR_SHAPE, error,
                           "%s has no key \"%s\"; take it out", what, td_json_get_key (object, i));
        return FALSE;
      }
  return TRUE;
}

/* The member, or NULL where it is missing or null. */
static TdJson *
get_given (const TdJson *object, const char *key)
{
  TdJson *member = td_json_get_member (object, key);
  return member != NULL && td_json_get_kind (member) != TD_JSON_NULL ? member : NULL;
}

static gboolean
read_text (const TdJson *object,
           const char *key,
           gboolean required,
           char **text_out,
           GError **error)
{
  const TdJson *member = get_given (object, key);
  if (member == NULL && !required)
    return TRUE;
  if (member == NULL || td_json_get_kind (member) != TD_JSON_STRING
      || td_json_get_string (member)[0] == '\0')
    {
      td_json_set_error (member != NULL ? member : object, TD_ERROR_SHAPE, error,
                         "\"%s\" must be a text that is not empty", key);
      return FALSE;
    }
  *text_out = g_strdup (td_json_get_string (member));
  return TRUE;
}

static gboolean
read_count (const TdJson *object, const char *key, guint *count_out, GError **error)
{
  const TdJson *member = get_given (object, key);
  if (member == NULL)
    return TRUE;
  if (td_json_get_kind (member) != TD_JSON_INTEGER || td_json_get_integer (member) < 0
      || td_json_get_integer (member) > 1000000)
    {
      td_json_set_error (member, TD_ERROR_RANGE, error,
                         "\"%s\" must be a whole number from 0 to 1000000", key);
      return FALSE;
    }
  *count_out = (guint)td_json_get_integer (member);
  return TRUE;
}

/* @scale turns the number as written into the unit of @value_out. */
static gboolean
read_figure (const TdJson *object, const char *key, double scale, double *value_out, GError **error)
{
  const TdJson *member = get_given (object, key);
  if (member == NULL)
    return TRUE;
  if ((td_json_get_kind (member) != TD_JSON_INTEGER && td_json_get_kind (member) != TD_JSON_REAL)
      || td_json_get_number (member) < 0.0)
    {
      td_json_set_error (member, TD_ERROR_RANGE, error, "\"%s\" must be a number of 0 or more",
                         key);
      return FALSE;
    }
  *value_out = td_json_get_number (member) * scale;
  return TRUE;
}

/* true and false, or yes and no as a journal body has them. */
static gboolean
read_flag (const TdJson *object, const char *key, gboolean *flag_out, GError **error)
{
  const TdJson *member = get_given (object, key);
  if (member == NULL)
    return TRUE;
  if (td_json_get_kind (member) == TD_JSON_BOOLEAN)
    *flag_out = td_json_get_boolean (member);
  else if (td_json_get_kind (member) == TD_JSON_STRING
           && (g_str_equal (td_json_get_string (member), "yes")
               || g_str_equal (td_json_get_string (member), "no")))
    *flag_out = g_str_equal (td_json_get_string (member), "yes");
  else
    {
      td_json_set_error (member, TD_ERROR_SHAPE, error, "\"%s\" must be true or false", key);
      return FALSE;
    }
  return TRUE;
}

static gboolean
read_strings (const TdJson *object, const char *key, char ***strings_out, GError **error)
{
  const TdJson *member = get_given (object, key);
  if (member == NULL)
    return TRUE;
  g_autoptr (GStrvBuilder) strings = g_strv_builder_new ();
  guint n = td_json_get_kind (member) == TD_JSON_ARRAY ? td_json_get_length (member) : 0;
  for (guint i = 0; i < n; i++)
    if (td_json_get_kind (td_json_get_element (member, i)) == TD_JSON_STRING)
      g_strv_builder_add (strings, td_json_get_string (td_json_get_element (member, i)));
  g_auto (GStrv) read = g_strv_builder_end (strings);
  if (td_json_get_kind (member) != TD_JSON_ARRAY || g_strv_length (read) != n)
    {
      td_json_set_error (member, TD_ERROR_SHAPE, error, "\"%s\" must be an array of texts", key);
      return FALSE;
    }
  g_strfreev (*strings_out);
  *strings_out = g_steal_pointer (&read);
  return TRUE;
}

static gboolean
read_leg (const TdJson *json, TdPlanLeg *leg, GError **error)
{
  static const char *const keys[]
      = { "line", "direction", "reversal", "velocity_m_s", "reynolds", "why", NULL };
  g_autofree char *direction = NULL;

  leg->velocity_m_s = NAN;
  leg->reynolds = NAN;
  if (!check_keys (json, keys, "a leg", error) || !read_text (json, "line", TRUE, &leg->line, error)
      || !read_text (json, "direction", TRUE, &direction, error)
      || !read_flag (json, "reversal", &leg->reversal, error)
      || !read_figure (json, "velocity_m_s", 1.0, &leg->velocity_m_s, error)
      || !read_figure (json, "reynolds", 1.0, &leg->reynolds, error)
      || !read_text (json, "why", FALSE, &leg->why, error))
    return FALSE;
  if (!g_str_equal (direction, "in") && !g_str_equal (direction, "out"))
    {
      td_json_set_error (td_json_get_member (json, "direction"), TD_ERROR_SHAPE, error,
                         "\"direction\" must be \"in\" or \"out\"");
      return FALSE;
    }
  leg->runs_in = g_str_equal (direction, "in");
  return TRUE;
}

static gboolean
read_circuit_figures (const TdJson *json, TdPlanCircuit *circuit, GError **error)
{
  circuit->flow_l_min = circuit->pump_head_m = circuit->max_pressure_kpa = NAN;
  circuit->volume_l = circuit->fill_s = circuit->turnovers = NAN;
  return read_figure (json, "flow_l_min", 1.0, &circuit->flow_l_min, error)
         && read_figure (json, "flow_ml_min", 0.001, &circuit->flow_l_min, error)
         && read_figure (json, "pump_head_m", 1.0, &circuit->pump_head_m, error)
         && read_figure (json, "max_pressure_kpa", 1.0, &circuit->max_pressure_kpa, error)
         && read_figure (json, "volume_l", 1.0, &circuit->volume_l, error)
         && read_figure (json, "fill_s", 1.0, &circuit->fill_s, error)
         && read_figure (json, "turnovers", 1.0, &circuit->turnovers, error);
}

static gboolean
read_circuit (const TdJson *json, guint expected, TdPlanCircuit *circuit, GError **error)
{
  static const char *const keys[]
      = { "number",   "station", "flow_l_min", "flow_ml_min", "pump_head_m", "max_pressure_kpa",
          "volume_l", "fill_s",  "turnovers",  "legs",        NULL };
  if (!check_keys (json, keys, "a circuit", error)
      || !read_count (json, "number", &circuit->number, error)
      || !read_text (json, "station", TRUE, &circuit->station, error)
      || !read_circuit_figures (json, circuit, error))
    return FALSE;
  if (circuit->number != expected)
    {
      td_json_set_error (json, TD_ERROR_RANGE, error,
                         "circuits must be numbered 1, 2, 3 ... in order; this one must be %u",
                         expected);
      return FALSE;
    }
  const TdJson *legs = get_given (json, "legs");
  if (legs == NULL || td_json_get_kind (legs) != TD_JSON_ARRAY || td_json_get_length (legs) == 0)
    {
      td_json_set_error (json, TD_ERROR_SHAPE, error,
                         "\"legs\" must be an array of at least one leg");
      return FALSE;
    }
  circuit->legs = g_new0 (TdPlanLeg, td_json_get_length (legs));
  circuit->n_legs = td_json_get_length (legs);
  for (guint i = 0; i < circuit->n_legs; i++)
    if (!read_leg (td_json_get_element (legs, i), &circuit->legs[i], error))
      return FALSE;
  /* Where the first leg runs from its faucet, the pump stands at the tower. */
  circuit->at_cooler = !circuit->legs[0].runs_in;
  return TRUE;
}

static gboolean
read_static (const TdJson *json, guint n_circuits, TdPlanStatic *still, GError **error)
{
  static const char *const keys[] = { "line", "cooler", "fed_by", "why", NULL };
  if (!check_keys (json, keys, "a static line", error)
      || !read_text (json, "line", TRUE, &still->line, error)
      || !read_text (json, "cooler", TRUE, &still->cooler, error)
      || !read_count (json, "fed_by", &still->fed_by, error)
      || !read_text (json, "why", FALSE, &still->why, error))
    return FALSE;
  if (still->fed_by > n_circuits)
    {
      td_json_set_error (td_json_get_member (json, "fed_by"), TD_ERROR_RANGE, error,
                         "\"fed_by\" names circuit %u, but the plan has %u", still->fed_by,
                         n_circuits);
      return FALSE;
    }
  return TRUE;
}

/* The array under @key; missing is an error, empty is not. */
static const TdJson *
get_array (const TdJson *json, const char *key, GError **error)
{
  const TdJson *array = get_given (json, key);
  if (array == NULL || td_json_get_kind (array) != TD_JSON_ARRAY)
    {
      td_json_set_error (array != NULL ? array : json, TD_ERROR_SHAPE, error,
                         "a plan needs \"%s\", an array", key);
      return NULL;
    }
  return array;
}

static gboolean
read_work (const TdJson *json, TdPlan *plan, GError **error)
{
  const TdJson *circuits = get_array (json, "circuits", error);
  const TdJson *statics = circuits != NULL ? get_array (json, "static", error) : NULL;
  if (statics == NULL)
    return FALSE;
  plan->circuits = g_new0 (TdPlanCircuit, td_json_get_length (circuits) + 1);
  plan->n_circuits = td_json_get_length (circuits);
  for (guint i = 0; i < plan->n_circuits; i++)
    if (!read_circuit (td_json_get_element (circuits, i), i + 1, &plan->circuits[i], error))
      return FALSE;
  plan->statics = g_new0 (TdPlanStatic, td_json_get_length (statics) + 1);
  plan->n_statics = td_json_get_length (statics);
  for (guint i = 0; i < plan->n_statics; i++)
    if (!read_static (td_json_get_element (statics, i), plan->n_circuits, &plan->statics[i], error))
      return FALSE;
  for (guint c = 0; c < plan->n_circuits; c++)
    for (guint i = 0; i < plan->circuits[c].n_legs; i++)
      plan->reversals += plan->circuits[c].legs[i].reversal ? 1 : 0;
  return read_strings (json, "left_out", &plan->left_out, error);
}

static gboolean
read_totals (const TdJson *json, TdPlan *plan, GError **error)
{
  static const char *const keys[]
      = { "static", "circuits", "reversals", "solution_l", "minutes", NULL };
  const TdJson *totals = get_given (json, "totals");
  guint statics = plan->n_statics, circuits = plan->n_circuits, reversals = plan->reversals;

  plan->solution_l = plan->minutes = NAN;
  if (totals == NULL)
    return TRUE;
  if (!check_keys (totals, keys, "\"totals\"", error)
      || !read_count (totals, "static", &statics, error)
      || !read_count (totals, "circuits", &circuits, error)
      || !read_count (totals, "reversals", &reversals, error)
      || !read_figure (totals, "solution_l", 1.0, &plan->solution_l, error)
      || !read_figure (totals, "minutes", 1.0, &plan->minutes, error))
    return FALSE;
  if (statics != plan->n_statics || circuits != plan->n_circuits || reversals != plan->reversals)
    {
      td_json_set_error (
          totals, TD_ERROR_RANGE, error,
          "\"totals\" must agree with the plan: static %u, circuits %u, reversals %u",
          plan->n_statics, plan->n_circuits, plan->reversals);
      return FALSE;
    }
  return TRUE;
}

static gboolean
read_claim (const TdJson *json, TdPlan *plan, GError **error)
{
  static const char *const keys[] = { "static", "circuits", NULL };
  const TdJson *bound = get_given (json, "bound");
  if (!read_flag (json, "proven", &plan->proven, error)
      || !read_text (json, "gap", FALSE, &plan->gap, error)
      || !read_strings (json, "warnings", &plan->warnings, error))
    return FALSE;
  if (bound != NULL
      && (!check_keys (bound, keys, "\"bound\"", error)
          || !read_count (bound, "static", &plan->bound_static, error)
          || !read_count (bound, "circuits", &plan->bound_circuits, error)))
    return FALSE;
  return TRUE;
}

TdPlan *
td_plan_from_json (const TdJson *json, GError **error)
{
  static const char *const keys[] = { "format", "circuits", "static", "left_out", "totals",
                                      "proven", "bound",    "gap",    "warnings", "outlook", NULL };
  g_return_val_if_fail (json != NULL, NULL);

  if (!check_keys (json, keys, "a plan", error))
    return NULL;
  const TdJson *format = td_json_get_member (json, "format");
  if (format != NULL
      && (td_json_get_kind (format) != TD_JSON_STRING
          || !g_str_equal (td_json_get_string (format), TD_PLAN_FORMAT)))
    {
      td_json_set_error (format, TD_ERROR_SHAPE, error, "\"format\" must be \"%s\"",
                         TD_PLAN_FORMAT);
      return NULL;
    }
  g_autoptr (TdPlan) plan = td_plan_new ();
  if (!read_work (json, plan, error) || !read_totals (json, plan, error)
      || !read_claim (json, plan, error))
    return NULL;
  return g_steal_pointer (&plan);
}
