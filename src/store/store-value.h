/* store-value.h: rows of a table as plain values, for what is written and compared column by column. */
#pragma once

#include "store-statement.h"

G_BEGIN_DECLS

typedef enum
{
  TD_VALUE_NULL,
  TD_VALUE_INTEGER,
  TD_VALUE_TEXT,
  TD_VALUE_HASH /* 64 hex digits, stored as 32 bytes */
} TdValueType;

typedef struct
{
  TdValueType type;
  gint64 integer;
  char *text;
} TdValue;

/* A row: TdValue in the order of the table's columns. */
typedef GArray TdRow;

TdRow *td_row_new (void);
void td_row_unref (TdRow *row);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdRow, td_row_unref)
void td_row_add_integer (TdRow *row, gint64 value);
/* Adds null where @value is @null. */
void td_row_add_integer_or_null (TdRow *row, gint64 value, gint64 null);
/* @text: (nullable): NULL adds null. */
void td_row_add_text (TdRow *row, const char *text);
void td_row_add_hash (TdRow *row, const char *hex);

/* Binds each value to the parameter of that name (":name"); @names: (array zero-terminated=1), as many as
 * the row has values. */
void td_row_bind (const TdRow *row, TdStatement *statement, const char *const *names);
/* The first column, counted from @first, whose value in @statement's present row differs; -1 where none
 * does. */
int td_row_compare (const TdRow *row, TdStatement *statement, int first);

G_END_DECLS
