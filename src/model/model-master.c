#include "model-master.h"

#include "core-interval.h"
#include "model-i18n.h"

#include <string.h>

struct _TdMasterItem
{
  GObject parent_instance;
  char *id;
  guint rev;
  gboolean retired;
  TdJson *json;
  char *title, *summary, *warning;
  gboolean late;
  char *folded; /* for the search */
};

G_DEFINE_FINAL_TYPE (TdMasterItem, td_master_item, G_TYPE_OBJECT)

enum
{
  PROP_0,
  PROP_TITLE,
  PROP_SUMMARY,
  PROP_RETIRED,
  PROP_WARNING,
  PROP_LATE,
  N_PROPS
};

static GParamSpec *properties[N_PROPS];

static void
td_master_item_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  TdMasterItem *self = TD_MASTER_ITEM (object);

  switch (id)
    {
    case PROP_TITLE:
      g_value_set_string (value, self->title);
      break;
    case PROP_SUMMARY:
      g_value_set_string (value, self->summary);
      break;
    case PROP_RETIRED:
      g_value_set_boolean (value, self->retired);
      break;
    case PROP_WARNING:
      g_value_set_string (value, self->warning);
      break;
    case PROP_LATE:
      g_value_set_boolean (value, self->late);
      break;
    default:
      G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
    }
}

static void
td_master_item_finalize (GObject *object)
{
  TdMasterItem *self = TD_MASTER_ITEM (object);

  g_free (self->id);
  g_clear_pointer (&self->json, td_json_unref);
  g_free (self->title);
  g_free (self->summary);
  g_free (self->warning);
  g_free (self->folded);
  G_OBJECT_CLASS (td_master_item_parent_class)->finalize (object);
}

static void
td_master_item_class_init (TdMasterItemClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);
  const GParamFlags readable = G_PARAM_READABLE | G_PARAM_STATIC_STRINGS;

  object_class->get_property = td_master_item_get_property;
  object_class->finalize = td_master_item_finalize;
  properties[PROP_TITLE] = g_param_spec_string ("title", NULL, NULL, NULL, readable);
  properties[PROP_SUMMARY] = g_param_spec_string ("summary", NULL, NULL, NULL, readable);
  properties[PROP_RETIRED] = g_param_spec_boolean ("retired", NULL, NULL, FALSE, readable);
  properties[PROP_WARNING] = g_param_spec_string ("warning", NULL, NULL, NULL, readable);
  properties[PROP_LATE] = g_param_spec_boolean ("late", NULL, NULL, FALSE, readable);
  g_object_class_install_properties (object_class, N_PROPS, properties);
}

static void
td_master_item_init (TdMasterItem *self)
{
}

/* What runs out: a certificate, a calibration, a lot. */
static TdDate
find_end (const TdJson *json)
{
  static const char *const keys[] = { "certificate_expiry", "calibration_due", "expiry" };
  TdDate end = TD_DATE_NONE;

  for (gsize i = 0; i < G_N_ELEMENTS (keys); i++)
    {
      const TdJson *value = td_form_find_value (json, keys[i]);

      if (value != NULL && td_json_get_kind (value) == TD_JSON_STRING)
        td_date_parse (td_json_get_string (value), &end, NULL);
    }
  return end;
}

static void
warn (TdMasterItem *self, TdDate today)
{
  TdDate end = find_end (self->json);
  int days;

  if (end == TD_DATE_NONE || self->retired)
    return;
  days = -td_date_get_days_late (end, today);
  self->late = days < 0;
  if (days < 0)
    self->warning = g_strdup_printf (_ ("Ran out %d days ago"), -days);
  else if (days == 0)
    self->warning = g_strdup (_ ("Runs out today"));
  else if (days <= TD_MASTER_WARN_DAYS)
    self->warning = g_strdup_printf (_ ("Runs out in %d days"), days);
}

TdMasterItem *
td_master_item_new (const TdFormType *type, const char *id, guint rev, gboolean retired, TdJson *json, TdDate today,
                    const TdUnitStyle *style)
{
  TdMasterItem *self = g_object_new (TD_TYPE_MASTER_ITEM, NULL);
  g_autofree char *all = NULL;

  g_assert (type != NULL && id != NULL && json != NULL && style != NULL);
  self->id = g_strdup (id);
  self->rev = rev;
  self->retired = retired;
  self->json = td_json_ref (json);
  self->title = td_form_type_make_title (type, json);
  self->summary = td_form_type_make_summary (type, json, style);
  all = g_strjoin ("\n", self->title, self->summary, id, NULL);
  self->folded = g_utf8_casefold (all, -1);
  warn (self, today);
  return self;
}

const char *
td_master_item_get_id (TdMasterItem *self)
{
  g_return_val_if_fail (TD_IS_MASTER_ITEM (self), NULL);
  return self->id;
}

guint
td_master_item_get_rev (TdMasterItem *self)
{
  g_return_val_if_fail (TD_IS_MASTER_ITEM (self), 0);
  return self->rev;
}

gboolean
td_master_item_get_retired (TdMasterItem *self)
{
  g_return_val_if_fail (TD_IS_MASTER_ITEM (self), FALSE);
  return self->retired;
}

TdJson *
td_master_item_get_json (TdMasterItem *self)
{
  g_return_val_if_fail (TD_IS_MASTER_ITEM (self), NULL);
  return self->json;
}

gboolean
td_master_item_matches (TdMasterItem *self, const char *search)
{
  g_autofree char *folded = NULL;
  g_auto (GStrv) words = NULL;

  g_return_val_if_fail (TD_IS_MASTER_ITEM (self) && search != NULL, FALSE);
  folded = g_utf8_casefold (search, -1);
  words = g_strsplit_set (folded, " \t", -1);
  for (guint i = 0; words[i] != NULL; i++)
    if (strstr (self->folded, words[i]) == NULL)
      return FALSE;
  return TRUE;
}
