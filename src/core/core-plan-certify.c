#include "core-plan-certify.h"

#include <math.h>

#include "core-json-build.h"
#include "core-plan-match.h"

typedef struct
{
  TdJsonBuilder *b;
  const TdSite *site;
  const TdLegModel *model;
  const TdPlanProblem *problem;
} Writer;

static const char *
get_proof (TdPlanProof proof)
{
  static const char *const texts[] = {
    [TD_PLAN_PROOF_BALANCE] = "balance", [TD_PLAN_PROOF_MATCHING] = "matching",
    [TD_PLAN_PROOF_LOSS] = "loss",       [TD_PLAN_PROOF_WEIGHTS] = "weights",
    [TD_PLAN_PROOF_SEARCH] = "search",
  };
  return texts[proof];
}

/* Towers and coolers may share an id, so their kind stands before it. */
static char *
name_node (const Writer *writer, guint node)
{
  return node < writer->site->n_towers
             ? g_strconcat ("tower:", writer->site->towers[node].id, NULL)
             : g_strconcat ("cooler:", writer->site->coolers[node - writer->site->n_towers].id,
                            NULL);
}

static void
write_ids (Writer *writer, const char *key, const guint *lines, guint n)
{
  td_json_builder_key (writer->b, key);
  td_json_builder_begin_array (writer->b);
  for (guint i = 0; i < n; i++)
    td_json_builder_string (writer->b, writer->site->lines[lines[i]].id);
  td_json_builder_end (writer->b);
}

/* ---- the numbers reckoned with ---- */

static void
write_line (Writer *writer, guint at)
{
  static const char *const kinds[] = {
    [TD_PLAN_OUT_ONLY] = "out", [TD_PLAN_PLAIN] = "plain", [TD_PLAN_REVERSIBLE] = "reversible"
  };
  const TdPlanLine *line = &writer->problem->lines[at];
  TdJsonBuilder *b = writer->b;
  td_json_builder_begin_object (b);
  td_json_builder_member_string (b, "id", writer->site->lines[at].id);
  td_json_builder_member_string (b, "tower", writer->site->towers[line->tower].id);
  td_json_builder_member_string (b, "cooler", writer->site->coolers[line->cooler].id);
  td_json_builder_member_string (b, "kind", kinds[line->kind]);
  td_json_builder_key (b, "loss_um");
  td_json_builder_begin_array (b);
  for (guint k = 0; k < (line->known ? writer->problem->n_levels : 1); k++)
    td_json_builder_integer (b, line->loss_um[k]);
  td_json_builder_end (b);
  td_json_builder_end (b);
}

/* Which level holds for a bucket at one place and a lowest point at another, where it is not 0; -1
 * where no flow keeps the pressure limit. */
static void
write_levels (Writer *writer)
{
  const TdPlanProblem *problem = writer->problem;
  guint n_nodes = problem->n_towers + problem->n_coolers;
  TdJsonBuilder *b = writer->b;
  td_json_builder_key (b, "lowest_first");
  td_json_builder_begin_array (b);
  for (guint i = 0; i < n_nodes; i++)
    {
      g_autofree char *name = name_node (writer, problem->lowest[i]);
      td_json_builder_string (b, name);
    }
  td_json_builder_end (b);
  td_json_builder_key (b, "levels");
  td_json_builder_begin_object (b);
  for (guint bucket = 0; bucket < n_nodes; bucket++)
    {
      g_autofree char *name = name_node (writer, bucket);
      td_json_builder_key (b, name);
      td_json_builder_begin_object (b);
      for (guint low = 0; low < n_nodes; low++)
        {
          g_autofree char *low_name = name_node (writer, low);
          guint level = problem->levels[bucket * n_nodes + low];
          if (level == TD_PLAN_NO_LEVEL)
            td_json_builder_member_integer (b, low_name, -1);
          else if (level > 0)
            td_json_builder_member_integer (b, low_name, level);
        }
      td_json_builder_end (b);
    }
  td_json_builder_end (b);
}

/* What losses are reckoned from besides the sheet: the solution and the jumper that each leg has. */
static void
write_fluid (Writer *writer)
{
  const TdFluid *fluid = td_leg_model_get_fluid (writer->model);
  const TdSegment *jumper = td_leg_model_get_jumper (writer->model);
  TdJsonBuilder *b = writer->b;
  td_json_builder_member_integer (b, "density_mg_m3", llround (fluid->density_kg_m3 * 1e6));
  td_json_builder_member_integer (b, "viscosity_fpa_s", llround (fluid->viscosity_pa_s * 1e15));
  td_json_builder_key (b, "jumper");
  td_json_builder_begin_object (b);
  td_json_builder_member_integer (b, "length_mm", llround (jumper->length_m * 1e3));
  td_json_builder_member_integer (b, "bore_um", llround (jumper->bore_mm * 1e3));
  td_json_builder_member_integer (b, "k_milli", llround (jumper->k * 1e3));
  td_json_builder_member_integer (b, "roughness_nm", llround (jumper->roughness_mm * 1e6));
  td_json_builder_end (b);
}

static void
write_numbers (Writer *writer, const TdPlanPins *pins)
{
  const TdPlanProblem *problem = writer->problem;
  TdJsonBuilder *b = writer->b;
  td_json_builder_key (b, "pins");
  td_json_builder_begin_array (b);
  for (guint i = 0; pins != NULL && i < td_plan_pins_get_length (pins); i++)
    td_json_builder_string (b, td_plan_pins_get (pins, i)->text);
  td_json_builder_end (b);
  write_fluid (writer);
  td_json_builder_key (b, "flow_nl_min");
  td_json_builder_begin_array (b);
  for (guint k = 0; k < problem->n_levels; k++)
    td_json_builder_integer (b, llround (problem->flow_l_min[k] * 1e9));
  td_json_builder_end (b);
  td_json_builder_key (b, "capacity_um");
  td_json_builder_begin_array (b);
  for (guint k = 0; k < problem->n_levels; k++)
    td_json_builder_integer (b, problem->capacity_um[k]);
  td_json_builder_end (b);
  td_json_builder_key (b, "lines");
  td_json_builder_begin_array (b);
  for (guint i = 0; i < problem->n_lines; i++)
    write_line (writer, problem->order[i]);
  td_json_builder_end (b);
  write_levels (writer);
}

/* ---- parts ---- */

static void
write_bound (Writer *writer, const char *key, guint bound, TdPlanProof proof)
{
  td_json_builder_key (writer->b, key);
  td_json_builder_begin_object (writer->b);
  td_json_builder_member_integer (writer->b, "bound", bound);
  td_json_builder_member_string (writer->b, "proof", get_proof (proof));
  td_json_builder_end (writer->b);
}

static void
write_weights (Writer *writer, const TdPlanPart *part, const TdPlanWeights *weights)
{
  TdJsonBuilder *b = writer->b;
  td_json_builder_begin_object (b);
  td_json_builder_member_integer (b, "most", weights->most);
  td_json_builder_key (b, "by_line");
  td_json_builder_begin_object (b);
  for (guint i = 0; i < part->n_types; i++)
    for (guint k = 0; k < part->types[i].count; k++)
      td_json_builder_member_integer (b, writer->site->lines[part->types[i].lines[k]].id,
                                      weights->weights[i]);
  td_json_builder_end (b);
  td_json_builder_end (b);
}

static void
write_witness (Writer *writer, const TdPlanPart *part)
{
  g_autoptr (GArray) removed = g_array_new (FALSE, FALSE, sizeof (guint));
  for (guint t = 0; t < part->n_towers; t++)
    for (guint c = 0; c < part->n_coolers; c++)
      td_plan_match_witness (part, t, c, removed);
  write_ids (writer, "removed", (const guint *)removed->data, removed->len);
}

static void
write_part (Writer *writer, const TdPlanPart *part, const TdPlanSolution *solution)
{
  TdJsonBuilder *b = writer->b;
  guint n_weights = 0;
  g_autoptr (GArray) lines = g_array_new (FALSE, FALSE, sizeof (guint));
  for (guint i = 0; i < part->n_types; i++)
    g_array_append_vals (lines, part->types[i].lines, part->types[i].count);
  td_json_builder_begin_object (b);
  write_ids (writer, "lines", (const guint *)lines->data, lines->len);
  write_bound (writer, "static", solution->bounds[0], solution->proofs[0]);
  write_bound (writer, "circuits", solution->bounds[1], solution->proofs[1]);
  write_bound (writer, "reversals", solution->bounds[2], solution->proofs[2]);
  if (solution->proofs[0] == TD_PLAN_PROOF_MATCHING)
    write_witness (writer, part);
  /* One set of weights is a bound by itself; a search is cut short by all of them. */
  if (solution->weights != NULL && solution->proofs[1] == TD_PLAN_PROOF_WEIGHTS)
    n_weights = 1;
  if (solution->weights != NULL
      && (solution->proofs[1] == TD_PLAN_PROOF_SEARCH
          || solution->proofs[2] == TD_PLAN_PROOF_SEARCH))
    n_weights = solution->weights->len;
  td_json_builder_key (b, "weights");
  td_json_builder_begin_array (b);
  for (guint i = 0; i < n_weights; i++)
    write_weights (writer, part, g_ptr_array_index (solution->weights, i));
  td_json_builder_end (b);
  td_json_builder_end (b);
}

TdJson *
td_plan_certify (const TdSite *site,
                 const TdLegModel *model,
                 const TdPlanProblem *problem,
                 const TdPlanPins *pins,
                 const GArray *alone,
                 const GPtrArray *parts,
                 const GPtrArray *solutions)
{
  g_return_val_if_fail (site != NULL && model != NULL && problem != NULL && alone != NULL, NULL);
  g_return_val_if_fail (parts != NULL && solutions != NULL && parts->len == solutions->len, NULL);
  g_autoptr (TdJsonBuilder) b = td_json_builder_new ();
  Writer writer = { b, site, model, problem };

  td_json_builder_begin_object (b);
  td_json_builder_member_string (b, "format", TD_CERTIFICATE_FORMAT);
  write_numbers (&writer, pins);
  write_ids (&writer, "alone", (const guint *)alone->data, alone->len);
  td_json_builder_key (b, "parts");
  td_json_builder_begin_array (b);
  for (guint i = 0; i < parts->len; i++)
    write_part (&writer, g_ptr_array_index (parts, i), g_ptr_array_index (solutions, i));
  td_json_builder_end (b);
  td_json_builder_end (b);
  return td_json_builder_finish (b);
}
