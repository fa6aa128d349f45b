/* store-statement.h: every SQL statement of store in one table, prepared in one place.
 *
 * Parameters are bound by name; a wrong name is a programmer's error and ends the program.  A statement
 * is used from td_statement_get() to the end of the g_autoptr, which resets it and forgets what was
 * bound; the same one cannot be in use twice at a time. */
#pragma once

#include "store-book.h"

G_BEGIN_DECLS

typedef enum
{
#define TD_SQL(symbol, plan, text) TD_SQL_##symbol,
#include "store-sql.def"
#undef TD_SQL
  TD_N_SQL
} TdSql;

typedef enum
{
  TD_PLAN_SEEK, /* every table by key or index */
  TD_PLAN_SCAN, /* reads a whole table, and says why beside it */
  TD_PLAN_BUNDLE /* runs in the file of a bundle, which has tables of its own */
} TdSqlPlan;

typedef struct
{
  const char *name;
  TdSqlPlan plan;
  const char *text;
} TdSqlInfo;

typedef enum
{
  TD_STEP_FAILED,
  TD_STEP_DONE,
  TD_STEP_ROW
} TdStep;

typedef struct _TdStatement TdStatement;

const TdSqlInfo *td_sql_get_info (TdSql sql);

/* Returns: (transfer none): the statement, ready to be bound, or NULL with a TD_BOOK_ERROR. Give it back
 * with td_statement_done(). */
TdStatement *td_statement_get (TdBook *book, TdSql sql, GError **error);
/* Resets, clears what was bound, and gives the statement back. */
void td_statement_done (TdStatement *statement);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdStatement, td_statement_done)

void td_statement_bind_integer (TdStatement *statement, const char *name, gint64 value);
/* @text, @bytes: copied; NULL binds null. */
void td_statement_bind_text (TdStatement *statement, const char *name, const char *text);
void td_statement_bind_blob (TdStatement *statement, const char *name, const void *bytes, gsize n_bytes);
void td_statement_bind_uuid (TdStatement *statement, const char *name, const TdUuid *uuid);
/* 64 hex digits as 32 bytes; NULL binds null. */
void td_statement_bind_hash (TdStatement *statement, const char *name, const char *hex);
void td_statement_bind_null (TdStatement *statement, const char *name);

TdStep td_statement_step (TdStatement *statement, GError **error);
/* Steps a statement that gives no rows; it may then be bound again. */
gboolean td_statement_run (TdStatement *statement, GError **error);
/* Back to the beginning, so that it can be bound and stepped again; bound values stay. */
void td_statement_rewind (TdStatement *statement);
/* Like td_statement_step() for a question of at most one row, from the beginning. */
TdStep td_statement_ask (TdStatement *statement, GError **error);

/* Columns of the present row, from 0. Text and bytes are valid until the next step; text is always
 * UTF-8, with U+FFFD for what is not. */
gboolean td_statement_is_null (TdStatement *statement, int column);
gint64 td_statement_get_integer (TdStatement *statement, int column);
/* "" for null: a column that is never null by the schema may be in a damaged book. */
const char *td_statement_get_text (TdStatement *statement, int column);
/* Returns: (transfer full): "" for null likewise. */
char *td_statement_dup_text (TdStatement *statement, int column);
/* Returns: (transfer full) (nullable): for a column that may be null. */
char *td_statement_dup_text_or_null (TdStatement *statement, int column);
const void *td_statement_get_blob (TdStatement *statement, int column, gsize *n_bytes_out);
/* All zero where the column does not hold 16 bytes. */
TdUuid td_statement_get_uuid (TdStatement *statement, int column);
/* Returns: (transfer full) (nullable): 64 hex digits, NULL where the column is null or not 32 bytes. */
char *td_statement_get_hash (TdStatement *statement, int column);

/* Binds the columns of @from's present row from @first on to the parameters of @to in their order. Both may
 * be of different files. */
void td_statement_take_row (TdStatement *to, TdStatement *from, int first);
/* Adds the present row to a checksum: of each column its type, its length and its bytes. */
void td_statement_feed (TdStatement *statement, GChecksum *checksum);
/* FALSE where a text of the present row is no UTF-8 or goes on behind a NUL, where nobody would see it. */
gboolean td_statement_has_sound_texts (TdStatement *statement);

/* Lets go of every prepared statement of a book. */
void td_statements_finalize (TdBook *book);

G_END_DECLS
