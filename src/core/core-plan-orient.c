#include "core-plan-orient.h"

#include <string.h>

/* Nodes of the flow network: the towers, then the coolers. Lines that run in carry one unit each
 * from their tower to their cooler. */
typedef struct
{
  guint n_towers;
  guint n_coolers;
  const TdPlanCell *cells;
  guint *in;        /* flow of each cell */
  guint *tower_due; /* lines still to be made to run in, by tower */
  guint *cooler_due;
  int *distance; /* by node */
  int *parent;   /* by node, -1 for none */
} Network;

static inline guint
count_lines (const TdPlanCell *cell)
{
  return cell->out_only + cell->plain + cell->reversible;
}

/* Reversals that one more line running in of the cell costs; -1 where none can. */
static inline int
cost_more (const TdPlanCell *cell, guint in)
{
  if (in < cell->plain)
    return 0;
  return in < cell->plain + cell->reversible ? 1 : -1;
}

/* Half of every node's lines run in; FALSE where some node has an odd number. */
static gboolean
set_dues (Network *net)
{
  memset (net->tower_due, 0, net->n_towers * sizeof (guint));
  memset (net->cooler_due, 0, net->n_coolers * sizeof (guint));
  for (guint t = 0; t < net->n_towers; t++)
    for (guint c = 0; c < net->n_coolers; c++)
      {
        guint n = count_lines (&net->cells[t * net->n_coolers + c]);
        net->tower_due[t] += n;
        net->cooler_due[c] += n;
      }
  for (guint t = 0; t < net->n_towers; t++)
    if (net->tower_due[t] % 2 != 0)
      return FALSE;
  for (guint c = 0; c < net->n_coolers; c++)
    if (net->cooler_due[c] % 2 != 0)
      return FALSE;
  for (guint t = 0; t < net->n_towers; t++)
    net->tower_due[t] /= 2;
  for (guint c = 0; c < net->n_coolers; c++)
    net->cooler_due[c] /= 2;
  return TRUE;
}

/* One round of Bellman and Ford over a cell; TRUE where a distance fell. */
static gboolean
relax (Network *net, guint t, guint c)
{
  guint at = t * net->n_coolers + c;
  int tower = (int)t, cooler = (int)(net->n_towers + c);
  int *d = net->distance;
  int forward = cost_more (&net->cells[at], net->in[at]);
  gboolean changed = FALSE;

  if (forward >= 0 && d[tower] < G_MAXINT && d[tower] + forward < d[cooler])
    {
      d[cooler] = d[tower] + forward;
      net->parent[cooler] = tower;
      changed = TRUE;
    }
  if (net->in[at] > 0 && d[cooler] < G_MAXINT)
    {
      int back = cost_more (&net->cells[at], net->in[at] - 1);
      if (d[cooler] - back < d[tower])
        {
          d[tower] = d[cooler] - back;
          net->parent[tower] = cooler;
          changed = TRUE;
        }
    }
  return changed;
}

/* Shortest path from a tower with lines due to a cooler with lines due; -1 where there is none. */
static int
find_path (Network *net)
{
  guint n_nodes = net->n_towers + net->n_coolers;
  gboolean changed = TRUE;
  int best = -1;

  for (guint i = 0; i < n_nodes; i++)
    {
      net->distance[i] = i < net->n_towers && net->tower_due[i] > 0 ? 0 : G_MAXINT;
      net->parent[i] = -1;
    }
  /* Successive shortest paths never make a negative cycle, so this ends. */
  while (changed)
    {
      changed = FALSE;
      for (guint t = 0; t < net->n_towers; t++)
        for (guint c = 0; c < net->n_coolers; c++)
          changed |= relax (net, t, c);
    }
  for (guint c = 0; c < net->n_coolers; c++)
    {
      int node = (int)(net->n_towers + c);
      if (net->cooler_due[c] > 0 && net->distance[node] < G_MAXINT
          && (best < 0 || net->distance[node] < net->distance[best]))
        best = node;
    }
  return best;
}

/* Sends one unit along the path that ends at @node. */
static void
augment (Network *net, int node)
{
  net->cooler_due[node - (int)net->n_towers]--;
  while (net->parent[node] >= 0)
    {
      int from = net->parent[node];
      if (from < (int)net->n_towers)
        net->in[(guint)from * net->n_coolers + (guint)node - net->n_towers]++;
      else
        net->in[(guint)node * net->n_coolers + (guint)from - net->n_towers]--;
      node = from;
    }
  net->tower_due[node]--;
}

/* With one cooler there is nothing to choose: half of each tower's lines run in. */
static int
orient_one_cooler (guint n_towers, const TdPlanCell *cells, guint *in_out)
{
  guint reversals = 0;
  for (guint t = 0; t < n_towers; t++)
    {
      guint n = count_lines (&cells[t]);
      if (n % 2 != 0 || cells[t].out_only > n / 2)
        return -1;
      reversals += n / 2 > cells[t].plain ? n / 2 - cells[t].plain : 0;
      if (in_out != NULL)
        in_out[t] = n / 2;
    }
  return (int)reversals;
}

int
td_plan_orient (guint n_towers, guint n_coolers, const TdPlanCell *cells, guint *in_out)
{
  if (n_coolers == 1)
    return orient_one_cooler (n_towers, cells, in_out);

  guint n_nodes = n_towers + n_coolers, n_cells = n_towers * n_coolers;
  g_autofree guint *in = g_new0 (guint, n_cells + n_nodes);
  g_autofree int *labels = g_new (int, 2 * n_nodes);
  Network net = { n_towers, n_coolers,       cells, in, in + n_cells, in + n_cells + n_towers,
                  labels,   labels + n_nodes };
  int reversals = 0;
  guint due = 0;

  if (!set_dues (&net))
    return -1;
  for (guint t = 0; t < n_towers; t++)
    due += net.tower_due[t];
  for (; due > 0; due--)
    {
      int end = find_path (&net);
      if (end < 0)
        return -1;
      reversals += net.distance[end];
      augment (&net, end);
    }
  if (in_out != NULL)
    memcpy (in_out, in, n_cells * sizeof (guint));
  g_assert (reversals >= 0);
  return reversals;
}

gboolean
td_plan_hangs_together (guint n_towers, guint n_coolers, const TdPlanCell *cells)
{
  guint n_nodes = n_towers + n_coolers;
  g_autofree guint *root = g_new (guint, n_nodes);
  g_autofree gboolean *touched = g_new0 (gboolean, n_nodes);
  guint parts = 0;

  for (guint i = 0; i < n_nodes; i++)
    root[i] = i;
  for (guint t = 0; t < n_towers; t++)
    for (guint c = 0; c < n_coolers; c++)
      {
        if (count_lines (&cells[t * n_coolers + c]) == 0)
          continue;
        guint from = root[t], to = root[n_towers + c];
        touched[t] = touched[n_towers + c] = TRUE;
        for (guint i = 0; i < n_nodes && from != to; i++)
          root[i] = root[i] == from ? to : root[i];
      }
  for (guint i = 0; i < n_nodes; i++)
    parts += touched[i] && root[i] == i ? 1 : 0;
  return parts == 1;
}
