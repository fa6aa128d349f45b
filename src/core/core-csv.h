/* core-csv.h: a reader of comma-separated values (RFC 4180).
 *
 * Strict: every row has as many fields as the first, a quote stands only where the RFC has one, lines end
 * with CRLF or LF.  A line with nothing on it is passed over and counts as a line only in errors; so it
 * is where the file has a single column.  A byte order mark at the beginning, which spreadsheets write, is passed over.  Every
 * field knows the line and column where it began. */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

/* Immutable; free of locale and safe from any thread. */
typedef struct _TdCsv TdCsv;

/* @length: bytes, or -1 for a NUL-terminated text.
 * Returns: (transfer full): at least one row, or NULL with TD_ERROR_PARSE "line L, column C: ...". */
TdCsv *td_csv_parse (const char *text, gssize length, GError **error);
void td_csv_free (TdCsv *csv);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdCsv, td_csv_free)

/* Rows from 0, the first line (usually the header) included. */
guint td_csv_get_n_rows (const TdCsv *csv);
guint td_csv_get_n_fields (const TdCsv *csv, guint row);
/* Line of the file on which the row begins, from 1. */
guint td_csv_get_line (const TdCsv *csv, guint row);
/* Returns: (transfer none): the field as meant: quotes taken off, doubled quotes made single. */
const char *td_csv_get_field (const TdCsv *csv, guint row, guint field);
/* Sets a TD_ERROR of @code whose message starts with "line L, column C: ", where the field began (both
 * from 1; columns count characters).  Returns FALSE always. */
gboolean td_csv_set_error (const TdCsv *csv, guint row, guint field, int code, GError **error,
                           const char *format, ...) G_GNUC_PRINTF (6, 7);

G_END_DECLS
