/* The reader of JSON: whatever it takes is written and read back the same; whatever it refuses has a
 * place. */
#include "core-error.h"
#include "core-json-build.h"
#include "fuzz.h"

static void
check_text (const TdJson *json, gboolean pretty)
{
  g_autofree char *text = td_json_to_text (json, pretty);
  g_autoptr (GError) error = NULL;
  g_autoptr (TdJson) again = td_json_parse (text, -1, &error);
  g_autofree char *second = NULL;

  g_assert_no_error (error);
  g_assert_true (td_json_equal (json, again));
  second = td_json_to_text (again, pretty);
  g_assert_cmpstr (text, ==, second);
}

static void
check_canonical (const TdJson *json)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *text = td_json_to_canonical (json, &error);
  g_autoptr (TdJson) again = NULL;
  g_autofree char *second = NULL;

  if (text == NULL)
    {
      g_assert_error (error, TD_ERROR, TD_ERROR_SHAPE);
      return;
    }
  again = td_json_parse (text, -1, &error);
  g_assert_no_error (error);
  g_assert_true (td_json_equal (json, again));
  second = td_json_to_canonical (again, &error);
  g_assert_no_error (error);
  g_assert_cmpstr (text, ==, second);
}

int
LLVMFuzzerTestOneInput (const uint8_t *data, size_t size)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (TdJson) json = td_json_parse ((const char *) data, (gssize) size, &error);

  if (json == NULL)
    {
      g_assert_error (error, TD_ERROR, TD_ERROR_PARSE);
      g_assert_true (g_str_has_prefix (error->message, "line "));
      g_assert_true (g_utf8_validate (error->message, -1, NULL));
      return 0;
    }
  g_assert_no_error (error);
  check_text (json, FALSE);
  check_text (json, TRUE);
  check_canonical (json);
  return 0;
}
