#include "model-visit.h"

TdVisitBrief *
td_visit_brief_new (const TdVisitBrief *template_)
{
  TdVisitBrief *brief = g_atomic_rc_box_new0 (TdVisitBrief);

  *brief = *template_;
  brief->number = g_strdup (template_->number);
  brief->account = g_strdup (template_->account);
  brief->site = g_strdup (template_->site);
  brief->person = g_strdup (template_->person);
  return brief;
}

TdVisitBrief *
td_visit_brief_ref (TdVisitBrief *brief)
{
  return g_atomic_rc_box_acquire (brief);
}

static void
clear_brief (gpointer data)
{
  TdVisitBrief *brief = data;

  g_free (brief->number);
  g_free (brief->account);
  g_free (brief->site);
  g_free (brief->person);
}

void
td_visit_brief_unref (TdVisitBrief *brief)
{
  g_atomic_rc_box_release_full (brief, clear_brief);
}

struct _TdVisitItem
{
  TdRow parent;
};

G_DEFINE_FINAL_TYPE (TdVisitItem, td_visit_item, TD_TYPE_ROW)

enum
{
  PROP_0,
  PROP_ID,
  PROP_NUMBER,
  PROP_ACCOUNT,
  PROP_SITE,
  PROP_PERSON,
  PROP_DATE,
  PROP_CLOSED,
  PROP_AMENDED,
  PROP_AMENDS,
  PROP_ENTRIES,
  PROP_STOPS,
  PROP_REASONS,
  PROP_ADVICE,
  N_PROPS
};

static GParamSpec *properties[N_PROPS];

static void
get_loaded (const TdVisitBrief *brief, guint id, GValue *value, GObject *object, GParamSpec *pspec)
{
  switch (id)
    {
    case PROP_ID:
      g_value_take_string (value, td_uuid_to_text (&brief->id));
      break;
    case PROP_NUMBER:
      g_value_set_string (value, brief->number);
      break;
    case PROP_ACCOUNT:
      g_value_set_string (value, brief->account);
      break;
    case PROP_SITE:
      g_value_set_string (value, brief->site);
      break;
    case PROP_PERSON:
      g_value_set_string (value, brief->person);
      break;
    case PROP_DATE:
      g_value_set_int (value, brief->date);
      break;
    case PROP_CLOSED:
      g_value_set_boolean (value, brief->closed);
      break;
    case PROP_AMENDED:
      g_value_set_boolean (value, brief->amended);
      break;
    case PROP_AMENDS:
      g_value_set_boolean (value, brief->amends);
      break;
    case PROP_ENTRIES:
      g_value_set_uint (value, brief->entries);
      break;
    case PROP_STOPS:
      g_value_set_uint (value, brief->stops);
      break;
    case PROP_REASONS:
      g_value_set_uint (value, brief->reasons);
      break;
    case PROP_ADVICE:
      g_value_set_uint (value, brief->advice);
      break;
    default:
      G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
    }
}

static void
td_visit_item_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  const TdVisitBrief *brief = td_row_get_value (TD_ROW (object));

  if (brief != NULL)
    get_loaded (brief, id, value, object, pspec);
  else
    g_param_value_set_default (pspec, value);
}

static void
td_visit_item_class_init (TdVisitItemClass *klass)
{
  TdRowClass *item_class = TD_ROW_CLASS (klass);
  const GParamFlags flags = G_PARAM_READABLE | G_PARAM_STATIC_STRINGS;

  G_OBJECT_CLASS (klass)->get_property = td_visit_item_get_property;
  item_class->ref_value = (gpointer (*) (gpointer)) td_visit_brief_ref;
  item_class->unref_value = (void (*) (gpointer)) td_visit_brief_unref;
  properties[PROP_ID] = g_param_spec_string ("id", NULL, NULL, NULL, flags);
  properties[PROP_NUMBER] = g_param_spec_string ("number", NULL, NULL, NULL, flags);
  properties[PROP_ACCOUNT] = g_param_spec_string ("account", NULL, NULL, NULL, flags);
  properties[PROP_SITE] = g_param_spec_string ("site", NULL, NULL, NULL, flags);
  properties[PROP_PERSON] = g_param_spec_string ("person", NULL, NULL, NULL, flags);
  properties[PROP_DATE] = g_param_spec_int ("date", NULL, NULL, G_MININT, G_MAXINT, TD_DATE_NONE, flags);
  properties[PROP_CLOSED] = g_param_spec_boolean ("closed", NULL, NULL, FALSE, flags);
  properties[PROP_AMENDED] = g_param_spec_boolean ("amended", NULL, NULL, FALSE, flags);
  properties[PROP_AMENDS] = g_param_spec_boolean ("amends", NULL, NULL, FALSE, flags);
  properties[PROP_ENTRIES] = g_param_spec_uint ("entries", NULL, NULL, 0, G_MAXUINT, 0, flags);
  properties[PROP_STOPS] = g_param_spec_uint ("stops", NULL, NULL, 0, G_MAXUINT, 0, flags);
  properties[PROP_REASONS] = g_param_spec_uint ("reasons", NULL, NULL, 0, G_MAXUINT, 0, flags);
  properties[PROP_ADVICE] = g_param_spec_uint ("advice", NULL, NULL, 0, G_MAXUINT, 0, flags);
  td_row_class_install (item_class, properties, N_PROPS);
}

static void
td_visit_item_init (TdVisitItem *self)
{
}
