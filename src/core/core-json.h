/* core-json.h: a strict reader of JSON (RFC 8259) and the values it makes.
 *
 * Stricter than the usual libraries on purpose: no comments, no trailing commas, no duplicate keys, no
 * lone surrogates, no invalid UTF-8, no byte order mark, no NUL (written plainly or as \u0000), a limit
 * on depth; every value knows the line and column where it began, so that an error can name the place.
 * Values are immutable and reference counted; all functions are free of locale and safe from any thread.
 *
 * Numbers: an integer that does not fit in 64 bits is an error, never a rounded REAL; so is a number
 * beyond the range of a double.  One too small for a double reads as 0.0; "-0" is the integer 0, "-0.0"
 * the REAL with that sign.  Reading costs O(n log n) in the worst case, whatever the keys. */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

/* Deepest nesting of arrays and objects that the reader accepts and the builder makes. */
#define TD_JSON_MAX_DEPTH 64

typedef enum
{
  TD_JSON_NULL,
  TD_JSON_BOOLEAN,
  TD_JSON_INTEGER, /* written without fraction and exponent, fits in 64 bits */
  TD_JSON_REAL,    /* any other number, finite */
  TD_JSON_STRING,
  TD_JSON_ARRAY,
  TD_JSON_OBJECT
} TdJsonType;

typedef struct _TdJson TdJson;

/* Reads one value and nothing after it.  @length: bytes, or -1 for a NUL-terminated text.
 * Returns: (transfer full): the value, or NULL with TD_ERROR_PARSE "line L, column C: ...". */
TdJson *td_json_parse (const char *text, gssize length, GError **error);

TdJson *td_json_ref (TdJson *json);
void td_json_unref (TdJson *json);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdJson, td_json_unref)

TdJsonType td_json_get_kind (const TdJson *json);
/* Where the value began in its text, from 1; 0 for a value that was built, not read.  Columns count
 * characters, not bytes. */
guint td_json_get_line (const TdJson *json);
guint td_json_get_column (const TdJson *json);

/* Each getter asserts the type; look at td_json_get_kind() first. */
gboolean td_json_get_boolean (const TdJson *json);
gint64 td_json_get_integer (const TdJson *json);
/* An INTEGER or a REAL as a double. */
double td_json_get_number (const TdJson *json);
const char *td_json_get_string (const TdJson *json);

/* Elements of an array or members of an object. */
guint td_json_get_length (const TdJson *json);
/* Returns: (transfer none): the element, or an object's value, at @index (0 <= index < length). */
TdJson *td_json_get_element (const TdJson *json, guint index);
/* Returns: (transfer none): the key at @index of an object, in the order read. */
const char *td_json_get_key (const TdJson *json, guint index);
/* Where the key at @index of an object stands in its text, from 1; 0 in a built value. */
guint td_json_get_key_line (const TdJson *json, guint index);
guint td_json_get_key_column (const TdJson *json, guint index);
/* Returns: index of the member with that key, or -1 where the object has no such key. */
int td_json_find_key (const TdJson *json, const char *key);
/* Returns: (transfer none) (nullable): the member, or NULL where the object has no such key. */
TdJson *td_json_get_member (const TdJson *json, const char *key);

/* Same type and content; numbers are equal where they are the same number (the INTEGER 5 and the REAL
 * 5.0, since both are written 5), members in any order. */
gboolean td_json_equal (const TdJson *a, const TdJson *b);

/* Sets a TD_ERROR of @code whose message starts with "line L, column C: " of @where (left out for a
 * built value). */
void td_json_set_error (const TdJson *where, int code, GError **error, const char *format, ...)
  G_GNUC_PRINTF (4, 5);

G_END_DECLS
