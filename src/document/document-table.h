/* document-table.h: tables with a head that comes back on every page.
 *
 * Cells are texts; columns find their widths from what stands in them.  A row is cut only where it
 * is too high to be kept whole. */
#pragma once

#include "document-flow.h"

G_BEGIN_DECLS

typedef struct
{
  const char *title; /* NULL: no title */
  PangoAlignment align;
  double most;    /* widest it should become, points; 0: no limit */
  gboolean whole; /* broken into lines only where the table would not fit otherwise */
} TdColumn;

typedef struct _TdTable TdTable;

/* @columns: copied, with their titles. @size: letter height in points. */
TdTable *td_table_new (const TdColumn *columns, guint n_columns, double size);
void td_table_free (TdTable *table);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdTable, td_table_free)

/* Appends a row of as many texts as there are columns; NULL is an empty cell. */
void td_table_add_row (TdTable *table, const char *const *cells);
/* The same as a list of arguments, ending with nothing: exactly n_columns of them. */
void td_table_add (TdTable *table, ...);
/* Of the row added last: printed bold; with a mark at its left edge, for what needs attention; or
 * as one text from the first column to the last (a group's name). */
void td_table_set_bold (TdTable *table);
void td_table_set_marked (TdTable *table);
void td_table_add_group (TdTable *table, const char *text);
guint td_table_get_length (const TdTable *table);

/* Lays the table out and appends it to @flow. The table may be freed afterwards. */
void td_flow_add_table (TdFlow *flow, const TdTable *table);

G_END_DECLS
