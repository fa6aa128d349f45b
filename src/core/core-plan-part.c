#include "core-plan-part.h"

#include <string.h>

void
td_plan_part_free (TdPlanPart *part)
{
  g_return_if_fail (part != NULL);
  for (guint i = 0; i < part->n_types; i++)
    g_free (part->types[i].lines);
  g_free (part->types);
  g_free (part->towers);
  g_free (part->coolers);
  g_free (part);
}

/* ---- lines without a partner ---- */

/* The least loss of another line that could join @line at the node, or -1.  A line that only runs
 * out needs one that runs in. */
static gint64
find_partner (const TdPlanProblem *problem, const gboolean *active, guint line, gboolean at_tower)
{
  const TdPlanLine *self = &problem->lines[line];
  gint64 least = -1;
  for (guint i = 0; i < problem->n_lines; i++)
    {
      const TdPlanLine *other = &problem->lines[i];
      gboolean meets = at_tower ? other->tower == self->tower : other->cooler == self->cooler;
      if (i == line || !active[i] || !meets
          || (self->kind == TD_PLAN_OUT_ONLY && other->kind == TD_PLAN_OUT_ONLY))
        continue;
      if (least < 0 || other->loss_um[0] < least)
        least = other->loss_um[0];
    }
  return least;
}

/* Drops lines that no circuit can hold, until every line left has a partner at both of its ends
 * within the pump's head. */
static void
drop_lonely (const TdPlanProblem *problem, gboolean *active)
{
  gboolean changed = TRUE;
  while (changed)
    {
      changed = FALSE;
      for (guint i = 0; i < problem->n_lines; i++)
        {
          if (!active[i])
            continue;
          gint64 tower = find_partner (problem, active, i, TRUE);
          gint64 cooler = find_partner (problem, active, i, FALSE);
          if (tower < 0 || cooler < 0
              || problem->lines[i].loss_um[0] + MAX (tower, cooler) > problem->capacity_um[0])
            {
              active[i] = FALSE;
              changed = TRUE;
            }
        }
    }
}

/* ---- parts ---- */

/* Labels every node with the first node (in order of ids) that hangs together with it. */
static guint *
label_nodes (const TdPlanProblem *problem, const gboolean *active)
{
  guint n_nodes = problem->n_towers + problem->n_coolers;
  guint *label = g_new (guint, n_nodes + 1);
  for (guint i = 0; i < n_nodes; i++)
    label[problem->node_order[i]] = i;
  for (guint i = 0; i < problem->n_lines; i++)
    {
      if (!active[i])
        continue;
      guint a = label[problem->lines[i].tower];
      guint b = label[problem->n_towers + problem->lines[i].cooler];
      for (guint k = 0; k < n_nodes && a != b; k++)
        if (label[k] == MAX (a, b))
          label[k] = MIN (a, b);
    }
  return label;
}

static gboolean
same_type (const TdPlanProblem *problem, guint a, guint b)
{
  const TdPlanLine *x = &problem->lines[a], *y = &problem->lines[b];
  return x->tower == y->tower && x->cooler == y->cooler && x->kind == y->kind
         && x->known == y->known
         && memcmp (x->loss_um, y->loss_um, problem->n_levels * sizeof (gint64)) == 0;
}

static int
compare_types (gconstpointer a, gconstpointer b)
{
  const TdPlanType *x = a, *y = b;
  if (x->loss_um != y->loss_um)
    return x->loss_um > y->loss_um ? -1 : 1;
  if (x->tower != y->tower)
    return x->tower < y->tower ? -1 : 1;
  if (x->cooler != y->cooler)
    return x->cooler < y->cooler ? -1 : 1;
  return (int)x->kind - (int)y->kind;
}

/* Puts a line with the type it belongs to, or begins one. */
static void
add_line (TdPlanPart *part, const guint *local, guint line)
{
  const TdPlanProblem *problem = part->problem;
  const TdPlanLine *is = &problem->lines[line];
  guint at = 0;
  while (at < part->n_types && !same_type (problem, part->types[at].lines[0], line))
    at++;
  if (at == part->n_types)
    {
      part->types = g_renew (TdPlanType, part->types, at + 1);
      part->types[at] = (TdPlanType){
        local[is->tower], local[problem->n_towers + is->cooler], is->kind, is->loss_um[0], 0, NULL
      };
      part->n_types++;
    }
  TdPlanType *type = &part->types[at];
  type->lines = g_renew (guint, type->lines, type->count + 1);
  type->lines[type->count++] = line;
  part->n_lines++;
}

/* Does only the least flow limit circuits? */
static gboolean
find_splits (const TdPlanPart *part)
{
  const TdPlanProblem *problem = part->problem;
  guint n_nodes = problem->n_towers + problem->n_coolers;
  gboolean known = FALSE, level = FALSE;
  for (guint i = 0; i < part->n_types; i++)
    known |= problem->lines[part->types[i].lines[0]].known;
  for (guint i = 0; i < n_nodes * n_nodes; i++)
    level |= problem->levels[i] != 0;
  return !(known && level) && problem->station < 0;
}

static TdPlanPart *
make_part (const TdPlanProblem *problem, const gboolean *active, const guint *label, guint which)
{
  guint n_nodes = problem->n_towers + problem->n_coolers;
  g_autofree guint *local = g_new0 (guint, n_nodes + 1);
  TdPlanPart *part = g_new0 (TdPlanPart, 1);

  part->problem = problem;
  part->capacity_um = problem->capacity_um[0];
  part->towers = g_new (guint, problem->n_towers + 1);
  part->coolers = g_new (guint, problem->n_coolers + 1);
  for (guint i = 0; i < n_nodes; i++)
    {
      guint node = problem->node_order[i];
      if (label[node] != which)
        continue;
      if (node < problem->n_towers)
        {
          local[node] = part->n_towers;
          part->towers[part->n_towers++] = node;
        }
      else
        {
          local[node] = part->n_coolers;
          part->coolers[part->n_coolers++] = node - problem->n_towers;
        }
    }
  for (guint i = 0; i < problem->n_lines; i++)
    if (active[problem->order[i]] && label[problem->lines[problem->order[i]].tower] == which)
      add_line (part, local, problem->order[i]);
  /* Types began in the order of their first lines' ids, which a stable sort keeps among equals. */
  for (guint i = 1; i < part->n_types; i++)
    {
      TdPlanType moved = part->types[i];
      guint at = i;
      for (; at > 0 && compare_types (&part->types[at - 1], &moved) > 0; at--)
        part->types[at] = part->types[at - 1];
      part->types[at] = moved;
    }
  part->splits = find_splits (part);
  return part;
}

GPtrArray *
td_plan_parts_new (const TdPlanProblem *problem, GArray **alone_out)
{
  g_return_val_if_fail (problem != NULL && alone_out != NULL, NULL);
  guint n_nodes = problem->n_towers + problem->n_coolers;
  GPtrArray *parts = g_ptr_array_new_with_free_func ((GDestroyNotify)td_plan_part_free);
  g_autofree gboolean *active = g_new0 (gboolean, problem->n_lines + 1);

  *alone_out = g_array_new (FALSE, FALSE, sizeof (guint));
  for (guint i = 0; i < problem->n_lines; i++)
    active[i] = problem->lines[i].status == TD_PLAN_FREE;
  drop_lonely (problem, active);
  g_autofree guint *label = label_nodes (problem, active);
  for (guint i = 0; i < problem->n_lines; i++)
    {
      if (active[i] && problem->station >= 0
          && label[problem->lines[i].tower] != label[problem->station])
        active[i] = FALSE;
      if (!active[i] && problem->lines[i].status == TD_PLAN_FREE)
        g_array_append_val (*alone_out, i);
    }
  for (guint which = 0; which < n_nodes; which++)
    for (guint i = 0; i < problem->n_lines; i++)
      if (active[i] && label[problem->lines[i].tower] == which)
        {
          g_ptr_array_add (parts, make_part (problem, active, label, which));
          break;
        }
  return parts;
}

/* ---- circuits of a part ---- */

gboolean
td_plan_part_fits (const TdPlanPart *part, const TdPlanCount *counts)
{
  gint64 loss = 0;
  guint n = 0;
  for (guint i = 0; i < part->n_types; i++)
    {
      loss += part->types[i].loss_um * counts[i];
      n += counts[i];
    }
  if (loss > part->capacity_um || part->splits)
    return loss <= part->capacity_um;

  g_autofree guint *lines = g_new (guint, n + 1);
  TdPlanFit fit;
  n = 0;
  for (guint i = 0; i < part->n_types; i++)
    for (guint k = 0; k < counts[i]; k++)
      lines[n++] = part->types[i].lines[k];
  td_plan_problem_fit (part->problem, lines, n, &fit);
  return fit.flow_fits && fit.station >= 0;
}

int
td_plan_part_orient (const TdPlanPart *part, const TdPlanCount *counts)
{
  g_autofree TdPlanCell *cells = g_new0 (TdPlanCell, part->n_towers * part->n_coolers);
  for (guint i = 0; i < part->n_types; i++)
    {
      const TdPlanType *type = &part->types[i];
      TdPlanCell *cell = &cells[type->tower * part->n_coolers + type->cooler];
      if (type->kind == TD_PLAN_OUT_ONLY)
        cell->out_only += counts[i];
      else if (type->kind == TD_PLAN_PLAIN)
        cell->plain += counts[i];
      else
        cell->reversible += counts[i];
    }
  if (part->n_coolers > 1 && !td_plan_hangs_together (part->n_towers, part->n_coolers, cells))
    return -1;
  return td_plan_orient (part->n_towers, part->n_coolers, cells, NULL);
}

/* ---- packings ---- */

TdPlanPacking *
td_plan_packing_new (const TdPlanPart *part)
{
  TdPlanPacking *packing = g_new0 (TdPlanPacking, 1);
  packing->statics = g_new0 (TdPlanCount, part->n_types + 1);
  return packing;
}

void
td_plan_packing_free (TdPlanPacking *packing)
{
  g_return_if_fail (packing != NULL);
  g_free (packing->circuits);
  g_free (packing->statics);
  g_free (packing);
}

void
td_plan_packing_add (TdPlanPacking *packing,
                     const TdPlanPart *part,
                     const TdPlanCount *counts,
                     guint reversals)
{
  packing->circuits
      = g_renew (TdPlanCount, packing->circuits, (gsize)(packing->n_circuits + 1) * part->n_types);
  memcpy (packing->circuits + (gsize)packing->n_circuits * part->n_types, counts,
          part->n_types * sizeof (TdPlanCount));
  packing->n_circuits++;
  packing->reversals += reversals;
}

void
td_plan_packing_finish (TdPlanPacking *packing, const TdPlanPart *part)
{
  packing->n_statics = 0;
  for (guint i = 0; i < part->n_types; i++)
    {
      guint used = 0;
      for (guint c = 0; c < packing->n_circuits; c++)
        used += packing->circuits[(gsize)c * part->n_types + i];
      g_assert (used <= part->types[i].count);
      packing->statics[i] = (TdPlanCount)(part->types[i].count - used);
      packing->n_statics += packing->statics[i];
    }
}

gboolean
td_plan_packing_is_better (const TdPlanPacking *a, const TdPlanPacking *b)
{
  if (a->n_statics != b->n_statics)
    return a->n_statics < b->n_statics;
  if (a->n_circuits != b->n_circuits)
    return a->n_circuits < b->n_circuits;
  return a->reversals < b->reversals;
}
