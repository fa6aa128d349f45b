/* model-reading.h: readings taken line by line at one place: what is asked of which line, the entries that they
 * become, and what they tell at once. */
#pragma once

#include "model-act.h"
#include "model-hint.h"

G_BEGIN_DECLS

typedef struct _TdReadings TdReadings;

/* @act: a table (TdAct.table): each part with an integer to read is a column, the lines of all parts are the
 * rows; a part of leak-checked asks for leaks. */
TdReadings *td_readings_new (const TdAct *act);
void td_readings_free (TdReadings *readings);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdReadings, td_readings_free)

guint td_readings_get_n_rows (const TdReadings *readings);
guint td_readings_get_n_columns (const TdReadings *readings);
guint td_readings_get_outlet (const TdReadings *readings, guint row);
/* The part of the column, and the field that is read. @field_out: (out) (optional). */
const TdActPart *td_readings_get_column (const TdReadings *readings, guint column, const TdField **field_out);
/* FALSE where that line has no such reading. */
gboolean td_readings_asks (const TdReadings *readings, guint row, guint column);
gboolean td_readings_asks_leaks (const TdReadings *readings);

/* In the unit of the journal's key; what is not set is not written down. */
void td_readings_set (TdReadings *readings, guint row, guint column, gint64 value);
void td_readings_unset (TdReadings *readings, guint row, guint column);
void td_readings_set_leak (TdReadings *readings, guint row, gboolean leaks);

/* What the row's readings tell, with those taken before: out of band, not plausible, or how the line is
 * balanced; temperature is judged first, then pressure, then restriction.  Lines with a beer pump are not
 * held against the balance: its pressure is not the keg's. (transfer full) (nullable): nothing read yet. */
TdHint *td_readings_judge (const TdReadings *readings, const TdVisit *visit, guint row, const TdUnitStyle *style);

/* One entry for each value of a column, its lines together, in the order of their first line; leaks last.
 * @kinds_out: (out) (transfer full): GArray of TdKind beside them.
 * Returns: (transfer full) (element-type TdJson): empty where nothing was read. */
GPtrArray *td_readings_make_bodies (const TdReadings *readings, const TdVisit *visit, GArray **kinds_out);

G_END_DECLS
