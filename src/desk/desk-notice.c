#include "desk-notice.h"

struct _TdNotice
{
  GtkWidget parent;
  GtkWidget *revealer;
  GtkWidget *bar;
  GtkImage *icon;
  GtkLabel *what;
  GtkLabel *detail;
};

G_DEFINE_FINAL_TYPE (TdNotice, td_notice, GTK_TYPE_WIDGET)

static void
show (TdNotice *self, gboolean failed, const char *what, const char *detail)
{
  gtk_label_set_label (self->what, what);
  gtk_label_set_label (self->detail, detail != NULL ? detail : "");
  gtk_widget_set_visible (GTK_WIDGET (self->detail), detail != NULL && *detail != '\0');
  gtk_image_set_from_icon_name (self->icon, failed ? "td-overdue-symbolic" : "td-done-symbolic");
  if (failed)
    gtk_widget_add_css_class (self->bar, "failed");
  else
    gtk_widget_remove_css_class (self->bar, "failed");
  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_LABEL, what,
                                  GTK_ACCESSIBLE_PROPERTY_DESCRIPTION, detail != NULL ? detail : "", -1);
  gtk_widget_set_visible (GTK_WIDGET (self), TRUE);
  gtk_revealer_set_reveal_child (GTK_REVEALER (self->revealer), TRUE);
}

/* The focus goes on to the page before what held it is hidden: it must not be lost, nor must a hidden
 * widget be left behind as somebody's focus child, which GTK 4.8 never lets go. */
static void
pass_focus_on (TdNotice *self)
{
  GtkRoot *root = gtk_widget_get_root (GTK_WIDGET (self));
  GtkWidget *focus = root != NULL ? gtk_root_get_focus (root) : NULL;

  if (focus == NULL || !gtk_widget_is_ancestor (focus, GTK_WIDGET (self)))
    return;
  if (!gtk_widget_child_focus (gtk_widget_get_parent (GTK_WIDGET (self)), GTK_DIR_TAB_FORWARD))
    gtk_root_set_focus (root, NULL);
}

static void
dismiss_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  td_notice_clear (TD_NOTICE (widget));
}

static void
td_notice_dispose (GObject *object)
{
  TdNotice *self = TD_NOTICE (object);

  g_clear_pointer (&self->revealer, gtk_widget_unparent);
  G_OBJECT_CLASS (td_notice_parent_class)->dispose (object);
}

static void
td_notice_class_init (TdNoticeClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = td_notice_dispose;
  gtk_widget_class_set_template_from_resource (widget_class, "/tundish/notice.ui");
  gtk_widget_class_bind_template_child (widget_class, TdNotice, revealer);
  gtk_widget_class_bind_template_child (widget_class, TdNotice, bar);
  gtk_widget_class_bind_template_child (widget_class, TdNotice, icon);
  gtk_widget_class_bind_template_child (widget_class, TdNotice, what);
  gtk_widget_class_bind_template_child (widget_class, TdNotice, detail);
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_set_css_name (widget_class, "notice");
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_ALERT);
  gtk_widget_class_install_action (widget_class, "notice.dismiss", NULL, dismiss_action);
}

static void
td_notice_init (TdNotice *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
  gtk_widget_set_visible (GTK_WIDGET (self), FALSE);
}

void
td_notice_show_error (TdNotice *self, const char *what, const GError *error)
{
  g_return_if_fail (TD_IS_NOTICE (self));
  g_return_if_fail (what != NULL && error != NULL);
  show (self, TRUE, what, error->message);
}

void
td_notice_show_done (TdNotice *self, const char *text)
{
  g_return_if_fail (TD_IS_NOTICE (self) && text != NULL);
  show (self, FALSE, text, NULL);
}

void
td_notice_clear (TdNotice *self)
{
  g_return_if_fail (TD_IS_NOTICE (self));
  pass_focus_on (self);
  gtk_revealer_set_reveal_child (GTK_REVEALER (self->revealer), FALSE);
  gtk_widget_set_visible (GTK_WIDGET (self), FALSE);
}

char *
td_notice_get_text (TdNotice *self)
{
  g_return_val_if_fail (TD_IS_NOTICE (self), NULL);
  if (!gtk_revealer_get_reveal_child (GTK_REVEALER (self->revealer)))
    return NULL;
  return g_strdup_printf ("%s\n%s", gtk_label_get_label (self->what), gtk_label_get_label (self->detail));
}
