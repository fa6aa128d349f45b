/* store-file.h: files that appear whole or not at all. */
#pragma once

#include "store-error.h"

G_BEGIN_DECLS

/* An empty file of mode 0600 in the folder of @path, whose name starts with that of @path.
 * Returns: (transfer full): its path, or NULL with a TD_BOOK_ERROR. */
char *td_file_make_temporary (const char *path, GError **error);
/* Gives @temporary the name @path and makes that durable. @replace: FALSE fails with
 * TD_BOOK_ERROR_EXISTS where something has that name already; so does a log of SQLite's beside it. */
gboolean td_file_publish (const char *temporary, const char *path, gboolean replace, GError **error);
/* TRUE where both names stand for one file. */
gboolean td_file_is_same (const char *a, const char *b);
/* A name that is not taken: @path and @ending, then with "-2", "-3", ... (transfer full) */
char *td_file_find_free (const char *path, const char *ending);
/* Gives a file and what SQLite has put beside it another name. */
gboolean td_file_move (const char *from, const char *to, GError **error);
/* Takes away a temporary file and what SQLite may have put beside it. */
void td_file_discard (const char *temporary);

G_END_DECLS
