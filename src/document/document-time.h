/* document-time.h: times as a report prints them, at the site's offset. */
#pragma once

#include "core-time.h"

G_BEGIN_DECLS

/* "08:12", or "2026-03-03 00:12" on another day than @base_ms; TD_NONE gives "–". (transfer full)
 */
char *td_time_clock (gint64 ms, gint32 offset_min, gint64 base_ms);
/* The same with seconds. */
char *td_time_clock_seconds (gint64 ms, gint32 offset_min, gint64 base_ms);
/* "Monday 2 March 2026" in the reader's language. (transfer full) */
char *td_date_to_words (TdDate date);
/* "UTC+01:00". (transfer full) */
char *td_offset_to_text (gint32 offset_min);

G_END_DECLS
