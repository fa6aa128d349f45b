/* exchange-csv.h: a writer of comma-separated values (RFC 4180), row by row.
 *
 * Lines end in CRLF; a cell is quoted where it holds a comma, a quotation mark or a line break, or where it
 * begins or ends with a space. */
#pragma once

#include "exchange-out.h"

G_BEGIN_DECLS

typedef enum
{
  TD_CSV_PLAIN,
  /* For people who open the file in a spreadsheet: a byte order mark tells that it is UTF-8, and a cell that a
   * spreadsheet would take for a formula gets an apostrophe in front: one that begins with = + - @, their
   * full-width twins, a tab or a line break.  Negative numbers stay numbers. */
  TD_CSV_SPREADSHEET
} TdCsvKind;

typedef struct _TdCsvWriter TdCsvWriter;

/* @out: must live as long. */
TdCsvWriter *td_csv_writer_new (TdOut *out, TdCsvKind kind);
void td_csv_writer_free (TdCsvWriter *writer);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdCsvWriter, td_csv_writer_free)

/* Writes a row; @writer is a TdCsvWriter, so that the function may be handed to td_book_export(). */
gboolean td_csv_writer_add (gpointer writer, const char *const *cells, guint n_cells, GError **error);
/* Rows so far, the names of the columns included. */
guint td_csv_writer_get_n_rows (const TdCsvWriter *writer);

/* Appends one cell to @text. */
void td_csv_append_cell (GString *text, const char *cell, TdCsvKind kind);

G_END_DECLS
