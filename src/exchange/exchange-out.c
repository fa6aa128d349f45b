#include "exchange-out.h"

#include <errno.h>
#include <fcntl.h>
#include <glib/gstdio.h>
#include <string.h>
#include <unistd.h>

/* What is gathered before it is written, bytes. */
#define BUFFER 65536
/* Of a new file; the person's mask is taken off it. */
#define MODE 0666

struct _TdOut
{
  char *path;
  char *temporary; /* NULL: standard output, or finished */
  int fd;
  GString *buffer;
};

static gboolean
fail (const TdOut *out, int number, GError **error)
{
  gboolean standard = strcmp (out->path, "-") == 0;

  g_set_error (error, G_FILE_ERROR, (int) g_file_error_from_errno (number),
               "%s%s%s could not be written: %s%s", standard ? "Standard output" : "“", standard ? "" : out->path,
               standard ? "" : "”", g_strerror (number), standard ? "" : "; what stood there before is unchanged");
  return FALSE;
}

TdOut *
td_out_new (const char *path, GError **error)
{
  g_autoptr (TdOut) out = g_new0 (TdOut, 1);

  g_return_val_if_fail (path != NULL, NULL);
  out->path = g_strdup (path);
  out->buffer = g_string_sized_new (BUFFER);
  out->fd = STDOUT_FILENO;
  if (strcmp (path, "-") == 0)
    return g_steal_pointer (&out);
  out->temporary = g_strconcat (path, ".XXXXXX", NULL);
  out->fd = g_mkstemp_full (out->temporary, O_RDWR | O_CLOEXEC, MODE);
  if (out->fd >= 0)
    return g_steal_pointer (&out);
  fail (out, errno, error);
  return NULL;
}

static gboolean
flush (TdOut *out, GError **error)
{
  const char *bytes = out->buffer->str;
  gsize left = out->buffer->len;

  while (left > 0)
    {
      gssize written = write (out->fd, bytes, left);

      if (written < 0 && errno != EINTR)
        return fail (out, errno, error);
      if (written > 0)
        {
          bytes += written;
          left -= (gsize) written;
        }
    }
  g_string_set_size (out->buffer, 0);
  return TRUE;
}

gboolean
td_out_write (TdOut *out, const char *bytes, gssize length, GError **error)
{
  g_return_val_if_fail (out != NULL && bytes != NULL, FALSE);
  g_string_append_len (out->buffer, bytes, length);
  return out->buffer->len < BUFFER || flush (out, error);
}

/* The folder's entry has to last, too. */
static void
sync_folder (const char *path)
{
  g_autofree char *folder = g_path_get_dirname (path);
  int fd = g_open (folder, O_RDONLY | O_DIRECTORY | O_CLOEXEC, 0);

  if (fd < 0)
    return;
  /* Some file systems do not sync folders; the content is safe by then. */
  (void) fsync (fd);
  g_close (fd, NULL);
}

gboolean
td_out_finish (TdOut *out, GError **error)
{
  g_return_val_if_fail (out != NULL, FALSE);
  if (!flush (out, error))
    return FALSE;
  if (out->temporary == NULL)
    return TRUE;
  if (fsync (out->fd) != 0 || g_rename (out->temporary, out->path) != 0)
    return fail (out, errno, error);
  g_clear_pointer (&out->temporary, g_free);
  sync_folder (out->path);
  return TRUE;
}

void
td_out_free (TdOut *out)
{
  g_return_if_fail (out != NULL);
  if (out->fd >= 0 && strcmp (out->path, "-") != 0)
    g_close (out->fd, NULL);
  if (out->temporary != NULL)
    (void) g_unlink (out->temporary);
  g_free (out->temporary);
  g_free (out->path);
  g_string_free (out->buffer, TRUE);
  g_free (out);
}

gboolean
td_out_write_file (const char *path, const char *bytes, gssize length, GError **error)
{
  g_autoptr (TdOut) out = td_out_new (path, error);

  return out != NULL && td_out_write (out, bytes, length, error) && td_out_finish (out, error);
}
