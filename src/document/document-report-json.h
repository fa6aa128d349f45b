/* document-report-json.h: writing the parts of a report as JSON. Private to document. */
#pragma once

#include "document-report.h"

#include "core-json-build.h"

G_BEGIN_DECLS

/* ISO 8601 with the report's offset, or null. */
void td_report_json_time (TdJsonBuilder *b, const TdReport *report, const char *key, gint64 ms);
/* The figure divided by @scale, or null. */
void td_report_json_figure (TdJsonBuilder *b, const char *key, gint64 value, gint64 scale);
void td_report_json_integer (TdJsonBuilder *b, const char *key, gint64 value);
/* "2026-03-02" or null. */
void td_report_json_date (TdJsonBuilder *b, const char *key, TdDate date);
/* Members KEY, KEY_at, KEY_known, KEY_instrument. */
void td_report_json_reading (TdJsonBuilder *b,
                             const TdReport *report,
                             const char *key,
                             const TdReportReading *reading,
                             gint64 scale);

void td_report_json_lines (TdJsonBuilder *b, const TdReport *report);
void td_report_json_work (TdJsonBuilder *b, const TdReport *report);
void td_report_json_remarks (TdJsonBuilder *b, const TdReport *report);
void td_report_json_timeline (TdJsonBuilder *b, const TdReport *report);

G_END_DECLS
