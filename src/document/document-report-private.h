/* document-report-private.h: the parts that a report is filled from. */
#pragma once

#include "document-report.h"

G_BEGIN_DECLS

typedef struct
{
  TdReport *report;
  const TdVisit *visit;
  const TdReportContext *context;
  gint64 now_ms; /* of an open visit; of a closed one its closing */
} TdReportFiller;

/* A copy that lives as long as the report; NULL stays NULL. */
const char *td_report_keep (TdReport *report, const char *text);
/* The same, taking @text over. */
const char *td_report_keep_taken (TdReport *report, char *text);
/* The stamp's time, TD_NONE where it never happened. */
gint64 td_report_time (TdStamp stamp);
/* Ids and titles of an outlet; NULL for -1. */
const char *td_report_outlet_id (const TdReportFiller *filler, int outlet);
const char *td_report_outlet_title (const TdReportFiller *filler, int outlet);
/* The name behind a tower's or cooler's id, the id itself where the site has no such place. */
const char *td_report_place_name (const TdReportFiller *filler, const char *id);
/* The person's name. */
const char *td_report_person (const TdReportFiller *filler, const char *person);
TdReportReading td_report_reading (const TdReportFiller *filler, const TdReading *reading);

void td_report_fill_lines (TdReportFiller *filler);
void td_report_fill_work (TdReportFiller *filler);    /* chemicals, lockouts, circuits, disposals */
void td_report_fill_remarks (TdReportFiller *filler); /* faults, parts, notes, checks, signatures */
void td_report_fill_timeline (TdReportFiller *filler);
void td_report_fill_tasks (TdReportFiller *filler);

G_END_DECLS
