/* exchange-out.h: a file that appears whole or not at all, written in small pieces.
 *
 * What is written goes to a file beside the one that is wanted; td_out_finish() makes it durable and gives it
 * the name.  Until then, and whenever anything failed, a file of that name stays as it was. */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

typedef struct _TdOut TdOut;

/* @path: "-" for standard output, which is not held back.
 * Returns: (transfer full): NULL with G_FILE_ERROR that names the file. */
TdOut *td_out_new (const char *path, GError **error);
/* @length: bytes, or -1 for a NUL-terminated text. */
gboolean td_out_write (TdOut *out, const char *bytes, gssize length, GError **error);
/* The file has its name once TRUE is returned.  Nothing may be written afterwards. */
gboolean td_out_finish (TdOut *out, GError **error);
/* Lets go; what was not finished leaves nothing behind. */
void td_out_free (TdOut *out);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdOut, td_out_free)

/* All in one. */
gboolean td_out_write_file (const char *path, const char *bytes, gssize length, GError **error);

G_END_DECLS
