#include "exchange-csv.h"

#include <string.h>

#define BYTE_ORDER_MARK "\xef\xbb\xbf"

struct _TdCsvWriter
{
  TdOut *out;
  TdCsvKind kind;
  GString *row;
  guint n_rows;
};

TdCsvWriter *
td_csv_writer_new (TdOut *out, TdCsvKind kind)
{
  TdCsvWriter *writer;

  g_return_val_if_fail (out != NULL, NULL);
  writer = g_new0 (TdCsvWriter, 1);
  writer->out = out;
  writer->kind = kind;
  writer->row = g_string_new (NULL);
  return writer;
}

void
td_csv_writer_free (TdCsvWriter *writer)
{
  g_return_if_fail (writer != NULL);
  g_string_free (writer->row, TRUE);
  g_free (writer);
}

/* "-12.50": what a spreadsheet reads as a number is no formula. */
static gboolean
is_negative_number (const char *cell)
{
  gsize digits = strspn (cell + 1, "0123456789");
  const char *rest = cell + 1 + digits;

  if (cell[0] != '-' || digits == 0)
    return FALSE;
  if (*rest == '.')
    {
      digits = strspn (rest + 1, "0123456789");
      rest += 1 + digits;
    }
  return digits > 0 && *rest == '\0';
}

/* OWASP, "CSV Injection": what spreadsheets take for the beginning of a formula, in full width too. */
static gboolean
begins_formula (const char *cell)
{
  static const char *const wide[] = { "\uff1d", "\uff0b", "\uff0d", "\uff20" };

  if (*cell == '\0')
    return FALSE;
  for (gsize i = 0; i < G_N_ELEMENTS (wide); i++)
    if (g_str_has_prefix (cell, wide[i]))
      return TRUE;
  return strchr ("=+-@\t\r\n", *cell) != NULL && !is_negative_number (cell);
}

void
td_csv_append_cell (GString *text, const char *cell, TdCsvKind kind)
{
  gsize length;

  g_return_if_fail (text != NULL && cell != NULL);
  g_autofree char *guarded = kind == TD_CSV_SPREADSHEET && begins_formula (cell) ? g_strconcat ("'", cell, NULL) : NULL;
  cell = guarded != NULL ? guarded : cell;
  length = strlen (cell);
  if (strpbrk (cell, ",\"\r\n") == NULL && (length == 0 || (cell[0] != ' ' && cell[length - 1] != ' ')))
    {
      g_string_append (text, cell);
      return;
    }
  g_string_append_c (text, '"');
  for (const char *p = cell; *p != '\0'; p++)
    {
      if (*p == '"')
        g_string_append_c (text, '"');
      g_string_append_c (text, *p);
    }
  g_string_append_c (text, '"');
}

gboolean
td_csv_writer_add (gpointer data, const char *const *cells, guint n_cells, GError **error)
{
  TdCsvWriter *writer = data;

  g_return_val_if_fail (writer != NULL && cells != NULL && n_cells > 0, FALSE);
  g_string_set_size (writer->row, 0);
  if (writer->n_rows == 0 && writer->kind == TD_CSV_SPREADSHEET)
    g_string_append (writer->row, BYTE_ORDER_MARK);
  for (guint i = 0; i < n_cells; i++)
    {
      if (i > 0)
        g_string_append_c (writer->row, ',');
      td_csv_append_cell (writer->row, cells[i], writer->kind);
    }
  g_string_append (writer->row, "\r\n");
  writer->n_rows++;
  return td_out_write (writer->out, writer->row->str, (gssize) writer->row->len, error);
}

guint
td_csv_writer_get_n_rows (const TdCsvWriter *writer)
{
  g_return_val_if_fail (writer != NULL, 0);
  return writer->n_rows;
}
