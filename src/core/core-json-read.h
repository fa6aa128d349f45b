/* core-json-read.h: taking a JSON object apart strictly.
 *
 * A reader stands over one object and remembers which keys were asked for. The first thing that is wrong
 * is kept; from then on every call returns its harmless value, so that a function that reads an object is
 * a plain list of calls with one check at the end:
 *
 *   g_autoptr (TdJsonReader) reader = td_json_reader_new (json, "a segment");
 *
 *   segment->bore_mm = td_json_reader_number (reader, "bore_mm", TD_JSON_ABOVE_ZERO, 100);
 *   segment->k = td_json_reader_optional_number (reader, "k", 0, 1e6, 0);
 *   return td_json_reader_finish (reader, error);
 *
 * Keys that were never asked for are an error of finish(), which names the key with its line and column
 * and lists the keys that would do.  Keys must be literals or outlive the reader; what is returned lives
 * as long as the object.  null never stands for a missing key: it is a wrong type. */
#pragma once

#include <float.h>

#include "core-json.h"

G_BEGIN_DECLS

/* As a minimum: any number greater than 0. */
#define TD_JSON_ABOVE_ZERO DBL_TRUE_MIN
/* As a maximum: no limit but that of a double. */
#define TD_JSON_NO_MAXIMUM DBL_MAX

typedef struct _TdJsonReader TdJsonReader;

/* @json: the object; another type is kept as TD_ERROR_SHAPE.  @what: what it stands for, with its
 * article ("a segment"), for messages; must outlive the reader. */
TdJsonReader *td_json_reader_new (const TdJson *json, const char *what);
void td_json_reader_free (TdJsonReader *reader);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdJsonReader, td_json_reader_free)

/* TRUE while nothing is wrong. */
gboolean td_json_reader_is_good (const TdJsonReader *reader);
/* TRUE where the object has the key; does not count as asking for its value. */
gboolean td_json_reader_has (const TdJsonReader *reader, const char *key);

/* Requires the member "format" to be @format ("tundish-site/1"); another version of the same format is
 * named as such. */
void td_json_reader_format (TdJsonReader *reader, const char *format);

/* Returns: (transfer none): the text, never empty; "" after an error. */
const char *td_json_reader_string (TdJsonReader *reader, const char *key);
/* Returns: (transfer none) (nullable): the text, never empty; NULL where the key is missing. */
const char *td_json_reader_optional_string (TdJsonReader *reader, const char *key);

/* Both ends of a range are allowed; TD_ERROR_RANGE outside.  After an error: @minimum or @fallback.  A
 * number with a fraction or an exponent is no integer, even where it is whole. */
gint64 td_json_reader_integer (TdJsonReader *reader, const char *key, gint64 minimum, gint64 maximum);
gint64 td_json_reader_optional_integer (TdJsonReader *reader, const char *key, gint64 minimum,
                                        gint64 maximum, gint64 fallback);
double td_json_reader_number (TdJsonReader *reader, const char *key, double minimum, double maximum);
/* @fallback may be NAN. */
double td_json_reader_optional_number (TdJsonReader *reader, const char *key, double minimum,
                                       double maximum, double fallback);
gboolean td_json_reader_optional_boolean (TdJsonReader *reader, const char *key, gboolean fallback);

/* A text that is one of @choices, a NULL-terminated list. Returns: its index; 0 or @fallback after an
 * error. */
int td_json_reader_choice (TdJsonReader *reader, const char *key, const char *const *choices);
int td_json_reader_optional_choice (TdJsonReader *reader, const char *key, const char *const *choices,
                                    int fallback);

/* Returns: (transfer none) (nullable): the array or object; NULL after an error or, of the optional
 * ones, where the key is missing. */
const TdJson *td_json_reader_array (TdJsonReader *reader, const char *key);
const TdJson *td_json_reader_optional_array (TdJsonReader *reader, const char *key);
const TdJson *td_json_reader_object (TdJsonReader *reader, const char *key);
const TdJson *td_json_reader_optional_object (TdJsonReader *reader, const char *key);
/* Returns: (transfer none) (nullable): a value of any type, also null; NULL where the key is missing. */
const TdJson *td_json_reader_optional_any (TdJsonReader *reader, const char *key);

/* Keeps an error of the caller's own, unless one is kept already.  @where: the value at fault, or NULL
 * for the object itself. */
void td_json_reader_fail (TdJsonReader *reader, const TdJson *where, int code, const char *format, ...)
  G_GNUC_PRINTF (4, 5);
/* Keeps an error that comes from elsewhere, such as the reading of an inner object.
 * @error: (transfer full) (nullable). */
void td_json_reader_adopt (TdJsonReader *reader, GError *error);

/* Returns: TRUE where nothing was wrong and every key was asked for; otherwise FALSE with the error. An
 * unknown key is told before a missing one, since it may be the missing one misspelt. */
gboolean td_json_reader_finish (TdJsonReader *reader, GError **error);

G_END_DECLS
