#include "desk-chip.h"

#include "desk-format.h"
#include "model-round.h"

/* Room for the longest words: "Overdue 1000 days". */
#define CHARS 16

struct _TdChip
{
  GtkWidget parent;
  GtkWidget *icon;
  GtkWidget *words;
  int state; /* -1 before the first */
  int days;
};

G_DEFINE_FINAL_TYPE (TdChip, td_chip, GTK_TYPE_WIDGET)

enum
{
  PROP_0,
  PROP_STATE,
  PROP_DAYS,
  N_PROPS
};

static GParamSpec *properties[N_PROPS];

static void
show_words (TdChip *self)
{
  g_autofree char *text = NULL;

  if (self->state < 0)
    return;
  text = td_format_due (self, self->state, self->days);
  gtk_inscription_set_text (GTK_INSCRIPTION (self->words), text);
}

static void
set_state (TdChip *self, int state)
{
  g_auto (GStrv) classes = NULL;
  g_autofree char *icon = NULL;

  if (self->state == state)
    return;
  self->state = state;
  classes = td_format_state_classes (self, state);
  icon = td_format_state_icon (self, state);
  gtk_widget_set_css_classes (GTK_WIDGET (self), (const char **) classes);
  gtk_image_set_from_icon_name (GTK_IMAGE (self->icon), icon);
  show_words (self);
}

static void
td_chip_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  TdChip *self = TD_CHIP (object);

  if (id == PROP_STATE)
    g_value_set_int (value, MAX (self->state, 0));
  else if (id == PROP_DAYS)
    g_value_set_int (value, self->days);
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
td_chip_set_property (GObject *object, guint id, const GValue *value, GParamSpec *pspec)
{
  TdChip *self = TD_CHIP (object);

  if (id == PROP_STATE)
    set_state (self, g_value_get_int (value));
  else if (id == PROP_DAYS)
    {
      self->days = g_value_get_int (value);
      show_words (self);
    }
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
td_chip_dispose (GObject *object)
{
  TdChip *self = TD_CHIP (object);

  g_clear_pointer (&self->icon, gtk_widget_unparent);
  g_clear_pointer (&self->words, gtk_widget_unparent);
  G_OBJECT_CLASS (td_chip_parent_class)->dispose (object);
}

static void
td_chip_class_init (TdChipClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);

  object_class->get_property = td_chip_get_property;
  object_class->set_property = td_chip_set_property;
  object_class->dispose = td_chip_dispose;
  properties[PROP_STATE] = g_param_spec_int ("state", NULL, NULL, TD_ROUND_OPEN, TD_ROUND_UNKNOWN, TD_ROUND_OPEN,
                                             G_PARAM_READWRITE | G_PARAM_STATIC_STRINGS);
  properties[PROP_DAYS] = g_param_spec_int ("days", NULL, NULL, G_MININT, G_MAXINT, 0,
                                            G_PARAM_READWRITE | G_PARAM_STATIC_STRINGS);
  g_object_class_install_properties (object_class, N_PROPS, properties);
  gtk_widget_class_set_layout_manager_type (GTK_WIDGET_CLASS (klass), GTK_TYPE_BOX_LAYOUT);
}

static void
td_chip_init (TdChip *self)
{
  GtkLayoutManager *layout = gtk_widget_get_layout_manager (GTK_WIDGET (self));

  self->state = -1;
  gtk_box_layout_set_spacing (GTK_BOX_LAYOUT (layout), 8);
  self->icon = g_object_new (GTK_TYPE_IMAGE, "accessible-role", GTK_ACCESSIBLE_ROLE_PRESENTATION, NULL);
  self->words = gtk_inscription_new (NULL);
  gtk_inscription_set_min_chars (GTK_INSCRIPTION (self->words), CHARS);
  gtk_inscription_set_nat_chars (GTK_INSCRIPTION (self->words), CHARS);
  gtk_widget_set_parent (self->icon, GTK_WIDGET (self));
  gtk_widget_set_parent (self->words, GTK_WIDGET (self));
  gtk_widget_set_valign (GTK_WIDGET (self), GTK_ALIGN_CENTER);
}

GtkWidget *
td_chip_new (void)
{
  return g_object_new (TD_TYPE_CHIP, NULL);
}
