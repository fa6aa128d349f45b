#include "wizard-form-private.h"

#include "desk-format.h"
#include "desk-i18n.h"
#include "model-hint.h"
#include "wizard-form-body.h"

/* What the tool says to what is filled in. */

static void
add_hint (GtkBox *box, TdHintTone tone, const char *text)
{
  static const char *const classes[] = { "hint-plain", "hint-good", "hint-off" };
  static const char *const icons[] = { "td-advice-symbolic", "td-done-symbolic", "td-stop-symbolic" };
  GtkWidget *row = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);
  GtkWidget *icon = gtk_image_new_from_icon_name (icons[tone]);
  GtkWidget *label = gtk_label_new (text);

  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_widget_set_hexpand (label, TRUE);
  gtk_widget_add_css_class (row, "hint");
  gtk_widget_add_css_class (row, classes[tone]);
  gtk_box_append (GTK_BOX (row), icon);
  gtk_box_append (GTK_BOX (row), label);
  gtk_box_append (box, row);
}

static void
remove_children (GtkBox *box)
{
  GtkWidget *child;

  while ((child = gtk_widget_get_first_child (GTK_WIDGET (box))) != NULL)
    gtk_box_remove (box, child);
}

void
td_wizard_form_show_hints (TdWizardForm *self)
{
  TdVisit *visit = td_session_get_visit (self->session);
  g_autoptr (TdJson) body = td_form_body_make (self->fields, self->preset, NULL);
  g_autoptr (GPtrArray) hints = NULL;

  remove_children (self->hints);
  remove_children (self->more_hints);
  if ((self->late || self->whole) && self->act != NULL)
    {
      g_autoptr (GPtrArray) missing
        = td_act_ask_guard (self->act, visit, NULL, td_session_get_person (self->session),
                            td_session_get_now_ms (self->session));

      add_hint (self->hints, TD_HINT_PLAIN, _ ("It has happened: say when. What was missing is found and a reason asked for."));
      for (guint i = 0; i < MIN (missing->len, 4); i++)
        add_hint (self->hints, TD_HINT_OFF, ((const TdMissing *) g_ptr_array_index (missing, i))->text);
    }
  if (body == NULL || self->whole)
    return;
  hints = td_hints_new (visit, self->kind, body, td_format_get_style ());
  for (guint i = 0; i < hints->len; i++)
    {
      const TdHint *hint = g_ptr_array_index (hints, i);

      /* The last speaks of what is typed. */
      add_hint (i == 0 || i + 1 == hints->len ? self->hints : self->more_hints, hint->tone, hint->text);
    }
}
