/* What the planner's tests share: sites read, shuffled, made up; plans held against their site. */
#pragma once

#include "core-plan-make.h"

/* Path of a file under tests/data/planning. (transfer full) */
char *bench_path (const char *name);
/* The sheet of that name; the test fails where it does not parse. */
TdJson *bench_read (const char *name);
TdSite *bench_read_site (const char *name);
/* The same sheet with its lines, towers and coolers in another order. */
TdJson *bench_shuffle (const TdJson *sheet, GRand *rand);

/* How a made-up site looks. */
typedef struct
{
  guint n_lines;
  guint n_towers;
  guint n_coolers;
  double one_way;    /* share of lines that only run out */
  double reversible; /* share of lines with a lever */
  double capacity_m; /* the pump's head at the least flow, whole micrometres */
  guint style;       /* how losses are spread, 0 to BENCH_STYLES - 1 */
  double sides;      /* share of lines with a side faucet */
} BenchShape;

#define BENCH_STYLES 5

/* Makes up a shape of at most @max_lines lines. */
BenchShape bench_make_shape (GRand *rand, guint max_lines);
/* Makes up a sheet of that shape; losses are whole millimetres. */
TdJson *bench_make_sheet (GRand *rand, const BenchShape *shape);

/* The test fails where the plan is not possible at the site, or its totals do not count what it holds. */
void bench_check_plan (const TdSite *site, const TdPlan *plan);

/* What glpsol says to circuits.mod. */
typedef struct
{
  guint statics; /* side faucets apart */
  guint circuits;
  guint reversals;
  gint64 took_us; /* of the processor's time */
} BenchOptimum;

/* Microseconds of the processor's time that this program, or the programs that it ran, have used. */
gint64 bench_get_cpu_us (gboolean children);
/* TRUE where the program glpsol is at hand. */
gboolean bench_has_glpsol (void);
/* Solves circuits.mod for a site whose lines all have head_loss_m; @capacity_um: the pump's head at the
 * least flow.  The test fails where glpsol does not find an optimum. */
void bench_run_glpsol (const TdSite *site, gint64 capacity_um, BenchOptimum *optimum_out);
