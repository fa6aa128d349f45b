#include "demo-writer-private.h"

#include <string.h>

void
td_demo_wait (TdDemoWriter *writer, int seconds)
{
  g_return_if_fail (seconds >= 0);
  writer->now_ms += (gint64) seconds * 1000;
}

int
td_demo_pick (TdDemoWriter *writer, int low, int high)
{
  return g_rand_int_range (writer->chance, low, high + 1);
}

void
td_demo_act (TdDemoWriter *writer, TdKind kind, int seconds, const char *fields, ...)
{
  g_autofree char *text = NULL;
  g_autoptr (TdJson) body = NULL;
  g_autoptr (GError) error = NULL;
  TdMoment happened;
  gint64 recorded;
  va_list arguments;

  va_start (arguments, fields);
  text = g_strdup_vprintf (fields, arguments);
  va_end (arguments);
  body = td_json_parse (text, -1, &error);
  /* The text is ours: one that cannot be read is a slip of the pen, not of the world. */
  if (body == NULL)
    g_error ("%s in %s", error->message, text);
  td_demo_wait (writer, seconds);
  happened = (TdMoment){ writer->now_ms, writer->visit->start.offset_min };
  recorded = writer->now_ms + td_demo_pick (writer, 2, 25) * 1000;
  if (writer->visit->late && kind == TD_KIND_COUPLER_BRUSHED)
    recorded += 30 * 60 * 1000;
  g_ptr_array_add (writer->script->drafts,
                   td_draft_new (&writer->visit->visit, kind, &happened, writer->visit->technician, body));
  g_array_append_val (writer->script->recorded, recorded);
}

char *
td_demo_quote (const char *text)
{
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();
  g_autoptr (TdJson) json = NULL;

  td_json_builder_string (builder, text);
  json = td_json_builder_finish (builder);
  return td_json_to_text (json, FALSE);
}

char *
td_demo_list (const GPtrArray *ids)
{
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();
  g_autoptr (TdJson) json = NULL;

  td_json_builder_begin_array (builder);
  for (guint i = 0; i < ids->len; i++)
    td_json_builder_string (builder, g_ptr_array_index (ids, i));
  td_json_builder_end (builder);
  json = td_json_builder_finish (builder);
  return td_json_to_text (json, FALSE);
}

GPtrArray *
td_demo_circuit_lines (const TdPlanCircuit *circuit)
{
  GPtrArray *ids = g_ptr_array_new ();

  for (guint i = 0; i < circuit->n_legs; i++)
    g_ptr_array_add (ids, circuit->legs[i].line);
  return ids;
}

GPtrArray *
td_demo_filter (const TdDemoWriter *writer, TdDemoTest test)
{
  const TdSite *site = writer->visit->site;
  GPtrArray *ids = g_ptr_array_new ();

  for (guint i = 0; i < site->n_outlets; i++)
    if (test (writer, i))
      g_ptr_array_add (ids, (gpointer) site->outlets[i].id);
  return ids;
}

void
td_demo_script_free (TdDemoScript *script)
{
  if (script == NULL)
    return;
  g_ptr_array_unref (script->drafts);
  g_array_unref (script->recorded);
  g_free (script);
}

TdDemoScript *
td_demo_visit_write (const TdDemoVisit *visit, GError **error)
{
  g_autoptr (TdPlan) plan = td_plan_make (visit->site, NULL, error);
  g_autoptr (TdDemoScript) script = NULL;
  TdDemoWriter writer = { .visit = visit, .now_ms = visit->start.utc_ms };

  if (plan == NULL)
    return NULL;
  script = g_new0 (TdDemoScript, 1);
  script->drafts = g_ptr_array_new_with_free_func ((GDestroyNotify) td_draft_free);
  script->recorded = g_array_new (FALSE, FALSE, sizeof (gint64));
  writer.plan = plan;
  writer.script = script;
  writer.chance = g_rand_new_with_seed ((guint32) (visit->seed ^ (visit->seed >> 32)));
  writer.scope = g_ptr_array_new ();
  for (guint i = 0; i < visit->site->n_outlets; i++)
    g_ptr_array_add (writer.scope, (gpointer) visit->site->outlets[i].id);

  td_demo_arrive (&writer);
  td_demo_make_safe (&writer);
  if (visit->until > TD_DEMO_MAKE_SAFE)
    td_demo_chemical (&writer, FALSE);
  if (visit->until > TD_DEMO_CONTACT)
    {
      if (visit->acid)
        td_demo_chemical (&writer, TRUE);
      td_demo_put_back (&writer);
      td_demo_check (&writer);
      td_demo_sign (&writer);
    }
  g_rand_free (writer.chance);
  g_ptr_array_unref (writer.scope);
  return g_steal_pointer (&script);
}
