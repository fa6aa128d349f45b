#include "desk-period.h"

#include "desk-i18n.h"


enum
{
  THIS_MONTH,
  LAST_MONTH,
  THIS_QUARTER,
  THIS_YEAR,
  LAST_YEAR,
  TWELVE_MONTHS,
  BY_HAND,
  N_CHOICES
};

static const char *const names[N_CHOICES + 1] = {
  N_ ("This month"), N_ ("Last month"), N_ ("This quarter"), N_ ("This year"), N_ ("Last year"),
  N_ ("Twelve months"), N_ ("From … to …"), NULL
};

struct _TdPeriod
{
  GtkWidget parent;
  GtkWidget *box;
  GtkDropDown *choice;
  GtkEntry *entries[2];
  TdDate today, from, to;
};

G_DEFINE_FINAL_TYPE (TdPeriod, td_period, GTK_TYPE_WIDGET)

enum
{
  PROP_0,
  PROP_CHOICE,
  N_PROPS
};

static GParamSpec *properties[N_PROPS];
static guint changed_signal;

/* First day of the month @months after that of @date. */
static TdDate
find_month (TdDate date, int months)
{
  int year, month, day;

  td_date_split (date, &year, &month, &day);
  return td_date_add_months (td_date_make (year, month, 1), months);
}

static TdDate
find_year (TdDate date, int years)
{
  int year, month, day;

  td_date_split (date, &year, &month, &day);
  return td_date_make (year + years, 1, 1);
}

static void
find_days (guint choice, TdDate today, TdDate *from, TdDate *to)
{
  int year, month, day;

  td_date_split (today, &year, &month, &day);
  switch (choice)
    {
    case LAST_MONTH:
      *from = find_month (today, -1);
      *to = find_month (today, 0) - 1;
      break;
    case THIS_QUARTER:
      *from = find_month (today, -((month - 1) % 3));
      *to = today;
      break;
    case THIS_YEAR:
      *from = find_year (today, 0);
      *to = today;
      break;
    case LAST_YEAR:
      *from = find_year (today, -1);
      *to = find_year (today, 0) - 1;
      break;
    case TWELVE_MONTHS:
      *from = td_date_add_months (today, -12) + 1;
      *to = today;
      break;
    case THIS_MONTH:
    default:
      *from = find_month (today, 0);
      *to = today;
    }
}

static void
show_days (TdPeriod *self)
{
  g_autofree char *from = td_date_to_text (self->from);
  g_autofree char *to = td_date_to_text (self->to);

  gtk_editable_set_text (GTK_EDITABLE (self->entries[0]), from);
  gtk_editable_set_text (GTK_EDITABLE (self->entries[1]), to);
}

static void
choice_cb (TdPeriod *self)
{
  guint choice = gtk_drop_down_get_selected (self->choice);

  for (guint i = 0; i < 2; i++)
    gtk_widget_set_visible (GTK_WIDGET (self->entries[i]), choice == BY_HAND);
  g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_CHOICE]);
  if (choice == BY_HAND || choice == GTK_INVALID_LIST_POSITION)
    return;
  find_days (choice, self->today, &self->from, &self->to);
  show_days (self);
  g_signal_emit (self, changed_signal, 0);
}

/* Days that are none, or stand the wrong way round, are marked and change nothing. */
static void
typed_cb (TdPeriod *self)
{
  TdDate days[2];
  gboolean good = TRUE;

  for (guint i = 0; i < 2; i++)
    {
      gboolean day = td_date_parse (gtk_editable_get_text (GTK_EDITABLE (self->entries[i])), &days[i], NULL);

      good = good && day && (i == 0 || days[0] <= days[1]);
      if (day && good)
        gtk_widget_remove_css_class (GTK_WIDGET (self->entries[i]), "error");
      else
        gtk_widget_add_css_class (GTK_WIDGET (self->entries[i]), "error");
    }
  if (!good || (days[0] == self->from && days[1] == self->to))
    return;
  self->from = days[0];
  self->to = days[1];
  g_signal_emit (self, changed_signal, 0);
}

static void
td_period_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  if (id == PROP_CHOICE)
    g_value_set_uint (value, gtk_drop_down_get_selected (TD_PERIOD (object)->choice));
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
td_period_set_property (GObject *object, guint id, const GValue *value, GParamSpec *pspec)
{
  if (id == PROP_CHOICE)
    gtk_drop_down_set_selected (TD_PERIOD (object)->choice, g_value_get_uint (value));
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
td_period_dispose (GObject *object)
{
  g_clear_pointer (&TD_PERIOD (object)->box, gtk_widget_unparent);
  G_OBJECT_CLASS (td_period_parent_class)->dispose (object);
}

static void
td_period_class_init (TdPeriodClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);

  object_class->get_property = td_period_get_property;
  object_class->set_property = td_period_set_property;
  object_class->dispose = td_period_dispose;
  properties[PROP_CHOICE] = g_param_spec_uint ("choice", NULL, NULL, 0, N_CHOICES - 1, 0,
                                               G_PARAM_READWRITE | G_PARAM_EXPLICIT_NOTIFY | G_PARAM_STATIC_STRINGS);
  g_object_class_install_properties (object_class, N_PROPS, properties);
  changed_signal
    = g_signal_new ("changed", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  gtk_widget_class_set_layout_manager_type (GTK_WIDGET_CLASS (klass), GTK_TYPE_BIN_LAYOUT);
}

static void
td_period_init (TdPeriod *self)
{
  static const char *const labels[2] = { N_ ("First day, as 2026-03-01"), N_ ("Last day, as 2026-03-31") };
  const char *words[N_CHOICES + 1] = { NULL };

  for (guint i = 0; i < N_CHOICES; i++)
    words[i] = _ (names[i]);
  self->box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);
  gtk_widget_set_parent (self->box, GTK_WIDGET (self));
  self->choice = GTK_DROP_DOWN (gtk_drop_down_new_from_strings (words));
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->choice), GTK_ACCESSIBLE_PROPERTY_LABEL, _ ("Period"), -1);
  gtk_box_append (GTK_BOX (self->box), GTK_WIDGET (self->choice));
  for (guint i = 0; i < 2; i++)
    {
      self->entries[i] = GTK_ENTRY (gtk_entry_new ());
      gtk_editable_set_width_chars (GTK_EDITABLE (self->entries[i]), 10);
      gtk_editable_set_max_width_chars (GTK_EDITABLE (self->entries[i]), 10);
      gtk_widget_set_visible (GTK_WIDGET (self->entries[i]), FALSE);
      gtk_accessible_update_property (GTK_ACCESSIBLE (self->entries[i]), GTK_ACCESSIBLE_PROPERTY_LABEL, _ (labels[i]), -1);
      gtk_box_append (GTK_BOX (self->box), GTK_WIDGET (self->entries[i]));
      g_signal_connect_object (self->entries[i], "changed", G_CALLBACK (typed_cb), self, G_CONNECT_SWAPPED);
    }
  g_signal_connect_object (self->choice, "notify::selected", G_CALLBACK (choice_cb), self, G_CONNECT_SWAPPED);
}

GtkWidget *
td_period_new (void)
{
  return g_object_new (TD_TYPE_PERIOD, NULL);
}

void
td_period_set_today (TdPeriod *self, TdDate today)
{
  g_return_if_fail (TD_IS_PERIOD (self));
  self->today = today;
  find_days (gtk_drop_down_get_selected (self->choice), today, &self->from, &self->to);
  show_days (self);
}

TdDate
td_period_get_from (TdPeriod *self)
{
  g_return_val_if_fail (TD_IS_PERIOD (self), TD_DATE_NONE);
  return self->from;
}

TdDate
td_period_get_to (TdPeriod *self)
{
  g_return_val_if_fail (TD_IS_PERIOD (self), TD_DATE_NONE);
  return self->to;
}
