/* What differs between two states of a record; what an account may hold. */
#include "core-account.h"
#include "core-change.h"
#include "core-error.h"
#include "core-json-build.h"

#include <string.h>

typedef struct
{
  const char *name;
  const char *before, *after; /* before: NULL where there was nothing */
  const char *expected;       /* "path: old -> new", one a line; "-" where there was nothing */
} Case;

static const Case cases[] = {
  { "nothing", "{\"a\":1}", "{\"a\":1.0}", "" },
  { "all new", NULL, "{\"a\":1}", ": - -> {\"a\":1}\n" },
  { "a text", "{\"a\":\"x\"}", "{\"a\":\"y\"}", "a: x -> y\n" },
  { "another type", "{\"a\":\"1\"}", "{\"a\":1}", "a: 1 -> 1\n" },
  { "new and gone", "{\"a\":1}", "{\"b\":2}", "b: - -> 2\na: 1 -> -\n" },
  { "inner", "{\"s\":{\"z\":\"UTC\",\"n\":1}}", "{\"s\":{\"z\":\"Europe/Dublin\",\"n\":1}}",
    "s.z: UTC -> Europe/Dublin\n" },
  { "by id", "{\"l\":[{\"id\":\"L1\",\"p\":1},{\"id\":\"L2\"}]}",
    "{\"l\":[{\"id\":\"L0\"},{\"id\":\"L1\",\"p\":2}]}",
    "l[L0]: - -> {\"id\":\"L0\"}\nl[L1].p: 1 -> 2\nl[L2]: {\"id\":\"L2\"} -> -\n" },
  { "another order", "{\"l\":[{\"id\":\"A\"},{\"id\":\"B\"}]}", "{\"l\":[{\"id\":\"B\"},{\"id\":\"A\"}]}",
    "l: [{\"id\":\"A\"},{\"id\":\"B\"}] -> [{\"id\":\"B\"},{\"id\":\"A\"}]\n" },
  { "by place", "{\"l\":[1,2,3]}", "{\"l\":[1,4]}", "l[1]: 2 -> 4\nl[2]: 3 -> -\n" },
  { "an empty array is filled", "{\"l\":[]}", "{\"l\":[{\"id\":\"A\"}]}", "l[A]: - -> {\"id\":\"A\"}\n" },
};

static void
test_compare (gconstpointer data)
{
  const Case *c = data;
  g_autoptr (TdJson) before = c->before != NULL ? td_json_parse (c->before, -1, NULL) : NULL;
  g_autoptr (TdJson) after = td_json_parse (c->after, -1, NULL);
  g_autoptr (GPtrArray) changes = td_json_compare (before, after);
  g_autoptr (GString) told = g_string_new (NULL);

  for (guint i = 0; i < changes->len; i++)
    {
      const TdChange *change = g_ptr_array_index (changes, i);

      g_string_append_printf (told, "%s: %s -> %s\n", change->path, change->old_text ? change->old_text : "-",
                              change->new_text ? change->new_text : "-");
    }
  g_assert_cmpstr (told->str, ==, c->expected);
}

static void
test_account (void)
{
  const char *text = "{\"name\":\"Tin Heron Inns\",\"address\":\"1 Quay\",\"email\":\"office@example.com\",\"note\":\"n\"}";
  g_autoptr (TdJson) json = td_json_parse (text, -1, NULL);
  g_autoptr (GError) error = NULL;
  g_autoptr (TdAccount) account = td_account_from_json (json, &error);
  g_autoptr (TdJson) back = NULL;
  g_autofree char *again = NULL;

  g_assert_no_error (error);
  back = td_account_to_json (account);
  again = td_json_to_text (back, FALSE);
  g_assert_cmpstr (again, ==, text);
}

static const char *const wrong_accounts[] = {
  "{\"address\":\"1 Quay\"}",
  "{\"name\":\"\"}",
  "{\"name\":\"x\",\"colour\":\"red\"}",
  "{\"name\":\"x\",\"email\":\"office\"}",
  "{\"name\":\"x\",\"email\":\"@example.com\"}",
  "{\"name\":\"x\",\"email\":\"office@\"}",
  "{\"name\":\"x\",\"email\":\"a b@example.com\"}",
  "{\"name\":\"x\",\"email\":\"a@b@c\"}",
};

static void
test_account_refused (void)
{
  for (gsize i = 0; i < G_N_ELEMENTS (wrong_accounts); i++)
    {
      g_autoptr (TdJson) json = td_json_parse (wrong_accounts[i], -1, NULL);
      g_autoptr (GError) error = NULL;

      g_assert_null (td_account_from_json (json, &error));
      g_assert_error (error, TD_ERROR, TD_ERROR_SHAPE);
      g_assert_true (g_str_has_prefix (error->message, "line 1, column "));
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autofree char *path = g_strdup_printf ("/change/%s", cases[i].name);

      g_test_add_data_func (path, &cases[i], test_compare);
    }
  g_test_add_func ("/account/reads-back", test_account);
  g_test_add_func ("/account/refused", test_account_refused);
  return g_test_run ();
}
