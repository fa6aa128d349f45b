/* document-report-paint.h: the sections of the report's pages. Private to document. */
#pragma once

#include "document-canvas.h"
#include "document-report.h"
#include "document-table.h"

G_BEGIN_DECLS

/* Page 1, for the bar. */
void td_report_paint_title (TdFlow *flow, const TdReport *report);
void td_report_paint_incidents (TdFlow *flow, const TdReport *report);
void td_report_paint_pours (TdFlow *flow, const TdReport *report);
void td_report_paint_tasks (TdFlow *flow, const TdReport *report);
void td_report_paint_signatures (TdFlow *flow, const TdReport *report);

void td_report_paint_drawing (TdFlow *flow, const TdReport *report);
void td_report_paint_lines (TdFlow *flow, const TdReport *report);
void td_report_paint_chemicals (TdFlow *flow, const TdReport *report);
void td_report_paint_lockouts (TdFlow *flow, const TdReport *report);
void td_report_paint_faults (TdFlow *flow, const TdReport *report);
void td_report_paint_findings (TdFlow *flow, const TdReport *report);
void td_report_paint_cautions (TdFlow *flow, const TdReport *report);
void td_report_paint_annex (TdFlow *flow, const TdReport *report);

/* "08:12" of the visit's day. (transfer full) */
char *td_report_clock (const TdReport *report, gint64 ms);
/* "Tower A 4", or the id where the report has no such line; "–" for NULL. */
const char *td_report_line_title (const TdReport *report, const char *id);

G_END_DECLS
