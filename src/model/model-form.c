#include "model-form.h"

#include "core-json-build.h"
#include "model-form-private.h"
#include "model-i18n.h"

#include <string.h>

typedef struct
{
  char *text;
  char *read_text; /* as it stood when it was read */
  TdJson *read;    /* NULL where there was nothing */
  GListStore *items; /* of a list */
  char *error;
} Value;

typedef struct
{
  char **ids;
  char **titles;
} Choices;

struct _TdForm
{
  GObject parent_instance;
  const TdFormType *type;
  TdUnitStyle style;
  TdForm *parent; /* unowned: it holds us */
  gboolean is_new;
  TdJson *source; /* as it was read */
  gboolean touched; /* a list was changed */
  Value *values;
  char *whole_error;
  GHashTable *choices; /* of a root: refers -> Choices */
};

G_DEFINE_FINAL_TYPE (TdForm, td_form, G_TYPE_OBJECT)

enum
{
  PROP_0,
  PROP_TITLE,
  PROP_SUMMARY,
  PROP_FAULTY,
  N_PROPS
};

static GParamSpec *properties[N_PROPS];
static guint changed_signal;

static void
free_choices (gpointer data)
{
  Choices *choices = data;

  g_strfreev (choices->ids);
  g_strfreev (choices->titles);
  g_free (choices);
}

static void
tell_changed (TdForm *self)
{
  for (TdForm *form = self; form != NULL; form = form->parent)
    {
      g_object_freeze_notify (G_OBJECT (form));
      g_object_notify_by_pspec (G_OBJECT (form), properties[PROP_TITLE]);
      g_object_notify_by_pspec (G_OBJECT (form), properties[PROP_SUMMARY]);
      g_object_notify_by_pspec (G_OBJECT (form), properties[PROP_FAULTY]);
      g_object_thaw_notify (G_OBJECT (form));
      g_signal_emit (form, changed_signal, 0);
    }
}

/* The row as it stands, for its title; nothing of it is checked. */
static TdJson *
sketch (TdForm *self)
{
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();

  td_json_builder_begin_object (builder);
  for (guint i = 0; i < self->type->n_fields; i++)
    {
      const TdFormField *field = &self->type->fields[i];
      g_autoptr (GString) text = g_string_new (NULL);
      g_autoptr (TdJson) value = NULL;
      g_autofree char *loaded = td_form_make_loaded (self, i);

      if (field->kind == TD_FORM_ITEMS)
        continue;
      if (loaded != NULL)
        g_string_assign (text, loaded);
      else if (!td_form_field_parse (field, self->values[i].text, &self->style, text, NULL))
        continue;
      value = text->len > 0 ? td_json_parse (text->str, -1, NULL) : NULL;
      if (value != NULL)
        td_json_builder_member_value (builder, field->key, value);
    }
  td_json_builder_end (builder);
  return td_json_builder_finish (builder);
}

static char *
make_title (TdForm *self)
{
  g_autoptr (TdJson) json = sketch (self);
  g_autofree char *title = NULL;

  if (self->type->as_array)
    return g_strdup (self->values[0].text);
  title = td_form_type_make_title (self->type, json);
  return *title != '\0' ? g_steal_pointer (&title) : g_strdup (_ (self->type->title));
}

static gboolean
is_faulty (TdForm *self)
{
  if (self->whole_error != NULL)
    return TRUE;
  for (guint i = 0; i < self->type->n_fields; i++)
    {
      GListModel *items = G_LIST_MODEL (self->values[i].items);

      if (self->values[i].error != NULL)
        return TRUE;
      for (guint j = 0; items != NULL && j < g_list_model_get_n_items (items); j++)
        {
          g_autoptr (TdForm) item = g_list_model_get_item (items, j);

          if (is_faulty (item))
            return TRUE;
        }
    }
  return FALSE;
}

static void
td_form_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  TdForm *self = TD_FORM (object);
  g_autoptr (TdJson) json = NULL;

  switch (id)
    {
    case PROP_TITLE:
      g_value_take_string (value, make_title (self));
      break;
    case PROP_SUMMARY:
      json = sketch (self);
      g_value_take_string (value, td_form_type_make_summary (self->type, json, &self->style));
      break;
    case PROP_FAULTY:
      g_value_set_boolean (value, is_faulty (self));
      break;
    default:
      G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
    }
}

static void
td_form_finalize (GObject *object)
{
  TdForm *self = TD_FORM (object);

  for (guint i = 0; i < self->type->n_fields; i++)
    {
      Value *value = &self->values[i];

      g_free (value->text);
      g_free (value->read_text);
      g_clear_pointer (&value->read, td_json_unref);
      for (guint j = 0; value->items != NULL && j < g_list_model_get_n_items (G_LIST_MODEL (value->items)); j++)
        {
          g_autoptr (TdForm) item = g_list_model_get_item (G_LIST_MODEL (value->items), j);

          item->parent = NULL;
        }
      g_clear_object (&value->items);
      g_free (value->error);
    }
  g_free (self->values);
  g_free (self->whole_error);
  g_clear_pointer (&self->source, td_json_unref);
  g_clear_pointer (&self->choices, g_hash_table_unref);
  G_OBJECT_CLASS (td_form_parent_class)->finalize (object);
}

static void
td_form_class_init (TdFormClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);
  const GParamFlags readable = G_PARAM_READABLE | G_PARAM_STATIC_STRINGS;

  object_class->get_property = td_form_get_property;
  object_class->finalize = td_form_finalize;
  properties[PROP_TITLE] = g_param_spec_string ("title", NULL, NULL, NULL, readable);
  properties[PROP_SUMMARY] = g_param_spec_string ("summary", NULL, NULL, NULL, readable);
  properties[PROP_FAULTY] = g_param_spec_boolean ("faulty", NULL, NULL, FALSE, readable);
  g_object_class_install_properties (object_class, N_PROPS, properties);
  changed_signal = g_signal_new ("changed", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL,
                                 G_TYPE_NONE, 0);
}

static void
td_form_init (TdForm *self)
{
}

static void
load_items (TdForm *self, guint i, const TdJson *array)
{
  for (guint j = 0; array != NULL && j < td_json_get_length (array); j++)
    {
      TdForm *item = td_form_new (self->type->fields[i].items, td_json_get_element (array, j), &self->style);

      item->parent = self;
      g_list_store_append (self->values[i].items, item);
      g_object_unref (item);
    }
}

TdForm *
td_form_new (const TdFormType *type, const TdJson *json, const TdUnitStyle *style)
{
  TdForm *self = g_object_new (TD_TYPE_FORM, NULL);

  g_assert (type != NULL && style != NULL);
  self->type = type;
  self->style = *style;
  self->is_new = json == NULL;
  self->source = json != NULL ? td_json_ref ((TdJson *) json) : NULL;
  self->values = g_new0 (Value, type->n_fields);
  for (guint i = 0; i < type->n_fields; i++)
    {
      const TdFormField *field = &type->fields[i];
      Value *value = &self->values[i];
      const TdJson *read = json != NULL && type->as_array ? td_json_get_element (json, i)
                                                          : td_form_find_value (json, field->key);

      value->read = read != NULL ? td_json_ref ((TdJson *) read) : NULL;
      if (field->kind == TD_FORM_ITEMS)
        {
          value->items = g_list_store_new (TD_TYPE_FORM);
          value->text = g_strdup ("");
          load_items (self, i, read);
          continue;
        }
      value->text = td_form_field_format (field, read, style);
      value->read_text = g_strdup (value->text);
    }
  return self;
}

const TdFormType *
td_form_get_form_type (TdForm *self)
{
  g_return_val_if_fail (TD_IS_FORM (self), NULL);
  return self->type;
}

TdForm *
td_form_get_parent (TdForm *self)
{
  g_return_val_if_fail (TD_IS_FORM (self), NULL);
  return self->parent;
}

TdForm *
td_form_get_root (TdForm *self)
{
  g_return_val_if_fail (TD_IS_FORM (self), NULL);
  while (self->parent != NULL)
    self = self->parent;
  return self;
}

gboolean
td_form_is_new (TdForm *self)
{
  g_return_val_if_fail (TD_IS_FORM (self), FALSE);
  return self->is_new;
}

gboolean
td_form_is_changed (TdForm *self)
{
  g_return_val_if_fail (TD_IS_FORM (self), FALSE);
  if (self->touched)
    return TRUE;
  for (guint i = 0; i < self->type->n_fields; i++)
    {
      GListModel *items = G_LIST_MODEL (self->values[i].items);

      if (items == NULL && strcmp (self->values[i].text, self->values[i].read_text) != 0)
        return TRUE;
      for (guint j = 0; items != NULL && j < g_list_model_get_n_items (items); j++)
        {
          g_autoptr (TdForm) item = g_list_model_get_item (items, j);

          if (td_form_is_changed (item))
            return TRUE;
        }
    }
  return FALSE;
}

const char *
td_form_get_text (TdForm *self, guint field)
{
  g_return_val_if_fail (TD_IS_FORM (self) && field < self->type->n_fields, NULL);
  return self->values[field].text;
}

void
td_form_set_text (TdForm *self, guint field, const char *text)
{
  g_return_if_fail (TD_IS_FORM (self) && field < self->type->n_fields && text != NULL);
  if (strcmp (self->values[field].text, text) == 0)
    return;
  g_free (self->values[field].text);
  self->values[field].text = g_strdup (text);
  g_clear_pointer (&self->values[field].error, g_free);
  g_clear_pointer (&self->whole_error, g_free);
  tell_changed (self);
}

const char *
td_form_get_error (TdForm *self, guint field)
{
  g_return_val_if_fail (TD_IS_FORM (self) && field < self->type->n_fields, NULL);
  return self->values[field].error;
}

const char *
td_form_get_whole_error (TdForm *self)
{
  g_return_val_if_fail (TD_IS_FORM (self), NULL);
  return self->whole_error;
}

void
td_form_set_error (TdForm *self, int field, const char *message)
{
  char **at = field >= 0 ? &self->values[field].error : &self->whole_error;

  g_free (*at);
  *at = g_strdup (message);
  tell_changed (self);
}

void
td_form_clear_errors (TdForm *self)
{
  g_clear_pointer (&self->whole_error, g_free);
  for (guint i = 0; i < self->type->n_fields; i++)
    {
      GListModel *items = G_LIST_MODEL (self->values[i].items);

      g_clear_pointer (&self->values[i].error, g_free);
      for (guint j = 0; items != NULL && j < g_list_model_get_n_items (items); j++)
        {
          g_autoptr (TdForm) item = g_list_model_get_item (items, j);

          td_form_clear_errors (item);
        }
    }
  tell_changed (self);
}

const TdJson *
td_form_get_source (TdForm *self)
{
  return self->source;
}

const TdUnitStyle *
td_form_get_style (TdForm *self)
{
  return &self->style;
}

char *
td_form_make_loaded (TdForm *self, guint field)
{
  Value *value = &self->values[field];

  if (value->read == NULL || value->items != NULL || strcmp (value->text, value->read_text) != 0)
    return NULL;
  return td_json_to_text (value->read, FALSE);
}

GListModel *
td_form_get_items (TdForm *self, guint field)
{
  g_return_val_if_fail (TD_IS_FORM (self) && field < self->type->n_fields, NULL);
  return G_LIST_MODEL (self->values[field].items);
}

/* "L3" where L1 and L2 are taken anywhere in the form. */
static gboolean
is_taken (TdForm *form, const char *id)
{
  int key = td_form_type_find (form->type, "id");

  if (key >= 0 && strcmp (form->values[key].text, id) == 0)
    return TRUE;
  for (guint i = 0; i < form->type->n_fields; i++)
    {
      GListModel *items = G_LIST_MODEL (form->values[i].items);

      for (guint j = 0; items != NULL && j < g_list_model_get_n_items (items); j++)
        {
          g_autoptr (TdForm) item = g_list_model_get_item (items, j);

          if (is_taken (item, id))
            return TRUE;
        }
    }
  return FALSE;
}

static void
propose_id (TdForm *item)
{
  int key = td_form_type_find (item->type, "id");
  TdForm *root = td_form_get_root (item);

  for (guint n = 1; key >= 0 && item->type->prefix != NULL; n++)
    {
      g_autofree char *id = g_strdup_printf ("%s%u", item->type->prefix, n);

      if (is_taken (root, id))
        continue;
      g_free (item->values[key].text);
      item->values[key].text = g_steal_pointer (&id);
      return;
    }
}

TdForm *
td_form_add_item (TdForm *self, guint field)
{
  TdForm *item;

  g_return_val_if_fail (TD_IS_FORM (self) && field < self->type->n_fields, NULL);
  g_return_val_if_fail (self->values[field].items != NULL, NULL);
  item = td_form_new (self->type->fields[field].items, NULL, &self->style);
  item->parent = self;
  propose_id (item);
  self->touched = TRUE;
  g_list_store_append (self->values[field].items, item);
  g_object_unref (item);
  tell_changed (self);
  return item;
}

void
td_form_remove_item (TdForm *self, guint field, guint position)
{
  g_autoptr (TdForm) item = NULL;

  g_return_if_fail (TD_IS_FORM (self) && field < self->type->n_fields);
  item = g_list_model_get_item (G_LIST_MODEL (self->values[field].items), position);
  g_return_if_fail (item != NULL);
  item->parent = NULL;
  self->touched = TRUE;
  g_list_store_remove (self->values[field].items, position);
  g_clear_pointer (&self->values[field].error, g_free);
  g_clear_pointer (&self->whole_error, g_free);
  tell_changed (self);
}

void
td_form_move_item (TdForm *self, guint field, guint position, int by)
{
  GListStore *items = self->values[field].items;
  guint n = g_list_model_get_n_items (G_LIST_MODEL (items));
  g_autoptr (TdForm) item = g_list_model_get_item (G_LIST_MODEL (items), position);

  g_return_if_fail (item != NULL && (by == 1 || by == -1));
  if ((by < 0 && position == 0) || (by > 0 && position + 1 >= n))
    return;
  self->touched = TRUE;
  g_list_store_remove (items, position);
  g_list_store_insert (items, (guint) ((int) position + by), item);
  tell_changed (self);
}

char **
td_form_list_choices (TdForm *self, guint field, char ***titles_out)
{
  const char *refers = self->type->fields[field].refers;
  TdForm *root = td_form_get_root (self);
  int list = refers != NULL ? td_form_type_find (root->type, refers) : -1;
  Choices *choices = root->choices != NULL && refers != NULL ? g_hash_table_lookup (root->choices, refers) : NULL;
  GStrvBuilder *ids = g_strv_builder_new (), *titles = g_strv_builder_new ();
  char **result;

  if (list >= 0 && root->values[list].items != NULL)
    for (guint i = 0; i < g_list_model_get_n_items (G_LIST_MODEL (root->values[list].items)); i++)
      {
        g_autoptr (TdForm) item = g_list_model_get_item (G_LIST_MODEL (root->values[list].items), i);
        g_autofree char *title = make_title (item);
        int key = td_form_type_find (item->type, "id");

        g_strv_builder_add (ids, item->values[key].text);
        g_strv_builder_add (titles, title);
      }
  else if (choices != NULL)
    {
      g_strv_builder_addv (ids, (const char **) choices->ids);
      g_strv_builder_addv (titles, (const char **) choices->titles);
    }
  *titles_out = g_strv_builder_end (titles);
  result = g_strv_builder_end (ids);
  g_strv_builder_unref (ids);
  g_strv_builder_unref (titles);
  return result;
}

void
td_form_set_choices (TdForm *root, const char *refers, const char *const *ids, const char *const *titles)
{
  Choices *choices = g_new0 (Choices, 1);

  g_return_if_fail (TD_IS_FORM (root) && refers != NULL && ids != NULL && titles != NULL);
  if (root->choices == NULL)
    root->choices = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, free_choices);
  choices->ids = g_strdupv ((char **) ids);
  choices->titles = g_strdupv ((char **) titles);
  g_hash_table_replace (root->choices, g_strdup (refers), choices);
  tell_changed (root);
}

void
td_form_apply_preset (TdForm *self, const TdFormPreset *preset)
{
  g_autoptr (TdJson) json = NULL;

  g_return_if_fail (TD_IS_FORM (self) && preset != NULL);
  json = td_json_parse (preset->values, -1, NULL);
  g_return_if_fail (json != NULL);
  for (guint i = 0; i < self->type->n_fields; i++)
    {
      const TdJson *value = td_form_find_value (json, self->type->fields[i].key);
      g_autofree char *text = td_form_field_format (&self->type->fields[i], value, &self->style);

      if (value != NULL)
        td_form_set_text (self, i, text);
    }
}
