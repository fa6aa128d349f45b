#include "model-habit.h"

#include <string.h>

/* More words than one can choose from at a glance are of no use. */
#define WORDS_MAX 12

typedef struct
{
  char *tower; /* id */
  char *name;
} Told;

typedef struct
{
  TdKind kind;
  const char *key; /* static */
  char *word;
} Word;

struct _TdHabits
{
  GArray *told;  /* Told, newest first */
  GArray *words; /* Word */
  GPtrArray *parts; /* char *: of the price list */
  GPtrArray *fitted; /* char * */
};

/* Choices that stay the same from visit to visit. */
static const struct
{
  TdKind kind;
  const char *key;
} kept[] = {
  { TD_KIND_STRENGTH_MEASURED, "method" },
  { TD_KIND_SOLUTION_DISPOSED, "drain" },
};

static void
clear_told (gpointer data)
{
  Told *told = data;

  g_free (told->tower);
  g_free (told->name);
}

static void
clear_word (gpointer data)
{
  g_free (((Word *) data)->word);
}

TdHabits *
td_habits_new (void)
{
  TdHabits *habits = g_atomic_rc_box_new0 (TdHabits);

  habits->told = g_array_new (FALSE, FALSE, sizeof (Told));
  habits->words = g_array_new (FALSE, FALSE, sizeof (Word));
  habits->parts = g_ptr_array_new_with_free_func (g_free);
  habits->fitted = g_ptr_array_new_with_free_func (g_free);
  g_array_set_clear_func (habits->told, clear_told);
  g_array_set_clear_func (habits->words, clear_word);
  return habits;
}

TdHabits *
td_habits_ref (TdHabits *habits)
{
  g_return_val_if_fail (habits != NULL, NULL);
  return g_atomic_rc_box_acquire (habits);
}

static void
clear_habits (gpointer data)
{
  TdHabits *habits = data;

  g_array_unref (habits->told);
  g_array_unref (habits->words);
  g_ptr_array_unref (habits->parts);
  g_ptr_array_unref (habits->fitted);
}

void
td_habits_unref (TdHabits *habits)
{
  if (habits != NULL)
    g_atomic_rc_box_release_full (habits, clear_habits);
}

static gboolean
knows (const TdHabits *habits, const char *tower, const char *name)
{
  for (guint i = 0; i < habits->told->len; i++)
    {
      const Told *told = &g_array_index (habits->told, Told, i);

      if (strcmp (told->tower, tower) == 0 && strcmp (told->name, name) == 0)
        return TRUE;
    }
  return FALSE;
}

static void
learn_word (TdHabits *habits, const TdVisit *visit, TdKind kind, const char *key)
{
  Word word = { kind, key, NULL };

  if (td_habits_find_word (habits, kind, key) != NULL)
    return;
  for (guint i = visit->effective->len; i > 0; i--)
    {
      const TdEntry *entry = g_ptr_array_index (visit->effective, i - 1);
      const TdJson *value = entry != NULL && entry->envelope.kind == kind ? td_json_get_member (entry->body, key) : NULL;

      if (value == NULL || td_json_get_kind (value) != TD_JSON_STRING)
        continue;
      word.word = g_strdup (td_json_get_string (value));
      g_array_append_val (habits->words, word);
      return;
    }
}

void
td_habits_learn (TdHabits *habits, const TdVisit *visit)
{
  g_return_if_fail (habits != NULL && visit != NULL);
  for (guint i = visit->staff->len; i > 0; i--)
    {
      const TdCheck *check = &g_array_index (visit->staff, TdCheck, i - 1);
      const char *tower = visit->site->towers[check->place].id;
      Told told;

      if (check->name == NULL || knows (habits, tower, check->name))
        continue;
      told.tower = g_strdup (tower);
      told.name = g_strdup (check->name);
      g_array_append_val (habits->told, told);
    }
  for (guint i = 0; i < visit->parts->len; i++)
    g_ptr_array_add (habits->fitted, g_strdup (g_array_index (visit->parts, TdPart, i).part));
  for (gsize i = 0; i < G_N_ELEMENTS (kept); i++)
    learn_word (habits, visit, kept[i].kind, kept[i].key);
}

void
td_habits_offer_part (TdHabits *habits, const char *part)
{
  g_return_if_fail (habits != NULL && part != NULL);
  g_ptr_array_add (habits->parts, g_strdup (part));
}

static void
add_name (GPtrArray *names, const char *name)
{
  for (guint i = 0; i < names->len; i++)
    if (strcmp (g_ptr_array_index (names, i), name) == 0)
      return;
  if (names->len < WORDS_MAX)
    g_ptr_array_add (names, g_strdup (name));
}

char **
td_habits_get_names (const TdHabits *habits, const TdVisit *visit, const char *tower)
{
  GPtrArray *names = g_ptr_array_new ();

  for (guint i = visit != NULL ? visit->staff->len : 0; i > 0; i--)
    {
      const char *name = g_array_index (visit->staff, TdCheck, i - 1).name;

      if (name != NULL)
        add_name (names, name);
    }
  for (int own = 1; habits != NULL && own >= 0; own--)
    for (guint i = 0; i < habits->told->len; i++)
      {
        const Told *told = &g_array_index (habits->told, Told, i);

        if (own == 0 || (tower != NULL && strcmp (told->tower, tower) == 0))
          add_name (names, told->name);
      }
  g_ptr_array_add (names, NULL);
  return (char **) g_ptr_array_free (names, FALSE);
}

char **
td_habits_get_parts (const TdHabits *habits)
{
  GPtrArray *names = g_ptr_array_new ();

  for (guint i = 0; habits != NULL && i < habits->parts->len; i++)
    add_name (names, g_ptr_array_index (habits->parts, i));
  for (guint i = 0; habits != NULL && i < habits->fitted->len; i++)
    add_name (names, g_ptr_array_index (habits->fitted, i));
  g_ptr_array_add (names, NULL);
  return (char **) g_ptr_array_free (names, FALSE);
}

char **
td_habits_suggest (const TdHabits *habits, const TdVisit *visit, TdKind kind, const char *key, const TdJson *body)
{
  const TdJson *tower = body != NULL ? td_json_get_member (body, "tower") : NULL;
  gboolean named = (strcmp (key, "name") == 0 && (kind == TD_KIND_STAFF_TOLD || kind == TD_KIND_COUNTERSIGNATURE))
                   || strcmp (key, "handed_to") == 0;

  g_return_val_if_fail (key != NULL, NULL);
  if (named)
    return td_habits_get_names (habits, kind == TD_KIND_STAFF_TOLD ? NULL : visit,
                                tower != NULL ? td_json_get_string (tower) : NULL);
  if (kind == TD_KIND_PART_FITTED && strcmp (key, "part") == 0)
    return td_habits_get_parts (habits);
  return g_new0 (char *, 1);
}

const char *
td_habits_find_name (const TdHabits *habits, const char *tower)
{
  g_return_val_if_fail (tower != NULL, NULL);
  for (guint i = 0; habits != NULL && i < habits->told->len; i++)
    {
      const Told *told = &g_array_index (habits->told, Told, i);

      if (strcmp (told->tower, tower) == 0)
        return told->name;
    }
  return NULL;
}

const char *
td_habits_find_word (const TdHabits *habits, TdKind kind, const char *key)
{
  g_return_val_if_fail (key != NULL, NULL);
  for (guint i = 0; habits != NULL && i < habits->words->len; i++)
    {
      const Word *word = &g_array_index (habits->words, Word, i);

      if (word->kind == kind && strcmp (word->key, key) == 0)
        return word->word;
    }
  return NULL;
}
