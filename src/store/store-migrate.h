/* store-migrate.h: the numbered SQL that makes a book and brings an older one up to date.
 *
 * sql/0001-first.sql, sql/0002-...: each is run once, in order, all in one transaction; user_version
 * tells how many a book has had. */
#pragma once

#include "store-error.h"

G_BEGIN_DECLS

/* How many migrations there are: the user_version of a book of this program. */
guint td_migrate_get_version (void);
/* Returns: (transfer full): SQL that brings a book to @version from the one before, 1 <= @version. */
char *td_migrate_get_sql (guint version);
/* Returns: (transfer full) (array zero-terminated=1): all of it, in order. */
char **td_migrate_get_all (void);

G_END_DECLS
