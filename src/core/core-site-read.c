/* core-site-read.c: site sheets, read strictly. */
#include "core-site.h"

#include <math.h>
#include <string.h>

#include "core-error.h"
#include "core-json-read-text.h"
#include "core-site-private.h"

/* Wider than any bar, narrow enough to stop a figure in a wrong unit. */
#define MAX_NUMBER 99999
#define MAX_HEIGHT_M 1000
#define MAX_BORE_MM 200
#define MAX_LENGTH_M 5000
#define MAX_ROUGHNESS_MM 10
#define MAX_K 1e6
#define MAX_HEAD_M 1e6
#define MAX_VOLUME_ML 1e9
#define MAX_FLOW_L_MIN 1e4
#define MAX_PRESSURE_KPA 1e9
#define MAX_TEMPERATURE_C 100
#define MAX_INTERVAL_DAYS 3660

/* Enters an id in its table. */
static void
enter_id (TdJsonReader *reader, GHashTable *table, const char *id, guint index, const char *what)
{
  if (!td_json_reader_is_good (reader))
    return;
  if (!g_hash_table_insert (table, (gpointer) id, GUINT_TO_POINTER (index)))
    td_json_reader_fail (reader, td_json_reader_optional_any (reader, "id"), TD_ERROR_SHAPE,
                         "the id \"%s\" is given to two %s; ids must differ", id, what);
}

static gboolean
read_place (const TdJson *json, TdPlace *place, GHashTable *table, guint index, gboolean cooler,
            GError **error)
{
  g_autoptr (TdJsonReader) reader = td_json_reader_new (json, cooler ? "a cooler" : "a tower");
  const char *name;

  place->id = g_strdup (td_json_reader_id (reader, "id"));
  name = td_json_reader_optional_string (reader, "name");
  place->name = g_strdup (name != NULL ? name : place->id);
  place->height_m = td_json_reader_optional_number (reader, "height_m", -MAX_HEIGHT_M, MAX_HEIGHT_M,
                                                    SITE_DEFAULT_HEIGHT_M);
  enter_id (reader, table, place->id, index, cooler ? "coolers" : "towers");
  return td_json_reader_finish (reader, error);
}

static void
read_places (TdJsonReader *reader, TdSiteRecord *record, gboolean cooler)
{
  const TdJson *array = td_json_reader_array (reader, cooler ? "coolers" : "towers");
  guint n = array != NULL ? td_json_get_length (array) : 0;
  TdPlace *places = g_new0 (TdPlace, n);
  GError *error = NULL;

  /* In place before it is filled, so that a failure half-way frees what there is. */
  if (cooler)
    {
      record->site.coolers = places;
      record->site.n_coolers = n;
    }
  else
    {
      record->site.towers = places;
      record->site.n_towers = n;
    }
  for (guint i = 0; i < n && error == NULL; i++)
    read_place (td_json_get_element (array, i), &places[i], cooler ? record->coolers : record->towers, i,
                cooler, &error);
  td_json_reader_adopt (reader, error);
}

static gboolean
read_segment (const TdJson *json, TdSegment *segment, GError **error)
{
  g_autoptr (TdJsonReader) reader = td_json_reader_new (json, "a segment");

  segment->material = g_strdup (td_json_reader_optional_string (reader, "material"));
  segment->bore_mm = td_json_reader_number (reader, "bore_mm", TD_JSON_ABOVE_ZERO, MAX_BORE_MM);
  segment->length_m = td_json_reader_number (reader, "length_m", TD_JSON_ABOVE_ZERO, MAX_LENGTH_M);
  segment->roughness_mm = td_json_reader_optional_number (reader, "roughness_mm", 0, MAX_ROUGHNESS_MM,
                                                          SITE_DEFAULT_ROUGHNESS_MM);
  segment->k = td_json_reader_optional_number (reader, "k", 0, MAX_K, SITE_DEFAULT_K);
  return td_json_reader_finish (reader, error);
}

static void
read_segments (TdJsonReader *reader, TdSegment **segments_out, guint *n_out)
{
  const TdJson *array = td_json_reader_optional_array (reader, "segments");
  guint n = array != NULL ? td_json_get_length (array) : 0;
  GError *error = NULL;

  *segments_out = g_new0 (TdSegment, n);
  *n_out = n;
  for (guint i = 0; i < n && error == NULL; i++)
    read_segment (td_json_get_element (array, i), &(*segments_out)[i], &error);
  td_json_reader_adopt (reader, error);
}

/* The index of the place that the member names. */
static guint
read_reference (TdJsonReader *reader, const char *key, GHashTable *table)
{
  const char *id = td_json_reader_id (reader, key);
  gpointer index = NULL;

  if (td_json_reader_is_good (reader) && !g_hash_table_lookup_extended (table, id, NULL, &index))
    td_json_reader_fail (reader, td_json_reader_optional_any (reader, key), TD_ERROR_REFERENCE,
                         "there is no %s \"%s\"; enter it under \"%ss\"", key, id, key);
  return GPOINTER_TO_UINT (index);
}

static gboolean
read_side_faucet (const TdJson *json, TdSideFaucet *side, TdSiteRecord *record, GError **error)
{
  g_autoptr (TdJsonReader) reader = td_json_reader_new (json, "a side faucet");

  side->id = g_strdup (td_json_reader_id (reader, "id"));
  side->number = (int) td_json_reader_optional_integer (reader, "number", 0, MAX_NUMBER, 0);
  side->tower = read_reference (reader, "tower", record->towers);
  read_segments (reader, &side->segments, &side->n_segments);
  enter_id (reader, record->outlets, side->id, 0, "lines or side faucets");
  return td_json_reader_finish (reader, error);
}

static void
read_side_faucets (TdJsonReader *reader, TdLine *line, TdSiteRecord *record)
{
  const TdJson *array = td_json_reader_optional_array (reader, "side_faucets");
  guint n = array != NULL ? td_json_get_length (array) : 0;
  GError *error = NULL;

  line->side_faucets = g_new0 (TdSideFaucet, n);
  line->n_side_faucets = n;
  for (guint i = 0; i < n && error == NULL; i++)
    read_side_faucet (td_json_get_element (array, i), &line->side_faucets[i], record, &error);
  td_json_reader_adopt (reader, error);
}

/* Exactly one of the two ways to say what a line costs in head. */
static void
read_resistance (TdJsonReader *reader, TdLine *line)
{
  gboolean measured = td_json_reader_has (reader, "head_loss_m");

  read_segments (reader, &line->segments, &line->n_segments);
  line->head_loss_m
      = td_json_reader_optional_number (reader, "head_loss_m", 0, MAX_HEAD_M, NAN);
  line->volume_ml = td_json_reader_optional_number (reader, "volume_ml", TD_JSON_ABOVE_ZERO,
                                                    MAX_VOLUME_ML, NAN);
  if (line->n_segments > 0 && measured)
    td_json_reader_fail (reader, NULL, TD_ERROR_SHAPE,
                         "line \"%s\" has both \"segments\" and \"head_loss_m\"; keep one of them",
                         line->id);
  else if (line->n_segments > 0 && !isnan (line->volume_ml))
    td_json_reader_fail (reader, NULL, TD_ERROR_SHAPE,
                         "line \"%s\" has both \"segments\" and \"volume_ml\"; the volume of known tubes "
                         "is computed, leave it out",
                         line->id);
  else if (line->n_segments == 0 && !measured)
    td_json_reader_fail (reader, NULL, TD_ERROR_SHAPE,
                         "line \"%s\" has neither \"segments\" nor \"head_loss_m\"; give its tubes, or "
                         "the head loss measured at the least flow",
                         line->id);
}

static gboolean
read_line (const TdJson *json, TdLine *line, TdSiteRecord *record, guint index, GError **error)
{
  g_autoptr (TdJsonReader) reader = td_json_reader_new (json, "a line");

  line->id = g_strdup (td_json_reader_id (reader, "id"));
  line->number = (int) td_json_reader_optional_integer (reader, "number", 0, MAX_NUMBER, 0);
  line->tower = read_reference (reader, "tower", record->towers);
  line->cooler = read_reference (reader, "cooler", record->coolers);
  line->beer_pump = (TdBeerPump) td_json_reader_optional_choice (reader, "beer_pump",
                                                                 td_beer_pump_names, TD_BEER_PUMP_NONE);
  line->check_valve = td_json_reader_optional_boolean (reader, "check_valve", FALSE);
  line->fob = td_json_reader_optional_boolean (reader, "fob", FALSE);
  line->product = g_strdup (td_json_reader_optional_string (reader, "product"));
  line->faucet = g_strdup (td_json_reader_optional_string (reader, "faucet"));
  line->coupler = g_strdup (td_json_reader_optional_string (reader, "coupler"));
  read_resistance (reader, line);
  enter_id (reader, record->outlets, line->id, 0, "lines or side faucets");
  enter_id (reader, record->lines, line->id, index, "lines");
  read_side_faucets (reader, line, record);
  return td_json_reader_finish (reader, error);
}

static void
read_lines (TdJsonReader *reader, TdSiteRecord *record)
{
  const TdJson *array = td_json_reader_array (reader, "lines");
  guint n = array != NULL ? td_json_get_length (array) : 0;
  TdSite *site = &record->site;
  GError *error = NULL;

  site->lines = g_new0 (TdLine, n);
  site->n_lines = n;
  for (guint i = 0; i < n && error == NULL; i++)
    read_line (td_json_get_element (array, i), &site->lines[i], record, i, &error);
  td_json_reader_adopt (reader, error);
}

static gboolean
is_point (const TdJson *json)
{
  if (td_json_get_kind (json) != TD_JSON_ARRAY || td_json_get_length (json) != 2)
    return FALSE;
  for (guint i = 0; i < 2; i++)
    {
      TdJsonType kind = td_json_get_kind (td_json_get_element (json, i));

      if (kind != TD_JSON_INTEGER && kind != TD_JSON_REAL)
        return FALSE;
    }
  return TRUE;
}

/* What is wrong with a point after @before (NULL for the first), or NULL. */
static const char *
judge_point (const TdCurvePoint *point, const TdCurvePoint *before, gboolean power_law)
{
  if (point->flow_l_min < 0 || point->flow_l_min > MAX_FLOW_L_MIN)
    return "a flow must be from 0 to 10000 L/min";
  if (point->head_m < 0 || point->head_m > MAX_HEAD_M)
    return "a head must be from 0 to 1000000 m";
  if (before == NULL)
    return point->head_m > 0 ? NULL : "the head of the first point must be above 0";
  if (point->flow_l_min <= before->flow_l_min)
    return "the flows of a curve must rise from point to point";
  if (point->head_m > before->head_m)
    return "the heads of a curve must not rise";
  if (power_law && point->head_m == before->head_m)
    return "the heads of three points from zero flow on must fall, since a power law is laid through them";
  return NULL;
}

static void
read_curve (TdJsonReader *reader, TdSite *site)
{
  const TdJson *array = td_json_reader_array (reader, "curve");
  guint n = array != NULL ? td_json_get_length (array) : 0;

  if (array != NULL && n < 2)
    td_json_reader_fail (reader, array, TD_ERROR_SHAPE, "a curve needs two points or more");
  site->curve = g_new0 (TdCurvePoint, n);
  site->n_curve = n;
  for (guint i = 0; i < n && td_json_reader_is_good (reader); i++)
    {
      const TdJson *json = td_json_get_element (array, i);
      TdCurvePoint *point = &site->curve[i];
      const char *fault;

      if (!is_point (json))
        {
          td_json_reader_fail (reader, json, TD_ERROR_SHAPE,
                               "a point of a curve must be two numbers, [flow in L/min, head in m]");
          return;
        }
      point->flow_l_min = td_json_get_number (td_json_get_element (json, 0));
      point->head_m = td_json_get_number (td_json_get_element (json, 1));
      fault = judge_point (point, i > 0 ? point - 1 : NULL, n == 3 && site->curve[0].flow_l_min == 0);
      if (fault != NULL)
        td_json_reader_fail (reader, json, TD_ERROR_RANGE, "%s", fault);
    }
}

static gboolean
read_account (const TdJson *json, TdSite *site, GError **error)
{
  g_autoptr (TdJsonReader) reader = td_json_reader_new (json, "an account");

  site->account_name = g_strdup (td_json_reader_string (reader, "name"));
  return td_json_reader_finish (reader, error);
}

/* The shape of a tag of BCP 47 (RFC 5646, section 2.1): two or three letters, then subtags of letters and
 * digits, up to eight each. */
static gboolean
is_language (const char *tag)
{
  gsize length = 0;
  gboolean first = TRUE;

  for (;; tag++)
    {
      if (first ? g_ascii_isalpha (*tag) : g_ascii_isalnum (*tag))
        {
          length++;
          continue;
        }
      if (first ? length < 2 || length > 3 : length < 1 || length > 8)
        return FALSE;
      if (*tag != '-')
        return *tag == '\0';
      first = FALSE;
      length = 0;
    }
}

static gboolean
read_address (const TdJson *json, TdSite *site, GError **error)
{
  g_autoptr (TdJsonReader) reader = td_json_reader_new (json, "a site");
  const char *zone;

  site->name = g_strdup (td_json_reader_optional_string (reader, "name"));
  site->address = g_strdup (td_json_reader_optional_string (reader, "address"));
  zone = td_json_reader_optional_id (reader, "zone");
  if (zone != NULL)
    {
      g_free (site->zone);
      site->zone = g_strdup (zone);
    }
  site->language = g_strdup (td_json_reader_optional_string (reader, "language"));
  if (site->language != NULL && !is_language (site->language))
    td_json_reader_fail (reader, td_json_reader_optional_any (reader, "language"), TD_ERROR_SHAPE,
                         "\"language\" must be a language tag such as \"de\" or \"pt-BR\", not \"%s\"",
                         site->language);
  site->interval_days
      = (int) td_json_reader_optional_integer (reader, "interval_days", 1, MAX_INTERVAL_DAYS, 0);
  return td_json_reader_finish (reader, error);
}

static gboolean
read_pump (const TdJson *json, TdSite *site, GError **error)
{
  g_autoptr (TdJsonReader) reader = td_json_reader_new (json, "a cleaning pump");

  read_curve (reader, site);
  return td_json_reader_finish (reader, error);
}

static gboolean
read_solution (const TdJson *json, TdSite *site, GError **error)
{
  static const char *const substances[] = { "naoh", "koh", "h3po4", "water", NULL };
  g_autoptr (TdJsonReader) reader = td_json_reader_new (json, "a solution");
  int substance = td_json_reader_optional_choice (reader, "substance", substances, 0);

  g_free (site->substance);
  site->substance = g_strdup (substances[substance]);
  site->percent = td_json_reader_optional_number (reader, "percent", 0, 100, SITE_DEFAULT_PERCENT);
  site->temperature_c = td_json_reader_optional_number (reader, "temperature_c", 0, MAX_TEMPERATURE_C,
                                                        SITE_DEFAULT_TEMPERATURE_C);
  return td_json_reader_finish (reader, error);
}

static gboolean
read_limits (const TdJson *json, TdSite *site, GError **error)
{
  g_autoptr (TdJsonReader) reader = td_json_reader_new (json, "limits");

  site->min_flow_l_min
      = td_json_reader_optional_number (reader, "min_flow_l_min", TD_JSON_ABOVE_ZERO, MAX_FLOW_L_MIN,
                                        SITE_DEFAULT_MIN_FLOW_L_MIN);
  site->max_pressure_kpa
      = td_json_reader_optional_number (reader, "max_pressure_kpa", TD_JSON_ABOVE_ZERO,
                                        MAX_PRESSURE_KPA, SITE_DEFAULT_MAX_PRESSURE_KPA);
  return td_json_reader_finish (reader, error);
}

/* A section that may be missing. */
static void
read_section (TdJsonReader *reader, const char *key, TdSite *site,
              gboolean (*read) (const TdJson *json, TdSite *site, GError **error))
{
  const TdJson *json = td_json_reader_optional_object (reader, key);
  GError *error = NULL;

  if (json != NULL && td_json_reader_is_good (reader))
    read (json, site, &error);
  td_json_reader_adopt (reader, error);
}

TdSite *
td_site_from_json (const TdJson *sheet, GError **error)
{
  g_autoptr (TdJsonReader) reader = NULL;
  TdSiteRecord *record;
  g_autoptr (TdSite) site = NULL;
  const char *doubled = NULL;

  g_return_val_if_fail (sheet != NULL, NULL);
  g_return_val_if_fail (error == NULL || *error == NULL, NULL);
  record = td_site_record_new ();
  site = &record->site;
  reader = td_json_reader_new (sheet, "a site sheet");
  td_json_reader_format (reader, TD_SITE_FORMAT);
  read_section (reader, "account", site, read_account);
  read_section (reader, "site", site, read_address);
  read_places (reader, record, TRUE);
  read_places (reader, record, FALSE);
  read_lines (reader, record);
  read_section (reader, "cleaning_pump", site, read_pump);
  read_section (reader, "solution", site, read_solution);
  read_section (reader, "limits", site, read_limits);
  if (!td_json_reader_finish (reader, error))
    return NULL;
  /* While reading, the table of outlets only told ids apart. */
  g_hash_table_remove_all (record->outlets);
  if (!td_site_record_fill_outlets (record, &doubled))
    g_assert_not_reached ();
  return g_steal_pointer (&site);
}

TdSite *
td_site_parse (const char *text, gssize length, GError **error)
{
  g_autoptr (TdJson) json = td_json_parse (text, length, error);

  return json != NULL ? td_site_from_json (json, error) : NULL;
}
