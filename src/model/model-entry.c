#include "model-entry.h"

struct _TdEntryItem
{
  GObject parent;
  TdVisit *visit;
  guint index; /* into the visit's entries */
  gboolean corrected;
};

G_DEFINE_FINAL_TYPE (TdEntryItem, td_entry_item, G_TYPE_OBJECT)

enum
{
  PROP_0,
  PROP_SEQ,
  PROP_KIND,
  PROP_TITLE,
  PROP_PERSON,
  PROP_CLOCK,
  PROP_DATE,
  PROP_LATE_S,
  PROP_CORRECTED,
  PROP_VOIDED,
  N_PROPS
};

static GParamSpec *properties[N_PROPS];

/* As it stands: corrected; as written where it was voided. */
static const TdEntry *
get_entry (TdEntryItem *self)
{
  const TdEntry *effective = g_ptr_array_index (self->visit->effective, self->index);

  return effective != NULL ? effective : g_ptr_array_index (self->visit->entries, self->index);
}

static gint64
get_late_s (TdEntryItem *self, const TdEntry *entry)
{
  gint64 late_s = (entry->envelope.recorded_ms - entry->envelope.happened.utc_ms) / 1000;

  return late_s > td_settings_get (self->visit->settings, TD_SETTING_LATE_ENTRY) ? late_s : 0;
}

static void
get_words (TdEntryItem *self, guint id, GValue *value)
{
  const TdEntry *entry = get_entry (self);

  if (id == PROP_KIND)
    g_value_set_static_string (value, td_kind_get_code (entry->envelope.kind));
  else if (id == PROP_TITLE)
    g_value_set_static_string (value, td_kind_get_text (entry->envelope.kind));
  else if (id == PROP_PERSON)
    g_value_set_string (value, td_visit_get_person_name (self->visit, entry->envelope.person));
  else
    g_value_take_string (value, td_moment_to_clock (&entry->envelope.happened, FALSE));
}

static void
td_entry_item_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  TdEntryItem *self = TD_ENTRY_ITEM (object);
  const TdEntry *entry = get_entry (self);

  switch (id)
    {
    case PROP_KIND:
    case PROP_TITLE:
    case PROP_PERSON:
    case PROP_CLOCK:
      get_words (self, id, value);
      break;
    case PROP_SEQ:
      g_value_set_uint (value, entry->envelope.seq);
      break;
    case PROP_DATE:
      g_value_set_int (value, td_moment_get_date (&entry->envelope.happened));
      break;
    case PROP_LATE_S:
      g_value_set_int64 (value, get_late_s (self, entry));
      break;
    case PROP_CORRECTED:
      g_value_set_boolean (value, self->corrected);
      break;
    case PROP_VOIDED:
      g_value_set_boolean (value, g_ptr_array_index (self->visit->effective, self->index) == NULL);
      break;
    default:
      G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
    }
}

static void
td_entry_item_finalize (GObject *object)
{
  TdEntryItem *self = TD_ENTRY_ITEM (object);

  g_clear_pointer (&self->visit, td_visit_unref);
  G_OBJECT_CLASS (td_entry_item_parent_class)->finalize (object);
}

static void
td_entry_item_class_init (TdEntryItemClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);
  const GParamFlags flags = G_PARAM_READABLE | G_PARAM_STATIC_STRINGS;

  object_class->get_property = td_entry_item_get_property;
  object_class->finalize = td_entry_item_finalize;
  properties[PROP_SEQ] = g_param_spec_uint ("seq", NULL, NULL, 0, G_MAXUINT, 0, flags);
  properties[PROP_KIND] = g_param_spec_string ("kind", NULL, NULL, NULL, flags);
  properties[PROP_TITLE] = g_param_spec_string ("title", NULL, NULL, NULL, flags);
  properties[PROP_PERSON] = g_param_spec_string ("person", NULL, NULL, NULL, flags);
  properties[PROP_CLOCK] = g_param_spec_string ("clock", NULL, NULL, NULL, flags);
  properties[PROP_DATE] = g_param_spec_int ("date", NULL, NULL, G_MININT, G_MAXINT, TD_DATE_NONE, flags);
  properties[PROP_LATE_S] = g_param_spec_int64 ("late-s", NULL, NULL, 0, G_MAXINT64, 0, flags);
  properties[PROP_CORRECTED] = g_param_spec_boolean ("corrected", NULL, NULL, FALSE, flags);
  properties[PROP_VOIDED] = g_param_spec_boolean ("voided", NULL, NULL, FALSE, flags);
  g_object_class_install_properties (object_class, N_PROPS, properties);
}

static void
td_entry_item_init (TdEntryItem *self)
{
}

guint
td_entry_item_get_seq (TdEntryItem *self)
{
  g_return_val_if_fail (TD_IS_ENTRY_ITEM (self), 0);
  return get_entry (self)->envelope.seq;
}

const TdEntry *
td_entry_item_get_entry (TdEntryItem *self)
{
  g_return_val_if_fail (TD_IS_ENTRY_ITEM (self), NULL);
  return get_entry (self);
}

const TdVisit *
td_entry_item_get_visit (TdEntryItem *self)
{
  g_return_val_if_fail (TD_IS_ENTRY_ITEM (self), NULL);
  return self->visit;
}

/* TRUE for each index whose entry a correction has changed. */
static gboolean *
find_corrected (const TdVisit *visit)
{
  gboolean *corrected = g_new0 (gboolean, visit->entries->len + 1);

  for (guint i = 0; i < visit->corrections->len; i++)
    {
      const TdCorrection *correction = &g_array_index (visit->corrections, TdCorrection, i);

      if (correction->of >= 1 && correction->of <= visit->entries->len)
        corrected[correction->of - 1] = TRUE;
    }
  return corrected;
}

GListStore *
td_entry_list_new (TdVisit *visit)
{
  GListStore *store = g_list_store_new (TD_TYPE_ENTRY_ITEM);
  g_autofree gboolean *corrected = NULL;
  g_autoptr (GPtrArray) items = g_ptr_array_new_with_free_func (g_object_unref);

  g_return_val_if_fail (visit != NULL, store);
  corrected = find_corrected (visit);
  for (guint i = visit->entries->len; i-- > 0;)
    {
      TdEntryItem *item = g_object_new (TD_TYPE_ENTRY_ITEM, NULL);

      item->visit = td_visit_ref (visit);
      item->index = i;
      item->corrected = corrected[i];
      g_ptr_array_add (items, item);
    }
  g_list_store_splice (store, 0, 0, items->pdata, items->len);
  return store;
}
