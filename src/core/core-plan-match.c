#include "core-plan-match.h"

/* The lines of one cell, by what they can do, from the least loss on. */
typedef struct
{
  gint64 *oneway;
  guint *oneway_types;
  guint n_oneway;
  gint64 *either;
  guint *either_types;
  guint n_either;
  gint64 capacity;
  gboolean *taken; /* of @either, room for the work */
} Cell;

/* Types come with the greatest loss first, so that going backwards gives the least first.  One line
 * of type @without is left out. */
static void
fill_cell (Cell *cell, const TdPlanPart *part, guint tower, guint cooler, int without)
{
  cell->capacity = part->capacity_um;
  cell->oneway = g_new (gint64, part->n_lines + 1);
  cell->either = g_new (gint64, part->n_lines + 1);
  cell->oneway_types = g_new (guint, part->n_lines + 1);
  cell->either_types = g_new (guint, part->n_lines + 1);
  cell->taken = g_new (gboolean, part->n_lines + 1);
  cell->n_oneway = cell->n_either = 0;
  for (guint i = part->n_types; i > 0; i--)
    {
      const TdPlanType *type = &part->types[i - 1];
      if (type->tower != tower || type->cooler != cooler)
        continue;
      for (guint k = (int)i - 1 == without ? 1 : 0; k < type->count; k++)
        if (type->kind == TD_PLAN_OUT_ONLY)
          {
            cell->oneway_types[cell->n_oneway] = i - 1;
            cell->oneway[cell->n_oneway++] = type->loss_um;
          }
        else
          {
            cell->either_types[cell->n_either] = i - 1;
            cell->either[cell->n_either++] = type->loss_um;
          }
    }
}

static void
clear_cell (Cell *cell)
{
  g_free (cell->oneway);
  g_free (cell->either);
  g_free (cell->oneway_types);
  g_free (cell->either_types);
  g_free (cell->taken);
}

/* Can the @x lightest one-way lines and the @y lightest others all be paired?  Each one-way line,
 * the greatest first, takes the greatest partner that it leaves room for: later ones can take
 * whatever it could, so nothing is lost, and the lightest remain.  The others pair up, greatest
 * with least. */
static gboolean
can_pair (Cell *cell, guint x, guint y)
{
  for (guint i = 0; i < y; i++)
    cell->taken[i] = FALSE;
  guint top = 0;
  for (guint i = x; i > 0; i--)
    {
      while (top < y && cell->oneway[i - 1] + cell->either[top] <= cell->capacity)
        top++;
      guint at = top;
      while (at > 0 && cell->taken[at - 1])
        at--;
      if (at == 0)
        return FALSE;
      cell->taken[at - 1] = TRUE;
    }
  guint low = 0, high = y;
  while (TRUE)
    {
      while (low < high && cell->taken[low])
        low++;
      while (high > low && cell->taken[high - 1])
        high--;
      if (low >= high)
        return TRUE;
      if (cell->either[low] + cell->either[high - 1] > cell->capacity || high - low < 2)
        return FALSE;
      low++;
      high--;
    }
}

/* The greatest matching uses the lightest lines of each kind: tries how many of each.  Among
 * greatest ones the one with most one-way lines is taken. */
static guint
match_cell (Cell *cell, guint *x_out, guint *y_out)
{
  guint best = 0;
  *x_out = *y_out = 0;
  for (guint x = MIN (cell->n_oneway, cell->n_either) + 1; x-- > 0;)
    for (guint y = cell->n_either; y >= x && x + y > 2 * best; y--)
      if ((x + y) % 2 == 0 && can_pair (cell, x, y))
        {
          best = (x + y) / 2;
          *x_out = x;
          *y_out = y;
        }
  return best;
}

/* Counts the lines that run in: every partner of a one-way line, and one of every other pair, the
 * one that needs no reversal where there is a choice. */
static void
count_ins (Cell *cell, const TdPlanPart *part, guint x, guint y, TdPlanCount *ins_out)
{
  guint low = 0, high = y;
  gboolean paired = can_pair (cell, x, y);
  g_assert (paired);
  for (guint i = 0; i < y; i++)
    if (cell->taken[i])
      ins_out[cell->either_types[i]]++;
  while (TRUE)
    {
      while (low < high && cell->taken[low])
        low++;
      while (high > low && cell->taken[high - 1])
        high--;
      if (low >= high)
        return;
      guint light = cell->either_types[low++], heavy = cell->either_types[--high];
      ins_out[part->types[heavy].kind == TD_PLAN_PLAIN ? heavy : light]++;
    }
}

guint
td_plan_match (const TdPlanPart *part,
               guint tower,
               guint cooler,
               TdPlanCount *used_out,
               TdPlanCount *ins_out)
{
  g_return_val_if_fail (part != NULL && tower < part->n_towers && cooler < part->n_coolers, 0);
  Cell cell;
  guint x, y;

  fill_cell (&cell, part, tower, cooler, -1);
  guint pairs = match_cell (&cell, &x, &y);
  for (guint i = 0; i < part->n_types; i++)
    {
      if (part->types[i].tower != tower || part->types[i].cooler != cooler)
        continue;
      if (used_out != NULL)
        used_out[i] = 0;
      if (ins_out != NULL)
        ins_out[i] = 0;
    }
  for (guint i = 0; used_out != NULL && i < x; i++)
    used_out[cell.oneway_types[i]]++;
  for (guint i = 0; used_out != NULL && i < y; i++)
    used_out[cell.either_types[i]]++;
  if (ins_out != NULL)
    count_ins (&cell, part, x, y, ins_out);
  clear_cell (&cell);
  return pairs;
}

/* Do two lines of these types (two different lines) make a pair? */
static gboolean
is_pair (const TdPlanPart *part, guint a, guint b)
{
  return part->types[a].loss_um + part->types[b].loss_um <= part->capacity_um
         && (part->types[a].kind != TD_PLAN_OUT_ONLY || part->types[b].kind != TD_PLAN_OUT_ONLY);
}

void
td_plan_match_witness (const TdPlanPart *part, guint tower, guint cooler, GArray *lines_out)
{
  g_return_if_fail (part != NULL && lines_out != NULL);
  g_autofree gboolean *spare = g_new0 (gboolean, part->n_types + 1);
  guint pairs = td_plan_match (part, tower, cooler, NULL, NULL), x, y;

  /* Gallai and Edmonds: the lines that some greatest matching spares, and, as the witness, their
   * neighbours that none spares. */
  for (guint i = 0; i < part->n_types; i++)
    {
      if (part->types[i].tower != tower || part->types[i].cooler != cooler)
        continue;
      Cell cell;
      fill_cell (&cell, part, tower, cooler, (int)i);
      spare[i] = match_cell (&cell, &x, &y) == pairs;
      clear_cell (&cell);
    }
  for (guint i = 0; i < part->n_types; i++)
    {
      const TdPlanType *type = &part->types[i];
      gboolean neighbour = FALSE;
      if (type->tower != tower || type->cooler != cooler || spare[i])
        continue;
      for (guint k = 0; k < part->n_types && !neighbour; k++)
        neighbour = spare[k] && part->types[k].tower == tower && part->types[k].cooler == cooler
                    && is_pair (part, i, k);
      if (neighbour)
        g_array_append_vals (lines_out, type->lines, type->count);
    }
}
