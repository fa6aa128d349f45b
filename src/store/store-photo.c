#include "store-photo.h"

#include "store-attachment.h"
#include "store-private.h"

#include "core-error.h"
#include "core-json-build.h"

#include <errno.h>
#include <glib/gstdio.h>
#include <string.h>
#include <sys/stat.h>

/* The first bytes by which the two kinds of picture tell themselves apart: JPEG (ITU-T T.81, SOI marker
 * and the next) and PNG (RFC 2083, 3.1). */
const char *
td_photo_find_media (const void *bytes, gsize n_bytes)
{
  if (n_bytes >= 3 && memcmp (bytes, "\xff\xd8\xff", 3) == 0)
    return "image/jpeg";
  if (n_bytes >= 8 && memcmp (bytes, "\x89PNG\r\n\x1a\n", 8) == 0)
    return "image/png";
  return NULL;
}

static gboolean
fail (GError **error, int code, const char *path, const char *text)
{
  g_set_error (error, TD_ERROR, code, "field file: “%s” %s; nothing was kept", path, text);
  return FALSE;
}

/* @bytes_out: (transfer full). */
static gboolean
read_picture (const char *path, char **bytes_out, gsize *n_bytes_out, const char **media_out, GError **error)
{
  GStatBuf status;
  g_autoptr (GError) why = NULL;
  if (g_stat (path, &status) != 0)
    return fail (error, TD_ERROR_REFERENCE, path, g_strerror (errno));
  if (!S_ISREG (status.st_mode))
    return fail (error, TD_ERROR_SHAPE, path, "is no file; name a picture");
  /* Looked at before it is read, so that a wrong path does not fill the memory, and again after. */
  if (status.st_size > TD_ATTACHMENT_MAX)
    return fail (error, TD_ERROR_RANGE, path, "is larger than 300 kB; make the picture smaller");
  if (!g_file_get_contents (path, bytes_out, n_bytes_out, &why))
    return fail (error, TD_ERROR_REFERENCE, path, why->message);
  if (*n_bytes_out > TD_ATTACHMENT_MAX)
    return fail (error, TD_ERROR_RANGE, path, "is larger than 300 kB; make the picture smaller");
  *media_out = td_photo_find_media (*bytes_out, *n_bytes_out);
  if (*media_out == NULL)
    return fail (error, TD_ERROR_SHAPE, path, "is neither a JPEG nor a PNG picture; save it as one of them");
  return TRUE;
}

static gboolean
find_attachment (TdBook *book, const char *sha256, gboolean *found_out, GError **error)
{
  g_autoptr (TdStatement) find = td_statement_get (book, TD_SQL_FIND_ATTACHMENT, error);
  if (find == NULL)
    return FALSE;
  td_statement_bind_hash (find, ":sha256", sha256);
  TdStep step = td_statement_ask (find, error);
  *found_out = step == TD_STEP_ROW;
  return step != TD_STEP_FAILED;
}

static gboolean
insert_attachment (TdBook *book, const char *sha256, const char *media, const char *bytes, gsize n_bytes,
                   GError **error)
{
  gboolean found = FALSE;
  if (!find_attachment (book, sha256, &found, error) || found)
    return found;
  g_autoptr (TdStatement) insert = td_statement_get (book, TD_SQL_INSERT_ATTACHMENT, error);
  if (insert == NULL)
    return FALSE;
  td_statement_bind_hash (insert, ":sha256", sha256);
  td_statement_bind_text (insert, ":media", media);
  td_statement_bind_blob (insert, ":bytes", bytes, n_bytes);
  return td_statement_run (insert, error);
}

/* The body without "file", with hash and media. */
static TdJson *
replace_file (const TdJson *body, const char *sha256, const char *media)
{
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();
  td_json_builder_begin_object (builder);
  for (guint i = 0; i < td_json_get_length (body); i++)
    if (strcmp (td_json_get_key (body, i), "file") != 0)
      td_json_builder_member_value (builder, td_json_get_key (body, i), td_json_get_element (body, i));
  td_json_builder_member_string (builder, "sha256", sha256);
  td_json_builder_member_string (builder, "media", media);
  td_json_builder_end (builder);
  return td_json_builder_finish (builder);
}

/* A photo that names a hash must name one of this book. */
static gboolean
check_hash (TdBook *book, const TdJson *body, GError **error)
{
  gboolean found = FALSE;
  const TdJson *sha256 = td_json_get_member (body, "sha256");
  g_assert (sha256 != NULL);
  if (!find_attachment (book, td_json_get_string (sha256), &found, error))
    return FALSE;
  if (!found)
    g_set_error (error, TD_ERROR, TD_ERROR_REFERENCE,
                 "field sha256: the book holds no picture %s; nothing was kept; name its file instead",
                 td_json_get_string (sha256));
  return found;
}

TdJson *
td_photo_keep (TdBook *book, const TdJson *body, GError **error)
{
  td_book_assert_owner (book);
  g_assert (book->writing);
  const TdJson *file = td_json_get_member (body, "file");
  if (file == NULL)
    return check_hash (book, body, error) ? td_json_ref ((TdJson *) body) : NULL;
  g_autofree char *bytes = NULL;
  gsize n_bytes = 0;
  const char *media = NULL;
  if (!read_picture (td_json_get_string (file), &bytes, &n_bytes, &media, error))
    return NULL;
  g_autofree char *sha256 = g_compute_checksum_for_data (G_CHECKSUM_SHA256, (const guchar *) bytes, n_bytes);
  if (!insert_attachment (book, sha256, media, bytes, n_bytes, error))
    return NULL;
  return replace_file (body, sha256, media);
}
