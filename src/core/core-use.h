/* core-use.h: what a mix should have taken, and how it was run. */
#pragma once

#include "core-visit.h"

G_BEGIN_DECLS

/* Solution that the lines of a mix ask for, mL: the volume of every line that it was sent into, with a
 * jumper hose for each leg of a circuit, times fill-volumes-percent, and once what must stay in the bucket
 * (bucket-least-ml); that is what the planner asks for, for the lines that were run.  0 where it was sent
 * into none; -1 where the sheet does not tell a line's volume. */
gint64 td_use_get_expected_solution_ml (const TdVisit *visit, guint batch);

/* Concentrate for that, mL rounded to the nearest, by mass at 20 C at the working strength of the
 * product's label (core-mix.h); -1 where the solution, the product or its density is not known. */
gint64 td_use_get_expected_ml (const TdVisit *visit, guint batch);

/* How the mix was run: "circulating", "static", "both", or "none" where it was sent into no line. */
const char *td_use_get_method (const TdVisit *visit, guint batch);
/* In how many faucets' lines it was. */
guint td_use_count_lines (const TdVisit *visit, guint batch);

G_END_DECLS
