#include "document-pdf-language.h"

#include "document-error.h"

#include <string.h>

static gboolean
fail (const char *what, GError **error)
{
  g_set_error (error, TD_DOCUMENT_ERROR, TD_DOCUMENT_ERROR_PAINT,
               "The PDF that was made has %s where it was not expected. Nothing was written.",
               what);
  return FALSE;
}

/* Offset of the last @needle in the array, or -1. */
static gssize
find_last (const GByteArray *pdf, const char *needle)
{
  gsize length = strlen (needle);

  for (gsize at = pdf->len >= length ? pdf->len - length + 1 : 0; at-- > 0;)
    if (memcmp (pdf->data + at, needle, length) == 0)
      return (gssize)at;
  return -1;
}

static void
insert (GByteArray *pdf, gsize at, const char *text)
{
  gsize length = strlen (text), tail = pdf->len - at;

  g_byte_array_set_size (pdf, (guint)(pdf->len + length));
  memmove (pdf->data + at + length, pdf->data + at, tail);
  memcpy (pdf->data + at, text, length);
}

gboolean
td_pdf_set_language (GByteArray *pdf, const char *language, GError **error)
{
  const char *type = "<< /Type /Catalog";
  gssize catalog = find_last (pdf, type), table = find_last (pdf, "\nxref\n"), start;
  g_autofree char *entry = NULL, *offset = NULL;
  gsize begin;

  for (const char *c = language; *c != '\0'; c++)
    g_assert (g_ascii_isalnum (*c) || *c == '-');
  if (catalog < 0 || table < 0 || table < catalog)
    return fail ("a catalog or a cross-reference table", error);
  /* Behind the catalog only its own end may come before the table: then nothing else moves. */
  for (gssize i = catalog; i + 6 < table; i++)
    if (memcmp (pdf->data + i, " 0 obj", 6) == 0)
      return fail ("an object behind its catalog", error);
  entry = g_strdup_printf ("\n   /Lang (%s)\n   /ViewerPreferences << /DisplayDocTitle true >>",
                           language);
  insert (pdf, (gsize)catalog + strlen (type), entry);

  start = find_last (pdf, "startxref\n");
  if (start < 0)
    return fail ("no startxref", error);
  begin = (gsize)start + strlen ("startxref\n");
  offset = g_strdup_printf ("%" G_GSSIZE_FORMAT "\n%%%%EOF\n", table + 1 + (gssize)strlen (entry));
  g_byte_array_set_size (pdf, (guint)begin);
  g_byte_array_append (pdf, (const guint8 *)offset, (guint)strlen (offset));
  return TRUE;
}
