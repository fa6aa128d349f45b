#include "model-act.h"

#include "core-json-build.h"
#include "model-value.h"

#include <string.h>

static void
free_part (gpointer data)
{
  TdActPart *part = data;

  g_array_unref (part->outlets);
  td_json_unref (part->fields);
  g_free (part);
}

TdAct *
td_act_new (const char *key, const char *title, const char *confirm, gboolean wanted)
{
  TdAct *act = g_rc_box_new0 (TdAct);

  g_assert (key != NULL && title != NULL);
  act->key = g_strdup (key);
  act->title = g_strdup (title);
  act->confirm = g_strdup (confirm);
  act->wanted = wanted;
  act->parts = g_ptr_array_new_with_free_func (free_part);
  return act;
}

TdAct *
td_act_ref (TdAct *act)
{
  g_return_val_if_fail (act != NULL, NULL);
  return g_rc_box_acquire (act);
}

static void
clear_act (gpointer data)
{
  TdAct *act = data;

  g_free (act->key);
  g_free (act->title);
  g_free (act->detail);
  g_free (act->confirm);
  g_ptr_array_unref (act->parts);
}

void
td_act_unref (TdAct *act)
{
  if (act != NULL)
    g_rc_box_release_full (act, clear_act);
}

TdActPart *
td_act_add_part (TdAct *act, TdKind kind, int circuit, TdJson *fields)
{
  TdActPart *part = g_new0 (TdActPart, 1);

  g_assert (act != NULL && (guint) kind < TD_N_KINDS);
  part->kind = kind;
  part->circuit = circuit;
  part->outlets = g_array_new (FALSE, FALSE, sizeof (guint));
  part->fields = fields != NULL ? fields : td_fields_new (NULL, NULL);
  g_ptr_array_add (act->parts, part);
  return part;
}

TdKind
td_act_get_kind (const TdAct *act)
{
  g_return_val_if_fail (act != NULL && act->parts->len > 0, TD_KIND_NOTE);
  return ((TdActPart *) g_ptr_array_index (act->parts, 0))->kind;
}

static gboolean
holds (const GArray *outlets, guint outlet)
{
  for (guint i = 0; i < outlets->len; i++)
    if (g_array_index (outlets, guint, i) == outlet)
      return TRUE;
  return FALSE;
}

GArray *
td_act_get_outlets (const TdAct *act)
{
  GArray *all = g_array_new (FALSE, FALSE, sizeof (guint));

  g_return_val_if_fail (act != NULL, all);
  for (guint i = 0; i < act->parts->len; i++)
    {
      const TdActPart *part = g_ptr_array_index (act->parts, i);

      for (guint j = 0; j < part->outlets->len; j++)
        {
          guint outlet = g_array_index (part->outlets, guint, j);

          if (!holds (all, outlet))
            g_array_append_val (all, outlet);
        }
    }
  return all;
}

gboolean
td_act_has_exceptions (const TdAct *act)
{
  g_autoptr (GArray) outlets = td_act_get_outlets (act);

  return !act->whole && outlets->len > 1;
}

/* The part's lines that are among @chosen. */
static GArray *
cut (const TdActPart *part, const GArray *chosen)
{
  GArray *left = g_array_new (FALSE, FALSE, sizeof (guint));

  for (guint i = 0; i < part->outlets->len; i++)
    {
      guint outlet = g_array_index (part->outlets, guint, i);

      if (chosen == NULL || holds (chosen, outlet))
        g_array_append_val (left, outlet);
    }
  return left;
}

static void
add_missing (GPtrArray *all, GPtrArray *some, gboolean advice)
{
  for (guint i = 0; i < some->len;)
    {
      TdMissing *missing = g_ptr_array_index (some, i);
      gboolean known = FALSE;

      for (guint j = 0; j < all->len && !known; j++)
        known = strcmp (((TdMissing *) g_ptr_array_index (all, j))->text, missing->text) == 0;
      if (missing->advice != advice || known)
        i++;
      else
        g_ptr_array_add (all, g_ptr_array_steal_index (some, i));
    }
}

/* What an earlier entry of the same act does does not stand in the way of a later one. */
static gboolean
is_done_before (const TdAct *act, guint before, const GArray *chosen, const TdMissing *missing)
{
  for (guint i = 0; i < before; i++)
    {
      const TdActPart *part = g_ptr_array_index (act->parts, i);
      g_autoptr (GArray) outlets = cut (part, chosen);

      if (part->kind != missing->remedy)
        continue;
      if (missing->outlet < 0 || part->outlets->len == 0 || holds (outlets, (guint) missing->outlet))
        return TRUE;
    }
  return FALSE;
}

static void
leave_out_done_before (GPtrArray *missing, const TdAct *act, guint before, const GArray *chosen)
{
  for (guint i = missing->len; i > 0; i--)
    if (is_done_before (act, before, chosen, g_ptr_array_index (missing, i - 1)))
      g_ptr_array_remove_index (missing, i - 1);
}

GPtrArray *
td_act_ask_guard (const TdAct *act, const TdVisit *visit, const GArray *chosen, const char *person, gint64 now_ms)
{
  GPtrArray *all = g_ptr_array_new_with_free_func ((GDestroyNotify) td_missing_free);
  g_autoptr (GPtrArray) answers = g_ptr_array_new_with_free_func ((GDestroyNotify) g_ptr_array_unref);

  g_return_val_if_fail (act != NULL && visit != NULL, all);
  for (guint i = 0; i < act->parts->len; i++)
    {
      const TdActPart *part = g_ptr_array_index (act->parts, i);
      const TdJson *tag = td_json_get_member (part->fields, "tag");
      g_autoptr (GArray) outlets = cut (part, chosen);
      TdGuardQuestion question = { .kind = part->kind,
                                   .outlets = (const guint *) (gconstpointer) outlets->data,
                                   .n_outlets = outlets->len,
                                   .person = person,
                                   .now_ms = now_ms };

      if (part->outlets->len > 0 && outlets->len == 0)
        continue;
      if (part->outlets->len == outlets->len)
        question.circuit = part->circuit;
      if (tag != NULL && td_json_get_kind (tag) == TD_JSON_STRING)
        question.tag = td_json_get_string (tag);
      g_ptr_array_add (answers, td_guard_ask (visit, &question));
      leave_out_done_before (g_ptr_array_index (answers, answers->len - 1), act, i, chosen);
    }
  for (int advice = 0; advice < 2; advice++)
    for (guint i = 0; i < answers->len; i++)
      add_missing (all, g_ptr_array_index (answers, i), advice != 0);
  return all;
}

gboolean
td_missing_holds (const GPtrArray *missing)
{
  g_return_val_if_fail (missing != NULL, FALSE);
  for (guint i = 0; i < missing->len; i++)
    if (!((const TdMissing *) g_ptr_array_index (missing, i))->advice)
      return TRUE;
  return FALSE;
}

GPtrArray *
td_act_make_bodies (const TdAct *act, const TdVisit *visit, const GArray *chosen, GArray **kinds_out)
{
  GPtrArray *bodies = g_ptr_array_new_with_free_func ((GDestroyNotify) td_json_unref);
  GArray *kinds = g_array_new (FALSE, FALSE, sizeof (TdKind));

  g_assert (act != NULL && visit != NULL && kinds_out != NULL);
  for (guint i = 0; i < act->parts->len; i++)
    {
      const TdActPart *part = g_ptr_array_index (act->parts, i);
      g_autoptr (GArray) outlets = cut (part, chosen);
      gboolean all = outlets->len == part->outlets->len;

      if (part->outlets->len > 0 && outlets->len == 0)
        continue;
      g_ptr_array_add (bodies, td_body_make (part->kind, visit, all ? part->circuit : 0, outlets, part->fields));
      g_array_append_val (kinds, part->kind);
    }
  *kinds_out = kinds;
  return bodies;
}

const TdField *
td_kind_find_field (TdKind kind, const char *key)
{
  for (const TdField *field = td_kind_get_fields (kind); field->key != NULL; field++)
    if (strcmp (field->key, key) == 0)
      return field;
  return NULL;
}

TdJson *
td_body_make (TdKind kind, const TdVisit *visit, int circuit, const GArray *outlets, const TdJson *fields)
{
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();

  g_assert (visit != NULL);
  td_json_builder_begin_object (builder);
  for (guint i = 0; fields != NULL && i < td_json_get_length (fields); i++)
    td_json_builder_member_value (builder, td_json_get_key (fields, i), td_json_get_element (fields, i));
  if (circuit != 0 && td_kind_find_field (kind, "circuit") != NULL)
    td_json_builder_member_integer (builder, "circuit", circuit);
  else if (outlets != NULL && outlets->len > 0 && td_kind_find_field (kind, "lines") != NULL)
    {
      td_json_builder_key (builder, "lines");
      td_json_builder_begin_array (builder);
      for (guint i = 0; i < outlets->len; i++)
        td_json_builder_string (builder, visit->site->outlets[g_array_index (outlets, guint, i)].id);
      td_json_builder_end (builder);
    }
  else if (outlets != NULL && outlets->len > 0 && td_kind_find_field (kind, "line") != NULL)
    td_json_builder_member_string (builder, "line", visit->site->outlets[g_array_index (outlets, guint, 0)].id);
  td_json_builder_end (builder);
  return td_json_builder_finish (builder);
}

TdJson *
td_fields_new (const char *key, ...)
{
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();
  va_list args;

  td_json_builder_begin_object (builder);
  va_start (args, key);
  while (key != NULL)
    {
      const char *value = va_arg (args, const char *);

      if (value != NULL)
        td_json_builder_member_string (builder, key, value);
      key = va_arg (args, const char *);
    }
  va_end (args);
  td_json_builder_end (builder);
  return td_json_builder_finish (builder);
}

TdJson *
td_fields_with_integer (TdJson *fields, const char *key, gint64 value)
{
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();
  g_autoptr (TdJson) old = fields;

  td_json_builder_begin_object (builder);
  for (guint i = 0; old != NULL && i < td_json_get_length (old); i++)
    td_json_builder_member_value (builder, td_json_get_key (old, i), td_json_get_element (old, i));
  td_json_builder_member_integer (builder, key, value);
  td_json_builder_end (builder);
  return td_json_builder_finish (builder);
}

char *
td_act_say_figure (TdKind kind, const char *key, gint64 value, const TdUnitStyle *style)
{
  const TdField *field = td_kind_find_field (kind, key);
  const char *symbol;
  g_autofree char *figure = NULL;

  g_return_val_if_fail (field != NULL && style != NULL, NULL);
  symbol = td_field_get_symbol (field, style);
  figure = td_field_format (field, value, style);
  return symbol != NULL && strcmp (symbol, "pH") != 0 ? g_strdup_printf ("%s %s", figure, symbol)
                                                       : g_steal_pointer (&figure);
}

char *
td_outlets_to_title (const TdSite *site, const GArray *outlets)
{
  GString *text = g_string_new (NULL);
  guint tower = G_MAXUINT;

  g_return_val_if_fail (site != NULL && outlets != NULL, g_string_free (text, FALSE));
  for (guint i = 0; i < outlets->len; i++)
    {
      const TdOutlet *outlet = &site->outlets[g_array_index (outlets, guint, i)];

      if (outlet->tower != tower)
        g_string_append_printf (text, "%s%s ", i > 0 ? " · " : "", site->towers[outlet->tower].name);
      else
        g_string_append (text, ", ");
      tower = outlet->tower;
      if (outlet->number > 0)
        g_string_append_printf (text, "%d", outlet->number);
      else
        g_string_append (text, outlet->id);
    }
  return g_string_free (text, FALSE);
}
