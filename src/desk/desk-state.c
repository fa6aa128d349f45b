#include "desk-state.h"

#include <string.h>

/* One group a book, named by its path; the order of the groups is the order of use. */
struct _TdState
{
  char *path;
  GKeyFile *file;
};

TdState *
td_state_new (const char *path)
{
  TdState *state = g_new0 (TdState, 1);

  state->path = path != NULL ? g_strdup (path)
                             : g_build_filename (g_get_user_state_dir (), "tundish", "window.ini", NULL);
  state->file = g_key_file_new ();
  if (!g_key_file_load_from_file (state->file, state->path, G_KEY_FILE_NONE, NULL))
    {
      g_key_file_unref (state->file);
      state->file = g_key_file_new ();
    }
  return state;
}

void
td_state_free (TdState *state)
{
  g_key_file_unref (state->file);
  g_free (state->path);
  g_free (state);
}

/* A state that cannot be kept is no reason to trouble anybody. */
static void
keep (TdState *state)
{
  g_autofree char *folder = g_path_get_dirname (state->path);
  g_autofree char *text = NULL;
  gsize length = 0;

  text = g_key_file_to_data (state->file, &length, NULL);
  if (g_mkdir_with_parents (folder, 0700) == 0)
    g_file_set_contents_full (state->path, text, (gssize) length,
                              G_FILE_SET_CONTENTS_CONSISTENT | G_FILE_SET_CONTENTS_DURABLE, 0600, NULL);
}

/* A path as the name of a group: which must hold no bracket, no line end, and be UTF-8. */
static char *
make_group (const char *path)
{
  return g_uri_escape_string (path, "/ ", FALSE);
}

char **
td_state_get_recent (TdState *state)
{
  g_auto (GStrv) groups = NULL;
  g_autoptr (GStrvBuilder) builder = g_strv_builder_new ();

  g_return_val_if_fail (state != NULL, NULL);
  groups = g_key_file_get_groups (state->file, NULL);
  for (guint i = 0; groups[i] != NULL; i++)
    {
      g_autofree char *path = g_uri_unescape_string (groups[i], NULL);

      if (path != NULL && *path == '/')
        g_strv_builder_add (builder, path);
    }
  return g_strv_builder_end (builder);
}

static char *
get_value (TdState *state, const char *path, const char *key)
{
  g_autofree char *group = NULL;

  g_return_val_if_fail (state != NULL && path != NULL, NULL);
  group = make_group (path);
  return g_key_file_get_string (state->file, group, key, NULL);
}

static void
set_value (TdState *state, const char *path, const char *key, const char *value)
{
  g_autofree char *group = NULL;
  g_autofree char *old = get_value (state, path, key);

  g_return_if_fail (state != NULL && path != NULL);
  if (g_strcmp0 (old, value) == 0)
    return;
  group = make_group (path);
  if (value != NULL)
    g_key_file_set_string (state->file, group, key, value);
  else
    g_key_file_remove_key (state->file, group, key, NULL);
  keep (state);
}

void
td_state_add_recent (TdState *state, const char *path)
{
  g_autoptr (GKeyFile) fresh = g_key_file_new ();
  g_auto (GStrv) paths = td_state_get_recent (state);
  guint kept = 1;

  g_return_if_fail (state != NULL && path != NULL && *path == '/');
  if (paths[0] != NULL && g_str_equal (paths[0], path))
    return;
  for (int i = -1; i < 0 || (paths[i] != NULL && kept < TD_STATE_RECENT_MAX); i++)
    {
      const char *each = i < 0 ? path : paths[i];
      g_autofree char *group = make_group (each);
      g_auto (GStrv) keys = g_key_file_get_keys (state->file, group, NULL, NULL);

      if (i >= 0 && g_str_equal (each, path))
        continue;
      kept += i >= 0;
      g_key_file_set_string (fresh, group, "book", "yes");
      for (guint k = 0; keys != NULL && keys[k] != NULL; k++)
        {
          g_autofree char *value = g_key_file_get_value (state->file, group, keys[k], NULL);

          g_key_file_set_value (fresh, group, keys[k], value);
        }
    }
  g_key_file_unref (state->file);
  state->file = g_steal_pointer (&fresh);
  keep (state);
}

void
td_state_forget_recent (TdState *state, const char *path)
{
  g_autofree char *group = NULL;

  g_return_if_fail (state != NULL && path != NULL);
  group = make_group (path);
  if (g_key_file_remove_group (state->file, group, NULL))
    keep (state);
}

char *
td_state_get_place (TdState *state, const char *path)
{
  return get_value (state, path, "place");
}

void
td_state_set_place (TdState *state, const char *path, const char *place)
{
  set_value (state, path, "place", place);
}

char *
td_state_get_person (TdState *state, const char *path)
{
  return get_value (state, path, "person");
}

void
td_state_set_person (TdState *state, const char *path, const char *person)
{
  set_value (state, path, "person", person);
}
