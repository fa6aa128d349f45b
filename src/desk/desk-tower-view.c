#include "desk-tower-view.h"

#include "desk-i18n.h"
#include "desk-look.h"
#include "draw-paint.h"
#include "draw-scene.h"

#include <math.h>

/* Size of the picture on the screen, pixels to a millimetre of the scene: as large as the room allows. At
 * the largest a faucet's number is larger than the window's text, at the smallest it can still be read at
 * arm's length; the signs are explained where there is room for that at a comfortable size. */
#define PX_PER_MM_MAX 8.0
#define PX_PER_MM_COMFORT 4.0
#define PX_PER_MM_MIN 3.4
#define PX_PER_MM_STEP 0.2
/* Left free around the picture, whose outermost edges are drawn on its very limits, pixels. */
#define MARGIN_PX 3
/* How far beside a thing a finger still hits it, pixels: half of a target of 44. */
#define SLOP_PX 22.0
/* The narrowest picture worth looking at, pixels. */
#define MIN_WIDTH_PX 300

struct _TdTowerView
{
  GtkWidget parent;
  TdRunSheet *sheet;
  TdScene *scene; /* laid out for this size in pixels */
  int scene_width, scene_height;
  double scale; /* pixels to a millimetre */
  gboolean legend;
  TdSite *fitted; /* the site that scale and legend were found for, at that size; NULL: none */
  int fitted_width, fitted_height;
  int chosen;
};

G_DEFINE_FINAL_TYPE (TdTowerView, td_tower_view, GTK_TYPE_WIDGET)

enum
{
  PROP_0,
  PROP_CHOSEN,
  N_PROPS
};

enum
{
  SIGNAL_HIT,
  N_SIGNALS
};

static GParamSpec *properties[N_PROPS];
static guint signals[N_SIGNALS];

static TdScene *
make_scene (TdTowerView *self, int width, double scale, gboolean legend)
{
  TdSceneOptions options = { .width_mm = (width - 2 * MARGIN_PX) / scale, .legend = legend };

  return td_scene_new (self->sheet, &options);
}

static gboolean
is_high_enough (const TdScene *scene, double scale, int height)
{
  return scene->height * scale + 2 * MARGIN_PX <= height;
}

/* Another plan of the same site seldom asks for another scale: that of the last picture is tried first, and
 * kept where the next larger one does not fit. */
static TdScene *
fit_as_before (TdTowerView *self, int width, int height)
{
  g_autoptr (TdScene) scene = NULL;
  g_autoptr (TdScene) larger = NULL;

  if (self->fitted != self->sheet->site || self->fitted_width != width || self->fitted_height != height)
    return NULL;
  scene = make_scene (self, width, self->scale, self->legend);
  /* Where even the smallest is too high, it is cut off. */
  if (!is_high_enough (scene, self->scale, height))
    return !self->legend && self->scale < PX_PER_MM_MIN + 0.5 * PX_PER_MM_STEP ? g_steal_pointer (&scene) : NULL;
  if (self->scale + PX_PER_MM_STEP > PX_PER_MM_MAX + 0.01)
    return g_steal_pointer (&scene);
  larger = make_scene (self, width, self->scale + PX_PER_MM_STEP, self->legend);
  return is_high_enough (larger, self->scale + PX_PER_MM_STEP, height) ? NULL : g_steal_pointer (&scene);
}

/* The largest picture that fits @width and @height pixels; the smallest, cut off, where none does. */
static TdScene *
fit_scene (TdTowerView *self, int width, int height)
{
  TdScene *scene = fit_as_before (self, width, height);

  if (scene != NULL)
    return scene;
  g_clear_pointer (&self->fitted, td_site_unref);
  self->fitted = td_site_ref (self->sheet->site);
  self->fitted_width = width;
  self->fitted_height = height;
  for (int legend = 1; legend >= 0; legend--)
    for (double scale = PX_PER_MM_MAX; scale >= (legend ? PX_PER_MM_COMFORT : PX_PER_MM_MIN) - 0.01;
         scale -= PX_PER_MM_STEP)
      {
        g_clear_pointer (&scene, td_scene_free);
        scene = make_scene (self, width, scale, legend);
        self->scale = scale;
        self->legend = legend;
        if (is_high_enough (scene, scale, height))
          return scene;
      }
  return scene;
}

/* The scene for the size that the widget has. */
static TdScene *
get_scene (TdTowerView *self)
{
  int width = gtk_widget_get_width (GTK_WIDGET (self)), height = gtk_widget_get_height (GTK_WIDGET (self));

  if (self->sheet == NULL || width <= 0)
    return NULL;
  if (self->scene == NULL || self->scene_width != width || self->scene_height != height)
    {
      g_clear_pointer (&self->scene, td_scene_free);
      self->scene = fit_scene (self, width, height);
      self->scene_width = width;
      self->scene_height = height;
    }
  return self->scene;
}

/* What the drawing says to those who do not see it: the line list beside it has the rest. */
static void
describe (TdTowerView *self)
{
  g_autofree char *title = NULL;

  if (self->sheet != NULL && self->chosen >= 0)
    title = td_outlet_get_title (self->sheet->site, (guint) self->chosen);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("Drawing of the site"), GTK_ACCESSIBLE_PROPERTY_DESCRIPTION,
                                  title != NULL ? title : _ ("No line chosen"), -1);
}

static void
td_tower_view_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  TdTowerView *self = TD_TOWER_VIEW (widget);
  TdScene *scene = get_scene (self);
  TdPaintOptions options = TD_PAINT_OPTIONS_INIT;
  graphene_rect_t bounds;
  cairo_t *cr;

  if (scene == NULL)
    return;
  options.palette = td_look_is_dark (widget) ? TD_PALETTE_DARK : TD_PALETTE_LIGHT;
  options.ground = FALSE;
  options.chosen = self->chosen;
  graphene_rect_init (&bounds, 0, 0, (float) gtk_widget_get_width (widget),
                      (float) gtk_widget_get_height (widget));
  cr = gtk_snapshot_append_cairo (snapshot, &bounds);
  cairo_translate (cr, MARGIN_PX, MARGIN_PX);
  cairo_scale (cr, self->scale, self->scale);
  td_scene_paint (scene, cr, &options);
  cairo_destroy (cr);
}

static GtkSizeRequestMode
td_tower_view_get_request_mode (GtkWidget *widget)
{
  return GTK_SIZE_REQUEST_HEIGHT_FOR_WIDTH;
}

static void
td_tower_view_measure (GtkWidget *widget, GtkOrientation orientation, int for_size, int *minimum, int *natural,
                       int *minimum_baseline, int *natural_baseline)
{
  TdTowerView *self = TD_TOWER_VIEW (widget);

  if (orientation == GTK_ORIENTATION_HORIZONTAL || self->sheet == NULL)
    {
      *minimum = *natural = MIN_WIDTH_PX;
      return;
    }
  if (for_size < MIN_WIDTH_PX)
    for_size = MAX (gtk_widget_get_width (widget), MIN_WIDTH_PX);
  {
    g_autoptr (TdScene) scene = make_scene (self, for_size, PX_PER_MM_MIN, FALSE);

    *minimum = *natural = (int) ceil (scene->height * PX_PER_MM_MIN) + 2 * MARGIN_PX;
  }
}

static void
choose (TdTowerView *self, int outlet)
{
  if (self->chosen == outlet)
    return;
  self->chosen = outlet;
  describe (self);
  gtk_widget_queue_draw (GTK_WIDGET (self));
  g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_CHOSEN]);
}

static void
released_cb (GtkGestureClick *gesture, int n_press, double x, double y, gpointer user_data)
{
  TdTowerView *self = user_data;
  TdScene *scene = get_scene (self);
  TdHit hit;

  if (scene == NULL)
    return;
  gtk_widget_grab_focus (GTK_WIDGET (self));
  hit = td_scene_hit (scene, (x - MARGIN_PX) / self->scale, (y - MARGIN_PX) / self->scale,
                      SLOP_PX / self->scale);
  if (hit.kind == TD_HIT_NOTHING)
    return;
  if (hit.kind == TD_HIT_OUTLET || hit.kind == TD_HIT_BEER_PUMP)
    choose (self, hit.index);
  g_signal_emit (self, signals[SIGNAL_HIT], 0, (int) hit.kind, hit.index);
}

/* Outlets in the order in which they stand on the towers. */
static int
step (TdTowerView *self, int by)
{
  int n = (int) self->sheet->site->n_outlets;
  /* From none the first key on comes to the first, the first back to the last, Home and End where they say. */
  int next = self->chosen >= 0 ? self->chosen + by : by > 0 ? by - 1 : n + by;

  return CLAMP (next, 0, n - 1);
}

static gboolean
move_cb (GtkWidget *widget, GVariant *args, gpointer user_data)
{
  TdTowerView *self = TD_TOWER_VIEW (widget);
  int by = g_variant_get_int32 (args);

  if (self->sheet == NULL || self->sheet->site->n_outlets == 0)
    return FALSE;
  choose (self, step (self, by));
  return TRUE;
}

static gboolean
pick_cb (GtkWidget *widget, GVariant *args, gpointer user_data)
{
  TdTowerView *self = TD_TOWER_VIEW (widget);

  if (self->chosen < 0)
    return FALSE;
  g_signal_emit (self, signals[SIGNAL_HIT], 0, (int) TD_HIT_OUTLET, self->chosen);
  return TRUE;
}

/* The palette follows the window's colours. */
static void
td_tower_view_css_changed (GtkWidget *widget, GtkCssStyleChange *change)
{
  GTK_WIDGET_CLASS (td_tower_view_parent_class)->css_changed (widget, change);
  gtk_widget_queue_draw (widget);
}

static void
td_tower_view_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  TdTowerView *self = TD_TOWER_VIEW (object);

  if (id == PROP_CHOSEN)
    g_value_set_int (value, self->chosen);
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
td_tower_view_set_property (GObject *object, guint id, const GValue *value, GParamSpec *pspec)
{
  TdTowerView *self = TD_TOWER_VIEW (object);

  if (id == PROP_CHOSEN)
    td_tower_view_set_chosen (self, g_value_get_int (value));
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
td_tower_view_finalize (GObject *object)
{
  TdTowerView *self = TD_TOWER_VIEW (object);

  g_clear_pointer (&self->fitted, td_site_unref);
  g_clear_pointer (&self->scene, td_scene_free);
  g_clear_pointer (&self->sheet, td_run_sheet_free);
  G_OBJECT_CLASS (td_tower_view_parent_class)->finalize (object);
}

static void
td_tower_view_class_init (TdTowerViewClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  object_class->get_property = td_tower_view_get_property;
  object_class->set_property = td_tower_view_set_property;
  object_class->finalize = td_tower_view_finalize;
  widget_class->snapshot = td_tower_view_snapshot;
  widget_class->css_changed = td_tower_view_css_changed;
  widget_class->measure = td_tower_view_measure;
  widget_class->get_request_mode = td_tower_view_get_request_mode;
  properties[PROP_CHOSEN]
    = g_param_spec_int ("chosen", NULL, NULL, -1, G_MAXINT, -1,
                        G_PARAM_READWRITE | G_PARAM_EXPLICIT_NOTIFY | G_PARAM_STATIC_STRINGS);
  g_object_class_install_properties (object_class, N_PROPS, properties);
  signals[SIGNAL_HIT] = g_signal_new ("hit", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL,
                                      G_TYPE_NONE, 2, G_TYPE_INT, G_TYPE_INT);

  gtk_widget_class_set_css_name (widget_class, "towerview");
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_IMG);
  gtk_widget_class_add_binding (widget_class, GDK_KEY_Right, 0, move_cb, "i", 1);
  gtk_widget_class_add_binding (widget_class, GDK_KEY_Left, 0, move_cb, "i", -1);
  gtk_widget_class_add_binding (widget_class, GDK_KEY_Home, 0, move_cb, "i", -G_MAXINT16);
  gtk_widget_class_add_binding (widget_class, GDK_KEY_End, 0, move_cb, "i", G_MAXINT16);
  gtk_widget_class_add_binding (widget_class, GDK_KEY_Return, 0, pick_cb, NULL);
  gtk_widget_class_add_binding (widget_class, GDK_KEY_space, 0, pick_cb, NULL);
}

static void
td_tower_view_init (TdTowerView *self)
{
  GtkGesture *click = gtk_gesture_click_new ();

  self->chosen = -1;
  gtk_widget_set_focusable (GTK_WIDGET (self), TRUE);
  g_signal_connect (click, "released", G_CALLBACK (released_cb), self);
  gtk_widget_add_controller (GTK_WIDGET (self), GTK_EVENT_CONTROLLER (click));
  describe (self);
}

GtkWidget *
td_tower_view_new (void)
{
  return g_object_new (TD_TYPE_TOWER_VIEW, NULL);
}

void
td_tower_view_set_sheet (TdTowerView *self, TdRunSheet *sheet)
{
  g_return_if_fail (TD_IS_TOWER_VIEW (self));
  g_clear_pointer (&self->scene, td_scene_free);
  g_clear_pointer (&self->sheet, td_run_sheet_free);
  self->sheet = sheet;
  if (sheet == NULL || self->chosen >= (int) sheet->site->n_outlets)
    choose (self, -1);
  describe (self);
  gtk_widget_queue_resize (GTK_WIDGET (self));
}

int
td_tower_view_get_chosen (TdTowerView *self)
{
  g_return_val_if_fail (TD_IS_TOWER_VIEW (self), -1);
  return self->chosen;
}

void
td_tower_view_set_chosen (TdTowerView *self, int outlet)
{
  g_return_if_fail (TD_IS_TOWER_VIEW (self));
  g_return_if_fail (outlet >= -1);
  choose (self, outlet);
}

gboolean
td_tower_view_locate (TdTowerView *self, int outlet, graphene_rect_t *rect_out)
{
  TdScene *scene;

  g_return_val_if_fail (TD_IS_TOWER_VIEW (self) && rect_out != NULL, FALSE);
  scene = get_scene (self);
  for (guint i = 0; scene != NULL && i < scene->items->len; i++)
    {
      const TdItem *item = g_ptr_array_index (scene->items, i);

      if (item->kind != TD_ITEM_FAUCET || item->outlet != outlet)
        continue;
      graphene_rect_init (rect_out, (float) (item->box.x * self->scale) + MARGIN_PX,
                          (float) (item->box.y * self->scale) + MARGIN_PX,
                          (float) (item->box.width * self->scale), (float) (item->box.height * self->scale));
      return TRUE;
    }
  return FALSE;
}
