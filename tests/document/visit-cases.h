/* visit-cases.h: visits for the tests of documents, folded from files without a book. */
#pragma once

#include "document-report.h"

typedef struct
{
  TdVisit *visit;
  GPtrArray *findings;
} VisitCase;

/* Reads a whole file of the source tree, or the same path as it stands. (transfer full) */
char *read_source_file (const char *path);
/* Folds the lines of @replay (JSON lines as `record` takes them) upon @site_text, a site sheet.
 * @upto: take only that many lines, 0 for all. Each is written down 20 seconds after it happened,
 * the fiftieth half an hour late. */
VisitCase visit_case_fold (const char *site_text, const char *replay, guint upto);
/* tests/replay/@name.jsonl upon the demo site that its arrival names. */
VisitCase visit_case_load (const char *name, guint upto);
void visit_case_clear (VisitCase *one);

/* The seal as the book would give it. (transfer full) */
char *visit_case_seal (const VisitCase *one);
