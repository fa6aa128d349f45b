/* demo-arrive.c: arriving, agreeing the scope, adopting the plan, making safe. */
#include "demo-writer-private.h"

#include "core-plan-adopt.h"

#include <string.h>

static const char *const STAFF[] = { "Ines", "Tomasz", "Orla", "Bayo", "Marit", "Desh" };

static void
look_round (TdDemoWriter *writer)
{
  const TdSite *site = writer->visit->site;

  for (guint i = 0; i < site->n_towers; i++)
    td_demo_act (writer, TD_KIND_STAFF_TOLD, 40, "{\"tower\":\"%s\",\"name\":\"%s\"}", site->towers[i].id,
                 STAFF[td_demo_pick (writer, 0, G_N_ELEMENTS (STAFF) - 1)]);
  for (guint i = 0; i < site->n_coolers; i++)
    td_demo_act (writer, TD_KIND_COLD_ROOM_CHECKED, 60,
                 "{\"cooler\":\"%s\",\"co2\":\"normal\",\"co2_ppm\":%d,\"access\":\"clear\"}",
                 site->coolers[i].id, 10 * td_demo_pick (writer, 55, 140));
  for (guint i = 0; i < site->n_lines; i++)
    td_demo_act (writer, TD_KIND_AS_FOUND, 10,
                 "{\"lines\":[\"%s\"],\"pressure_pa\":%d,\"lever\":\"%s\",\"keg\":\"%s\",\"gas\":\"on\"}",
                 site->lines[i].id, 1000 * td_demo_pick (writer, 88, 112),
                 site->lines[i].beer_pump == TD_BEER_PUMP_REVERSIBLE ? "out" : "none",
                 td_demo_pick (writer, 0, 5) == 0 ? "nearly-empty" : "part");
}

static char *
write_adoption (const TdDemoWriter *writer)
{
  g_autoptr (TdPlanOutlook) outlook = td_plan_outlook_new (writer->visit->site, writer->plan, NULL, 1, NULL);
  g_autoptr (TdJson) body = td_plan_to_adoption (writer->plan, outlook, FALSE);

  return td_json_to_text (body, FALSE);
}

void
td_demo_arrive (TdDemoWriter *writer)
{
  const TdDemoVisit *visit = writer->visit;
  g_autofree char *site = td_demo_quote (visit->site_id);
  g_autofree char *lines = td_demo_list (writer->scope);
  g_autofree char *adoption = write_adoption (writer);

  if (visit->amends != NULL)
    td_demo_act (writer, TD_KIND_ARRIVAL, 0, "{\"site\":%s,\"work\":\"amendment\",\"amends\":\"%s\"}", site,
                 visit->amends);
  else
    td_demo_act (writer, TD_KIND_ARRIVAL, 0, "{\"site\":%s,\"work\":\"routine\",\"sds_at_hand\":\"yes\"}", site);
  look_round (writer);
  td_demo_act (writer, TD_KIND_SCOPE, 30, "{\"clean\":\"caustic\",\"lines\":%s}", lines);
  if (visit->acid)
    td_demo_act (writer, TD_KIND_SCOPE, 5, "{\"clean\":\"acid\",\"lines\":%s}", lines);
  td_demo_act (writer, TD_KIND_PLAN_ADOPTED, 60, "%s", adoption);
  td_demo_act (writer, TD_KIND_LINE_PROVED, 120, "{\"lines\":%s}", lines);
}

/* An outlet out of sight of where its circuit is worked from, and every outlet that is held static. */
static gboolean
wants_tag (const TdDemoWriter *writer, guint outlet)
{
  const TdSite *site = writer->visit->site;
  const TdOutlet *row = &site->outlets[outlet];
  const TdPlanCircuit *circuit = td_plan_find_circuit (writer->plan, row->id);

  return circuit == NULL || strcmp (circuit->station, site->towers[row->tower].id) != 0;
}

static gboolean
has_pump (const TdDemoWriter *writer, guint outlet)
{
  const TdOutlet *row = &writer->visit->site->outlets[outlet];

  return row->side < 0 && writer->visit->site->lines[row->line].beer_pump != TD_BEER_PUMP_NONE;
}

static gboolean
has_fob (const TdDemoWriter *writer, guint outlet)
{
  const TdOutlet *row = &writer->visit->site->outlets[outlet];

  return row->side < 0 && writer->visit->site->lines[row->line].fob;
}

static gboolean
has_keg (const TdDemoWriter *writer, guint outlet)
{
  return writer->visit->site->outlets[outlet].side < 0;
}

static gboolean
runs_in (const TdDemoWriter *writer, guint outlet)
{
  const TdPlanLeg *leg = td_plan_find_leg (writer->plan, writer->visit->site->outlets[outlet].id);

  return leg != NULL && leg->runs_in;
}

static gboolean
is_reversed (const TdDemoWriter *writer, guint outlet)
{
  const TdPlanLeg *leg = td_plan_find_leg (writer->plan, writer->visit->site->outlets[outlet].id);

  return leg != NULL && leg->reversal;
}

static void
act_on (TdDemoWriter *writer, TdKind kind, int seconds, TdDemoTest test, const char *extra)
{
  g_autoptr (GPtrArray) ids = td_demo_filter (writer, test);
  g_autofree char *lines = td_demo_list (ids);

  if (ids->len > 0)
    td_demo_act (writer, kind, seconds * (int) ids->len, "{%s\"lines\":%s}", extra, lines);
}

void
td_demo_make_safe (TdDemoWriter *writer)
{
  const TdSite *site = writer->visit->site;
  g_autoptr (GPtrArray) tagged = td_demo_filter (writer, wants_tag);

  td_demo_act (writer, TD_KIND_PROTECTION_ON, 30, "{\"eyes\":\"yes\",\"gloves\":\"yes\",\"apron\":\"yes\"}");
  for (guint i = 0; i < tagged->len; i++)
    td_demo_act (writer, TD_KIND_TAG_HUNG, 25,
                 "{\"tag\":\"T%u\",\"tag_kind\":\"tag\",\"at\":\"outlet\",\"line\":\"%s\","
                 "\"legend\":\"Do not operate: line cleaning chemical\"}",
                 i + 1, (const char *) g_ptr_array_index (tagged, i));
  for (guint i = 0; i < site->n_coolers; i++)
    td_demo_act (writer, TD_KIND_COOLING_OFF, 20, "{\"place\":\"%s\"}", site->coolers[i].id);
  act_on (writer, TD_KIND_GAS_OFF, 5, has_pump, "\"gas\":\"beer-pump\",");
  act_on (writer, TD_KIND_GAS_OFF, 5, has_keg, "\"gas\":\"keg\",");
  act_on (writer, TD_KIND_KEG_UNCOUPLED, 15, has_keg, "");
  act_on (writer, TD_KIND_CHECK_BALL_OUT, 15, runs_in, "");
  act_on (writer, TD_KIND_ADAPTER_FITTED, 15, has_keg, "");
  act_on (writer, TD_KIND_ENDS_JOINED, 10, has_keg, "\"ends\":\"keg\",\"by\":\"manifold\",");
  act_on (writer, TD_KIND_FOB_OPENED, 8, has_fob, "");
  act_on (writer, TD_KIND_LEVER_SET, 20, is_reversed, "");
}

void
td_demo_put_back (TdDemoWriter *writer)
{
  const TdSite *site = writer->visit->site;
  g_autoptr (GPtrArray) tagged = td_demo_filter (writer, wants_tag);

  for (guint i = 0; i < writer->plan->n_circuits; i++)
    td_demo_act (writer, TD_KIND_CLEANING_PUMP_OFF, 10, "{\"circuit\":%u}", writer->plan->circuits[i].number);
  act_on (writer, TD_KIND_LEVER_SET_BACK, 20, is_reversed, "");
  act_on (writer, TD_KIND_CHECK_BALL_IN, 15, runs_in, "");
  act_on (writer, TD_KIND_ENDS_PARTED, 10, has_keg, "\"ends\":\"keg\",\"by\":\"manifold\",");
  act_on (writer, TD_KIND_ADAPTER_REMOVED, 10, has_keg, "");
  act_on (writer, TD_KIND_VALVE_WELL_DRIED, 6, has_keg, "");
  act_on (writer, TD_KIND_KEG_COUPLED, 12, has_keg, "");
  act_on (writer, TD_KIND_GAS_ON, 4, has_keg, "\"gas\":\"keg\",");
  act_on (writer, TD_KIND_GAS_ON, 4, has_pump, "\"gas\":\"beer-pump\",");
  for (guint i = 0; i < tagged->len; i++)
    td_demo_act (writer, TD_KIND_TAG_REMOVED, 12, "{\"tag\":\"T%u\"}", i + 1);
  act_on (writer, TD_KIND_FLOW_SEEN, 4, has_keg, "\"direction\":\"out\",");
  td_demo_wait (writer, 60);
  {
    g_autofree char *lines = td_demo_list (writer->scope);

    td_demo_act (writer, TD_KIND_BEER_CLEAR, 30, "{\"lines\":%s}", lines);
    act_on (writer, TD_KIND_FOB_VENTED, 6, has_fob, "");
    td_demo_act (writer, TD_KIND_BEER_CLEAR, 60, "{\"lines\":%s}", lines);
  }
  for (guint i = 0; i < site->n_coolers; i++)
    td_demo_act (writer, TD_KIND_COOLING_ON, 20, "{\"place\":\"%s\"}", site->coolers[i].id);
}
