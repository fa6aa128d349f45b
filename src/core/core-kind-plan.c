#include "core-kind-private.h"

#include "core-error.h"
#include "core-json-build.h"

/* The readers of the two objects that "plan adopted" carries.  They check shape and that the plan
 * agrees with itself; whether the site can be run so is asked when it is folded. */

/* clang-format off */
static const TdField leg_fields[] = {
  { "line", TD_FIELD_LINE, TRUE, .text = "the line" },
  { "direction", TD_FIELD_CHOICE, TRUE, "in|out", .text = "the way it runs" },
  { "reversal", TD_FIELD_CHOICE, TRUE, "yes|no", .text = "whether its lever is set inwards" },
  { NULL }
};

static const TdField static_fields[] = {
  { "line", TD_FIELD_LINE, TRUE, .text = "the line" },
  { "cooler", TD_FIELD_COOLER, TRUE, .text = "the cooler whose manifold feeds it" },
  { "fed_by", TD_FIELD_CIRCUIT, FALSE, .text = "the circuit that feeds it" },
  { NULL }
};

static const TdField circuit_fields[] = {
  { "number", TD_FIELD_CIRCUIT, TRUE, .text = "the number of the circuit" },
  { "station", TD_FIELD_TEXT, TRUE,
    .text = "the tower or cooler where the cleaning pump stands" },
  /* check_legs() reads them. */
  { "legs", TD_FIELD_PLAN, TRUE, .text = "the lines of the circuit in order of flow" },
  { NULL }
};

static const TdField predicted_fields[] = {
  { "number", TD_FIELD_CIRCUIT, TRUE, .text = "the number of the circuit" },
  { "flow_ml_min", TD_FIELD_INTEGER, TRUE, NULL, 0, 100000, "the flow" },
  { "fill_s", TD_FIELD_INTEGER, FALSE, NULL, 0, 86400, "the time until it is full" },
  { "volume_ml", TD_FIELD_INTEGER, FALSE, NULL, 0, 1000000, "what it holds" },
  { "velocity_mm_s", TD_FIELD_INTEGER, FALSE, NULL, 0, 100000, "the speed where it is slowest" },
  { "rinse_s", TD_FIELD_INTEGER, FALSE, NULL, 0, 86400, "the time to rinse it" },
  { "rinse_ml", TD_FIELD_INTEGER, FALSE, NULL, 0, 2000000, "the water to rinse it" },
  { NULL }
};
/* clang-format on */

typedef struct
{
  GHashTable *lines;    /* ids in the plan so far, borrowed */
  GHashTable *circuits; /* numbers in the plan so far */
} PlanSeen;

static gboolean
fail_plan (GError **error, const char *place, const char *text)
{
  g_set_error (error, TD_ERROR, TD_ERROR_SHAPE, "field %s: %s", place, text);
  return FALSE;
}

/* A line has one part in a plan. */
static gboolean
take_line (PlanSeen *seen, const char *place, const TdJson *row, GError **error)
{
  const char *line = td_json_get_string (td_json_get_member (row, "line"));
  g_autofree char *text = NULL;

  if (g_hash_table_add (seen->lines, (gpointer) line))
    return TRUE;
  text = g_strdup_printf ("line %s stands in the plan twice; give it one part", line);
  return fail_plan (error, place, text);
}

static gboolean
check_legs (PlanSeen *seen, const char *place, const TdJson *legs, GError **error)
{
  g_autofree char *key = g_strconcat (place, "legs", NULL);

  if (!td_field_check_array (place, "legs", legs, 1, TD_FIELD_MAX_ELEMENTS, error))
    return FALSE;
  for (guint i = 0; i < td_json_get_length (legs); i++)
    {
      const TdJson *leg = td_json_get_element (legs, i);
      g_autofree char *own = g_strdup_printf ("%s[%u].", key, i + 1);

      if (!td_fields_check_object (leg_fields, own, "leg", leg, error)
          || !take_line (seen, own, leg, error))
        return FALSE;
    }
  return TRUE;
}

static gboolean
check_circuit (PlanSeen *seen, const char *place, const TdJson *circuit, GError **error)
{
  gint64 number;

  if (!td_fields_check_object (circuit_fields, place, "circuit", circuit, error))
    return FALSE;
  number = td_json_get_integer (td_json_get_member (circuit, "number"));
  if (!g_hash_table_add (seen->circuits, GINT_TO_POINTER ((int) number)))
    return fail_plan (error, place,
                      "the number stands in the plan twice; number the circuits 1, 2, ...");
  return check_legs (seen, place, td_json_get_member (circuit, "legs"), error);
}

static gboolean
check_static (PlanSeen *seen, const char *place, const TdJson *row, GError **error)
{
  const TdJson *fed_by;

  if (!td_fields_check_object (static_fields, place, "static line", row, error)
      || !take_line (seen, place, row, error))
    return FALSE;
  fed_by = td_json_get_member (row, "fed_by");
  if (fed_by != NULL
      && !g_hash_table_contains (seen->circuits,
                                 GINT_TO_POINTER ((int) td_json_get_integer (fed_by))))
    return fail_plan (error, place,
                      "fed_by names a circuit that the plan does not have; leave it out "
                      "where the line has a set-up of its own");
  return TRUE;
}

/* Refuses members other than the two lists, and lists that are missing. */
static gboolean
check_lists (const TdJson *plan, GError **error)
{
  if (td_json_get_kind (plan) != TD_JSON_OBJECT)
    return fail_plan (error, "plan", "not an object; write circuits and static in braces");
  for (guint i = 0; i < td_json_get_length (plan); i++)
    {
      const char *key = td_json_get_key (plan, i);
      g_autofree char *place = g_strconcat ("plan.", key, NULL);

      if (g_strcmp0 (key, "circuits") != 0 && g_strcmp0 (key, "static") != 0)
        return fail_plan (error, place, "not a field of a plan, which has circuits, static");
      if (!td_field_check_array ("plan.", key, td_json_get_element (plan, i), 0,
                                 TD_FIELD_MAX_ELEMENTS, error))
        return FALSE;
    }
  if (td_json_get_member (plan, "circuits") == NULL)
    return fail_plan (error, "plan.circuits", "missing; write [] where there is none");
  if (td_json_get_member (plan, "static") == NULL)
    return fail_plan (error, "plan.static", "missing; write [] where there is none");
  return TRUE;
}

gboolean
td_kind_check_plan (const TdJson *plan, GError **error)
{
  g_autoptr (GHashTable) lines = g_hash_table_new (g_str_hash, g_str_equal);
  g_autoptr (GHashTable) numbers = g_hash_table_new (NULL, NULL);
  PlanSeen seen = { lines, numbers };
  const TdJson *circuits;
  const TdJson *statics;

  g_return_val_if_fail (plan != NULL, FALSE);

  if (!check_lists (plan, error))
    return FALSE;
  circuits = td_json_get_member (plan, "circuits");
  statics = td_json_get_member (plan, "static");
  for (guint i = 0; i < td_json_get_length (circuits); i++)
    {
      g_autofree char *place = g_strdup_printf ("plan.circuits[%u].", i + 1);

      if (!check_circuit (&seen, place, td_json_get_element (circuits, i), error))
        return FALSE;
    }
  for (guint i = 0; i < td_json_get_length (statics); i++)
    {
      g_autofree char *place = g_strdup_printf ("plan.static[%u].", i + 1);

      if (!check_static (&seen, place, td_json_get_element (statics, i), error))
        return FALSE;
    }
  if (g_hash_table_size (lines) == 0)
    return fail_plan (error, "plan", "it holds no line; name at least one");
  return TRUE;
}

gboolean
td_kind_check_predicted (const TdJson *predicted, GError **error)
{
  const TdJson *circuits;

  g_return_val_if_fail (predicted != NULL, FALSE);

  circuits = td_json_get_member (predicted, "circuits");
  if (circuits == NULL || td_json_get_length (predicted) != 1)
    return fail_plan (error, "predicted",
                      "it has one member, circuits, a list of number, flow_ml_min, fill_s, volume_ml, "
                      "velocity_mm_s, rinse_s, rinse_ml");
  if (!td_field_check_array ("predicted.", "circuits", circuits, 1, TD_FIELD_MAX_ELEMENTS, error))
    return FALSE;
  for (guint i = 0; i < td_json_get_length (circuits); i++)
    {
      g_autofree char *place = g_strdup_printf ("predicted.circuits[%u].", i + 1);

      if (!td_fields_check_object (predicted_fields, place, "circuit",
                                   td_json_get_element (circuits, i), error))
        return FALSE;
    }
  return TRUE;
}
