/* core-plan-match.h: the most pairs that lines between one tower and one cooler can form.
 *
 * In a part with one cooler every circuit splits into pairs at its towers, one line in and one out, each
 * within the circuit's loss; so a tower can never have more lines in circuits than twice its greatest
 * matching of pairs that the capacity allows, and a matching is itself a plan. */
#pragma once

#include "core-plan-part.h"

G_BEGIN_DECLS

/* Finds a greatest matching of the lines at @tower and @cooler (of the part) in which a pair loses at
 * most the part's capacity and does not run out twice.  @used_out: (nullable): lines matched, by type:
 * of the lines of one kind always the ones that lose least; other types are left as they are.
 * @ins_out: (nullable): of them, those that run in where every pair is run as it was matched.
 * Returns: the number of pairs. */
guint td_plan_match (const TdPlanPart *part,
                     guint tower,
                     guint cooler,
                     TdPlanCount *used_out,
                     TdPlanCount *ins_out);

/* The lines whose removal shows that no matching is greater (Tutte and Berge): @lines_out: guint, of the
 * problem; with k of them removed, the rest falls into at least lines - 2 pairs + k odd pieces. */
void td_plan_match_witness (const TdPlanPart *part, guint tower, guint cooler, GArray *lines_out);

G_END_DECLS
