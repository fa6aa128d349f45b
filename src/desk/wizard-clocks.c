#include "wizard-clocks.h"

#include "desk-i18n.h"
#include "model-clock.h"

struct _TdWizardClocks
{
  GtkWidget parent;
  TdSession *session;
  GtkWidget *box;
};

G_DEFINE_FINAL_TYPE (TdWizardClocks, td_wizard_clocks, GTK_TYPE_WIDGET)

/* One face: title, time, words. */
static GtkWidget *
make_face (void)
{
  GtkWidget *face = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  static const char *const classes[] = { "clock-title", "clock-time", "clock-words" };

  gtk_widget_add_css_class (face, "clock");
  for (gsize i = 0; i < G_N_ELEMENTS (classes); i++)
    {
      GtkWidget *label = gtk_label_new (NULL);

      gtk_label_set_xalign (GTK_LABEL (label), 0);
      gtk_label_set_ellipsize (GTK_LABEL (label), PANGO_ELLIPSIZE_END);
      gtk_widget_add_css_class (label, classes[i]);
      gtk_box_append (GTK_BOX (face), label);
    }
  return face;
}

static void
show_face (GtkWidget *face, const TdContactClock *clock, gboolean half)
{
  GtkWidget *title = gtk_widget_get_first_child (face);
  GtkWidget *time = gtk_widget_get_next_sibling (title);
  GtkWidget *words = gtk_widget_get_next_sibling (time);
  g_autofree char *text = td_contact_to_text (clock->contact_ms);
  g_autofree char *said = td_contact_clock_to_words (clock);
  const char *classes[] = { "clock", td_clock_state_to_text (clock->state), half ? "half" : NULL, NULL };

  gtk_label_set_label (GTK_LABEL (title), clock->title);
  gtk_label_set_label (GTK_LABEL (time), text);
  gtk_label_set_label (GTK_LABEL (words), said);
  gtk_widget_set_css_classes (face, classes);
}

/* Two in a row, so that all of them are in sight; the last of an odd number has the row for itself. */
static void
place_face (TdWizardClocks *self, GtkWidget *face, guint i, gboolean half)
{
  GtkLayoutManager *layout = gtk_widget_get_layout_manager (self->box);
  GtkGridLayoutChild *child = GTK_GRID_LAYOUT_CHILD (gtk_layout_manager_get_layout_child (layout, face));

  gtk_grid_layout_child_set_column (child, (int) (i % 2));
  gtk_grid_layout_child_set_row (child, (int) (i / 2));
  gtk_grid_layout_child_set_column_span (child, half ? 1 : 2);
}

static void
show (TdWizardClocks *self)
{
  g_autoptr (GPtrArray) clocks
    = td_contact_clocks_new (td_session_get_visit (self->session), td_session_get_now_ms (self->session));
  GtkWidget *face = gtk_widget_get_first_child (self->box);

  for (guint i = 0; i < clocks->len; i++)
    {
      gboolean half = i % 2 == 1 || i + 1 < clocks->len;

      if (face == NULL)
        {
          face = make_face ();
          gtk_grid_attach (GTK_GRID (self->box), face, 0, (int) i, 1, 1);
        }
      place_face (self, face, i, half);
      show_face (face, g_ptr_array_index (clocks, i), half);
      face = gtk_widget_get_next_sibling (face);
    }
  while (face != NULL)
    {
      GtkWidget *next = gtk_widget_get_next_sibling (face);

      gtk_grid_remove (GTK_GRID (self->box), face);
      face = next;
    }
}

void
td_wizard_clocks_set_session (TdWizardClocks *self, TdSession *session)
{
  g_return_if_fail (TD_IS_WIZARD_CLOCKS (self));
  if (self->session != NULL)
    g_signal_handlers_disconnect_by_data (self->session, self);
  g_set_object (&self->session, session);
  if (session == NULL)
    return;
  g_signal_connect_object (session, "changed", G_CALLBACK (show), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (session, "tick", G_CALLBACK (show), self, G_CONNECT_SWAPPED);
  show (self);
}

static void
td_wizard_clocks_dispose (GObject *object)
{
  TdWizardClocks *self = TD_WIZARD_CLOCKS (object);

  g_clear_pointer (&self->box, gtk_widget_unparent);
  g_clear_object (&self->session);
  G_OBJECT_CLASS (td_wizard_clocks_parent_class)->dispose (object);
}

static void
td_wizard_clocks_class_init (TdWizardClocksClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = td_wizard_clocks_dispose;
  gtk_widget_class_set_layout_manager_type (GTK_WIDGET_CLASS (klass), GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_set_accessible_role (GTK_WIDGET_CLASS (klass), GTK_ACCESSIBLE_ROLE_TIMER);
}

static void
td_wizard_clocks_init (TdWizardClocks *self)
{
  self->box = gtk_grid_new ();
  gtk_grid_set_column_homogeneous (GTK_GRID (self->box), TRUE);
  gtk_grid_set_column_spacing (GTK_GRID (self->box), 6);
  gtk_grid_set_row_spacing (GTK_GRID (self->box), 6);
  gtk_widget_set_parent (self->box, GTK_WIDGET (self));
  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_LABEL, _ ("Contact clocks"), -1);
}
