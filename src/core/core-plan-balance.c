#include "core-plan-balance.h"

#include <string.h>

/* Coolers and states that are still worked through. */
#define MAX_COOLERS 5
#define MAX_STATES 200000
/* Bits of one cooler's surplus, and of the number of static lines, in a state's key. */
#define SURPLUS_BITS 10
#define SURPLUS_ZERO (1 << (SURPLUS_BITS - 1))

typedef struct
{
  gint64 key; /* surplus by cooler, lowest bits first, then static lines */
  int reversals;
  guint parent; /* in the layer before */
  TdPlanShare share;
} State;

typedef struct
{
  const TdPlanPart *part;
  guint statics;
  GPtrArray *layers;  /* GArray of State: before any cell, after each cell, after each tower */
  GArray *now;        /* the last layer but one */
  GArray *next;       /* the last layer, being made */
  guint *places;      /* by hashed key: index in @next and one; 0: free */
  guint n_places;     /* a power of two, more than twice the states */
} Program;

/* Where the key stands in the table, or would. */
static guint
find_place (const Program *program, gint64 key)
{
  /* Knuth, The Art of Computer Programming 3, 6.4: the golden section of 2^64. */
  guint at = (guint)(((guint64)key * G_GUINT64_CONSTANT (0x9e3779b97f4a7c15)) >> 40)
             & (program->n_places - 1);
  while (program->places[at] != 0
         && g_array_index (program->next, State, program->places[at] - 1).key != key)
    at = (at + 1) & (program->n_places - 1);
  return at;
}

static void
grow (Program *program)
{
  g_free (program->places);
  program->n_places *= 2;
  program->places = g_new0 (guint, program->n_places);
  for (guint i = 0; i < program->next->len; i++)
    program->places[find_place (program, g_array_index (program->next, State, i).key)] = i + 1;
}

static void
reach (Program *program, const State *state)
{
  guint at = find_place (program, state->key);
  if (program->places[at] != 0)
    {
      State *old = &g_array_index (program->next, State, program->places[at] - 1);
      if (state->reversals < old->reversals)
        *old = *state;
      return;
    }
  g_array_append_vals (program->next, state, 1);
  program->places[at] = program->next->len;
  if (2 * program->next->len > program->n_places)
    grow (program);
}

static void
begin_layer (Program *program)
{
  program->now = program->next;
  program->next = g_array_new (FALSE, FALSE, sizeof (State));
  g_ptr_array_add (program->layers, program->next);
  memset (program->places, 0, program->n_places * sizeof (guint));
}

/* Takes the lines of one cell: so many static, so many in.  One-way lines and then levers are held
 * static first, which helps the rest most. */
static void
take_cell (Program *program, const TdPlanCell *cell, guint cooler)
{
  gint64 one = (gint64)1 << (SURPLUS_BITS * cooler);
  gint64 one_static = (gint64)1 << (SURPLUS_BITS * program->part->n_coolers);
  guint all = cell->out_only + cell->plain + cell->reversible;

  begin_layer (program);
  for (guint i = 0; i < program->now->len; i++)
    {
      State state = g_array_index (program->now, State, i);
      guint used = (guint)(state.key / one_static);
      for (guint still = 0; still <= all && used + still <= program->statics; still++)
        {
          guint oneway = cell->out_only - MIN (still, cell->out_only);
          guint levers
              = cell->reversible - MIN (still - (cell->out_only - oneway), cell->reversible);
          guint moving = all - still, can_run_in = moving - oneway, plain = can_run_in - levers;
          for (guint in = 0; in <= can_run_in; in++)
            {
              gint64 step = (2 * (gint64)in - (gint64)moving) * one + still * one_static;
              State next = { state.key + step,
                             state.reversals + (int)(in > plain ? in - plain : 0),
                             i,
                             { still, in } };
              reach (program, &next);
            }
        }
    }
}

/* Keeps the states in which the tower is balanced: all coolers' surpluses then cancel. */
static void
close_tower (Program *program)
{
  begin_layer (program);
  for (guint i = 0; i < program->now->len; i++)
    {
      State state = g_array_index (program->now, State, i);
      int sum = 0;
      for (guint c = 0; c < program->part->n_coolers; c++)
        sum += (int)((state.key >> (SURPLUS_BITS * c)) & ((1 << SURPLUS_BITS) - 1)) - SURPLUS_ZERO;
      state.parent = i;
      if (sum == 0)
        reach (program, &state);
    }
}

static void
count_cells (const TdPlanPart *part, TdPlanCell *cells)
{
  for (guint i = 0; i < part->n_types; i++)
    {
      const TdPlanType *type = &part->types[i];
      TdPlanCell *cell = &cells[type->tower * part->n_coolers + type->cooler];
      cell->out_only += type->kind == TD_PLAN_OUT_ONLY ? type->count : 0;
      cell->plain += type->kind == TD_PLAN_PLAIN ? type->count : 0;
      cell->reversible += type->kind == TD_PLAN_REVERSIBLE ? type->count : 0;
    }
}

static inline gboolean
is_empty (const TdPlanCell *cell)
{
  return cell->out_only + cell->plain + cell->reversible == 0;
}

static gboolean
work_through (Program *program, const TdPlanCell *cells)
{
  const TdPlanPart *part = program->part;
  for (guint t = 0; t < part->n_towers; t++)
    {
      for (guint c = 0; c < part->n_coolers; c++)
        {
          const TdPlanCell *cell = &cells[t * part->n_coolers + c];
          if (!is_empty (cell))
            take_cell (program, cell, c);
          if (program->next->len > MAX_STATES)
            return FALSE;
        }
      close_tower (program);
    }
  return TRUE;
}

/* The key of the balanced state with no static line. */
static gint64
get_zero (const TdPlanPart *part)
{
  gint64 zero = 0;
  for (guint c = 0; c < part->n_coolers; c++)
    zero += (gint64)SURPLUS_ZERO << (SURPLUS_BITS * c);
  return zero;
}

static void
clear_program (Program *program)
{
  g_ptr_array_unref (program->layers);
  g_free (program->places);
}

/* Returns FALSE where the program grew too large. */
static gboolean
run_program (Program *program, const TdPlanPart *part, guint statics, TdPlanCell *cells)
{
  gboolean small = part->n_coolers <= MAX_COOLERS && part->n_lines < SURPLUS_ZERO
                   && statics < (1u << (62 - SURPLUS_BITS * MAX_COOLERS));
  State start = { small ? get_zero (part) : 0, 0, 0, { 0, 0 } };
  program->part = part;
  program->statics = statics;
  program->layers = g_ptr_array_new_with_free_func ((GDestroyNotify)g_array_unref);
  program->n_places = 1024;
  program->places = g_new0 (guint, program->n_places);
  program->next = NULL;
  begin_layer (program);
  g_array_append_val (program->next, start);
  count_cells (part, cells);
  return small && work_through (program, cells);
}

/* The final state with exactly so many static lines, or -1. */
static int
find_final (const Program *program, guint statics)
{
  gint64 key
      = get_zero (program->part) + ((gint64)statics << (SURPLUS_BITS * program->part->n_coolers));
  for (guint i = 0; i < program->next->len; i++)
    if (g_array_index (program->next, State, i).key == key)
      return (int)i;
  return -1;
}

gboolean
td_plan_balance (const TdPlanPart *part, guint statics, int *least_out)
{
  g_return_val_if_fail (part != NULL && least_out != NULL, FALSE);
  g_autofree TdPlanCell *cells = g_new0 (TdPlanCell, part->n_towers * part->n_coolers + 1);
  Program program;
  gboolean done = run_program (&program, part, statics, cells);

  for (guint s = 0; done && s <= statics; s++)
    {
      int at = find_final (&program, s);
      int reversals = at >= 0 ? g_array_index (program.next, State, at).reversals : -1;
      least_out[s] = s > 0 ? least_out[s - 1] : -1;
      if (reversals >= 0 && (least_out[s] < 0 || reversals < least_out[s]))
        least_out[s] = reversals;
    }
  clear_program (&program);
  return done;
}

gboolean
td_plan_balance_share (const TdPlanPart *part, guint statics, TdPlanShare *shares_out)
{
  g_return_val_if_fail (part != NULL && shares_out != NULL, FALSE);
  g_autofree TdPlanCell *cells = g_new0 (TdPlanCell, part->n_towers * part->n_coolers + 1);
  Program program;
  gboolean done = run_program (&program, part, statics, cells);
  int at = -1;

  for (guint s = 0; done && s <= statics && at < 0; s++)
    at = find_final (&program, s);
  /* Back through the layers: those of the cells with lines, and one after each tower. */
  for (guint t = part->n_towers, layer = program.layers->len - 1; t > 0 && at >= 0; t--)
    {
      at = (int)g_array_index ((GArray *)program.layers->pdata[layer--], State, at).parent;
      for (guint c = part->n_coolers; c > 0; c--)
        {
          guint cell = (t - 1) * part->n_coolers + c - 1;
          shares_out[cell] = (TdPlanShare){ 0, 0 };
          if (is_empty (&cells[cell]))
            continue;
          const State *state = &g_array_index ((GArray *)program.layers->pdata[layer--], State, at);
          shares_out[cell] = state->share;
          at = (int)state->parent;
        }
    }
  clear_program (&program);
  return done && at >= 0;
}
