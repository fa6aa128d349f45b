#include "desk-moment-button.h"

#include "desk-format.h"
#include "desk-i18n.h"

#define MS_PER_MINUTE G_GINT64_CONSTANT (60000)
#define MS_PER_DAY (24 * 60 * MS_PER_MINUTE)

struct _TdMomentButton
{
  GtkWidget parent;
  TdZone *zone;
  gint64 now_ms;
  gint64 utc_ms;
  char *prefix;
  gboolean filling; /* the fields are being set by us */

  GtkWidget *button;
  GtkLabel *label;
  GtkCalendar *calendar;
  GtkSpinButton *hour;
  GtkSpinButton *minute;
};

G_DEFINE_FINAL_TYPE (TdMomentButton, td_moment_button, GTK_TYPE_WIDGET)

enum
{
  PROP_0,
  PROP_UTC_MS,
  PROP_PREFIX,
  N_PROPS
};

static GParamSpec *properties[N_PROPS];

static gint64
get_local_ms (TdZone *zone, gint64 utc_ms)
{
  return utc_ms + (zone != NULL ? td_zone_get_offset (zone, utc_ms) : 0) * MS_PER_MINUTE;
}

gint64
td_zone_make_utc_ms (TdZone *zone, TdDate date, int hour, int minute)
{
  gint64 local_ms = date * MS_PER_DAY + (hour * 60 + minute) * MS_PER_MINUTE;
  gint64 guess = local_ms;

  /* Twice, because the offset near a change is that of the moment sought, not of the first guess. */
  for (int i = 0; zone != NULL && i < 2; i++)
    guess = local_ms - td_zone_get_offset (zone, guess) * MS_PER_MINUTE;
  return guess;
}

static void
show (TdMomentButton *self)
{
  g_autofree char *when = NULL;
  g_autofree char *text = NULL;

  if (self->utc_ms == 0)
    when = g_strdup (_ ("Now"));
  else
    {
      gint64 local_ms = get_local_ms (self->zone, self->utc_ms);
      gint64 minutes = (local_ms % MS_PER_DAY) / MS_PER_MINUTE;
      g_autofree char *date = td_format_date (self, (int) (local_ms / MS_PER_DAY));

      when = g_strdup_printf ("%s %02d:%02d", date, (int) (minutes / 60), (int) (minutes % 60));
    }
  text = td_format_pair (self, self->prefix, when);
  gtk_label_set_label (self->label, text);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->button), GTK_ACCESSIBLE_PROPERTY_LABEL, text, -1);
}

/* Puts the moment, or now, into the calendar and the fields. */
static void
fill (TdMomentButton *self)
{
  gint64 local_ms = get_local_ms (self->zone, self->utc_ms != 0 ? self->utc_ms : self->now_ms);
  gint64 minutes = (local_ms % MS_PER_DAY) / MS_PER_MINUTE;
  g_autoptr (GDateTime) day = g_date_time_new_from_unix_utc (local_ms / 1000);

  self->filling = TRUE;
  gtk_calendar_select_day (self->calendar, day);
  gtk_spin_button_set_value (self->hour, (double) (minutes / 60));
  gtk_spin_button_set_value (self->minute, (double) (minutes % 60));
  self->filling = FALSE;
}

static void
field_changed_cb (TdMomentButton *self)
{
  g_autoptr (GDateTime) day = NULL;
  TdDate date;

  if (self->filling)
    return;
  day = gtk_calendar_get_date (self->calendar);
  date = td_date_make (g_date_time_get_year (day), g_date_time_get_month (day), g_date_time_get_day_of_month (day));
  td_moment_button_set_utc_ms (self, td_zone_make_utc_ms (self->zone, date,
                                                          gtk_spin_button_get_value_as_int (self->hour),
                                                          gtk_spin_button_get_value_as_int (self->minute)));
}

static gboolean
two_digits_cb (GtkSpinButton *spin, gpointer user_data)
{
  g_autofree char *text = g_strdup_printf ("%02d", gtk_spin_button_get_value_as_int (spin));

  if (!g_str_equal (gtk_editable_get_text (GTK_EDITABLE (spin)), text))
    gtk_editable_set_text (GTK_EDITABLE (spin), text);
  return TRUE;
}

static void
popover_shown_cb (GtkWidget *popover, TdMomentButton *self)
{
  fill (self);
}

static void
now_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  TdMomentButton *self = TD_MOMENT_BUTTON (widget);

  td_moment_button_set_utc_ms (self, 0);
  gtk_menu_button_popdown (GTK_MENU_BUTTON (self->button));
}

static void
td_moment_button_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  TdMomentButton *self = TD_MOMENT_BUTTON (object);

  if (id == PROP_UTC_MS)
    g_value_set_int64 (value, self->utc_ms);
  else if (id == PROP_PREFIX)
    g_value_set_string (value, self->prefix);
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
td_moment_button_set_property (GObject *object, guint id, const GValue *value, GParamSpec *pspec)
{
  TdMomentButton *self = TD_MOMENT_BUTTON (object);

  if (id == PROP_UTC_MS)
    td_moment_button_set_utc_ms (self, g_value_get_int64 (value));
  else if (id == PROP_PREFIX)
    {
      g_free (self->prefix);
      self->prefix = g_value_dup_string (value);
      show (self);
    }
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
td_moment_button_dispose (GObject *object)
{
  TdMomentButton *self = TD_MOMENT_BUTTON (object);

  g_clear_pointer (&self->button, gtk_widget_unparent);
  G_OBJECT_CLASS (td_moment_button_parent_class)->dispose (object);
}

static void
td_moment_button_finalize (GObject *object)
{
  TdMomentButton *self = TD_MOMENT_BUTTON (object);

  g_clear_pointer (&self->zone, td_zone_unref);
  g_free (self->prefix);
  G_OBJECT_CLASS (td_moment_button_parent_class)->finalize (object);
}

static void
td_moment_button_class_init (TdMomentButtonClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);
  const GParamFlags flags = G_PARAM_READWRITE | G_PARAM_EXPLICIT_NOTIFY | G_PARAM_STATIC_STRINGS;

  object_class->get_property = td_moment_button_get_property;
  object_class->set_property = td_moment_button_set_property;
  object_class->dispose = td_moment_button_dispose;
  object_class->finalize = td_moment_button_finalize;
  properties[PROP_UTC_MS] = g_param_spec_int64 ("utc-ms", NULL, NULL, 0, G_MAXINT64, 0, flags);
  properties[PROP_PREFIX] = g_param_spec_string ("prefix", NULL, NULL, NULL, flags);
  g_object_class_install_properties (object_class, N_PROPS, properties);

  gtk_widget_class_set_template_from_resource (widget_class, "/tundish/moment-button.ui");
  gtk_widget_class_bind_template_child (widget_class, TdMomentButton, button);
  gtk_widget_class_bind_template_child (widget_class, TdMomentButton, label);
  gtk_widget_class_bind_template_child (widget_class, TdMomentButton, calendar);
  gtk_widget_class_bind_template_child (widget_class, TdMomentButton, hour);
  gtk_widget_class_bind_template_child (widget_class, TdMomentButton, minute);
  gtk_widget_class_bind_template_callback (widget_class, field_changed_cb);
  gtk_widget_class_bind_template_callback (widget_class, two_digits_cb);
  gtk_widget_class_bind_template_callback (widget_class, popover_shown_cb);
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_install_action (widget_class, "moment.now", NULL, now_action);
}

static void
td_moment_button_init (TdMomentButton *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
  show (self);
}

void
td_moment_button_set_clock (TdMomentButton *self, TdZone *zone, gint64 now_ms)
{
  g_return_if_fail (TD_IS_MOMENT_BUTTON (self));
  if (zone != NULL)
    td_zone_ref (zone);
  g_clear_pointer (&self->zone, td_zone_unref);
  self->zone = zone;
  self->now_ms = now_ms;
  show (self);
}

gint64
td_moment_button_get_utc_ms (TdMomentButton *self)
{
  g_return_val_if_fail (TD_IS_MOMENT_BUTTON (self), 0);
  return self->utc_ms;
}

void
td_moment_button_set_utc_ms (TdMomentButton *self, gint64 utc_ms)
{
  g_return_if_fail (TD_IS_MOMENT_BUTTON (self));
  g_return_if_fail (utc_ms >= 0);
  if (self->utc_ms == utc_ms)
    return;
  self->utc_ms = utc_ms;
  show (self);
  g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_UTC_MS]);
}
