/* demo-chemical.c: mixing, contact and rinse of an invented visit. */
#include "demo-writer-private.h"

#include <math.h>
#include <string.h>

static const TdProduct *
choose_product (const TdDemoWriter *writer, gboolean acid)
{
  const TdMasters *masters = writer->visit->masters;
  TdProductKind wanted = acid ? TD_PRODUCT_ACID : TD_PRODUCT_CAUSTIC;

  for (guint i = 0; i < masters->n_products; i++)
    if (masters->products[i].kind == wanted)
      return &masters->products[i];
  g_error ("the demonstration's company has no such product");
}

/* The lot that is in date and not recalled. */
static const char *
choose_lot (const TdDemoWriter *writer, const TdProduct *product)
{
  const TdMasters *masters = writer->visit->masters;
  TdDate today = td_moment_get_date (&writer->visit->start);

  for (guint i = 0; i < masters->n_lots; i++)
    {
      const TdLot *lot = &masters->lots[i];

      if (strcmp (lot->product, product->id) == 0 && !lot->recalled && lot->received <= today &&
          (lot->expiry == TD_DATE_NONE || lot->expiry > today + 30))
        return lot->id;
    }
  g_error ("the demonstration's company has no lot of %s in date", product->id);
}

static const char *
find_instrument (const TdDemoWriter *writer, TdInstrumentKind kind)
{
  const TdMasters *masters = writer->visit->masters;

  for (guint i = 0; i < masters->n_instruments; i++)
    if (masters->instruments[i].kind == kind)
      return masters->instruments[i].id;
  g_error ("the demonstration's company lacks an instrument");
}

static void
mix (TdDemoWriter *writer, gboolean acid)
{
  const TdProduct *product = choose_product (writer, acid);
  gint64 target = product->target_percent_milli;
  double litres = isnan (writer->plan->solution_l) ? 10 : writer->plan->solution_l;
  /* By mass, with both densities near 1 at working strength: near enough for an invented figure. */
  double strong = product->density_kg_m3 > 0 ? (double) product->density_kg_m3 / 1000 : 1;
  double concentrate_ml = litres * 1000 * (double) target / (double) product->percent_milli / strong;
  const char *batch = acid ? "M2" : "M1";

  td_demo_act (writer, TD_KIND_SOLUTION_MIXED, 180,
               "{\"batch\":\"%s\",\"product\":\"%s\",\"lot\":\"%s\",\"concentrate_ml\":%d,\"water_ml\":%d,"
               "\"percent_milli\":%" G_GINT64_FORMAT ",\"basis\":\"%s\",\"temperature_c_milli\":%d,"
               "\"known\":\"measured\",\"instrument\":\"%s\"}",
               batch, product->id, choose_lot (writer, product), (int) lround (concentrate_ml),
               (int) lround (litres * 1000), target, td_basis_to_text (product->basis),
               100 * td_demo_pick (writer, 330, 415), find_instrument (writer, TD_INSTRUMENT_MEASURING_JUG));
  td_demo_act (writer, TD_KIND_STRENGTH_MEASURED, 90,
               "{\"batch\":\"%s\",\"percent_milli\":%" G_GINT64_FORMAT
               ",\"basis\":\"%s\",\"method\":\"titration\",\"instrument\":\"%s\",\"known\":\"measured\"}",
               batch, target + 10 * td_demo_pick (writer, 0, 20), td_basis_to_text (product->basis),
               find_instrument (writer, TD_INSTRUMENT_TITRATION_KIT));
  writer->batch = batch;
}

static gboolean
leg_has_fob (const TdDemoWriter *writer, const char *line)
{
  int index = td_site_find_line (writer->visit->site, line);

  return index >= 0 && writer->visit->site->lines[index].fob;
}

static void
flood_fobs (TdDemoWriter *writer, const GPtrArray *ids, TdKind kind)
{
  g_autoptr (GPtrArray) with = g_ptr_array_new ();
  g_autofree char *lines = NULL;

  for (guint i = 0; i < ids->len; i++)
    if (leg_has_fob (writer, g_ptr_array_index (ids, i)))
      g_ptr_array_add (with, g_ptr_array_index (ids, i));
  if (with->len == 0)
    return;
  lines = td_demo_list (with);
  td_demo_act (writer, kind, 8 * (int) with->len, "{\"lines\":%s}", lines);
}

static void
show_direction (TdDemoWriter *writer, const TdPlanCircuit *circuit, gboolean in)
{
  g_autoptr (GPtrArray) ids = g_ptr_array_new ();
  g_autofree char *lines = NULL;

  for (guint i = 0; i < circuit->n_legs; i++)
    if (circuit->legs[i].runs_in == in)
      g_ptr_array_add (ids, circuit->legs[i].line);
  lines = td_demo_list (ids);
  if (ids->len > 0)
    td_demo_act (writer, TD_KIND_FLOW_SEEN, 10, "{\"lines\":%s,\"direction\":\"%s\"}", lines, in ? "in" : "out");
}

static void
fill_circuit (TdDemoWriter *writer, const TdPlanCircuit *circuit, gboolean acid)
{
  guint number = circuit->number;
  g_autoptr (GPtrArray) ids = td_demo_circuit_lines (circuit);

  if (isnan (circuit->flow_l_min))
    td_demo_act (writer, TD_KIND_CLEANING_PUMP_ON, 30, "{\"circuit\":%u}", number);
  else
    td_demo_act (writer, TD_KIND_CLEANING_PUMP_ON, 30, "{\"circuit\":%u,\"flow_ml_min\":%d}", number,
                 (int) lround (circuit->flow_l_min * 10 * td_demo_pick (writer, 93, 103)));
  td_demo_act (writer, TD_KIND_CHEMICAL_IN, 5, "{\"circuit\":%u,\"batch\":\"%s\"}", number, writer->batch);
  if (!acid)
    td_demo_act (writer, TD_KIND_BEER_PUSHED_OUT, 60,
                 "{\"circuit\":%u,\"lost_ml\":%d,\"by\":\"solution\",\"known\":\"estimated\"}", number,
                 100 * td_demo_pick (writer, 8, 30));
  show_direction (writer, circuit, TRUE);
  show_direction (writer, circuit, FALSE);
  td_demo_act (writer, TD_KIND_RETURN_IN_BUCKET, 15, "{\"circuit\":%u}", number);
  td_demo_act (writer, TD_KIND_CHEMICAL_SEEN, 10, "{\"circuit\":%u,\"batch\":\"%s\"}", number, writer->batch);
  flood_fobs (writer, ids, TD_KIND_FOB_FLOODED);
}

/* The number of the tag on an outlet, by the order in which they were hung; 0 for none. */
static guint
find_tag (const TdDemoWriter *writer, const char *id)
{
  const TdSite *site = writer->visit->site;
  guint number = 0;

  for (guint i = 0; i < site->n_outlets; i++)
    {
      const TdPlanCircuit *circuit = td_plan_find_circuit (writer->plan, site->outlets[i].id);

      if (circuit != NULL && strcmp (circuit->station, site->towers[site->outlets[i].tower].id) == 0)
        continue;
      number++;
      if (strcmp (site->outlets[i].id, id) == 0)
        return number;
    }
  return 0;
}

static void
fill_static (TdDemoWriter *writer, const char *id, gboolean acid)
{
  guint tag = find_tag (writer, id);
  g_autoptr (GPtrArray) one = g_ptr_array_new ();

  g_ptr_array_add (one, (gpointer) id);
  td_demo_act (writer, TD_KIND_CHEMICAL_IN, 15, "{\"lines\":[\"%s\"],\"batch\":\"%s\"}", id, writer->batch);
  td_demo_act (writer, TD_KIND_TAG_LIFTED, 30, "{\"tag\":\"T%u\"}", tag);
  if (!acid)
    td_demo_act (writer, TD_KIND_BEER_PUSHED_OUT, 25,
                 "{\"lines\":[\"%s\"],\"lost_ml\":%d,\"by\":\"solution\",\"known\":\"estimated\"}", id,
                 50 * td_demo_pick (writer, 8, 24));
  td_demo_act (writer, TD_KIND_FLOW_SEEN, 5, "{\"lines\":[\"%s\"],\"direction\":\"out\"}", id);
  td_demo_act (writer, TD_KIND_CHEMICAL_SEEN, 5, "{\"lines\":[\"%s\"],\"batch\":\"%s\",\"shut\":\"yes\"}", id,
               writer->batch);
  td_demo_act (writer, TD_KIND_TAG_HUNG_AGAIN, 10, "{\"tag\":\"T%u\"}", tag);
  flood_fobs (writer, one, TD_KIND_FOB_FLOODED);
}

static void
read_ph (TdDemoWriter *writer, const char *lines, gint64 tap)
{
  const char *meter = find_instrument (writer, TD_INSTRUMENT_PH_METER);

  td_demo_act (writer, TD_KIND_DEBRIS_SEEN, 10, "{\"lines\":%s,\"debris\":\"none\"}", lines);
  td_demo_act (writer, TD_KIND_PH_READ, 20,
               "{\"of\":\"outlet\",\"lines\":%s,\"ph_milli\":%d,\"instrument\":\"%s\",\"known\":\"measured\"}",
               lines, (int) tap + 10 * td_demo_pick (writer, 2, 22), meter);
}

static void
rinse_circuit (TdDemoWriter *writer, const TdPlanCircuit *circuit, gint64 tap)
{
  g_autoptr (GPtrArray) ids = td_demo_circuit_lines (circuit);
  g_autofree char *lines = td_demo_list (ids);

  td_demo_act (writer, TD_KIND_RINSE_STARTED, 20, "{\"circuit\":%u}", circuit->number);
  flood_fobs (writer, ids, TD_KIND_FOB_RINSED);
  td_demo_act (writer, TD_KIND_RINSE_CIRCULATED, 120, "{\"circuit\":%u}", circuit->number);
  td_demo_act (writer, TD_KIND_RINSE_WATER, 60, "{\"circuit\":%u,\"water_ml\":%d,\"known\":\"estimated\"}",
               circuit->number, 1000 * (int) ids->len * td_demo_pick (writer, 8, 12));
  td_demo_wait (writer, 5);
  read_ph (writer, lines, tap);
}

static void
rinse_static (TdDemoWriter *writer, const char *id, gint64 tap)
{
  guint tag = find_tag (writer, id);
  g_autoptr (GPtrArray) one = g_ptr_array_new ();
  g_autofree char *lines = g_strdup_printf ("[\"%s\"]", id);

  g_ptr_array_add (one, (gpointer) id);
  td_demo_act (writer, TD_KIND_CONTACT_ENDED, 20, "{\"lines\":%s}", lines);
  td_demo_act (writer, TD_KIND_TAG_LIFTED, 5, "{\"tag\":\"T%u\"}", tag);
  td_demo_act (writer, TD_KIND_RINSE_STARTED, 10, "{\"lines\":%s}", lines);
  flood_fobs (writer, one, TD_KIND_FOB_RINSED);
  td_demo_act (writer, TD_KIND_RINSE_WATER, 90, "{\"lines\":%s,\"water_ml\":%d,\"known\":\"estimated\"}", lines,
               1000 * td_demo_pick (writer, 10, 13));
  read_ph (writer, lines, tap);
  td_demo_act (writer, TD_KIND_TAG_HUNG_AGAIN, 10, "{\"tag\":\"T%u\"}", tag);
  td_demo_act (writer, TD_KIND_FAUCET_STRIPPED, 60, "{\"lines\":%s}", lines);
  td_demo_act (writer, TD_KIND_FAUCET_REBUILT, 60, "{\"lines\":%s}", lines);
}

static void
work_on_faucets (TdDemoWriter *writer, const TdPlanCircuit *circuit)
{
  g_autoptr (GPtrArray) ids = td_demo_circuit_lines (circuit);
  g_autofree char *lines = td_demo_list (ids);

  td_demo_act (writer, TD_KIND_FAUCET_STRIPPED, 50 * (int) ids->len, "{\"lines\":%s}", lines);
  td_demo_act (writer, TD_KIND_COUPLER_BRUSHED, 20 * (int) ids->len, "{\"lines\":%s}", lines);
  td_demo_act (writer, TD_KIND_FAUCET_REBUILT, 40 * (int) ids->len, "{\"lines\":%s}", lines);
}

/* Lets the clock reach @minutes since @since, plus a little, unless it is past already. */
static void
wait_until (TdDemoWriter *writer, gint64 since_ms, int minutes)
{
  gint64 until = since_ms + (gint64) minutes * 60000 + td_demo_pick (writer, 15, 140) * 1000;

  if (until > writer->now_ms)
    writer->now_ms = until;
}

static void
rinse_all (TdDemoWriter *writer)
{
  gint64 tap = 10 * td_demo_pick (writer, 710, 790);

  td_demo_act (writer, TD_KIND_PH_READ, 30,
               "{\"of\":\"tap\",\"ph_milli\":%d,\"instrument\":\"%s\",\"known\":\"measured\"}", (int) tap,
               find_instrument (writer, TD_INSTRUMENT_PH_METER));
  /* Static lines first: they share a manifold with the circuits, whose pH is read last. */
  for (guint i = 0; i < writer->plan->n_statics; i++)
    rinse_static (writer, writer->plan->statics[i].line, tap);
  for (guint i = 0; i < writer->plan->n_circuits; i++)
    rinse_circuit (writer, &writer->plan->circuits[i], tap);
}

void
td_demo_chemical (TdDemoWriter *writer, gboolean acid)
{
  TdPlan *plan = writer->plan;
  gint64 last_start;
  gint64 static_start;

  mix (writer, acid);
  for (guint i = 0; i < plan->n_circuits; i++)
    fill_circuit (writer, &plan->circuits[i], acid);
  last_start = writer->now_ms;
  for (guint i = 0; i < plan->n_statics; i++)
    fill_static (writer, plan->statics[i].line, acid);
  static_start = writer->now_ms;
  if (writer->visit->until <= TD_DEMO_CONTACT)
    return;
  if (!acid)
    for (guint i = 0; i < plan->n_circuits; i++)
      work_on_faucets (writer, &plan->circuits[i]);
  wait_until (writer, last_start, writer->visit->short_contact ? 11 : 15);
  for (guint i = 0; i < plan->n_circuits; i++)
    td_demo_act (writer, TD_KIND_CONTACT_ENDED, 10, "{\"circuit\":%u}", plan->circuits[i].number);
  if (plan->n_statics > 0)
    wait_until (writer, static_start, writer->visit->short_contact && plan->n_circuits == 0 ? 16 : 20);
  rinse_all (writer);
}
