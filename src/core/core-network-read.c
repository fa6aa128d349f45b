#include "core-network-read.h"

#include "core-error.h"
#include "core-json-build.h"
#include "core-json-read.h"
#include "core-network-private.h"

#include <math.h>

/* Drawn plastic tube, mm. */
#define DEFAULT_ROUGHNESS_MM 0.0015

/* Heights beyond these are slips of the pen, m. */
#define HEIGHT_LIMIT_M 1e4

typedef enum
{
  RETURN_SUBMERGED,
  RETURN_OPEN,
  RETURN_NOT_SAID
} Return;

/* Puts the place in front of an error that a builder set. */
static gboolean
fail_at (const TdJson *where, GError *reason, GError **error)
{
  td_json_set_error (where, reason->code, error, "%s", reason->message);
  g_error_free (reason);

  return FALSE;
}

static gboolean
read_fluid (const TdJson *json, TdFluid *fluid, GError **error)
{
  g_autoptr (TdJsonReader) reader = td_json_reader_new (json, "the fluid");

  fluid->density_kg_m3
      = td_json_reader_number (reader, "density_kg_m3", TD_JSON_ABOVE_ZERO, TD_JSON_NO_MAXIMUM);
  fluid->viscosity_pa_s
      = td_json_reader_number (reader, "viscosity_pa_s", TD_JSON_ABOVE_ZERO, TD_JSON_NO_MAXIMUM);

  return td_json_reader_finish (reader, error);
}

static gboolean
read_point (const TdJson *pair, double metre_per_unit, TdCurvePoint *point, GError **error)
{
  double figures[2];
  gboolean fits = td_json_get_kind (pair) == TD_JSON_ARRAY && td_json_get_length (pair) == 2;

  for (guint i = 0; i < 2 && fits; i++)
    {
      const TdJson *figure = td_json_get_element (pair, i);
      TdJsonType kind = td_json_get_kind (figure);

      fits = kind == TD_JSON_INTEGER || kind == TD_JSON_REAL;
      if (fits)
        figures[i] = td_json_get_number (figure);
    }
  if (!fits)
    {
      td_json_set_error (pair, TD_ERROR_SHAPE, error,
                         "a point of the pump's curve must be two numbers, flow and head");
      return FALSE;
    }
  point->flow_l_min = figures[0];
  point->head_m = figures[1] * metre_per_unit;

  return TRUE;
}

/* @metre_per_unit: turns the second figure of a point into metres of head. */
static TdPump *
read_curve (const TdJson *json, double metre_per_unit, GError **error)
{
  guint n = td_json_get_length (json);
  g_autofree TdCurvePoint *points = g_new0 (TdCurvePoint, n + 1);
  GError *reason = NULL;
  TdPump *pump;

  for (guint i = 0; i < n; i++)
    if (!read_point (td_json_get_element (json, i), metre_per_unit, &points[i], error))
      return NULL;
  pump = td_pump_new (points, n, &reason);
  if (pump == NULL)
    fail_at (json, reason, error);

  return pump;
}

static gboolean
read_pump (const TdJson *json, TdNetworkFrame *frame, GError **error)
{
  g_autoptr (TdJsonReader) reader = td_json_reader_new (json, "the pump");
  const TdJson *metres = td_json_reader_optional_array (reader, "curve");
  const TdJson *kpa = td_json_reader_optional_array (reader, "curve_kpa");

  frame->pump_height_m
      = td_json_reader_optional_number (reader, "height_m", -HEIGHT_LIMIT_M, HEIGHT_LIMIT_M, 0.0);
  if ((metres == NULL) == (kpa == NULL))
    td_json_reader_fail (reader, NULL, TD_ERROR_SHAPE,
                         "the pump needs one of \"curve\" and \"curve_kpa\", and not both");
  if (!td_json_reader_finish (reader, error))
    return FALSE;
  if (metres != NULL)
    frame->pump = read_curve (metres, 1.0, error);
  else
    frame->pump = read_curve (kpa, 1e3 / (frame->fluid.density_kg_m3 * TD_GRAVITY), error);

  return frame->pump != NULL;
}

static gboolean
read_bucket (const TdJson *json, TdNetworkFrame *frame, GError **error)
{
  g_autoptr (TdJsonReader) reader = NULL;

  if (json == NULL)
    return TRUE;
  reader = td_json_reader_new (json, "the bucket");
  frame->bucket_height_m
      = td_json_reader_optional_number (reader, "height_m", -HEIGHT_LIMIT_M, HEIGHT_LIMIT_M, 0.0);

  return td_json_reader_finish (reader, error);
}

static gboolean
read_tube (TdNetworkBuilder *builder, const TdJson *json, TdJsonReader *reader, GError **error)
{
  const char *id = td_json_reader_string (reader, "id");
  GError *reason = NULL;
  TdPipeShape tube;
  double rise;

  tube.length_m
      = td_json_reader_number (reader, "length_m", TD_JSON_ABOVE_ZERO, TD_JSON_NO_MAXIMUM);
  tube.bore_mm = td_json_reader_number (reader, "bore_mm", TD_JSON_ABOVE_ZERO, TD_JSON_NO_MAXIMUM);
  tube.roughness_mm = td_json_reader_optional_number (reader, "roughness_mm", 0.0,
                                                      TD_JSON_NO_MAXIMUM, DEFAULT_ROUGHNESS_MM);
  tube.k = td_json_reader_optional_number (reader, "k", 0.0, TD_JSON_NO_MAXIMUM, 0.0);
  rise = td_json_reader_optional_number (reader, "rise_m", -HEIGHT_LIMIT_M, HEIGHT_LIMIT_M, 0.0);
  if (!td_json_reader_finish (reader, error))
    return FALSE;

  return td_network_builder_tube (builder, id, &tube, rise, &reason)
         || fail_at (json, reason, error);
}

static gboolean read_chain (TdNetworkBuilder *builder, const TdJson *chain, GError **error);

static gboolean
read_branch (TdNetworkBuilder *builder, const TdJson *branch, GError **error)
{
  GError *reason = NULL;

  if (td_json_get_kind (branch) != TD_JSON_ARRAY)
    {
      td_json_set_error (branch, TD_ERROR_SHAPE, error, "a branch must be an array of members");
      return FALSE;
    }
  if (!td_network_builder_begin_branch (builder, &reason))
    return fail_at (branch, reason, error);

  return read_chain (builder, branch, error)
         && (td_network_builder_end (builder, &reason) || fail_at (branch, reason, error));
}

static gboolean
read_group (TdNetworkBuilder *builder,
            const TdJson *json,
            TdJsonReader *reader,
            gboolean open,
            GError **error)
{
  const TdJson *branches = td_json_reader_array (reader, "branches");
  GError *reason = NULL;

  if (!td_json_reader_finish (reader, error))
    return FALSE;
  if (!(open ? td_network_builder_begin_open : td_network_builder_begin_parallel) (builder,
                                                                                   &reason))
    return fail_at (json, reason, error);
  for (guint i = 0; i < td_json_get_length (branches); i++)
    if (!read_branch (builder, td_json_get_element (branches, i), error))
      return FALSE;

  return td_network_builder_end (builder, &reason) || fail_at (json, reason, error);
}

static gboolean
read_chain (TdNetworkBuilder *builder, const TdJson *chain, GError **error)
{
  static const char *const types[] = { "tube", "parallel", "open", NULL };

  for (guint i = 0; i < td_json_get_length (chain); i++)
    {
      const TdJson *member = td_json_get_element (chain, i);
      g_autoptr (TdJsonReader) reader = td_json_reader_new (member, "a member of a chain");
      int type = td_json_reader_choice (reader, "type", types);

      if (!td_json_reader_is_good (reader))
        return td_json_reader_finish (reader, error);
      if (!(type == 0 ? read_tube (builder, member, reader, error)
                      : read_group (builder, member, reader, type == 2, error)))
        return FALSE;
    }

  return TRUE;
}

static TdNetwork *
read_whole (const TdNetworkFrame *frame, const TdJson *chain, Return ending, GError **error)
{
  g_autoptr (TdNetworkBuilder) builder = td_network_builder_new (frame);
  g_autoptr (TdNetwork) network = NULL;
  GError *reason = NULL;

  if (!read_chain (builder, chain, error))
    return NULL;
  network = td_network_builder_finish (builder, &reason);
  if (network == NULL)
    {
      fail_at (chain, reason, error);
      return NULL;
    }
  if (ending == RETURN_NOT_SAID && !td_network_ends_open (network))
    {
      td_json_set_error (
          chain, TD_ERROR_SHAPE, error,
          "the chain ends in one tube: say by \"return\" whether that is \"submerged\" "
          "in the bucket or \"open\"");
      return NULL;
    }

  return g_steal_pointer (&network);
}

TdNetwork *
td_network_from_json (const TdJson *json, GError **error)
{
  static const char *const returns[] = { "submerged", "open", NULL };
  g_autoptr (TdJsonReader) reader = NULL;
  g_autoptr (TdPump) pump = NULL;
  TdNetworkFrame frame = { .pump = NULL };
  const TdJson *fluid, *pump_json, *bucket, *chain;
  Return ending;

  g_return_val_if_fail (json != NULL, NULL);

  reader = td_json_reader_new (json, "the network");
  td_json_reader_format (reader, TD_NETWORK_FORMAT);
  td_json_reader_optional_string (reader, "name");
  fluid = td_json_reader_object (reader, "fluid");
  pump_json = td_json_reader_object (reader, "pump");
  bucket = td_json_reader_optional_object (reader, "bucket");
  ending = td_json_reader_optional_choice (reader, "return", returns, RETURN_NOT_SAID);
  chain = td_json_reader_array (reader, "chain");
  if (!td_json_reader_finish (reader, error) || !read_fluid (fluid, &frame.fluid, error)
      || !read_pump (pump_json, &frame, error))
    return NULL;
  pump = frame.pump;
  frame.submerged = ending == RETURN_SUBMERGED;
  if (!read_bucket (bucket, &frame, error))
    return NULL;

  return read_whole (&frame, chain, ending, error);
}

TdNetwork *
td_network_parse (const char *text, gssize length, GError **error)
{
  g_autoptr (TdJson) json = td_json_parse (text, length, error);

  return json != NULL ? td_network_from_json (json, error) : NULL;
}

static void
add_warning (TdJsonBuilder *builder, char *text)
{
  td_json_builder_string (builder, text);
  g_free (text);
}

static void
add_warnings (TdJsonBuilder *builder, const TdNetworkAnswer *answer)
{
  const TdNetwork *network = answer->network;
  double above = td_network_get_end_height_m (network) - network->frame.bucket_height_m;

  if (answer->uncertain)
    add_warning (builder,
                 g_strdup ("Uncertain: a tube flows between laminar and turbulent (2000 < Re < "
                           "4000), where flow may be off by a tenth."));
  if (answer->min_pressure_kpa < -0.05)
    add_warning (builder,
                 g_strdup_printf ("Below the atmosphere: %.1f kPa at the end of %s; air may be "
                                  "drawn in at a joint there.",
                                  answer->min_pressure_kpa,
                                  answer->min_at != NULL ? answer->min_at : "the pump"));
  if (answer->pump_head_m < 0.0)
    add_warning (builder,
                 g_strdup ("The flow is past the end of the pump's curve: the height of the "
                           "bucket drives it."));
  if (network->frame.submerged && td_network_ends_open (network))
    add_warning (builder, g_strdup ("The return is called submerged, but the chain ends in open "
                                    "branches: they end in the air."));
  else if (network->frame.submerged && above > 1e-6)
    add_warning (builder,
                 g_strdup_printf ("The return is called submerged, but it ends %.2f m above the "
                                  "bucket's surface.",
                                  above));
  for (guint i = 0; i < answer->n_tubes; i++)
    if (answer->tubes[i].regime == TD_REGIME_STILL)
      add_warning (builder, g_strdup_printf ("Nothing flows in %s: its outlet is too high.",
                                             answer->tubes[i].id));
}

TdJson *
td_network_answer_to_json (const TdNetworkAnswer *answer)
{
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();

  g_return_val_if_fail (answer != NULL, NULL);

  td_json_builder_begin_object (builder);
  td_json_builder_member_real (builder, "pump_flow_l_min", answer->pump_flow_l_min, -1);
  td_json_builder_member_real (builder, "pump_head_m", answer->pump_head_m, -1);
  td_json_builder_member_real (builder, "max_pressure_kpa", answer->max_pressure_kpa, -1);
  td_json_builder_member_real (builder, "min_pressure_kpa", answer->min_pressure_kpa, -1);
  td_json_builder_member_real (builder, "shut_off_kpa", answer->shut_off_kpa, -1);
  td_json_builder_member_boolean (builder, "uncertain", answer->uncertain);
  td_json_builder_key (builder, "tubes");
  td_json_builder_begin_array (builder);
  for (guint i = 0; i < answer->n_tubes; i++)
    {
      const TdTubeFlow *tube = &answer->tubes[i];

      td_json_builder_begin_object (builder);
      td_json_builder_member_string (builder, "id", tube->id);
      td_json_builder_member_real (builder, "flow_l_min", tube->flow_l_min, -1);
      td_json_builder_member_real (builder, "velocity_m_s", tube->velocity_m_s, -1);
      td_json_builder_member_real (builder, "reynolds", tube->reynolds, -1);
      td_json_builder_member_real (builder, "head_loss_m", tube->head_loss_m, -1);
      td_json_builder_member_string (builder, "regime", td_regime_to_text (tube->regime));
      td_json_builder_end (builder);
    }
  td_json_builder_end (builder);
  td_json_builder_key (builder, "warnings");
  td_json_builder_begin_array (builder);
  add_warnings (builder, answer);
  td_json_builder_end (builder);
  td_json_builder_end (builder);

  return td_json_builder_finish (builder);
}
