/* The reader of company files: a file that it takes is written once and for all, and every row is found
 * by its id. */
#include "core-json-build.h"
#include "core-masters.h"
#include "fuzz.h"

static void
check_rows (const TdMasters *masters)
{
  for (guint i = 0; i < masters->n_products; i++)
    g_assert_true (td_masters_find_product (masters, masters->products[i].id) == &masters->products[i]);
  for (guint i = 0; i < masters->n_lots; i++)
    g_assert_true (td_masters_find_lot (masters, masters->lots[i].id) == &masters->lots[i]);
  for (guint i = 0; i < masters->n_technicians; i++)
    g_assert_true (td_masters_find_technician (masters, masters->technicians[i].id)
                   == &masters->technicians[i]);
  for (guint i = 0; i < masters->n_instruments; i++)
    g_assert_true (td_masters_find_instrument (masters, masters->instruments[i].id)
                   == &masters->instruments[i]);
}

int
LLVMFuzzerTestOneInput (const uint8_t *data, size_t size)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (TdJson) json = td_json_parse ((const char *) data, (gssize) size, NULL);
  g_autoptr (TdMasters) masters = json != NULL ? td_masters_from_json (json, &error) : NULL;
  g_autoptr (TdMasters) again = NULL;
  g_autoptr (TdJson) first = NULL;
  g_autoptr (TdJson) second = NULL;
  g_autofree char *first_text = NULL;
  g_autofree char *second_text = NULL;

  if (masters == NULL)
    {
      g_assert_true (json == NULL || error != NULL);
      g_assert_true (error == NULL || g_str_has_prefix (error->message, "line "));
      return 0;
    }
  check_rows (masters);
  first = td_masters_to_json (masters);
  first_text = td_json_to_text (first, FALSE);
  again = td_masters_from_json (first, &error);
  g_assert_no_error (error);
  second = td_masters_to_json (again);
  second_text = td_json_to_text (second, FALSE);
  g_assert_cmpstr (first_text, ==, second_text);
  return 0;
}
