/* core-exception.h: what a manager looks into: departures across visits, stock and sites. */
#pragma once

#include "core-visit.h"

G_BEGIN_DECLS

typedef enum
{
#define TD_EXCEPTION(symbol, code, rule, text) TD_EXCEPTION_##symbol,
#include "core-exception.def"
#undef TD_EXCEPTION
  TD_N_EXCEPTIONS
} TdExceptionId;

typedef struct
{
  const char *code; /* stable */
  const char *rule; /* code of the rule whose findings these are; NULL where it is no rule's */
  const char *text; /* what it is, one sentence; translatable */
} TdExceptionInfo;

const TdExceptionInfo *td_exception_get_info (TdExceptionId id);
gboolean td_exception_find (const char *code, TdExceptionId *id_out);

/* One that a visit shows by itself, beyond the findings of the rules. */
typedef struct
{
  TdExceptionId id;
  char *text; /* with its figures */
} TdVisitException;

void td_visit_exception_free (TdVisitException *exception);

/* Looks for:
 *   not-countersigned: a closed visit whose countersignature is missing, refused, or nobody was present;
 *   late-burst: at least late-burst-count acts, each later than late-entry-s after it happened, written
 *     down within late-burst-s of each other.
 * Returns: (transfer full) (element-type TdVisitException): in the order of the table. */
GPtrArray *td_visit_get_exceptions (const TdVisit *visit);

/* TRUE where @used_ml stands further from @expected_ml (>= 0) than @band_percent of it. */
gboolean td_use_is_off (gint64 used_ml, gint64 expected_ml, gint64 band_percent);

G_END_DECLS
