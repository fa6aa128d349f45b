/* diagnose: flows measured against those that a site's sheet predicts. */
#include "ctl-commands.h"

#include "core-diagnose.h"
#include "core-json-build.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

typedef struct
{
  char **readings;
  char *flow_error;
  gboolean json;
} Options;

static void
clear (Options *options)
{
  g_strfreev (options->readings);
  g_free (options->flow_error);
}

G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Options, clear)

/* Standard error of a gauge's reading, kPa: one step of a small dial; common practice, no source. */
#define GAUGE_ERROR_KPA 5.0

static gboolean
misread (const char *text, GError **error)
{
  g_set_error (error, G_OPTION_ERROR, G_OPTION_ERROR_BAD_VALUE,
               "--reading: '%s' is not LINE,LINE...=FLOW_L_MIN[:PUMP_KPA[:LIFT_M]], such as L1,L2=4.2", text);
  return FALSE;
}

/* @lines: (transfer full) */
static gboolean
find_lines (const TdSite *site, const char *text, guint **lines_out, guint *n_out, GError **error)
{
  g_auto (GStrv) ids = g_strsplit (text, ",", -1);
  guint n = g_strv_length (ids);
  g_autofree guint *lines = g_new (guint, n + 1);

  for (guint i = 0; i < n; i++)
    {
      int line = td_site_find_line (site, ids[i]);

      if (line < 0)
        {
          g_set_error (error, G_OPTION_ERROR, G_OPTION_ERROR_BAD_VALUE, "--reading: the sheet has no line '%s'", ids[i]);
          return FALSE;
        }
      lines[i] = (guint) line;
    }
  *lines_out = g_steal_pointer (&lines);
  *n_out = n;
  return TRUE;
}

static gboolean
read_reading (const TdSite *site, const char *text, double flow_error, TdFlowReading *reading, GError **error)
{
  g_auto (GStrv) halves = g_strsplit (text, "=", 2);
  g_auto (GStrv) figures = g_strsplit (halves[0] != NULL && halves[1] != NULL ? halves[1] : "", ":", -1);
  guint n = g_strv_length (figures);
  guint *lines = NULL;

  *reading = (TdFlowReading){ .flow_error = flow_error, .pump_kpa = NAN, .kpa_error = GAUGE_ERROR_KPA };
  if (n < 1 || n > 3 || !td_ctl_read_number (figures[0], &reading->flow_l_min)
      || (n > 1 && !td_ctl_read_number (figures[1], &reading->pump_kpa))
      || (n > 2 && !td_ctl_read_number (figures[2], &reading->lift_m)))
    return misread (text, error);
  if (!find_lines (site, halves[0], &lines, &reading->n_lines, error))
    return FALSE;
  reading->lines = lines;
  return TRUE;
}

static void
clear_reading (gpointer data)
{
  g_free ((gpointer) ((TdFlowReading *) data)->lines);
}

static void
write_readings (TdJsonBuilder *b, const TdSite *site, const TdDiagnosis *diagnosis, const GArray *readings)
{
  td_json_builder_key (b, "readings");
  td_json_builder_begin_array (b);
  for (guint i = 0; i < readings->len; i++)
    {
      const TdFlowReading *reading = &g_array_index (readings, TdFlowReading, i);

      td_json_builder_begin_object (b);
      td_json_builder_key (b, "lines");
      td_json_builder_begin_array (b);
      for (guint k = 0; k < reading->n_lines; k++)
        td_json_builder_string (b, site->lines[reading->lines[k]].id);
      td_json_builder_end (b);
      td_json_builder_member_real (b, "measured_l_min", reading->flow_l_min, -1);
      td_json_builder_member_real (b, "predicted_l_min",
                                   diagnosis->predicted_l_min != NULL ? diagnosis->predicted_l_min[i] : NAN, 3);
      td_json_builder_end (b);
    }
  td_json_builder_end (b);
}

/* (transfer full) */
static char *
write_json (const TdSite *site, const TdDiagnosis *diagnosis, const GArray *readings, const char *words)
{
  static const char *const verdicts[] = { "agrees", "explained", "cannot-tell", "no-cause", "unknown" };
  g_autoptr (TdJsonBuilder) b = td_json_builder_new ();
  g_autoptr (TdJson) json = NULL;

  td_json_builder_begin_object (b);
  td_json_builder_member_string (b, "verdict", verdicts[diagnosis->kind]);
  td_json_builder_member_string (b, "words", words);
  write_readings (b, site, diagnosis, readings);
  td_json_builder_key (b, "causes");
  td_json_builder_begin_array (b);
  for (guint i = 0; i < diagnosis->n_causes; i++)
    {
      const TdCause *cause = &diagnosis->causes[i];

      td_json_builder_begin_object (b);
      td_json_builder_member_string (b, "kind", cause->kind == TD_CAUSE_PUMP ? "pump" : "line");
      td_json_builder_member_string (b, "line", cause->kind == TD_CAUSE_LINE ? site->lines[cause->line].id : NULL);
      td_json_builder_member_real (b, "extra_m", cause->extra_m, 3);
      td_json_builder_member_real (b, "misfit", cause->misfit, 3);
      td_json_builder_member_boolean (b, "alike", i < diagnosis->n_alike);
      td_json_builder_end (b);
    }
  td_json_builder_end (b);
  td_json_builder_end (b);
  json = td_json_builder_finish (b);
  return td_json_to_text (json, TRUE);
}

/* (transfer full): what is printed; NULL with @error. */
static char *
answer (const TdSite *site, const GArray *readings, gboolean json, GError **error)
{
  g_autoptr (TdLegModel) model = td_leg_model_new (site, NULL, error);
  g_autoptr (TdDiagnosis) diagnosis = NULL;
  g_autofree char *words = NULL;

  if (model != NULL)
    diagnosis = td_diagnose (model, (const TdFlowReading *) readings->data, readings->len, error);
  if (diagnosis == NULL)
    return NULL;
  words = td_diagnosis_explain (diagnosis, site);
  return json ? write_json (site, diagnosis, readings, words) : g_strdup_printf ("%s\n", words);
}

TdCtlStatus
td_ctl_diagnose (const TdCtlInfo *info, int argc, char **argv)
{
  g_auto (Options) options = { NULL };
  const GOptionEntry entries[] = {
    { "reading", 0, 0, G_OPTION_ARG_STRING_ARRAY, &options.readings,
      "A flow through lines in series back into the bucket, with the pump's pressure where it was read, or up to an open end; may be repeated",
      "LINE,LINE...=L_MIN[:KPA[:LIFT_M]]" },
    { "error-percent", 0, 0, G_OPTION_ARG_STRING, &options.flow_error, "Standard error of a flow (default 3, by bucket and watch)", "PERCENT" },
    { "json", 0, 0, G_OPTION_ARG_NONE, &options.json, "Print JSON", NULL },
    { NULL }
  };
  g_auto (GStrv) words = NULL;
  g_autoptr (GArray) readings = g_array_new (FALSE, FALSE, sizeof (TdFlowReading));
  g_autoptr (TdSite) site = NULL;
  g_autofree char *text = NULL;
  g_autofree char *out = NULL;
  double percent = 3.0;
  gsize length = 0;
  GError *error = NULL;
  TdCtlStatus status;

  if (!td_ctl_parse (info, entries, argc, argv, 1, 1, &words, &status))
    return status;
  if (options.readings == NULL)
    return td_ctl_misuse (info, "give at least one --reading");
  if (options.flow_error != NULL && (!td_ctl_read_number (options.flow_error, &percent) || !(percent > 0.0)))
    return td_ctl_misuse (info, "--error-percent: '%s' is not a number above zero", options.flow_error);
  g_array_set_clear_func (readings, clear_reading);
  if (td_ctl_read_file (words[0], &text, &length, &error))
    site = td_site_parse (text, (gssize) length, &error);
  if (site == NULL)
    return td_ctl_refuse (info, error);
  for (guint i = 0; options.readings[i] != NULL; i++)
    {
      TdFlowReading reading;

      if (!read_reading (site, options.readings[i], percent / 100.0, &reading, &error))
        return td_ctl_refuse (info, error);
      g_array_append_val (readings, reading);
    }
  out = answer (site, readings, options.json, &error);
  if (out == NULL)
    return td_ctl_refuse (info, error);
  return td_ctl_print (out, strlen (out), &error) ? TD_CTL_DONE : td_ctl_refuse (info, error);
}
