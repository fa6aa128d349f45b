#include "list-validator.h"

struct _TdListValidator
{
  GListModel *model;
  GPtrArray *items;
  gulong handler;
  guint changes;
};

static void
check_whole (TdListValidator *self)
{
  guint n = g_list_model_get_n_items (self->model);
  GType type = g_list_model_get_item_type (self->model);

  g_assert_cmpuint (n, ==, self->items->len);
  for (guint i = 0; i < n; i++)
    {
      g_autoptr (GObject) item = g_list_model_get_item (self->model, i);

      g_assert_nonnull (item);
      g_assert_true (g_type_is_a (G_OBJECT_TYPE (item), type));
      g_assert_true ((gpointer) item == g_ptr_array_index (self->items, i));
    }
  g_assert_null (g_list_model_get_item (self->model, n));
  g_assert_null (g_list_model_get_item (self->model, G_MAXUINT));
}

static void
changed_cb (GListModel *model, guint position, guint removed, guint added, gpointer user_data)
{
  TdListValidator *self = user_data;

  self->changes++;
  g_assert_cmpuint (removed + added, >, 0);
  g_assert_cmpuint (position + removed, <=, self->items->len);
  g_assert_cmpuint (g_list_model_get_n_items (model), ==, self->items->len - removed + added);
  if (removed > 0)
    g_ptr_array_remove_range (self->items, position, removed);
  for (guint i = 0; i < added; i++)
    g_ptr_array_insert (self->items, (gint) (position + i), g_list_model_get_item (model, position + i));
  check_whole (self);
}

TdListValidator *
td_list_validator_new (GListModel *model)
{
  TdListValidator *self = g_new0 (TdListValidator, 1);

  self->model = g_object_ref (model);
  self->items = g_ptr_array_new_with_free_func (g_object_unref);
  for (guint i = 0; i < g_list_model_get_n_items (model); i++)
    g_ptr_array_add (self->items, g_list_model_get_item (model, i));
  check_whole (self);
  self->handler = g_signal_connect (model, "items-changed", G_CALLBACK (changed_cb), self);
  return self;
}

guint
td_list_validator_get_changes (TdListValidator *self)
{
  return self->changes;
}

void
td_list_validator_free (TdListValidator *self)
{
  check_whole (self);
  g_signal_handler_disconnect (self->model, self->handler);
  g_ptr_array_unref (self->items);
  g_object_unref (self->model);
  g_free (self);
}
