/* store-project-rows.h: the rows that follow from a visit or a site, in the order of their tables. */
#pragma once

#include "store-state.h"
#include "store-value.h"

G_BEGIN_DECLS

typedef enum
{
  TD_PROJECTED_ROW,
  TD_PROJECTED_LINE,
  TD_PROJECTED_FINDING,
  TD_PROJECTED_USE,
  TD_PROJECTED_TASK,
  TD_PROJECTED_PASS,
  TD_PROJECTED_HOLD,
  TD_PROJECTED_EXCEPTION,
  TD_N_PROJECTED /* tables of a visit */
} TdProjected;

/* Rows start with the visit's key and come in the order of the table's primary key.
 * Returns: (transfer full) (element-type TdRow). */
GPtrArray *td_projected_make_rows (const TdVisitState *state, TdProjected table);

/* Adds the rows of these tables; @rows: (element-type TdRow). */
void td_projected_add_passes (const TdVisitState *state, GPtrArray *rows);
void td_projected_add_holds (const TdVisitState *state, GPtrArray *rows);
void td_projected_add_exceptions (const TdVisitState *state, GPtrArray *rows);

/* Rows of line_now: @first_seen: line id to its date (GINT_TO_POINTER). (transfer full) */
GPtrArray *td_projected_make_lines_now (gint64 site_key, const TdSite *site, GHashTable *first_seen);

G_END_DECLS
