#include "desk-bill-row.h"

#include "core-money.h"
#include "desk-format.h"
#include "desk-i18n.h"

struct _TdBillRow
{
  GtkWidget parent;
  TdBillItem *item;
  gulong notified;
  guint position;
  gboolean selected;

  GtkWidget *root;
  GtkCheckButton *mark;
  GtkInscription *title;
  GtkInscription *detail;
  GtkInscription *sum;
  GtkInscription *open;
  GtkWidget *chip;
  GtkImage *sign;
  GtkLabel *state;
};

G_DEFINE_FINAL_TYPE (TdBillRow, td_bill_row, GTK_TYPE_WIDGET)

enum
{
  PROP_0,
  PROP_ITEM,
  PROP_POSITION,
  PROP_SELECTED,
  PROP_PLAIN,
  N_PROPS
};

static GParamSpec *properties[N_PROPS];

static const struct
{
  const char *icon;
  const char *style_class;
  const char *word; /* NULL: counted in days */
} states[TD_BILL_N_STATES] = {
  [TD_BILL_READY] = { "td-later-symbolic", "later", N_ ("On a draft") },
  [TD_BILL_HELD] = { "td-stop-symbolic", "today", NULL },
  [TD_BILL_WAITING] = { "td-reason-symbolic", "overdue", N_ ("Cannot be drafted") },
  [TD_BILL_DRAFT] = { "td-later-symbolic", "later", N_ ("Draft") },
  [TD_BILL_DRAFT_CREDIT] = { "td-reason-symbolic", "today", N_ ("Credit proposed") },
  [TD_BILL_OPEN] = { "td-soon-symbolic", "soon", N_ ("To be paid") },
  [TD_BILL_OVERDUE] = { "td-overdue-symbolic", "overdue", NULL },
  [TD_BILL_PAID] = { "td-done-symbolic", "quiet", N_ ("Settled") },
  [TD_BILL_CREDIT] = { "td-done-symbolic", "quiet", N_ ("Credit note") },
  [TD_BILL_ACCOUNT] = { "td-done-symbolic", "quiet", N_ ("Nothing open") },
};

char *
td_bill_format_state (const TdBill *bill)
{
  g_return_val_if_fail (bill != NULL && bill->state < TD_BILL_N_STATES, NULL);
  if (bill->state == TD_BILL_HELD)
    return g_strdup_printf (g_dngettext (GETTEXT_PACKAGE, "Held %d day", "Held %d days", (gulong) bill->days),
                            bill->days);
  if (bill->state == TD_BILL_OVERDUE || (bill->state == TD_BILL_ACCOUNT && bill->days > 0))
    return g_strdup_printf (g_dngettext (GETTEXT_PACKAGE, "Overdue %d day", "Overdue %d days", (gulong) bill->days),
                            bill->days);
  if (bill->state == TD_BILL_ACCOUNT && bill->open_minor != 0)
    return g_strdup (_ (states[TD_BILL_OPEN].word));
  return g_strdup (_ (states[bill->state].word));
}

/* An account is shown as what it owes. */
static TdBillState
get_look (const TdBill *bill)
{
  if (bill->state == TD_BILL_ACCOUNT && bill->open_minor != 0)
    return bill->days > 0 ? TD_BILL_OVERDUE : TD_BILL_OPEN;
  return bill->state;
}

char *
td_bill_format_title (const TdBill *bill)
{
  g_return_val_if_fail (bill != NULL, NULL);
  switch (bill->state)
    {
    case TD_BILL_OPEN:
    case TD_BILL_OVERDUE:
    case TD_BILL_PAID:
    case TD_BILL_CREDIT:
      return td_format_pair (NULL, bill->number, bill->who);
    case TD_BILL_READY:
    case TD_BILL_HELD:
    case TD_BILL_WAITING:
    case TD_BILL_DRAFT:
    case TD_BILL_DRAFT_CREDIT:
    case TD_BILL_ACCOUNT:
    default:
      return g_strdup (bill->who);
    }
}

static char *
format_issued (const TdBill *bill)
{
  g_autofree char *issued = td_format_date (NULL, bill->date);
  g_autofree char *due = td_format_date (NULL, bill->due);
  g_autofree char *dates = NULL;

  if (bill->state == TD_BILL_CREDIT)
    /* Translators: date of issue, and the number of the invoice that a credit note takes back. */
    dates = g_strdup_printf (_ ("issued %s, takes back %s"), issued, bill->text != NULL ? bill->text : "");
  else
    dates = g_strdup_printf (_ ("issued %s, due %s"), issued, due);
  return td_format_pair (NULL, bill->account, dates);
}

static char *
format_draft (const TdBill *bill)
{
  g_autofree char *lines
    = g_strdup_printf (g_dngettext (GETTEXT_PACKAGE, "%u line", "%u lines", bill->count), bill->count);
  g_autofree char *until = td_format_date (NULL, bill->date);
  /* Translators: how much stands on a draft, and the last day of its work. */
  g_autofree char *about = g_strdup_printf (_ ("%s, work up to %s"), lines, until);
  g_autofree char *head = td_format_pair (NULL, bill->account, about);

  return td_format_pair (NULL, head, bill->text);
}

char *
td_bill_format_detail (const TdBill *bill)
{
  g_autofree char *date = NULL;
  g_autofree char *report = NULL;
  g_autofree char *head = NULL;

  g_return_val_if_fail (bill != NULL, NULL);
  switch (bill->state)
    {
    case TD_BILL_READY:
    case TD_BILL_HELD:
    case TD_BILL_WAITING:
      date = td_format_date (NULL, bill->date);
      report = td_format_pair (NULL, date, bill->number);
      head = td_format_pair (NULL, report, bill->account);
      return td_format_pair (NULL, head, bill->text);
    case TD_BILL_DRAFT:
    case TD_BILL_DRAFT_CREDIT:
      return format_draft (bill);
    case TD_BILL_ACCOUNT:
      report = g_strdup_printf (g_dngettext (GETTEXT_PACKAGE, "%u site", "%u sites", bill->count), bill->count);
      return td_format_pair (NULL, report, bill->account);
    case TD_BILL_OPEN:
    case TD_BILL_OVERDUE:
    case TD_BILL_PAID:
    case TD_BILL_CREDIT:
    default:
      return format_issued (bill);
    }
}

static char *
format_sum (const TdBill *bill)
{
  return bill->currency != NULL ? td_money_to_text (bill->total_minor, bill->currency) : g_strdup ("");
}

/* What is open is said only where it is another sum than the whole. */
static char *
format_open (const TdBill *bill)
{
  g_autofree char *open = NULL;

  if (bill->currency == NULL || (bill->state != TD_BILL_OPEN && bill->state != TD_BILL_OVERDUE)
      || bill->open_minor == bill->total_minor)
    return g_strdup ("");
  open = td_money_to_text (bill->open_minor, bill->currency);
  /* Translators: the part of an invoice that has not been paid. */
  return g_strdup_printf (_ ("%s open"), open);
}

static void
show_chip (TdBillRow *self, const TdBill *bill)
{
  TdBillState look = get_look (bill);
  g_autofree char *state = td_bill_format_state (bill);

  gtk_image_set_from_icon_name (self->sign, states[look].icon);
  gtk_label_set_label (self->state, state);
  if (!gtk_widget_has_css_class (self->chip, states[look].style_class))
    gtk_widget_set_css_classes (self->chip, (const char *[]) { "chip", states[look].style_class, NULL });
}

static void
show_bill (TdBillRow *self)
{
  const TdBill *bill = self->item != NULL ? td_row_get_value (TD_ROW (self->item)) : NULL;
  g_autofree char *title = bill != NULL ? td_bill_format_title (bill) : NULL;
  g_autofree char *detail = bill != NULL ? td_bill_format_detail (bill) : NULL;
  g_autofree char *sum = bill != NULL ? format_sum (bill) : NULL;
  g_autofree char *open = bill != NULL ? format_open (bill) : NULL;
  g_autofree char *name = NULL;
  g_autofree char *label = NULL;

  gtk_inscription_set_text (self->title, title);
  gtk_inscription_set_text (self->detail, detail);
  gtk_inscription_set_text (self->sum, sum);
  gtk_inscription_set_text (self->open, open);
  /* A reason wants the room that no sum takes. */
  gtk_widget_set_visible (gtk_widget_get_parent (GTK_WIDGET (self->sum)), sum != NULL && *sum != '\0');
  gtk_widget_set_visible (self->chip, bill != NULL);
  if (bill == NULL)
    return;
  show_chip (self, bill);
  name = td_format_pair (self, title, sum);
  label = td_format_pair (self, name, gtk_label_get_label (self->state));
  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_LABEL, label, -1);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->mark), GTK_ACCESSIBLE_PROPERTY_LABEL, title, -1);
}

static void
set_item (TdBillRow *self, TdBillItem *item)
{
  if (self->item == item)
    return;
  if (self->item != NULL)
    g_clear_signal_handler (&self->notified, self->item);
  g_set_object (&self->item, item);
  if (item != NULL)
    self->notified = g_signal_connect_swapped (item, "notify::state", G_CALLBACK (show_bill), self);
  show_bill (self);
}

/* The list decides: where it does not follow, the mark goes back. */
static void
toggled_cb (GtkCheckButton *mark, TdBillRow *self)
{
  if (gtk_check_button_get_active (mark) == self->selected)
    return;
  gtk_widget_activate_action (GTK_WIDGET (self), "list.select-item", "(ubb)", self->position, TRUE, FALSE);
  gtk_check_button_set_active (mark, self->selected);
}

static void
open_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  gtk_widget_activate_action (widget, "list.activate-item", "u", TD_BILL_ROW (widget)->position);
}

static void
td_bill_row_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  TdBillRow *self = TD_BILL_ROW (object);

  if (id == PROP_ITEM)
    g_value_set_object (value, self->item);
  else if (id == PROP_POSITION)
    g_value_set_uint (value, self->position);
  else if (id == PROP_SELECTED)
    g_value_set_boolean (value, self->selected);
  else if (id == PROP_PLAIN)
    g_value_set_boolean (value, !gtk_widget_get_visible (GTK_WIDGET (self->mark)));
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
td_bill_row_set_property (GObject *object, guint id, const GValue *value, GParamSpec *pspec)
{
  TdBillRow *self = TD_BILL_ROW (object);

  if (id == PROP_ITEM)
    set_item (self, g_value_get_object (value));
  else if (id == PROP_POSITION)
    self->position = g_value_get_uint (value);
  else if (id == PROP_SELECTED)
    {
      self->selected = g_value_get_boolean (value);
      gtk_check_button_set_active (self->mark, self->selected);
    }
  else if (id == PROP_PLAIN)
    gtk_widget_set_visible (GTK_WIDGET (self->mark), !g_value_get_boolean (value));
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
td_bill_row_dispose (GObject *object)
{
  TdBillRow *self = TD_BILL_ROW (object);

  if (self->item != NULL)
    g_clear_signal_handler (&self->notified, self->item);
  g_clear_object (&self->item);
  g_clear_pointer (&self->root, gtk_widget_unparent);
  G_OBJECT_CLASS (td_bill_row_parent_class)->dispose (object);
}

static void
td_bill_row_class_init (TdBillRowClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);
  const GParamFlags flags = G_PARAM_READWRITE | G_PARAM_STATIC_STRINGS;

  object_class->get_property = td_bill_row_get_property;
  object_class->set_property = td_bill_row_set_property;
  object_class->dispose = td_bill_row_dispose;
  properties[PROP_ITEM] = g_param_spec_object ("item", NULL, NULL, TD_TYPE_BILL_ITEM, flags);
  properties[PROP_POSITION] = g_param_spec_uint ("position", NULL, NULL, 0, G_MAXUINT, 0, flags);
  properties[PROP_SELECTED] = g_param_spec_boolean ("selected", NULL, NULL, FALSE, flags);
  properties[PROP_PLAIN] = g_param_spec_boolean ("plain", NULL, NULL, FALSE, flags);
  g_object_class_install_properties (object_class, N_PROPS, properties);
  gtk_widget_class_set_template_from_resource (widget_class, "/tundish/bill-row.ui");
  gtk_widget_class_bind_template_child (widget_class, TdBillRow, root);
  gtk_widget_class_bind_template_child (widget_class, TdBillRow, mark);
  gtk_widget_class_bind_template_child (widget_class, TdBillRow, title);
  gtk_widget_class_bind_template_child (widget_class, TdBillRow, detail);
  gtk_widget_class_bind_template_child (widget_class, TdBillRow, sum);
  gtk_widget_class_bind_template_child (widget_class, TdBillRow, open);
  gtk_widget_class_bind_template_child (widget_class, TdBillRow, chip);
  gtk_widget_class_bind_template_child (widget_class, TdBillRow, sign);
  gtk_widget_class_bind_template_child (widget_class, TdBillRow, state);
  gtk_widget_class_bind_template_callback (widget_class, toggled_cb);
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_GROUP);
  gtk_widget_class_install_action (widget_class, "row.open", NULL, open_action);
}

static void
td_bill_row_init (TdBillRow *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
}

GtkWidget *
td_bill_row_new (void)
{
  return g_object_new (TD_TYPE_BILL_ROW, NULL);
}
