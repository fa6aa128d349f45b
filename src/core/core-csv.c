#include "core-csv.h"

#include "core-error.h"

#include <string.h>

typedef struct
{
  char *text;
  guint line;
  guint column;
} Field;

struct _TdCsv
{
  GPtrArray *rows; /* GArray of Field */
};

/* Where the reader stands. */
typedef struct
{
  const char *at;
  const char *end;
  guint line;
  guint column;
} Reader;

static void
clear_field (gpointer data)
{
  g_free (((Field *) data)->text);
}

static gboolean
fail (const Reader *reader, GError **error, const char *text)
{
  g_set_error (error, TD_ERROR, TD_ERROR_PARSE, "line %u, column %u: %s", reader->line, reader->column, text);
  return FALSE;
}

static void
advance (Reader *reader)
{
  /* Columns count characters: bytes that continue one (10xxxxxx in UTF-8) do not. */
  if (*reader->at == '\n')
    {
      reader->line++;
      reader->column = 1;
    }
  else if (reader->at + 1 == reader->end || ((guchar) reader->at[1] & 0xc0) != 0x80)
    reader->column++;
  reader->at++;
}

static gboolean
at_line_end (const Reader *reader)
{
  if (reader->at == reader->end || *reader->at == '\n')
    return TRUE;
  return *reader->at == '\r' && reader->at + 1 < reader->end && reader->at[1] == '\n';
}

static gboolean
read_quoted (Reader *reader, GString *text, GError **error)
{
  Reader start = *reader;
  advance (reader);
  for (;;)
    {
      if (reader->at == reader->end)
        return fail (&start, error, "the quotation mark that opens here is never closed; close it");
      if (*reader->at == '"')
        {
          advance (reader);
          if (reader->at == reader->end || *reader->at != '"')
            break;
        }
      g_string_append_c (text, *reader->at);
      advance (reader);
    }
  if (!at_line_end (reader) && *reader->at != ',')
    return fail (reader, error, "after the closing quotation mark a comma or the end of the line must follow; "
                                "write a quotation mark within quotes twice");
  return TRUE;
}

static gboolean
read_plain (Reader *reader, GString *text, GError **error)
{
  while (!at_line_end (reader) && *reader->at != ',')
    {
      if (*reader->at == '"')
        return fail (reader, error, "a quotation mark stands within a field without quotes; put the whole field "
                                    "in quotes and write the mark twice");
      if (*reader->at == '\r')
        return fail (reader, error, "a carriage return without a line feed; end lines with CRLF or LF");
      g_string_append_c (text, *reader->at);
      advance (reader);
    }
  return TRUE;
}

/* Reads a row and the end of its line. */
static gboolean
read_row (Reader *reader, GArray *row, GError **error)
{
  for (;;)
    {
      g_autoptr (GString) text = g_string_new (NULL);
      Field field = { NULL, reader->line, reader->column };
      gboolean quoted = reader->at < reader->end && *reader->at == '"';
      if (!(quoted ? read_quoted (reader, text, error) : read_plain (reader, text, error)))
        return FALSE;
      field.text = g_strdup (text->str);
      g_array_append_val (row, field);
      if (at_line_end (reader))
        break;
      advance (reader);
    }
  if (reader->at < reader->end && *reader->at == '\r')
    advance (reader);
  if (reader->at < reader->end)
    advance (reader);
  return TRUE;
}

/* A line with nothing on it, as spreadsheets and editors leave them at the end. */
static gboolean
skip_blank_line (Reader *reader)
{
  if (!at_line_end (reader))
    return FALSE;
  if (reader->at < reader->end && *reader->at == '\r')
    advance (reader);
  if (reader->at < reader->end)
    advance (reader);
  return TRUE;
}

static gboolean
check_width (const TdCsv *csv, const GArray *row, GError **error)
{
  guint width = td_csv_get_n_fields (csv, 0);
  const Field *last = &g_array_index (row, Field, row->len - 1);
  if (row->len == width)
    return TRUE;
  g_set_error (error, TD_ERROR, TD_ERROR_PARSE,
               "line %u, column %u: this line has %u fields and the first one %u; every line needs as many",
               last->line, last->column, row->len, width);
  return FALSE;
}

static gboolean
check_text (Reader *reader, GError **error)
{
  const char *bad = NULL;
  if (!g_utf8_validate_len (reader->at, reader->end - reader->at, &bad))
    {
      while (reader->at < bad)
        advance (reader);
      return fail (reader, error, "not UTF-8 text; save the file as UTF-8");
    }
  if (reader->at == reader->end)
    return fail (reader, error, "the file is empty; its first line must name the columns");
  return TRUE;
}

TdCsv *
td_csv_parse (const char *text, gssize length, GError **error)
{
  g_return_val_if_fail (text != NULL, NULL);
  Reader reader = { text, text + (length >= 0 ? (gsize) length : strlen (text)), 1, 1 };
  g_autoptr (TdCsv) csv = g_new0 (TdCsv, 1);
  csv->rows = g_ptr_array_new_with_free_func ((GDestroyNotify) g_array_unref);
  if (reader.end - reader.at >= 3 && memcmp (reader.at, "\xef\xbb\xbf", 3) == 0)
    reader.at += 3;
  if (!check_text (&reader, error))
    return NULL;
  while (reader.at < reader.end)
    {
      if (skip_blank_line (&reader))
        continue;
      GArray *row = g_array_new (FALSE, FALSE, sizeof (Field));
      g_array_set_clear_func (row, clear_field);
      g_ptr_array_add (csv->rows, row);
      if (!read_row (&reader, row, error) || !check_width (csv, row, error))
        return NULL;
    }
  if (csv->rows->len == 0)
    {
      fail (&reader, error, "the file holds blank lines alone; its first line must name the columns");
      return NULL;
    }
  return g_steal_pointer (&csv);
}

void
td_csv_free (TdCsv *csv)
{
  g_return_if_fail (csv != NULL);
  g_ptr_array_unref (csv->rows);
  g_free (csv);
}

guint
td_csv_get_n_rows (const TdCsv *csv)
{
  g_return_val_if_fail (csv != NULL, 0);
  return csv->rows->len;
}

guint
td_csv_get_n_fields (const TdCsv *csv, guint row)
{
  g_return_val_if_fail (csv != NULL && row < csv->rows->len, 0);
  return ((const GArray *) g_ptr_array_index (csv->rows, row))->len;
}

static const Field *
get_field (const TdCsv *csv, guint row, guint field)
{
  g_assert (csv != NULL && row < csv->rows->len);
  const GArray *fields = g_ptr_array_index (csv->rows, row);
  g_assert (field < fields->len);
  return &g_array_index (fields, Field, field);
}

guint
td_csv_get_line (const TdCsv *csv, guint row)
{
  return get_field (csv, row, 0)->line;
}

const char *
td_csv_get_field (const TdCsv *csv, guint row, guint field)
{
  return get_field (csv, row, field)->text;
}

gboolean
td_csv_set_error (const TdCsv *csv, guint row, guint field, int code, GError **error, const char *format, ...)
{
  const Field *place = get_field (csv, row, field);
  va_list arguments;
  va_start (arguments, format);
  g_autofree char *text = g_strdup_vprintf (format, arguments);
  va_end (arguments);
  g_set_error (error, TD_ERROR, code, "line %u, column %u: %s", place->line, place->column, text);
  return FALSE;
}
