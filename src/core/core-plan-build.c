#include "core-plan-build.h"

#include <string.h>

#include "core-plan-balance.h"
#include "core-plan-heaviest.h"
#include "core-plan-match.h"
#include "core-plan-stay.h"

/* Steps that the capacity is divided into when circuits are filled. */
#define FILL_STEPS_ONE_COOLER 400
#define FILL_STEPS 150

typedef struct
{
  const TdPlanPart *part;
  TdPlanCount *outs; /* lines by type that are to run out */
  TdPlanCount *ins;  /* lines by type that are to run in */
  gboolean paired;   /* what is left shall always pair up between each tower and cooler */
  TdPlanPacking *packing;
} Build;

/* ---- who is static, who runs in ---- */

/* Takes @n lines of the kind at the cell out of @from, those of the greatest loss first or last. */
static guint
move_lines (const TdPlanPart *part,
            guint tower,
            guint cooler,
            TdPlanKind kind,
            guint n,
            TdPlanCount *from,
            TdPlanCount *to)
{
  for (guint i = 0; i < part->n_types && n > 0; i++)
    {
      const TdPlanType *type = &part->types[i];
      if (type->tower != tower || type->cooler != cooler || type->kind != kind)
        continue;
      guint moved = MIN (n, from[i]);
      from[i] = (TdPlanCount)(from[i] - moved);
      if (to != NULL)
        to[i] = (TdPlanCount)(to[i] + moved);
      n -= moved;
    }
  return n;
}

/* Of @n lines that are to run in takes every other one by loss, so that heavy and light ones run
 * both ways; those that need no reversal first. */
static void
spread_ins (Build *build, guint tower, guint cooler, guint n)
{
  const TdPlanPart *part = build->part;
  static const TdPlanKind kinds[] = { TD_PLAN_PLAIN, TD_PLAN_REVERSIBLE };
  for (guint k = 0; k < G_N_ELEMENTS (kinds); k++)
    {
      guint all = 0, seen = 0, taken = 0;
      for (guint i = 0; i < part->n_types; i++)
        if (part->types[i].tower == tower && part->types[i].cooler == cooler
            && part->types[i].kind == kinds[k])
          all += build->outs[i];
      guint wanted = MIN (n, all);
      for (guint i = 0; i < part->n_types && wanted > 0; i++)
        if (part->types[i].tower == tower && part->types[i].cooler == cooler
            && part->types[i].kind == kinds[k])
          {
            /* After @seen of @all lines, wanted * seen / all of them have been taken. */
            seen += build->outs[i];
            guint due = wanted * seen / all - taken;
            build->ins[i] = (TdPlanCount)(build->ins[i] + due);
            build->outs[i] = (TdPlanCount)(build->outs[i] - due);
            taken += due;
          }
      n -= wanted;
    }
}

/* By balance: as many static lines of each cell as it asks for, the greatest losses first. */
static gboolean
decide_by_balance (Build *build, guint statics)
{
  const TdPlanPart *part = build->part;
  g_autofree TdPlanShare *shares = g_new0 (TdPlanShare, part->n_towers * part->n_coolers + 1);
  if (!td_plan_balance_share (part, statics, shares))
    return FALSE;
  for (guint t = 0; t < part->n_towers; t++)
    for (guint c = 0; c < part->n_coolers; c++)
      {
        const TdPlanShare *share = &shares[t * part->n_coolers + c];
        guint n = move_lines (part, t, c, TD_PLAN_OUT_ONLY, share->statics, build->outs, NULL);
        n = move_lines (part, t, c, TD_PLAN_REVERSIBLE, n, build->outs, NULL);
        move_lines (part, t, c, TD_PLAN_PLAIN, n, build->outs, NULL);
        spread_ins (build, t, c, share->ins);
      }
  return TRUE;
}

/* By greatest matchings of each tower and cooler: which of the lines run in either freely or as
 * matched. */
static void
decide_by_matching (Build *build, gboolean as_matched)
{
  const TdPlanPart *part = build->part;
  for (guint t = 0; t < part->n_towers; t++)
    for (guint c = 0; c < part->n_coolers; c++)
      {
        guint pairs = td_plan_match (part, t, c, build->outs, as_matched ? build->ins : NULL);
        if (!as_matched)
          spread_ins (build, t, c, pairs);
      }
  for (guint i = 0; as_matched && i < part->n_types; i++)
    build->outs[i] = (TdPlanCount)(build->outs[i] - build->ins[i]);
}

/* ---- can what is left still be paired? ---- */

/* Whether the lines that run in and out between tower and cooler can be matched within the
 * capacity.  Both go from the greatest loss on; the greatest of the one takes the least of the
 * other. */
static gboolean
can_pair (const Build *build, guint tower, guint cooler)
{
  const TdPlanPart *part = build->part;
  guint in = 0, out = part->n_types, in_left = 0, out_left = 0;
  while (TRUE)
    {
      for (; in_left == 0 && in < part->n_types; in++)
        if (part->types[in].tower == tower && part->types[in].cooler == cooler)
          in_left = build->ins[in];
      for (; out_left == 0 && out > 0; out--)
        if (part->types[out - 1].tower == tower && part->types[out - 1].cooler == cooler)
          out_left = build->outs[out - 1];
      if (in_left == 0 || out_left == 0)
        return in_left == out_left;
      if (part->types[in - 1].loss_um + part->types[out].loss_um > part->capacity_um)
        return FALSE;
      guint both = MIN (in_left, out_left);
      in_left -= both;
      out_left -= both;
    }
}

static gboolean
can_pair_all (const Build *build)
{
  if (!build->paired)
    return TRUE;
  for (guint t = 0; t < build->part->n_towers; t++)
    for (guint c = 0; c < build->part->n_coolers; c++)
      if (!can_pair (build, t, c))
        return FALSE;
  return TRUE;
}

/* ---- circuits ---- */

/* Cuts the lines down to those that hang together with the type @lead. */
static void
cut_to_lead (const TdPlanPart *part, guint lead, TdPlanCount *counts, TdPlanCount *ins)
{
  g_autofree gboolean *tower = g_new0 (gboolean, part->n_towers + 1);
  g_autofree gboolean *cooler = g_new0 (gboolean, part->n_coolers + 1);
  gboolean changed = TRUE;
  tower[part->types[lead].tower] = TRUE;
  while (changed)
    {
      changed = FALSE;
      for (guint i = 0; i < part->n_types; i++)
        {
          gboolean *t = &tower[part->types[i].tower], *c = &cooler[part->types[i].cooler];
          if (counts[i] == 0 || *t == *c)
            continue;
          *t = *c = TRUE;
          changed = TRUE;
        }
    }
  for (guint i = 0; i < part->n_types; i++)
    if (!tower[part->types[i].tower])
      counts[i] = ins[i] = 0;
}

static void
subtract (Build *build, const TdPlanCount *counts, const TdPlanCount *ins, int sign)
{
  for (guint i = 0; i < build->part->n_types; i++)
    {
      build->ins[i] = (TdPlanCount)(build->ins[i] - sign * ins[i]);
      build->outs[i] = (TdPlanCount)(build->outs[i] - sign * (counts[i] - ins[i]));
    }
}

/* The fullest circuit with a line of type @lead within @capacity_um. */
static gboolean
fill (const Build *build, guint lead, gint64 capacity_um, TdPlanCount *counts, TdPlanCount *ins)
{
  const TdPlanPart *part = build->part;
  guint steps = part->n_coolers == 1 ? FILL_STEPS_ONE_COOLER : FILL_STEPS;
  g_autofree gint64 *weights = g_new (gint64, part->n_types + 1);
  g_autofree TdPlanCount *free = g_new (TdPlanCount, part->n_types + 1);

  for (guint i = 0; i < part->n_types; i++)
    {
      free[i] = (TdPlanCount)(build->ins[i] + build->outs[i]);
      weights[i] = part->types[i].loss_um * steps / MAX (part->capacity_um, 1);
    }
  TdPlanScale scale = { .out_weights = weights,
                        .in_weights = weights,
                        .free = free,
                        .ins = build->ins,
                        .must = (int)lead,
                        .capacity_um = capacity_um };
  if (td_plan_find_heaviest (part, &scale, counts, ins, NULL) < 0)
    return FALSE;
  cut_to_lead (part, lead, counts, ins);
  return TRUE;
}

/* The pair that the greatest matching gives the greatest loss: the lead and the heaviest partner
 * with which the others can still be paired. */
static gboolean
pair (Build *build, guint lead, TdPlanCount *counts, TdPlanCount *ins)
{
  const TdPlanPart *part = build->part;
  gboolean lead_in = build->ins[lead] > 0;
  const TdPlanCount *partners = lead_in ? build->outs : build->ins;
  for (guint i = 0; i < part->n_types; i++)
    {
      if (part->types[i].tower != part->types[lead].tower
          || part->types[i].cooler != part->types[lead].cooler || partners[i] == 0
          || part->types[i].loss_um + part->types[lead].loss_um > part->capacity_um)
        continue;
      memset (counts, 0, part->n_types * sizeof (TdPlanCount));
      memset (ins, 0, part->n_types * sizeof (TdPlanCount));
      counts[lead]++;
      counts[i]++;
      ins[lead_in ? lead : i]++;
      subtract (build, counts, ins, 1);
      gboolean fits = can_pair_all (build);
      subtract (build, counts, ins, -1);
      if (fits)
        return TRUE;
    }
  return FALSE;
}

/* Makes the next circuit around @lead; FALSE where none is found. */
static gboolean
make_circuit (Build *build, guint lead, TdPlanCount *counts, TdPlanCount *ins)
{
  const TdPlanPart *part = build->part;
  gboolean found = fill (build, lead, part->capacity_um, counts, ins);
  if (found)
    {
      int reversals = td_plan_part_orient (part, counts);
      subtract (build, counts, ins, 1);
      found = reversals >= 0 && td_plan_part_fits (part, counts) && can_pair_all (build);
      subtract (build, counts, ins, -1);
    }
  if (!found)
    found = pair (build, lead, counts, ins) && td_plan_part_fits (part, counts);
  return found;
}

static void
make_circuits (Build *build)
{
  const TdPlanPart *part = build->part;
  g_autofree TdPlanCount *counts = g_new0 (TdPlanCount, part->n_types + 1);
  g_autofree TdPlanCount *ins = g_new0 (TdPlanCount, part->n_types + 1);
  for (guint lead = 0; lead < part->n_types; lead++)
    while (build->ins[lead] + build->outs[lead] > 0)
      {
        if (make_circuit (build, lead, counts, ins))
          {
            subtract (build, counts, ins, 1);
            td_plan_packing_add (build->packing, part, counts,
                                 (guint)td_plan_part_orient (part, counts));
          }
        else
          build->ins[lead] = build->outs[lead] = 0;
      }
}

static gboolean
decide_statics (Build *build)
{
  g_autoptr (TdPlanStay) stay = td_plan_stay_new (build->part);
  guint statics = 0;
  while (!td_plan_stay_count (build->part, build->outs, statics, build->part->n_lines, stay))
    statics++;
  for (guint more = 0; more < 64; more = 2 * more + 1)
    if (decide_by_balance (build, statics + more))
      return TRUE;
  return FALSE;
}

typedef enum
{
  BY_BALANCE,
  BY_MATCHING,
  AS_MATCHED,
  N_WAYS
} Way;

static TdPlanPacking *
build_once (const TdPlanPart *part, Way way)
{
  g_autofree TdPlanCount *outs = g_new0 (TdPlanCount, 2 * part->n_types + 1);
  gboolean paired = part->splits && (part->n_coolers == 1 || way != BY_BALANCE);
  Build build = { part, outs, outs + part->n_types, paired, td_plan_packing_new (part) };
  gboolean decided = TRUE;

  for (guint i = 0; i < part->n_types; i++)
    outs[i] = (TdPlanCount)part->types[i].count;
  if (way == BY_BALANCE)
    decided = decide_statics (&build);
  else
    decide_by_matching (&build, way == AS_MATCHED);
  if (decided)
    make_circuits (&build);
  td_plan_packing_finish (build.packing, part);
  return build.packing;
}

TdPlanPacking *
td_plan_build (const TdPlanPart *part)
{
  g_return_val_if_fail (part != NULL, NULL);
  TdPlanPacking *best = NULL;
  for (Way way = BY_BALANCE; way < (part->splits || part->n_coolers == 1 ? N_WAYS : BY_MATCHING); way++)
    {
      g_autoptr (TdPlanPacking) packing = build_once (part, way);
      if (best == NULL || td_plan_packing_is_better (packing, best))
        {
          g_clear_pointer (&best, td_plan_packing_free);
          best = g_steal_pointer (&packing);
        }
    }
  return best;
}
