#include "core-plan-heaviest.h"

#include <string.h>

#define NO_LOSS G_MAXINT64

/* As choices, and as bits of what an item may do. */
enum
{
  SKIP = 0,
  RUN_OUT = 1,
  RUN_IN = 2
};

/* One line on its way through the program. */
typedef struct
{
  guint type;
  guint may;           /* RUN_OUT, RUN_IN or both */
  gboolean must;       /* cannot be skipped */
  gboolean ends_tower; /* the tower has to be balanced after it */
} Item;

typedef struct
{
  const TdPlanPart *part;
  const TdPlanScale *scale;
  Item *items;
  guint n_items;
  gboolean balanced; /* balance is kept in the state */
  guint reach;       /* greatest surplus of lines in over lines out, or out over in, at a cooler */
  guint n_balances;  /* (2 reach + 1) ^ coolers */
  guint n_weights;   /* weights from -offset on */
  gint64 offset;
  gint64 *now; /* least loss by balance and weight; rows that are not alive hold nothing of use */
  gint64 *next;
  gboolean *alive; /* by balance: some lines lead there */
  gboolean *alive_next;
  guint8 *choices; /* by item and state; NULL where the lines are not asked for */
} Program;

guint
td_plan_count_most_legs (const TdPlanPart *part, gint64 capacity_um)
{
  guint n = 0;
  for (guint i = part->n_types; i > 0; i--)
    {
      const TdPlanType *type = &part->types[i - 1];
      gint64 fitting = type->loss_um > 0 ? capacity_um / type->loss_um : type->count;
      guint take = (guint)MIN (fitting, (gint64)type->count);
      n += take;
      capacity_um -= take * type->loss_um;
      if (take < type->count)
        break;
    }
  return n;
}

static guint
count_free (const TdPlanScale *scale, const TdPlanPart *part, guint type)
{
  return scale->free != NULL ? scale->free[type] : part->types[type].count;
}

/* Lists @n lines of a type that may do the same. */
static void
add_items (Program *program, guint type, guint n, guint may, gboolean *must)
{
  for (guint k = 0; k < n; k++)
    {
      program->items[program->n_items++] = (Item){ type, may, *must, FALSE };
      *must = FALSE;
    }
}

/* Lists the lines tower by tower. */
static void
list_items (Program *program, guint most_legs)
{
  const TdPlanPart *part = program->part;
  int must = program->scale->must;
  program->items = g_new0 (Item, part->n_lines + 1);
  for (guint t = 0; t < part->n_towers; t++)
    {
      guint before = program->n_items;
      for (guint i = 0; i < part->n_types; i++)
        {
          guint n = part->types[i].tower == t ? count_free (program->scale, part, i) : 0;
          gboolean first = must == (int)i;
          if (program->scale->ins != NULL && n > 0)
            {
              guint in = program->scale->ins[i];
              add_items (program, i, MIN (in, most_legs), RUN_IN, &first);
              add_items (program, i, MIN (n - in, most_legs), RUN_OUT, &first);
            }
          else
            add_items (program, i, MIN (n, most_legs),
                       part->types[i].kind == TD_PLAN_OUT_ONLY ? RUN_OUT : RUN_OUT | RUN_IN,
                       &first);
        }
      if (program->n_items > before)
        program->items[program->n_items - 1].ends_tower = TRUE;
    }
}

/* The range that the weight of a circuit can have. */
static void
set_weights (Program *program, guint most_legs)
{
  g_autofree gint64 *weights = g_new (gint64, most_legs + 1);
  gint64 least = 0, most = 0;
  guint n = 0;

  /* The heaviest lines that could be together, found by insertion; the table is cut to their
   * weight. */
  for (guint i = 0; i < program->n_items; i++)
    {
      guint type = program->items[i].type;
      gint64 weight = program->scale->out_weights[type];
      if ((program->items[i].may & RUN_IN) != 0)
        {
          weight = MAX (weight, program->scale->in_weights[type]);
          least = MIN (least, program->scale->in_weights[type]);
        }
      guint at = n < most_legs ? n++ : most_legs;
      for (; at > 0 && weights[at - 1] < weight; at--)
        if (at < most_legs)
          weights[at] = weights[at - 1];
      if (at < most_legs)
        weights[at] = weight;
    }
  for (guint i = 0; i < n; i++)
    most += weights[i];
  program->offset = -least * (gint64)(most_legs / 2);
  program->n_weights = (guint)MIN (most + program->offset + 1, (gint64)G_MAXINT32);
}

/* Decides whether balance fits into the table. */
static void
set_table (Program *program, guint most_legs)
{
  guint64 states = program->n_weights;
  program->reach = most_legs / 2;
  program->n_balances = 1;
  program->balanced = TRUE;
  for (guint c = 0; c < program->part->n_coolers && program->balanced; c++)
    {
      states *= 2 * program->reach + 1;
      program->n_balances *= 2 * program->reach + 1;
      program->balanced = states <= TD_PLAN_MAX_STATES;
    }
  if (!program->balanced)
    program->n_balances = 1;
}

static inline gsize
count_states (const Program *program)
{
  return (gsize)program->n_balances * program->n_weights;
}

/* How far apart in the table two states lie that differ by one line in at the cooler. */
static guint
get_stride (const Program *program, guint cooler)
{
  guint stride = 1;
  for (guint c = 0; c < cooler; c++)
    stride *= 2 * program->reach + 1;
  return stride;
}

/* Runs one line in one direction from every state. */
static void
run (Program *program, guint item, guint choice)
{
  const TdPlanType *type = &program->part->types[program->items[item].type];
  gint64 weight = choice == RUN_IN ? program->scale->in_weights[program->items[item].type]
                                   : program->scale->out_weights[program->items[item].type];
  guint width = 2 * program->reach + 1, stride = get_stride (program, type->cooler);
  gint64 most = program->scale->capacity_um - type->loss_um;
  guint n_weights = program->n_weights;
  gsize first = weight < 0 ? (gsize)-weight : 0;
  gsize last = weight > 0 ? (gsize)MAX ((gint64)n_weights - weight, 0) : n_weights;

  for (guint balance = 0; balance < program->n_balances; balance++)
    {
      guint to = balance;
      if (!program->alive[balance])
        continue;
      if (program->balanced)
        {
          guint surplus = balance / stride % width;
          if (surplus == (choice == RUN_IN ? width - 1 : 0))
            continue;
          to = choice == RUN_IN ? balance + stride : balance - stride;
        }
      const gint64 *now = program->now + (gsize)balance * n_weights;
      gint64 *next = program->next + (gsize)to * n_weights;
      guint8 *choices = program->choices == NULL ? NULL
                                                 : program->choices + item * count_states (program)
                                                       + (gsize)to * n_weights;
      for (gsize w = first; w < last; w++)
        if (now[w] <= most && now[w] + type->loss_um < next[(gint64)w + weight])
          {
            next[(gint64)w + weight] = now[w] + type->loss_um;
            if (choices != NULL)
              choices[(gint64)w + weight] = (guint8)choice;
          }
    }
}

/* Forgets the states in which the tower just finished is out of balance: over the coolers together
 * as many lines then run in as out. */
static void
close_tower (Program *program)
{
  guint width = 2 * program->reach + 1;
  for (guint balance = 0; balance < program->n_balances; balance++)
    {
      guint sum = 0;
      for (guint c = 0, rest = balance; c < program->part->n_coolers; c++, rest /= width)
        sum += rest % width;
      if (sum != program->reach * program->part->n_coolers)
        program->alive[balance] = FALSE;
    }
}

/* Which balances the item leads to from those alive. */
static void
spread_life (Program *program, const Item *item)
{
  guint width = 2 * program->reach + 1;
  guint stride = get_stride (program, program->part->types[item->type].cooler);
  for (guint balance = 0; balance < program->n_balances; balance++)
    program->alive_next[balance] = program->alive[balance] && (!item->must || !program->balanced);
  for (guint balance = 0; program->balanced && balance < program->n_balances; balance++)
    {
      guint surplus = balance / stride % width;
      if (!program->alive[balance])
        continue;
      if ((item->may & RUN_OUT) != 0 && surplus > 0)
        program->alive_next[balance - stride] = TRUE;
      if ((item->may & RUN_IN) != 0 && surplus < width - 1)
        program->alive_next[balance + stride] = TRUE;
    }
}

/* What the item leaves alone: all states as they are, or none where the line cannot be skipped. */
static void
carry_over (Program *program, const Item *item)
{
  guint n_weights = program->n_weights;
  for (guint balance = 0; balance < program->n_balances; balance++)
    {
      gint64 *next = program->next + (gsize)balance * n_weights;
      if (!program->alive_next[balance])
        continue;
      if (program->alive[balance] && !item->must)
        memcpy (next, program->now + (gsize)balance * n_weights, n_weights * sizeof (gint64));
      else
        for (guint w = 0; w < n_weights; w++)
          next[w] = NO_LOSS;
    }
}

static void
work_through (Program *program)
{
  for (guint i = 0; i < program->n_items; i++)
    {
      const Item *item = &program->items[i];
      gint64 *swap = program->now;
      gboolean *swap_alive = program->alive;
      spread_life (program, item);
      carry_over (program, item);
      if ((item->may & RUN_OUT) != 0)
        run (program, i, RUN_OUT);
      if ((item->may & RUN_IN) != 0)
        run (program, i, RUN_IN);
      program->now = program->next;
      program->next = swap;
      program->alive = program->alive_next;
      program->alive_next = swap_alive;
      if (item->ends_tower && program->balanced)
        close_tower (program);
    }
}

/* Follows the choices back from the final state. */
static void
collect (const Program *program,
         gsize balance,
         gint64 weight,
         TdPlanCount *counts_out,
         TdPlanCount *ins_out)
{
  guint n_weights = program->n_weights;
  memset (counts_out, 0, program->part->n_types * sizeof (TdPlanCount));
  if (ins_out != NULL)
    memset (ins_out, 0, program->part->n_types * sizeof (TdPlanCount));
  for (guint i = program->n_items; i > 0; i--)
    {
      guint type = program->items[i - 1].type;
      gsize at = balance * n_weights + (gsize)weight;
      guint8 choice = program->choices[(i - 1) * count_states (program) + at];
      if (choice == SKIP)
        continue;
      counts_out[type]++;
      if (ins_out != NULL)
        ins_out[type] += choice == RUN_IN ? 1 : 0;
      guint stride = get_stride (program, program->part->types[type].cooler);
      if (program->balanced)
        balance = choice == RUN_IN ? balance - stride : balance + stride;
      weight -= choice == RUN_IN ? program->scale->in_weights[type]
                                 : program->scale->out_weights[type];
    }
}

/* Lists the lines and lays out the table. */
static void
prepare (Program *program)
{
  guint most_legs = MAX (2, td_plan_count_most_legs (program->part, program->scale->capacity_um));
  list_items (program, most_legs);
  set_weights (program, most_legs);
  set_table (program, most_legs);
}

gint64
td_plan_count_work (const TdPlanPart *part, const TdPlanScale *scale)
{
  g_return_val_if_fail (part != NULL && scale != NULL, 0);
  Program program = { .part = part, .scale = scale };
  prepare (&program);
  g_free (program.items);
  return 2 * (gint64)count_states (&program) * program.n_items;
}

gint64
td_plan_find_heaviest (const TdPlanPart *part,
                       const TdPlanScale *scale,
                       TdPlanCount *counts_out,
                       TdPlanCount *ins_out,
                       gboolean *exact_out)
{
  g_return_val_if_fail (part != NULL && scale != NULL, 0);
  Program program = { .part = part, .scale = scale };

  prepare (&program);
  gsize n_states = count_states (&program);
  gsize middle = program.n_balances / 2; /* every cooler balanced */
  program.now = g_new (gint64, n_states);
  program.next = g_new (gint64, n_states);
  program.choices = counts_out != NULL ? g_new0 (guint8, n_states * (program.n_items + 1)) : NULL;
  program.alive = g_new0 (gboolean, program.n_balances);
  program.alive_next = g_new0 (gboolean, program.n_balances);
  for (guint w = 0; w < program.n_weights; w++)
    program.now[middle * program.n_weights + w] = NO_LOSS;
  program.now[middle * program.n_weights + (gsize)program.offset] = 0;
  program.alive[middle] = TRUE;
  work_through (&program);

  gint64 best = program.alive[middle] ? (gint64)program.n_weights - 1 : -1;
  while (best >= 0 && program.now[middle * program.n_weights + (gsize)best] == NO_LOSS)
    best--;
  if (counts_out != NULL && best >= 0)
    collect (&program, middle, best, counts_out, ins_out);
  if (exact_out != NULL)
    *exact_out = program.balanced;
  g_free (program.now);
  g_free (program.next);
  g_free (program.alive);
  g_free (program.alive_next);
  g_free (program.choices);
  g_free (program.items);
  return best < 0 ? -1 : best - program.offset;
}
