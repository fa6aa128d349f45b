/* store-put.h: the one function through which every row of master data is written. */
#pragma once

#include "store-master.h"
#include "store-value.h"

G_BEGIN_DECLS

/* A table of master data.  `find` selects id, rev, deleted and then the columns of `names`, by the
 * parameters of `keys`; `insert` takes keys, names and, where `has_uuid`, ":uuid"; `update` takes names,
 * ":id" and ":deleted". */
typedef struct
{
  TdSql find;
  TdSql insert;
  TdSql update;
  gboolean has_uuid;
  const char *const *keys;
  const char *const *names;
} TdTable;

typedef struct
{
  gint64 id;
  guint rev;
  TdImportOutcome outcome;
} TdPut;

/* Adds the row, or changes it where it differs and raises its rev.  @deleted: marks it as taken away (it
 * stays in the book); a row that was never there is then not made.
 * Must stand within a write. @keys, @values: in the order of the table's keys and names. */
gboolean td_put_row (TdBook *book,
                     const TdTable *table,
                     const TdRow *keys,
                     const TdRow *values,
                     gboolean deleted,
                     TdPut *put_out,
                     GError **error);

/* The same, counted. @count: (nullable). */
gboolean td_put_row_counted (TdBook *book,
                             const TdTable *table,
                             const TdRow *keys,
                             const TdRow *values,
                             gboolean deleted,
                             TdImportCount *count,
                             GError **error);

/* Adds the outcome to a count; @count: (nullable). */
void td_import_count (TdImportCount *count, TdImportOutcome outcome);

G_END_DECLS
