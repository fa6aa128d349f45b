#include "core-plan-columns.h"

#include <math.h>
#include <string.h>

#include "core-plan-heaviest.h"
#include "core-plan-simplex.h"
#include "core-plan-stay.h"
#include "core-plan-weigh.h"

/* Prices are made whole numbers for the program that finds the next column: coarse first, then
 * fine. */
static const gint64 pricing_scales[] = { 120, 1000 };
/* Prices as weights: scales in which common fractions are whole, and a fine one. */
static const gint64 weight_scales[] = { 60, 840, 2520 };
/* A column has to be cheaper than its price by this part. */
#define LEAST_GAIN 1e-6
/* Pivots at most; a program of 200 rows takes some hundreds. */
#define MAX_PIVOTS 6000
/* Prices swing widely while columns are few; the next column is asked for at prices so far on the
 * way from the best ones yet to the present ones (Wentges, 1997). */
static const double steps[] = { 0.3, 1.0 };
/* A line alone costs so many times its share of the capacity, more than it can be worth. */
#define ALONE_COST 2.0

typedef struct
{
  const TdPlanPart *part;
  TdSimplex *simplex;
  TdPlanStay *stay;
  guint statics;
  guint n_types;
  guint n_rows; /* types, then towers (static lines by quota), then one for spare static lines */
  GArray *circuits; /* TdPlanCount, n_types each */
  guint n_circuits;
  double *column; /* room for one */
  double *centre; /* prices with the best bound yet; every circuit is worth 1 at most */
  double best;    /* that bound, before it is rounded up */
  gint64 *work;
} Master;

void
td_plan_fractions_free (TdPlanFractions *fractions)
{
  g_return_if_fail (fractions != NULL);
  g_ptr_array_unref (fractions->weights);
  g_free (fractions->circuits);
  g_free (fractions->amounts);
  g_free (fractions);
}

static inline const TdPlanCount *
get_circuit (const Master *master, guint at)
{
  return &g_array_index (master->circuits, TdPlanCount, at * master->n_types);
}

static void
add_circuit (Master *master, const TdPlanCount *counts)
{
  g_array_append_vals (master->circuits, counts, master->n_types);
  master->n_circuits++;
}

/* May a line of the type be static within its tower's quota? */
static gboolean
may_stay (const Master *master, guint type)
{
  guint tower = master->part->types[type].tower;
  gboolean strict = 2 * master->stay->oneway[tower] > master->stay->lines[tower];
  return !strict || master->part->types[type].kind == TD_PLAN_OUT_ONLY;
}

/* ---- columns; names: circuits from 0 on, the others beyond ---- */

#define NAME_FREE 1000000

static gboolean
enter_circuit (Master *master, guint at)
{
  const TdPlanCount *counts = get_circuit (master, at);
  memset (master->column, 0, master->n_rows * sizeof (double));
  for (guint i = 0; i < master->n_types; i++)
    master->column[i] = counts[i];
  return td_simplex_enter (master->simplex, master->column, 1.0, (int)at);
}

/* Brings in a column of no cost with @sign in the row of a type and 1 in @row: a line held static
 * at the cost of the row, or, without a row, a line that stands in a circuit too many. */
static gboolean
enter_free (Master *master, guint type, double sign, guint row)
{
  memset (master->column, 0, master->n_rows * sizeof (double));
  if (row > 0)
    master->column[row] = 1.0;
  master->column[type] = sign;
  return td_simplex_enter (master->simplex, master->column, 0.0, NAME_FREE);
}

/* Lets a line stand in too many circuits where it is worth less than nothing, so that no price is
 * negative in the end; FALSE where there is none. */
static gboolean
improve_negative (Master *master)
{
  const double *prices = td_simplex_get_prices (master->simplex);
  guint worst = 0;
  for (guint i = 1; i < master->n_types; i++)
    worst = prices[i] < prices[worst] ? i : worst;
  return prices[worst] < -LEAST_GAIN && enter_free (master, worst, -1.0, 0);
}

/* Holds the line static that is worth most more than its being static costs; FALSE where there is
 * none. */
static gboolean
improve_statics (Master *master)
{
  const TdPlanPart *part = master->part;
  const double *prices = td_simplex_get_prices (master->simplex);
  guint spare_row = master->n_types + part->n_towers, best_type = 0, best_row = 0;
  double best = LEAST_GAIN;
  for (guint i = 0; i < master->n_types; i++)
    {
      guint tower = part->types[i].tower, tower_row = master->n_types + tower;
      gboolean by_quota = master->stay->quota[tower] > 0 && may_stay (master, i);
      if (by_quota && prices[i] + prices[tower_row] > best)
        {
          best = prices[i] + prices[tower_row];
          best_type = i;
          best_row = tower_row;
        }
      if (master->stay->spare[0] > 0 && prices[i] + prices[spare_row] > best)
        {
          best = prices[i] + prices[spare_row];
          best_type = i;
          best_row = spare_row;
        }
    }
  return best_row > 0 && enter_free (master, best_type, 1.0, best_row);
}

/* Takes in the best of the circuits already known. */
static gboolean
improve_from_pool (Master *master)
{
  const double *prices = td_simplex_get_prices (master->simplex);
  double best = 1.0 + LEAST_GAIN;
  int best_at = -1;
  for (guint c = 0; c < master->n_circuits; c++)
    {
      const TdPlanCount *counts = get_circuit (master, c);
      double worth = 0.0;
      for (guint i = 0; i < master->n_types; i++)
        worth += counts[i] * prices[i];
      if (worth > best)
        {
          best = worth;
          best_at = (int)c;
        }
    }
  return best_at >= 0 && enter_circuit (master, (guint)best_at);
}

/* Keeps whole-number prices as the centre where their bound is the best. */
static void
keep_centre (Master *master, const gint64 *weights, gint64 most)
{
  double bound = td_plan_weigh_ratio (master->part, master->statics, weights, most);
  if (bound <= master->best)
    return;
  master->best = bound;
  for (guint i = 0; i < master->n_types; i++)
    master->centre[i] = (double)weights[i] / (double)most;
}

/* Finds the circuit that is worth most at prices @step of the way from the centre to the present
 * ones, in whole numbers of @scale; FALSE where it is worth no more than it costs, or the work is
 * spent. */
static gboolean
improve_by_program (Master *master, gint64 scale, double step)
{
  const TdPlanPart *part = master->part;
  const double *prices = td_simplex_get_prices (master->simplex);
  g_autofree gint64 *weights = g_new (gint64, master->n_types + 1);
  g_autofree TdPlanCount *counts = g_new0 (TdPlanCount, master->n_types + 1);
  double worth = 0.0;

  for (guint i = 0; i < master->n_types; i++)
    {
      double price = master->centre[i] + step * (MAX (prices[i], 0.0) - master->centre[i]);
      weights[i] = (gint64)floor (price * (double)scale + 0.01);
    }
  TdPlanScale question = {
    .out_weights = weights, .in_weights = weights, .must = -1, .capacity_um = part->capacity_um
  };
  *master->work -= td_plan_count_work (part, &question);
  gint64 most = *master->work < 0 ? 0 : td_plan_find_heaviest (part, &question, counts, NULL, NULL);
  if (most <= 0)
    return FALSE;
  keep_centre (master, weights, most);
  for (guint i = 0; i < master->n_types; i++)
    worth += counts[i] * prices[i];
  if (worth <= 1.0 + LEAST_GAIN)
    return FALSE;
  add_circuit (master, counts);
  return enter_circuit (master, master->n_circuits - 1);
}

static gboolean
improve (Master *master, gint64 scale)
{
  if (improve_negative (master) || improve_statics (master) || improve_from_pool (master))
    return TRUE;
  for (guint k = 0; k < G_N_ELEMENTS (steps); k++)
    if (improve_by_program (master, scale, steps[k]))
      return TRUE;
  return FALSE;
}

static void
optimise (Master *master)
{
  for (guint k = 0; k < G_N_ELEMENTS (pricing_scales); k++)
    for (guint pivots = 0; pivots<MAX_PIVOTS && * master->work> 0; pivots++)
      if (!improve (master, pricing_scales[k]))
        break;
}

/* ---- results ---- */

static void
collect_weights (Master *master, const double *prices, GPtrArray *weights_out)
{
  const TdPlanPart *part = master->part;
  for (guint k = 0; k < G_N_ELEMENTS (weight_scales); k++)
    {
      g_autoptr (TdPlanWeights) weights = td_plan_weights_new (master->n_types);
      for (guint i = 0; i < master->n_types; i++)
        weights->weights[i]
            = (gint64)floor (MAX (prices[i], 0.0) * (double)weight_scales[k] + 0.01);
      TdPlanScale question = { .out_weights = weights->weights,
                               .in_weights = weights->weights,
                               .must = -1,
                               .capacity_um = part->capacity_um };
      *master->work -= td_plan_count_work (part, &question);
      weights->most = td_plan_find_heaviest (part, &question, NULL, NULL, NULL);
      if (weights->most > 0)
        g_ptr_array_add (weights_out, g_steal_pointer (&weights));
    }
}

static void
collect_circuits (Master *master, TdPlanFractions *fractions)
{
  fractions->circuits = g_new0 (TdPlanCount, (gsize)master->n_rows * master->n_types + 1);
  fractions->amounts = g_new0 (double, master->n_rows);
  for (guint row = 0; row < master->n_rows; row++)
    {
      double amount;
      int name = td_simplex_get_basic (master->simplex, row, &amount);
      if (name < 0 || name >= NAME_FREE || amount < 1e-6)
        continue;
      memcpy (fractions->circuits + (gsize)fractions->n_circuits * master->n_types,
              get_circuit (master, (guint)name), master->n_types * sizeof (TdPlanCount));
      fractions->amounts[fractions->n_circuits++] = amount;
    }
}

/* Every line begins as a circuit of its own; static lines cost nothing but are few. */
static void
make_rows (Master *master)
{
  const TdPlanPart *part = master->part;
  g_autofree double *right = g_new0 (double, master->n_rows);
  g_autofree double *costs = g_new0 (double, master->n_rows);
  for (guint i = 0; i < master->n_types; i++)
    {
      /* A little more or less keeps the method from going round in circles. */
      right[i] = part->types[i].count + 1e-4 * (1.0 + i * 7919 % 101 / 101.0);
      costs[i] = fmin (
          1.0, 0.02 + ALONE_COST * (double)part->types[i].loss_um / (double)part->capacity_um);
    }
  for (guint t = 0; t < part->n_towers; t++)
    right[master->n_types + t] = master->stay->quota[t];
  right[master->n_types + part->n_towers] = master->stay->spare[0];
  master->simplex = td_simplex_new (master->n_rows, right, costs);
}

TdPlanFractions *
td_plan_find_fractions (const TdPlanPart *part,
                        guint statics,
                        const TdPlanPacking *packing,
                        gint64 *work)
{
  g_return_val_if_fail (part != NULL && work != NULL, NULL);
  g_autofree TdPlanCount *all = g_new0 (TdPlanCount, part->n_types + 1);
  g_autofree gint64 *losses = g_new0 (gint64, part->n_types + 1);
  g_autoptr (TdPlanStay) stay = td_plan_stay_new (part);
  Master master = { .part = part,
                    .stay = stay,
                    .statics = statics,
                    .n_types = part->n_types,
                    .n_rows = part->n_types + part->n_towers + 1,
                    .work = work };

  for (guint i = 0; i < part->n_types; i++)
    all[i] = (TdPlanCount)part->types[i].count;
  if (!td_plan_stay_count (part, all, statics, part->n_lines, stay))
    return NULL;
  master.circuits = g_array_new (FALSE, FALSE, sizeof (TdPlanCount));
  master.column = g_new0 (double, master.n_rows);
  master.centre = g_new0 (double, part->n_types + 1);
  for (guint i = 0; i < part->n_types; i++)
    {
      losses[i] = part->types[i].loss_um;
      master.centre[i] = (double)losses[i] / (double)part->capacity_um;
    }
  master.best = td_plan_weigh_ratio (part, statics, losses, part->capacity_um);
  make_rows (&master);
  for (guint c = 0; packing != NULL && c < packing->n_circuits; c++)
    add_circuit (&master, packing->circuits + (gsize)c * part->n_types);
  optimise (&master);

  TdPlanFractions *fractions = g_new0 (TdPlanFractions, 1);
  fractions->weights = g_ptr_array_new_with_free_func ((GDestroyNotify)td_plan_weights_free);
  collect_weights (&master, td_simplex_get_prices (master.simplex), fractions->weights);
  collect_weights (&master, master.centre, fractions->weights);
  collect_circuits (&master, fractions);
  td_simplex_free (master.simplex);
  g_array_unref (master.circuits);
  g_free (master.column);
  g_free (master.centre);
  return fractions;
}
