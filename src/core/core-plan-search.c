#include "core-plan-search.h"

#include <string.h>

#include "core-plan-memo.h"
#include "core-plan-stay.h"

/* Failed states kept at once; each takes some 60 bytes in a part of 24 types. */
#define MAX_MEMO (1u << 19)

/* One line placed: into the circuit of @chosen, or static. */
typedef struct
{
  TdPlanCount *free;   /* by type, before it is placed */
  TdPlanCount *chosen; /* the circuit; all zero where the line is static */
  guint statics;       /* still allowed */
  guint circuits;
  guint reversals;
  guint circuit_reversals; /* of the circuit chosen */

  gint64 loss;   /* of what is chosen */
  gint64 fill;   /* the circuit has to lose so much, or too much is left for the others */
  guint *lines;  /* chosen, by node: towers, then coolers */
  guint *oneway; /* those that only run out, by node */
  guint *plain;  /* those that run both ways as they are, by tower */
  guint *last;   /* last type that is free, by node */
  gint64 due[2]; /* the least loss of lines still needed to balance the towers, the coolers */
  gint64 *tail;  /* loss of what is free from a type on */
  gint64 *have;  /* weight of what is chosen, by weights */
  gint64 *need;  /* the circuit has to weigh so much */
  gint64 *rest;  /* weight of what is free from a type on, types by weights */
  TdPlanCell *cells;
} Frame;

typedef struct
{
  const TdPlanPart *part;
  const TdPlanQuestion *question;
  guint n_types;
  guint n_nodes;
  guint n_weights;
  Frame *frames;
  guint n_frames; /* made so far */
  guint n_placed; /* frames that hold the plan found */
  TdPlanStay *stay;
  guint *by_loss;   /* types from the greatest loss on */
  gint64 *losses;   /* by type */
  guint **heaviest; /* types from the heaviest on, by weights */
  TdPlanMemo *memo;
  guint8 *key;
  gint64 budget;
} Search;

TdPlanWeights *
td_plan_weights_new (guint n_types)
{
  TdPlanWeights *weights = g_new0 (TdPlanWeights, 1);
  weights->weights = g_new0 (gint64, n_types + 1);
  return weights;
}

void
td_plan_weights_free (TdPlanWeights *weights)
{
  g_return_if_fail (weights != NULL);
  g_free (weights->weights);
  g_free (weights);
}

static inline const gint64 *
get_weights (const Search *search, guint at)
{
  return ((const TdPlanWeights *)g_ptr_array_index (search->question->weights, at))->weights;
}

/* ---- frames ---- */

static void
make_frame (Search *search, Frame *frame)
{
  guint n_types = search->n_types, n_nodes = search->n_nodes, n_weights = search->n_weights;
  frame->free = g_new0 (TdPlanCount, 2 * n_types);
  frame->chosen = frame->free + n_types;
  frame->lines = g_new0 (guint, 4 * n_nodes);
  frame->oneway = frame->lines + n_nodes;
  frame->plain = frame->oneway + n_nodes;
  frame->last = frame->plain + n_nodes;
  frame->tail = g_new0 (gint64, (n_types + 1) * (1 + n_weights) + 2 * n_weights);
  frame->rest = frame->tail + n_types + 1;
  frame->have = frame->rest + n_weights * (n_types + 1);
  frame->need = frame->have + n_weights;
  frame->cells = g_new0 (TdPlanCell, search->part->n_towers * search->part->n_coolers);
}

static void
clear_frame (Frame *frame)
{
  g_free (frame->free);
  g_free (frame->lines);
  g_free (frame->tail);
  g_free (frame->cells);
}

static void
set_tails (Search *search, Frame *frame)
{
  frame->tail[search->n_types] = 0;
  for (guint i = search->n_types; i > 0; i--)
    frame->tail[i - 1] = frame->tail[i] + search->part->types[i - 1].loss_um * frame->free[i - 1];
  for (guint j = 0; j < search->n_weights; j++)
    {
      const gint64 *weights = get_weights (search, j);
      gint64 *rest = frame->rest + j * (search->n_types + 1);
      rest[search->n_types] = 0;
      for (guint i = search->n_types; i > 0; i--)
        rest[i - 1] = rest[i] + weights[i - 1] * frame->free[i - 1];
    }
}

/* Begins an empty circuit over what is free. */
static void
begin_circuit (Search *search, Frame *frame)
{
  const TdPlanPart *part = search->part;
  memset (frame->chosen, 0, search->n_types * sizeof (TdPlanCount));
  memset (frame->lines, 0, 3 * search->n_nodes * sizeof (guint));
  memset (frame->cells, 0, part->n_towers * part->n_coolers * sizeof (TdPlanCell));
  memset (frame->have, 0, search->n_weights * sizeof (gint64));
  frame->loss = frame->due[0] = frame->due[1] = 0;
  for (guint i = 0; i < search->n_types; i++)
    if (frame->free[i] > 0)
      frame->last[part->types[i].tower] = frame->last[part->n_towers + part->types[i].cooler] = i;
}

/* ---- bounds ---- */

/* Can what is free be shared out among the circuits left?  Sets what the next one has to hold. */
static gboolean
set_needs (Search *search, Frame *frame)
{
  gint64 others = (gint64)frame->circuits - 1, capacity = search->question->capacity_um;
  gint64 loss = frame->tail[0]
                - td_plan_stay_weigh (search->part, frame->free, search->stay, search->losses,
                                      search->by_loss);
  frame->fill = loss - others * capacity;
  if (frame->fill > capacity)
    return FALSE;
  for (guint j = 0; j < search->n_weights; j++)
    {
      const TdPlanWeights *weights = g_ptr_array_index (search->question->weights, j);
      gint64 weight = frame->rest[j * (search->n_types + 1)]
                      - td_plan_stay_weigh (search->part, frame->free, search->stay,
                                            weights->weights, search->heaviest[j]);
      frame->need[j] = weight - others * weights->most;
      if (frame->need[j] > weights->most)
        return FALSE;
    }
  return TRUE;
}

/* ---- choosing a circuit ---- */

static TdPlanAnswer place (Search *search, guint depth);

/* Lines that the node needs yet. */
static inline guint
count_due (const Frame *frame, guint node)
{
  guint run_in = frame->lines[node] - frame->oneway[node];
  if (frame->oneway[node] > run_in)
    return frame->oneway[node] - run_in;
  return frame->lines[node] % 2;
}

/* Adds @n lines of a type to the circuit, or takes them out where it is negative. */
static void
change (Search *search, Frame *frame, guint at, int n)
{
  const TdPlanPart *part = search->part;
  const TdPlanType *type = &part->types[at];
  guint nodes[2] = { type->tower, part->n_towers + type->cooler };
  TdPlanCell *cell = &frame->cells[type->tower * part->n_coolers + type->cooler];

  frame->chosen[at] = (TdPlanCount)(frame->chosen[at] + n);
  frame->loss += n * type->loss_um;
  for (guint j = 0; j < search->n_weights; j++)
    frame->have[j] += n * get_weights (search, j)[at];
  for (guint side = 0; side < 2; side++)
    {
      guint node = nodes[side];
      gint64 lightest = part->types[frame->last[node]].loss_um;
      frame->due[side] -= count_due (frame, node) * lightest;
      frame->lines[node] += (guint)n;
      frame->oneway[node] += type->kind == TD_PLAN_OUT_ONLY ? (guint)n : 0;
      frame->plain[node] += type->kind == TD_PLAN_PLAIN ? (guint)n : 0;
      frame->due[side] += count_due (frame, node) * lightest;
    }
  cell->out_only += type->kind == TD_PLAN_OUT_ONLY ? (guint)n : 0;
  cell->plain += type->kind == TD_PLAN_PLAIN ? (guint)n : 0;
  cell->reversible += type->kind == TD_PLAN_REVERSIBLE ? (guint)n : 0;
}

/* The circuit is chosen: is it one, and can the rest be placed? */
static TdPlanAnswer
complete (Search *search, guint depth)
{
  Frame *frame = &search->frames[depth];
  const TdPlanPart *part = search->part;

  if (frame->loss < frame->fill)
    return TD_PLAN_NONE;
  for (guint j = 0; j < search->n_weights; j++)
    if (frame->have[j] < frame->need[j])
      return TD_PLAN_NONE;
  if (part->n_coolers > 1
      && !td_plan_hangs_together (part->n_towers, part->n_coolers, frame->cells))
    return TD_PLAN_NONE;
  int reversals = td_plan_orient (part->n_towers, part->n_coolers, frame->cells, NULL);
  if (reversals < 0 || (guint)reversals > frame->reversals)
    return TD_PLAN_NONE;
  if (!part->splits && !td_plan_part_fits (part, frame->chosen))
    return TD_PLAN_NONE;

  Frame *next = &search->frames[depth + 1];
  for (guint i = 0; i < search->n_types; i++)
    next->free[i] = (TdPlanCount)(frame->free[i] - frame->chosen[i]);
  next->statics = frame->statics;
  next->circuits = frame->circuits - 1;
  next->reversals = frame->reversals - (guint)reversals;
  frame->circuit_reversals = (guint)reversals;
  return place (search, depth + 1);
}

/* Has either end of the type seen its last line and is still out of balance? */
static inline gboolean
is_stuck (const Search *search, const Frame *frame, guint at)
{
  guint tower = search->part->types[at].tower;
  guint cooler = search->part->n_towers + search->part->types[at].cooler;
  return (frame->last[tower] == at && count_due (frame, tower) > 0)
         || (frame->last[cooler] == at && count_due (frame, cooler) > 0);
}

/* How many free lines of the type the circuit can still take. */
static inline guint
count_fitting (const Search *search, const Frame *frame, guint at)
{
  const TdPlanType *type = &search->part->types[at];
  guint fitting = frame->free[at];
  if (fitting == 0)
    return 0;
  gint64 left = search->question->capacity_um - frame->loss;
  if (type->loss_um * fitting > left)
    fitting = (guint)(left / type->loss_um);
  if (search->question->elementary)
    {
      fitting = MIN (fitting, 2 - frame->lines[type->tower]);
      fitting = MIN (fitting, 2 - frame->lines[search->part->n_towers + type->cooler]);
    }
  return fitting;
}

/* Can the circuit still be filled as it has to be from the type on? */
static inline gboolean
can_fill (const Search *search, const Frame *frame, guint at)
{
  if (frame->loss + frame->tail[at] < frame->fill)
    return FALSE;
  for (guint j = 0; j < search->n_weights; j++)
    if (frame->have[j] + frame->rest[j * (search->n_types + 1) + at] < frame->need[j])
      return FALSE;
  return TRUE;
}

/* Chooses lines of the types from @at on. */
static TdPlanAnswer
choose (Search *search, guint depth, guint at)
{
  Frame *frame = &search->frames[depth];
  guint fitting = 0;

  if (--search->budget < 0)
    return TD_PLAN_UNKNOWN;
  for (; at < search->n_types; at++)
    {
      fitting = count_fitting (search, frame, at);
      if (fitting > 0)
        break;
      if (is_stuck (search, frame, at))
        return TD_PLAN_NONE;
    }
  if (!can_fill (search, frame, at))
    return TD_PLAN_NONE;
  if (at == search->n_types)
    return complete (search, depth);

  change (search, frame, at, (int)fitting);
  for (guint n = fitting + 1; n > 0; n--)
    {
      if (frame->loss + MAX (frame->due[0], frame->due[1]) <= search->question->capacity_um
          && !is_stuck (search, frame, at))
        {
          TdPlanAnswer answer = choose (search, depth, at + 1);
          if (answer != TD_PLAN_NONE)
            return answer;
        }
      if (n > 1)
        change (search, frame, at, -1);
    }
  return TD_PLAN_NONE;
}

/* Tries the circuits that hold a line of the first free type. */
static TdPlanAnswer
choose_first (Search *search, guint depth, guint lead)
{
  Frame *frame = &search->frames[depth];
  begin_circuit (search, frame);
  guint fitting = count_fitting (search, frame, lead);
  if (fitting == 0)
    return TD_PLAN_NONE;
  change (search, frame, lead, (int)fitting);
  for (guint n = fitting; n > 0; n--)
    {
      if (frame->loss + MAX (frame->due[0], frame->due[1]) <= search->question->capacity_um
          && !is_stuck (search, frame, lead))
        {
          TdPlanAnswer answer = choose (search, depth, lead + 1);
          if (answer != TD_PLAN_NONE)
            return answer;
        }
      change (search, frame, lead, -1);
    }
  return TD_PLAN_NONE;
}

/* ---- placing lines ---- */

static void
set_key (Search *search, const Frame *frame)
{
  guint16 limits[2] = { (guint16)frame->statics, (guint16)frame->circuits };
  memcpy (search->key, frame->free, search->n_types * sizeof (TdPlanCount));
  memcpy (search->key + search->n_types * sizeof (TdPlanCount), limits, sizeof limits);
}

static TdPlanAnswer
hold_static (Search *search, guint depth, guint lead)
{
  Frame *frame = &search->frames[depth], *next = &search->frames[depth + 1];
  if (frame->free[lead] > frame->statics)
    return TD_PLAN_NONE;
  memset (frame->chosen, 0, search->n_types * sizeof (TdPlanCount));
  memcpy (next->free, frame->free, search->n_types * sizeof (TdPlanCount));
  next->free[lead] = 0;
  next->statics = frame->statics - frame->free[lead];
  next->circuits = frame->circuits;
  next->reversals = frame->reversals;
  return place (search, depth + 1);
}

/* Places what is free at @depth. */
static TdPlanAnswer
place (Search *search, guint depth)
{
  Frame *frame = &search->frames[depth];
  guint lead = 0, n_free = 0;

  while (search->n_frames < depth + 2)
    make_frame (search, &search->frames[search->n_frames++]);
  for (guint i = search->n_types; i > 0; i--)
    {
      n_free += frame->free[i - 1];
      lead = frame->free[i - 1] > 0 ? i - 1 : lead;
    }
  memset (frame->chosen, 0, search->n_types * sizeof (TdPlanCount));
  if (n_free <= frame->statics)
    {
      search->n_placed = depth;
      return TD_PLAN_FOUND;
    }
  if (frame->circuits == 0)
    return TD_PLAN_NONE;
  /* Bounds cost more than a step of choosing. */
  search->budget -= 1 + (gint64)search->n_types * (1 + search->n_weights) / 16;
  set_tails (search, frame);
  if (!td_plan_stay_count (search->part, frame->free, frame->statics, frame->reversals,
                           search->stay)
      || !set_needs (search, frame))
    return TD_PLAN_NONE;
  set_key (search, frame);
  if (td_plan_memo_get (search->memo, search->key) >= (int)frame->reversals)
    return TD_PLAN_NONE;

  TdPlanAnswer answer = choose_first (search, depth, lead);
  /* Lines of one type are alike: where the first of them is held static, so are the others. */
  if (answer == TD_PLAN_NONE)
    answer = hold_static (search, depth, lead);
  if (answer == TD_PLAN_NONE)
    {
      set_key (search, frame);
      td_plan_memo_put (search->memo, search->key, (int)frame->reversals);
    }
  return answer;
}

/* ---- the question ---- */

static void
sort_types (Search *search)
{
  search->losses = g_new (gint64, search->n_types + 1);
  for (guint i = 0; i < search->n_types; i++)
    search->losses[i] = search->part->types[i].loss_um;
  search->by_loss = td_plan_order_types (search->part, search->losses);
  search->heaviest = g_new0 (guint *, search->n_weights + 1);
  for (guint j = 0; j < search->n_weights; j++)
    search->heaviest[j] = td_plan_order_types (search->part, get_weights (search, j));
}

static TdPlanPacking *
collect (const Search *search)
{
  TdPlanPacking *packing = td_plan_packing_new (search->part);
  for (guint depth = 0; depth < search->n_placed; depth++)
    {
      const Frame *frame = &search->frames[depth];
      guint n = 0;
      for (guint i = 0; i < search->n_types; i++)
        n += frame->chosen[i];
      if (n > 0)
        td_plan_packing_add (packing, search->part, frame->chosen, frame->circuit_reversals);
    }
  td_plan_packing_finish (packing, search->part);
  return packing;
}

TdPlanAnswer
td_plan_search (const TdPlanPart *part,
                const TdPlanQuestion *question,
                gint64 *budget,
                TdPlanPacking **packing_out)
{
  g_return_val_if_fail (part != NULL && question != NULL && budget != NULL, TD_PLAN_UNKNOWN);
  Search search = { .part = part,
                    .question = question,
                    .n_types = part->n_types,
                    .n_nodes = part->n_towers + part->n_coolers,
                    .n_weights = question->weights != NULL ? question->weights->len : 0,
                    .budget = *budget };
  guint key_size = part->n_types * sizeof (TdPlanCount) + 2 * sizeof (guint16);

  search.frames = g_new0 (Frame, part->n_lines + 2);
  search.memo = td_plan_memo_new (key_size, MAX_MEMO);
  search.key = g_malloc0 (key_size);
  search.stay = td_plan_stay_new (part);
  sort_types (&search);
  make_frame (&search, &search.frames[search.n_frames++]);
  Frame *first = &search.frames[0];
  for (guint i = 0; i < part->n_types; i++)
    first->free[i] = question->free != NULL ? question->free[i] : (TdPlanCount)part->types[i].count;
  first->statics = question->statics;
  first->circuits = MIN (question->circuits, part->n_lines / 2);
  first->reversals = question->reversals;

  TdPlanAnswer answer = place (&search, 0);
  if (answer == TD_PLAN_FOUND && packing_out != NULL)
    *packing_out = collect (&search);
  *budget = MAX (search.budget, 0);
  for (guint i = 0; i < search.n_frames; i++)
    clear_frame (&search.frames[i]);
  for (guint j = 0; j < search.n_weights; j++)
    g_free (search.heaviest[j]);
  g_free (search.heaviest);
  g_free (search.by_loss);
  g_free (search.losses);
  td_plan_stay_free (search.stay);
  g_free (search.frames);
  g_free (search.key);
  td_plan_memo_free (search.memo);
  return answer;
}
