#include "model-line.h"

#include <math.h>

struct _TdLineItem
{
  GObject parent;
  TdSite *site;
  guint outlet;
};

G_DEFINE_FINAL_TYPE (TdLineItem, td_line_item, G_TYPE_OBJECT)

enum
{
  PROP_0,
  PROP_OUTLET,
  PROP_NUMBER,
  PROP_TITLE,
  PROP_PRODUCT,
  PROP_TOWER,
  PROP_COOLER,
  PROP_MATERIAL,
  PROP_PUMP,
  PROP_ONE_WAY,
  PROP_FOB,
  PROP_SIDE,
  PROP_LENGTH_M,
  PROP_VOLUME_ML,
  N_PROPS
};

static GParamSpec *properties[N_PROPS];

static const TdOutlet *
get_outlet (TdLineItem *self)
{
  return &self->site->outlets[self->outlet];
}

static const TdLine *
get_line (TdLineItem *self)
{
  return &self->site->lines[get_outlet (self)->line];
}

/* The outlet's own tube: the line's, or the piece from the tee on. */
static const TdSegment *
get_segments (TdLineItem *self, guint *n_out)
{
  const TdLine *line = get_line (self);
  int side = get_outlet (self)->side;

  *n_out = side < 0 ? line->n_segments : line->side_faucets[side].n_segments;
  return side < 0 ? line->segments : line->side_faucets[side].segments;
}

static double
get_length_m (TdLineItem *self)
{
  guint n = 0;
  const TdSegment *segments = get_segments (self, &n);
  double sum = 0;

  for (guint i = 0; i < n; i++)
    sum += segments[i].length_m;
  return n > 0 ? sum : NAN;
}

static const char *
get_material (TdLineItem *self)
{
  guint n = 0;
  const TdSegment *segments = get_segments (self, &n);
  const TdSegment *longest = NULL;

  for (guint i = 0; i < n; i++)
    if (longest == NULL || segments[i].length_m > longest->length_m)
      longest = &segments[i];
  return longest != NULL ? longest->material : NULL;
}

static void
get_text (TdLineItem *self, guint id, GValue *value)
{
  const TdOutlet *outlet = get_outlet (self);

  if (id == PROP_TITLE)
    g_value_take_string (value, td_outlet_get_title (self->site, self->outlet));
  else if (id == PROP_PRODUCT)
    g_value_set_string (value, get_line (self)->product);
  else if (id == PROP_TOWER)
    g_value_set_string (value, self->site->towers[outlet->tower].name);
  else if (id == PROP_COOLER)
    g_value_set_string (value, self->site->coolers[outlet->cooler].name);
  else
    g_value_set_string (value, get_material (self));
}

static void
td_line_item_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  TdLineItem *self = TD_LINE_ITEM (object);

  switch (id)
    {
    case PROP_TITLE:
    case PROP_PRODUCT:
    case PROP_TOWER:
    case PROP_COOLER:
    case PROP_MATERIAL:
      get_text (self, id, value);
      break;
    case PROP_OUTLET:
      g_value_set_uint (value, self->outlet);
      break;
    case PROP_NUMBER:
      g_value_set_int (value, get_outlet (self)->number);
      break;
    case PROP_PUMP:
      g_value_set_int (value, (int) get_line (self)->beer_pump);
      break;
    case PROP_ONE_WAY:
      g_value_set_boolean (value, !td_line_may_run_in (get_line (self)));
      break;
    case PROP_FOB:
      g_value_set_boolean (value, get_line (self)->fob);
      break;
    case PROP_SIDE:
      g_value_set_boolean (value, get_outlet (self)->side >= 0);
      break;
    case PROP_LENGTH_M:
      g_value_set_double (value, get_length_m (self));
      break;
    case PROP_VOLUME_ML:
      g_value_set_double (value, td_outlet_get_volume_ml (self->site, self->outlet));
      break;
    default:
      G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
    }
}

static void
td_line_item_finalize (GObject *object)
{
  TdLineItem *self = TD_LINE_ITEM (object);

  g_clear_pointer (&self->site, td_site_unref);
  G_OBJECT_CLASS (td_line_item_parent_class)->finalize (object);
}

static void
td_line_item_class_init (TdLineItemClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);
  const GParamFlags flags = G_PARAM_READABLE | G_PARAM_STATIC_STRINGS;
  static const char *const texts[]
    = { [PROP_TITLE] = "title", [PROP_PRODUCT] = "product", [PROP_TOWER] = "tower", [PROP_COOLER] = "cooler",
        [PROP_MATERIAL] = "material" };

  object_class->get_property = td_line_item_get_property;
  object_class->finalize = td_line_item_finalize;
  properties[PROP_OUTLET] = g_param_spec_uint ("outlet", NULL, NULL, 0, G_MAXUINT, 0, flags);
  properties[PROP_NUMBER] = g_param_spec_int ("number", NULL, NULL, G_MININT, G_MAXINT, 0, flags);
  for (guint i = PROP_TITLE; i <= PROP_MATERIAL; i++)
    properties[i] = g_param_spec_string (texts[i], NULL, NULL, NULL, flags);
  properties[PROP_PUMP] = g_param_spec_int ("pump", NULL, NULL, 0, TD_BEER_PUMP_REVERSIBLE, 0, flags);
  properties[PROP_ONE_WAY] = g_param_spec_boolean ("one-way", NULL, NULL, FALSE, flags);
  properties[PROP_FOB] = g_param_spec_boolean ("fob", NULL, NULL, FALSE, flags);
  properties[PROP_SIDE] = g_param_spec_boolean ("side", NULL, NULL, FALSE, flags);
  properties[PROP_LENGTH_M] = g_param_spec_double ("length-m", NULL, NULL, 0, G_MAXDOUBLE, 0, flags);
  properties[PROP_VOLUME_ML] = g_param_spec_double ("volume-ml", NULL, NULL, 0, G_MAXDOUBLE, 0, flags);
  g_object_class_install_properties (object_class, N_PROPS, properties);
}

static void
td_line_item_init (TdLineItem *self)
{
}

TdLineItem *
td_line_item_new (TdSite *site, guint outlet)
{
  TdLineItem *self = g_object_new (TD_TYPE_LINE_ITEM, NULL);

  g_return_val_if_fail (site != NULL && outlet < site->n_outlets, self);
  self->site = td_site_ref (site);
  self->outlet = outlet;
  return self;
}

guint
td_line_item_get_outlet (TdLineItem *self)
{
  g_return_val_if_fail (TD_IS_LINE_ITEM (self), 0);
  return self->outlet;
}

static int
compare_outlets (gconstpointer a, gconstpointer b, gpointer user_data)
{
  const TdSite *site = user_data;
  guint i = *(const guint *) a, j = *(const guint *) b;
  const TdOutlet *x = &site->outlets[i], *y = &site->outlets[j];

  if (x->tower != y->tower)
    return x->tower < y->tower ? -1 : 1;
  if (x->number != y->number)
    return x->number < y->number ? -1 : 1;
  return i < j ? -1 : i > j;
}

GListModel *
td_line_list_new (TdSite *site)
{
  GListStore *store = g_list_store_new (TD_TYPE_LINE_ITEM);
  g_autofree guint *order = NULL;

  g_return_val_if_fail (site != NULL, G_LIST_MODEL (store));
  order = g_new (guint, site->n_outlets);
  for (guint i = 0; i < site->n_outlets; i++)
    order[i] = i;
  g_qsort_with_data (order, (gint) site->n_outlets, sizeof *order, compare_outlets, site);
  for (guint i = 0; i < site->n_outlets; i++)
    {
      g_autoptr (TdLineItem) item = td_line_item_new (site, order[i]);

      g_list_store_append (store, item);
    }
  return G_LIST_MODEL (store);
}
