#include "document-pdf.h"

#include "document-error.h"
#include "document-i18n.h"
#include "document-pdf-language.h"

#include <cairo-pdf.h>

static cairo_status_t
append (void *closure, const unsigned char *data, unsigned int length)
{
  g_byte_array_append (closure, data, length);
  return CAIRO_STATUS_SUCCESS;
}

static void
set_metadata (cairo_surface_t *surface, const TdPdfInfo *info)
{
  g_autoptr (GDateTime) when = g_date_time_new_from_unix_utc (info->utc_ms / 1000);
  g_autofree char *text = when != NULL ? g_date_time_format (when, "%Y-%m-%dT%H:%M:%SZ") : NULL;

  cairo_pdf_surface_set_metadata (surface, CAIRO_PDF_METADATA_TITLE, info->title);
  if (info->author != NULL)
    cairo_pdf_surface_set_metadata (surface, CAIRO_PDF_METADATA_AUTHOR, info->author);
  if (info->subject != NULL)
    cairo_pdf_surface_set_metadata (surface, CAIRO_PDF_METADATA_SUBJECT, info->subject);
  cairo_pdf_surface_set_metadata (surface, CAIRO_PDF_METADATA_CREATOR, "Tundish");
  if (text == NULL)
    return;
  cairo_pdf_surface_set_metadata (surface, CAIRO_PDF_METADATA_CREATE_DATE, text);
  cairo_pdf_surface_set_metadata (surface, CAIRO_PDF_METADATA_MOD_DATE, text);
}

/* Each document on paper of its own kind. The size is set only where it changes: set again inside the
 * first tag, it makes cairo forget the tag. */
static void
paint_document (cairo_surface_t *surface, cairo_t *cr, const TdPages *pages, TdPaperKind *kind)
{
  const TdPaper *paper = td_pages_get_paper (pages);

  if (paper->kind != *kind)
    cairo_pdf_surface_set_size (surface, paper->width, paper->height);
  *kind = paper->kind;
  for (guint i = 0; i < td_pages_get_count (pages); i++)
    {
      td_pages_draw (pages, i, cr);
      cairo_show_page (cr);
    }
}

static cairo_status_t
paint_all (const GPtrArray *documents, const TdPdfInfo *info, GByteArray *bytes)
{
  const TdPaper *paper = td_pages_get_paper (g_ptr_array_index (documents, 0));
  cairo_surface_t *surface
      = cairo_pdf_surface_create_for_stream (append, bytes, paper->width, paper->height);
  cairo_t *cr = cairo_create (surface);
  TdPaperKind kind = paper->kind;
  cairo_status_t status;

  set_metadata (surface, info);
  /* Without this wrapping, tags that cairo makes of its own leave a damaged cross-reference table.
   */
  cairo_tag_begin (cr, "Document", NULL);
  for (guint i = 0; i < documents->len; i++)
    paint_document (surface, cr, g_ptr_array_index (documents, i), &kind);
  cairo_tag_end (cr, "Document");
  status = cairo_status (cr);
  cairo_destroy (cr);
  cairo_surface_finish (surface);
  if (status == CAIRO_STATUS_SUCCESS)
    status = cairo_surface_status (surface);
  cairo_surface_destroy (surface);
  return status;
}

GBytes *
td_pdf_make_bound (const GPtrArray *documents, const TdPdfInfo *info, GError **error)
{
  g_autoptr (GByteArray) bytes = g_byte_array_new ();
  cairo_status_t status;

  g_assert (info->title != NULL && info->language != NULL && documents->len > 0);
  status = paint_all (documents, info, bytes);
  if (status != CAIRO_STATUS_SUCCESS)
    {
      g_set_error (error, TD_DOCUMENT_ERROR, TD_DOCUMENT_ERROR_PAINT,
                   _ ("The document could not be painted: %s. Nothing was written."),
                   cairo_status_to_string (status));
      return NULL;
    }
  if (!td_pdf_set_language (bytes, info->language, error))
    return NULL;
  return g_byte_array_free_to_bytes (g_steal_pointer (&bytes));
}

GBytes *
td_pdf_make (const TdPages *pages, const TdPdfInfo *info, GError **error)
{
  g_autoptr (GPtrArray) documents = g_ptr_array_new ();

  g_ptr_array_add (documents, (gpointer)pages);
  return td_pdf_make_bound (documents, info, error);
}

gboolean
td_pdf_write (const TdPages *pages, const char *path, const TdPdfInfo *info, GError **error)
{
  g_autoptr (GPtrArray) documents = g_ptr_array_new ();

  g_ptr_array_add (documents, (gpointer)pages);
  return td_pdf_write_bound (documents, path, info, error);
}

gboolean
td_pdf_write_bound (const GPtrArray *documents,
                    const char *path,
                    const TdPdfInfo *info,
                    GError **error)
{
  g_autoptr (GBytes) bytes = td_pdf_make_bound (documents, info, error);
  g_autoptr (GError) reason = NULL;
  gsize length;
  const char *data;

  if (bytes == NULL)
    return FALSE;
  data = g_bytes_get_data (bytes, &length);
  /* A temporary file beside it, fsync, rename. */
  if (g_file_set_contents_full (path, data, (gssize)length,
                                G_FILE_SET_CONTENTS_CONSISTENT | G_FILE_SET_CONTENTS_DURABLE, 0644,
                                &reason))
    return TRUE;
  g_set_error (
      error, TD_DOCUMENT_ERROR, TD_DOCUMENT_ERROR_WRITE,
      _ ("The file %s could not be written: %s. A file that stood there before still stands."),
      path, reason->message);
  return FALSE;
}
