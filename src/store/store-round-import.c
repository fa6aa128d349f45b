/* Hours, areas and travel minutes into the book. */
#include "store-round.h"

#include "store-cache.h"
#include "store-private.h"
#include "store-put.h"
#include "store-state.h"

#include "core-error.h"
#include "core-json-read-text.h"

#include <string.h>

static const char *const site_keys[] = { ":site", NULL };
static const char *const site_names[] = { ":area", ":technician", ":from_min", ":to_min", NULL };
static const char *const technician_keys[] = { ":technician", NULL };
static const char *const technician_names[] = { ":area", ":from_min", ":to_min", NULL };
static const char *const travel_keys[] = { ":area_a", ":area_b", NULL };
static const char *const travel_names[] = { ":minutes", NULL };
static const TdTable site_table = { TD_SQL_FIND_ROUND_SITE, TD_SQL_INSERT_ROUND_SITE, TD_SQL_UPDATE_ROUND_SITE, FALSE, site_keys, site_names };
static const TdTable technician_table = { TD_SQL_FIND_ROUND_TECHNICIAN, TD_SQL_INSERT_ROUND_TECHNICIAN, TD_SQL_UPDATE_ROUND_TECHNICIAN, FALSE, technician_keys, technician_names };
static const TdTable travel_table = { TD_SQL_FIND_ROUND_TRAVEL, TD_SQL_INSERT_ROUND_TRAVEL, TD_SQL_UPDATE_ROUND_TRAVEL, FALSE, travel_keys, travel_names };

/* A time of day, -1 where it is left out. */
static int
read_minute (TdJsonReader *reader, const char *key, gboolean required)
{
  int minute = -1;
  const char *text = required ? td_json_reader_string (reader, key) : td_json_reader_optional_string (reader, key);
  if (text != NULL && td_json_reader_is_good (reader) && !td_day_parse_minute (text, &minute))
    td_json_reader_fail (reader, NULL, TD_ERROR_SHAPE, "\"%s\" is \"%s\"; it is a time of day such as \"07:30\"", key, text);
  return minute;
}

static void
check_hours (TdJsonReader *reader, int from_min, int to_min)
{
  if (from_min >= 0 && to_min >= 0 && from_min >= to_min)
    td_json_reader_fail (reader, NULL, TD_ERROR_RANGE, "\"to\" must be later than \"from\"");
}

static gboolean
put_technician (TdBook *book, const TdJson *json, TdImportCount *count, GError **error)
{
  g_autoptr (TdJsonReader) reader = td_json_reader_new (json, "a technician");
  g_autoptr (TdRow) keys = td_row_new ();
  g_autoptr (TdRow) values = td_row_new ();
  td_row_add_text (keys, td_json_reader_id (reader, "id"));
  td_row_add_text (values, td_json_reader_optional_string (reader, "area"));
  int from_min = read_minute (reader, "from", TRUE);
  int to_min = read_minute (reader, "to", TRUE);
  check_hours (reader, from_min, to_min);
  td_row_add_integer (values, from_min);
  td_row_add_integer (values, to_min);
  return td_json_reader_finish (reader, error) && td_put_row_counted (book, &technician_table, keys, values, FALSE, count, error);
}

static gboolean
put_travel (TdBook *book, const TdJson *json, TdImportCount *count, GError **error)
{
  g_autoptr (TdJsonReader) reader = td_json_reader_new (json, "a road");
  g_autoptr (TdRow) keys = td_row_new ();
  g_autoptr (TdRow) values = td_row_new ();
  const char *a = td_json_reader_string (reader, "from");
  const char *b = td_json_reader_string (reader, "to");
  td_row_add_integer (values, td_json_reader_integer (reader, "minutes", 0, 1440));
  td_row_add_text (keys, strcmp (a, b) <= 0 ? a : b);
  td_row_add_text (keys, strcmp (a, b) <= 0 ? b : a);
  return td_json_reader_finish (reader, error) && td_put_row_counted (book, &travel_table, keys, values, FALSE, count, error);
}

static gboolean
find_site (TdBook *book, const TdJson *json, const char *site_id, gint64 *key_out, GError **error)
{
  g_autoptr (TdStatement) find = td_statement_get (book, TD_SQL_SELECT_SITE, error);
  if (find == NULL)
    return FALSE;
  td_statement_bind_text (find, ":slug", site_id);
  TdStep step = td_statement_ask (find, error);
  if (step == TD_STEP_ROW)
    *key_out = td_statement_get_integer (find, 0);
  else if (step == TD_STEP_DONE)
    td_json_set_error (json, TD_ERROR_REFERENCE, error,
                       "the book knows no site \"%s\"; nothing was kept; import its sheet first", site_id);
  return step == TD_STEP_ROW;
}

static gboolean
put_site (TdBook *book, const TdJson *json, TdImportCount *count, GError **error)
{
  g_autoptr (TdJsonReader) reader = td_json_reader_new (json, "a site of the round");
  g_autoptr (TdRow) keys = td_row_new ();
  g_autoptr (TdRow) values = td_row_new ();
  gint64 key = 0;
  const char *site_id = td_json_reader_id (reader, "site");
  td_row_add_text (values, td_json_reader_optional_string (reader, "area"));
  td_row_add_text (values, td_json_reader_optional_id (reader, "technician"));
  int from_min = read_minute (reader, "from", FALSE);
  int to_min = read_minute (reader, "to", FALSE);
  check_hours (reader, from_min, to_min);
  td_row_add_integer_or_null (values, from_min, -1);
  td_row_add_integer_or_null (values, to_min, -1);
  if (!td_json_reader_finish (reader, error) || !find_site (book, json, site_id, &key, error))
    return FALSE;
  td_row_add_integer (keys, key);
  return td_put_row_counted (book, &site_table, keys, values, FALSE, count, error);
}

typedef gboolean (*PutRow) (TdBook *book, const TdJson *json, TdImportCount *count, GError **error);

static gboolean
put_rows (TdBook *book, const TdJson *array, PutRow row, TdImportCount *count, GError **error)
{
  for (guint i = 0; array != NULL && i < td_json_get_length (array); i++)
    if (!row (book, td_json_get_element (array, i), count, error))
      return FALSE;
  return TRUE;
}

gboolean
td_book_import_round (TdBook *book, const TdJson *json, TdImportCount *count_out, GError **error)
{
  td_book_assert_owner (book);
  TdImportCount count = { 0 };
  g_autoptr (TdJsonReader) reader = td_json_reader_new (json, "a round");
  td_json_reader_format (reader, TD_ROUND_FORMAT);
  const TdJson *technicians = td_json_reader_optional_array (reader, "technicians");
  const TdJson *travel = td_json_reader_optional_array (reader, "travel");
  const TdJson *sites = td_json_reader_optional_array (reader, "sites");
  if (!td_json_reader_finish (reader, error) || !td_book_begin (book, error))
    return FALSE;
  if (!put_rows (book, technicians, put_technician, &count, error) ||
      !put_rows (book, travel, put_travel, &count, error) || !put_rows (book, sites, put_site, &count, error))
    {
      td_book_rollback (book);
      return FALSE;
    }
  if (!td_book_commit (book, error))
    return FALSE;
  if (count_out != NULL)
    *count_out = count;
  return TRUE;
}

static gboolean
check_note (const TdRoundNote *note, GError **error)
{
  if (note->reason == NULL || *note->reason == '\0' || strlen (note->reason) > TD_ROUND_REASON_MAX)
    g_set_error_literal (error, TD_ERROR, TD_ERROR_SHAPE, "A reason is missing; nothing was kept; say why in a sentence");
  else if (note->person == NULL || *note->person == '\0')
    g_set_error_literal (error, TD_ERROR, TD_ERROR_SHAPE, "Who writes this down is missing; nothing was kept");
  else if (note->moved_to == note->day)
    g_set_error_literal (error, TD_ERROR, TD_ERROR_RANGE,
                         "The visit is moved to the day on which it is already; nothing was kept; name another day");
  else
    return TRUE;
  return FALSE;
}

/* A pinned clock draws the same identifiers again each time that a program is started: the next that is free. */
static gboolean
find_uuid (TdBook *book, TdUuid *uuid_out, GError **error)
{
  g_autoptr (TdStatement) find = td_statement_get (book, TD_SQL_FIND_NOTE, error);
  TdStep step = TD_STEP_ROW;
  while (find != NULL && step == TD_STEP_ROW)
    {
      *uuid_out = td_clock_make_uuid (book->clock);
      td_statement_rewind (find);
      td_statement_bind_uuid (find, ":uuid", uuid_out);
      step = td_statement_ask (find, error);
    }
  return find != NULL && step == TD_STEP_DONE;
}

static gboolean
insert_note (TdBook *book, const TdRoundNote *note, GError **error)
{
  g_autoptr (TdStatement) site = td_statement_get (book, TD_SQL_SELECT_SITE, error);
  g_autoptr (TdStatement) insert = site ? td_statement_get (book, TD_SQL_INSERT_ROUND_NOTE, error) : NULL;
  if (insert == NULL)
    return FALSE;
  td_statement_bind_text (site, ":slug", note->site_id);
  TdStep step = td_statement_ask (site, error);
  if (step == TD_STEP_DONE)
    g_set_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_MISSING,
                 "The book knows no site “%s”; nothing was kept; look at the name", note->site_id);
  if (step != TD_STEP_ROW)
    return FALSE;
  TdUuid uuid;
  if (!find_uuid (book, &uuid, error))
    return FALSE;
  td_statement_bind_uuid (insert, ":uuid", &uuid);
  td_statement_bind_integer (insert, ":site", td_statement_get_integer (site, 0));
  td_statement_bind_integer (insert, ":day", note->day);
  if (note->moved_to != TD_DATE_NONE)
    td_statement_bind_integer (insert, ":moved_to", note->moved_to);
  td_statement_bind_text (insert, ":cause", note->theirs ? "theirs" : "ours");
  td_statement_bind_text (insert, ":reason", note->reason);
  td_statement_bind_text (insert, ":person", note->person);
  td_statement_bind_integer (insert, ":recorded_ms", td_clock_get_now_ms (book->clock));
  td_statement_bind_integer (insert, ":device", book->device_key);
  return td_statement_run (insert, error);
}

gboolean
td_book_add_round_note (TdBook *book, const TdRoundNote *note, GError **error)
{
  td_book_assert_owner (book);
  g_return_val_if_fail (note != NULL && note->site_id != NULL && note->day != TD_DATE_NONE, FALSE);
  if (!check_note (note, error) || !td_book_begin (book, error))
    return FALSE;
  if (!insert_note (book, note, error))
    {
      td_book_rollback (book);
      return FALSE;
    }
  td_clock_advance (book->clock);
  return td_book_commit (book, error);
}
