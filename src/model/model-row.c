#include "model-row.h"

typedef struct
{
  gint64 key;
  gpointer value;
} TdRowPrivate;

G_DEFINE_ABSTRACT_TYPE_WITH_PRIVATE (TdRow, td_row, G_TYPE_OBJECT)

enum
{
  PROP_0,
  PROP_KEY,
  PROP_LOADED,
  N_PROPS
};

static GParamSpec *properties[N_PROPS];

static void
td_row_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  TdRowPrivate *priv = td_row_get_instance_private (TD_ROW (object));

  if (id == PROP_KEY)
    g_value_set_int64 (value, priv->key);
  else if (id == PROP_LOADED)
    g_value_set_boolean (value, priv->value != NULL);
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
td_row_set_property (GObject *object, guint id, const GValue *value, GParamSpec *pspec)
{
  TdRowPrivate *priv = td_row_get_instance_private (TD_ROW (object));

  if (id == PROP_KEY)
    priv->key = g_value_get_int64 (value);
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
td_row_finalize (GObject *object)
{
  TdRowPrivate *priv = td_row_get_instance_private (TD_ROW (object));

  if (priv->value != NULL)
    TD_ROW_GET_CLASS (object)->unref_value (g_steal_pointer (&priv->value));
  G_OBJECT_CLASS (td_row_parent_class)->finalize (object);
}

static void
td_row_class_init (TdRowClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);

  object_class->get_property = td_row_get_property;
  object_class->set_property = td_row_set_property;
  object_class->finalize = td_row_finalize;
  properties[PROP_KEY]
    = g_param_spec_int64 ("key", NULL, NULL, G_MININT64, G_MAXINT64, 0,
                          G_PARAM_READWRITE | G_PARAM_CONSTRUCT_ONLY | G_PARAM_STATIC_STRINGS);
  properties[PROP_LOADED]
    = g_param_spec_boolean ("loaded", NULL, NULL, FALSE, G_PARAM_READABLE | G_PARAM_STATIC_STRINGS);
  g_object_class_install_properties (object_class, N_PROPS, properties);
}

static void
td_row_init (TdRow *self)
{
}

void
td_row_class_install (TdRowClass *klass, GParamSpec **values, guint n_values)
{
  g_return_if_fail (klass->ref_value != NULL && klass->unref_value != NULL);
  g_object_class_install_properties (G_OBJECT_CLASS (klass), n_values, values);
  klass->values = values;
  klass->n_values = n_values;
}

gint64
td_row_get_key (TdRow *self)
{
  TdRowPrivate *priv = td_row_get_instance_private (self);

  g_return_val_if_fail (TD_IS_ROW (self), 0);
  return priv->key;
}

gpointer
td_row_get_value (TdRow *self)
{
  TdRowPrivate *priv = td_row_get_instance_private (self);

  g_return_val_if_fail (TD_IS_ROW (self), NULL);
  return priv->value;
}

void
td_row_set_value (TdRow *self, gpointer value)
{
  TdRowPrivate *priv = td_row_get_instance_private (self);
  TdRowClass *klass = TD_ROW_GET_CLASS (self);
  gboolean was_empty = priv->value == NULL;
  gpointer old = priv->value;

  g_return_if_fail (TD_IS_ROW (self));
  g_return_if_fail (value != NULL);
  if (old == value)
    return;
  priv->value = klass->ref_value (value);
  if (old != NULL)
    klass->unref_value (old);
  g_object_freeze_notify (G_OBJECT (self));
  for (guint i = 1; i < klass->n_values; i++)
    g_object_notify_by_pspec (G_OBJECT (self), klass->values[i]);
  if (was_empty)
    g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_LOADED]);
  g_object_thaw_notify (G_OBJECT (self));
}
