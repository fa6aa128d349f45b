/* document-report-groups.h: lines that share a reason, named together. Private to document. */
#pragma once

#include "document-report.h"

G_BEGIN_DECLS

/* "Tower A 1, 3; Tower B 5": titles of lines, the tower named once. @lines: TdReportLine pointers
 * in the order of the report. (transfer full) */
char *td_report_titles (const GPtrArray *lines);

/* The text, cut at a word to at most @most characters with an ellipsis: page 1 is for reading at
 * the bar, the whole text stands further back. NULL gives "". (transfer full) */
char *td_report_shorten (const char *text, guint most);

/* Lines of which @key gives the same text (NULL counts as a text of its own; those for which
 * @wanted is FALSE are left out). Returns: (transfer full) (element-type GPtrArray of
 * TdReportLine): groups in the order in which they first occur. */
typedef const char *(*TdReportKey) (const TdReportLine *line);
typedef gboolean (*TdReportWanted) (const TdReportLine *line);
GPtrArray *td_report_group (const TdReport *report, TdReportWanted wanted, TdReportKey key);

G_END_DECLS
