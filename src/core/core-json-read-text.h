/* core-json-read-text.h: members whose text has a form: identifiers, dates, moments. */
#pragma once

#include "core-json-read.h"
#include "core-time.h"

G_BEGIN_DECLS

/* Most characters of an identifier. */
#define TD_ID_MAX_LENGTH 64

/* TRUE for an identifier of a sheet: 1 to 64 characters, none of them a control character, no space at
 * either end. */
gboolean td_id_is_valid (const char *id);

/* Returns: (transfer none): the identifier; "" after an error. */
const char *td_json_reader_id (TdJsonReader *reader, const char *key);
/* Returns: (transfer none) (nullable): the identifier; NULL where the key is missing or wrong. */
const char *td_json_reader_optional_id (TdJsonReader *reader, const char *key);

/* A day, "2026-03-02". Returns: TD_DATE_NONE after an error or where the optional key is missing. */
TdDate td_json_reader_date (TdJsonReader *reader, const char *key);
TdDate td_json_reader_optional_date (TdJsonReader *reader, const char *key);

/* A moment, "2026-03-02T06:10:07+00:00", as td_moment_parse() reads it. Returns: { 0, 0 } after an
 * error. */
TdMoment td_json_reader_moment (TdJsonReader *reader, const char *key);

G_END_DECLS
