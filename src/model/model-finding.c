#include "model-finding.h"

struct _TdFindingItem
{
  GObject parent;
  TdSeverity severity;
  const char *code;
  char *text;
  char *place;
  char *reason;
  int outlet;
  int circuit;
};

G_DEFINE_FINAL_TYPE (TdFindingItem, td_finding_item, G_TYPE_OBJECT)

enum
{
  PROP_0,
  PROP_SEVERITY,
  PROP_TEXT,
  PROP_PLACE,
  PROP_CODE,
  PROP_REASON,
  PROP_OUTLET,
  PROP_CIRCUIT,
  N_PROPS
};

static GParamSpec *properties[N_PROPS];

static void
td_finding_item_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  TdFindingItem *self = TD_FINDING_ITEM (object);

  switch (id)
    {
    case PROP_SEVERITY:
      g_value_set_int (value, (int) self->severity);
      break;
    case PROP_TEXT:
      g_value_set_string (value, self->text);
      break;
    case PROP_PLACE:
      g_value_set_string (value, self->place);
      break;
    case PROP_CODE:
      g_value_set_static_string (value, self->code);
      break;
    case PROP_REASON:
      g_value_set_string (value, self->reason);
      break;
    case PROP_OUTLET:
      g_value_set_int (value, self->outlet);
      break;
    case PROP_CIRCUIT:
      g_value_set_int (value, self->circuit);
      break;
    default:
      G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
    }
}

static void
td_finding_item_finalize (GObject *object)
{
  TdFindingItem *self = TD_FINDING_ITEM (object);

  g_free (self->text);
  g_free (self->place);
  g_free (self->reason);
  G_OBJECT_CLASS (td_finding_item_parent_class)->finalize (object);
}

static void
td_finding_item_class_init (TdFindingItemClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);
  const GParamFlags flags = G_PARAM_READABLE | G_PARAM_STATIC_STRINGS;

  object_class->get_property = td_finding_item_get_property;
  object_class->finalize = td_finding_item_finalize;
  properties[PROP_SEVERITY]
    = g_param_spec_int ("severity", NULL, NULL, TD_SEVERITY_STOP, TD_SEVERITY_ADVICE, TD_SEVERITY_STOP, flags);
  properties[PROP_TEXT] = g_param_spec_string ("text", NULL, NULL, NULL, flags);
  properties[PROP_PLACE] = g_param_spec_string ("place", NULL, NULL, NULL, flags);
  properties[PROP_CODE] = g_param_spec_string ("code", NULL, NULL, NULL, flags);
  properties[PROP_REASON] = g_param_spec_string ("reason", NULL, NULL, NULL, flags);
  properties[PROP_OUTLET] = g_param_spec_int ("outlet", NULL, NULL, -1, G_MAXINT, -1, flags);
  properties[PROP_CIRCUIT] = g_param_spec_int ("circuit", NULL, NULL, 0, G_MAXINT, 0, flags);
  g_object_class_install_properties (object_class, N_PROPS, properties);
}

static void
td_finding_item_init (TdFindingItem *self)
{
}

TdFindingItem *
td_finding_item_new (const TdVisit *visit, const TdFinding *finding)
{
  TdFindingItem *self = g_object_new (TD_TYPE_FINDING_ITEM, NULL);
  const TdRuleInfo *rule;

  g_return_val_if_fail (visit != NULL && finding != NULL, self);
  rule = td_rule_get_info (finding->rule);
  self->severity = rule->severity;
  self->code = rule->code;
  self->text = g_strdup (finding->text);
  self->reason = g_strdup (finding->reason);
  self->outlet = finding->outlet;
  self->circuit = finding->circuit;
  if (finding->outlet >= 0)
    self->place = td_outlet_get_title (visit->site, (guint) finding->outlet);
  return self;
}

const char *
td_finding_item_get_code (TdFindingItem *self)
{
  g_return_val_if_fail (TD_IS_FINDING_ITEM (self), NULL);
  return self->code;
}

int
td_finding_item_get_outlet (TdFindingItem *self)
{
  g_return_val_if_fail (TD_IS_FINDING_ITEM (self), -1);
  return self->outlet;
}

TdSeverity
td_finding_item_get_severity (TdFindingItem *self)
{
  g_return_val_if_fail (TD_IS_FINDING_ITEM (self), TD_SEVERITY_ADVICE);
  return self->severity;
}

gboolean
td_finding_item_has_reason (TdFindingItem *self)
{
  g_return_val_if_fail (TD_IS_FINDING_ITEM (self), FALSE);
  return self->reason != NULL && *self->reason != '\0';
}

GListStore *
td_finding_list_new (const TdVisit *visit, const GPtrArray *findings)
{
  GListStore *store = g_list_store_new (TD_TYPE_FINDING_ITEM);

  g_return_val_if_fail (visit != NULL && findings != NULL, store);
  for (guint i = 0; i < findings->len; i++)
    {
      g_autoptr (TdFindingItem) item = td_finding_item_new (visit, g_ptr_array_index (findings, i));

      g_list_store_append (store, item);
    }
  return store;
}
