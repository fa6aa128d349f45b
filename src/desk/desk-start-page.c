#include "desk-start-page.h"

#include "desk-i18n.h"

struct _TdStartPage
{
  GtkWidget parent;
  GtkWidget *root;
  GtkWidget *recent;
  GtkBox *books;
};

G_DEFINE_FINAL_TYPE (TdStartPage, td_start_page, GTK_TYPE_WIDGET)

static void
td_start_page_dispose (GObject *object)
{
  TdStartPage *self = TD_START_PAGE (object);

  g_clear_pointer (&self->root, gtk_widget_unparent);
  G_OBJECT_CLASS (td_start_page_parent_class)->dispose (object);
}

static void
td_start_page_class_init (TdStartPageClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = td_start_page_dispose;
  gtk_widget_class_set_template_from_resource (widget_class, "/tundish/start-page.ui");
  gtk_widget_class_bind_template_child (widget_class, TdStartPage, root);
  gtk_widget_class_bind_template_child (widget_class, TdStartPage, recent);
  gtk_widget_class_bind_template_child (widget_class, TdStartPage, books);
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
}

static void
td_start_page_init (TdStartPage *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
}

/* A book in the list: its name, and where it lies. */
static GtkWidget *
make_book_button (const char *path)
{
  g_autofree char *name = g_path_get_basename (path);
  g_autofree char *folder = g_path_get_dirname (path);
  GtkWidget *button = gtk_button_new ();
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  GtkWidget *title = gtk_label_new (name);
  GtkWidget *place = gtk_label_new (folder);

  gtk_label_set_xalign (GTK_LABEL (title), 0);
  gtk_label_set_xalign (GTK_LABEL (place), 0);
  gtk_label_set_ellipsize (GTK_LABEL (place), PANGO_ELLIPSIZE_START);
  gtk_widget_add_css_class (title, "strong");
  gtk_widget_add_css_class (place, "faint");
  gtk_widget_set_margin_top (box, 6);
  gtk_widget_set_margin_bottom (box, 6);
  gtk_box_append (GTK_BOX (box), title);
  gtk_box_append (GTK_BOX (box), place);
  gtk_button_set_child (GTK_BUTTON (button), box);
  gtk_actionable_set_action_name (GTK_ACTIONABLE (button), "win.open-recent");
  gtk_actionable_set_action_target (GTK_ACTIONABLE (button), "s", path);
  gtk_accessible_update_property (GTK_ACCESSIBLE (button), GTK_ACCESSIBLE_PROPERTY_LABEL, name,
                                  GTK_ACCESSIBLE_PROPERTY_DESCRIPTION, folder, -1);
  return button;
}

GtkWidget *
td_start_page_new (TdContext *context)
{
  TdStartPage *self = g_object_new (TD_TYPE_START_PAGE, NULL);
  g_auto (GStrv) paths = NULL;
  guint shown = 0;

  g_return_val_if_fail (TD_IS_CONTEXT (context), GTK_WIDGET (self));
  paths = td_state_get_recent (td_context_get_state (context));
  for (guint i = 0; paths[i] != NULL; i++)
    {
      if (!g_file_test (paths[i], G_FILE_TEST_EXISTS))
        continue;
      gtk_box_append (self->books, make_book_button (paths[i]));
      shown++;
    }
  gtk_widget_set_visible (self->recent, shown > 0);
  return GTK_WIDGET (self);
}
