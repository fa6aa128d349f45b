/* Where the window was: kept at once, in the order of use, and never in anybody's way. */
#include "desk-state.h"

#include <glib/gstdio.h>

typedef struct
{
  char *folder;
  char *path;
} Fixture;

static void
set_up (Fixture *fixture, gconstpointer data)
{
  fixture->folder = g_dir_make_tmp ("tundish-state-XXXXXX", NULL);
  fixture->path = g_build_filename (fixture->folder, "sub", "window.ini", NULL);
}

static void
tear_down (Fixture *fixture, gconstpointer data)
{
  g_autofree char *sub = g_path_get_dirname (fixture->path);

  g_unlink (fixture->path);
  g_rmdir (sub);
  g_rmdir (fixture->folder);
  g_free (fixture->folder);
  g_free (fixture->path);
}

static void
assert_recent (TdState *state, const char *wanted)
{
  g_auto (GStrv) paths = td_state_get_recent (state);
  g_autofree char *joined = g_strjoinv (",", paths);

  g_assert_cmpstr (joined, ==, wanted);
}

static void
test_recent (Fixture *fixture, gconstpointer data)
{
  g_autoptr (TdState) state = td_state_new (fixture->path);

  assert_recent (state, "");
  td_state_add_recent (state, "/a/one.tundish");
  td_state_add_recent (state, "/b [x]/zwei ü.tundish");
  assert_recent (state, "/b [x]/zwei ü.tundish,/a/one.tundish");
  td_state_add_recent (state, "/a/one.tundish");
  assert_recent (state, "/a/one.tundish,/b [x]/zwei ü.tundish");
  for (int i = 0; i < TD_STATE_RECENT_MAX + 3; i++)
    {
      g_autofree char *path = g_strdup_printf ("/many/%d", i);

      td_state_add_recent (state, path);
    }
  {
    g_auto (GStrv) paths = td_state_get_recent (state);

    g_assert_cmpuint (g_strv_length (paths), ==, TD_STATE_RECENT_MAX);
  }
  td_state_forget_recent (state, "/many/10");
  td_state_forget_recent (state, "/never/there");
  {
    g_auto (GStrv) paths = td_state_get_recent (state);

    g_assert_cmpstr (paths[0], ==, "/many/9");
  }
}

/* Another program of ours, started after this one was killed, finds what was last said. */
static void
test_kept_at_once (Fixture *fixture, gconstpointer data)
{
  g_autoptr (TdState) state = td_state_new (fixture->path);

  td_state_add_recent (state, "/a");
  td_state_set_place (state, "/a", "visit:1");
  td_state_set_person (state, "/a", "nora");
  td_state_add_recent (state, "/b");
  td_state_set_place (state, "/b", "round");
  {
    g_autoptr (TdState) second = td_state_new (fixture->path);
    g_autofree char *place = td_state_get_place (second, "/a");
    g_autofree char *person = td_state_get_person (second, "/a");
    g_autofree char *other = td_state_get_place (second, "/b");
    g_autofree char *nobody = td_state_get_person (second, "/b");

    assert_recent (second, "/b,/a");
    g_assert_cmpstr (place, ==, "visit:1");
    g_assert_cmpstr (person, ==, "nora");
    g_assert_cmpstr (other, ==, "round");
    g_assert_null (nobody);
    td_state_set_person (second, "/a", NULL);
  }
  {
    g_autoptr (TdState) third = td_state_new (fixture->path);
    g_autofree char *person = td_state_get_person (third, "/a");
    g_autofree char *place = td_state_get_place (third, "/a");

    g_assert_null (person);
    g_assert_cmpstr (place, ==, "visit:1");
  }
}

static const char *const spoiled[] = { "", "no group\n", "[half", "[a]\n=\n", "\xff\xfe", "[relative]\nbook=yes\n" };

static void
test_spoiled (Fixture *fixture, gconstpointer data)
{
  g_autofree char *sub = g_path_get_dirname (fixture->path);

  g_mkdir (sub, 0700);
  for (gsize i = 0; i < G_N_ELEMENTS (spoiled); i++)
    {
      g_autoptr (TdState) state = NULL;

      g_assert_true (g_file_set_contents (fixture->path, spoiled[i], -1, NULL));
      state = td_state_new (fixture->path);
      assert_recent (state, "");
      td_state_add_recent (state, "/a");
      assert_recent (state, "/a");
    }
}

/* A folder that cannot be written loses the memory, not the work. */
static void
test_unwritable (Fixture *fixture, gconstpointer data)
{
  g_autoptr (TdState) state = td_state_new ("/proc/self/no/window.ini");

  td_state_add_recent (state, "/a");
  assert_recent (state, "/a");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
#define TEST(name, function) g_test_add ("/state/" name, Fixture, NULL, set_up, function, tear_down)
  TEST ("recent", test_recent);
  TEST ("kept-at-once", test_kept_at_once);
  TEST ("spoiled", test_spoiled);
  TEST ("unwritable", test_unwritable);
  return g_test_run ();
}
