/* store-bundle-file.h: the file of a bundle: made, sealed, and opened with nothing taken on trust. */
#pragma once

#include "store-bundle.h"
#include "store-statement.h"

G_BEGIN_DECLS

#define TD_BUNDLE_FORMAT "tundish-bundle/1"

/* A bundle is reached through statements like a book, but those marked BUNDLE only. */
typedef struct _TdBook TdBundle;

/* Makes an empty bundle in the empty file @temporary and begins its one transaction. */
TdBundle *td_bundle_create (const char *temporary, GError **error);
void td_bundle_close (TdBundle *bundle);

/* Writes a line of the manifest. */
gboolean td_bundle_put (TdBundle *bundle, const char *key, const char *value, GError **error);
/* Seals: the hash over all rows goes into the manifest. @sha256_out: (transfer full). */
gboolean td_bundle_seal (TdBundle *bundle, char **sha256_out, GError **error);

/* Reads the whole file into memory and opens it there, so that it cannot change meanwhile and no file
 * beside it is looked at. Only the tables of a bundle may be in it; every page and the hash are checked. */
TdBundle *td_bundle_open (const char *path, GError **error);
/* A line of the manifest; "" where it has none. (transfer full) (nullable): NULL with an error. */
char *td_bundle_get (TdBundle *bundle, const char *key, GError **error);

/* TRUE where nothing stands at @path, or a bundle does. */
gboolean td_bundle_may_replace (const char *path, GError **error);
/* Sets an error that names the bundle and that nothing was taken in. Returns FALSE. */
gboolean td_bundle_fail (GError **error, TdBookError code, const char *path, const char *format, ...)
  G_GNUC_PRINTF (4, 5);

G_END_DECLS
