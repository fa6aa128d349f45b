/* core-json-build.h: making JSON values and writing them out. */
#pragma once

#include "core-json.h"
#include "core-time.h"

G_BEGIN_DECLS

/* A builder of one value.  Calls nest as the text would: begin_object, key, value, ..., end.  Misuse is
 * a programmer's error and asserts: a doubled key, a text that is not UTF-8, nesting beyond
 * TD_JSON_MAX_DEPTH, a value where a key is due. */
typedef struct _TdJsonBuilder TdJsonBuilder;

TdJsonBuilder *td_json_builder_new (void);
void td_json_builder_free (TdJsonBuilder *builder);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdJsonBuilder, td_json_builder_free)

void td_json_builder_begin_object (TdJsonBuilder *builder);
void td_json_builder_begin_array (TdJsonBuilder *builder);
void td_json_builder_end (TdJsonBuilder *builder);
/* Names the next value; only inside an object. */
void td_json_builder_key (TdJsonBuilder *builder, const char *key);

void td_json_builder_null (TdJsonBuilder *builder);
void td_json_builder_boolean (TdJsonBuilder *builder, gboolean value);
void td_json_builder_integer (TdJsonBuilder *builder, gint64 value);
/* @decimals: digits after the point, 0..15, trailing zeros dropped; -1 for the shortest text that reads
 * back as the same double.  A value that is not finite is written as null. */
void td_json_builder_real (TdJsonBuilder *builder, double value, int decimals);
/* @value: (nullable): NULL writes null. */
void td_json_builder_string (TdJsonBuilder *builder, const char *value);
/* A value made elsewhere, shared, not copied. */
void td_json_builder_value (TdJsonBuilder *builder, TdJson *value);

/* The same with the key in front, for the members of an object. */
void td_json_builder_member_null (TdJsonBuilder *builder, const char *key);
void td_json_builder_member_boolean (TdJsonBuilder *builder, const char *key, gboolean value);
void td_json_builder_member_integer (TdJsonBuilder *builder, const char *key, gint64 value);
void td_json_builder_member_real (TdJsonBuilder *builder, const char *key, double value, int decimals);
void td_json_builder_member_string (TdJsonBuilder *builder, const char *key, const char *value);
/* null where @value is below 0, which stands for what is not known. */
void td_json_builder_member_known (TdJsonBuilder *builder, const char *key, gint64 value);
/* "2026-06-30"; null for TD_DATE_NONE. */
void td_json_builder_member_date (TdJsonBuilder *builder, const char *key, TdDate date);
void td_json_builder_member_value (TdJsonBuilder *builder, const char *key, TdJson *value);

/* Returns: (transfer full): the value; the builder is empty afterwards and may be used again. */
TdJson *td_json_builder_finish (TdJsonBuilder *builder);

/* Returns: (transfer full): text of the value: on one line without spaces, or @pretty, indented by two
 * spaces with a newline at the end, arrays of plain values on one line.  Members stand in the order in
 * which they were built or read. Reading the text gives an equal value. */
char *td_json_to_text (const TdJson *json, gboolean pretty);

/* The canonical bytes of a journal body: objects' keys sorted by byte, no spaces, strings escaped only
 * where JSON requires it (control characters as \u00xx, lower case, except \b \f \n \r \t; '"' and '\\').
 * Returns: (transfer full): the text, or NULL with TD_ERROR_SHAPE where the value holds anything but
 * objects, arrays, strings and integers (reals, booleans and null have no canonical form here). */
char *td_json_to_canonical (const TdJson *json, GError **error);

G_END_DECLS
