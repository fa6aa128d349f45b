/* What the parts of the place of chemicals share. */
#include "desk-chem-view.h"

GtkWidget *
td_chem_bar_new (void)
{
  GtkWidget *bar = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);

  gtk_widget_set_margin_start (bar, 12);
  gtk_widget_set_margin_end (bar, 12);
  gtk_widget_set_margin_bottom (bar, 8);
  return bar;
}

GtkDropDown *
td_chem_choice_new (const char *label)
{
  GtkWidget *choice = gtk_drop_down_new (NULL, NULL);

  gtk_accessible_update_property (GTK_ACCESSIBLE (choice), GTK_ACCESSIBLE_PROPERTY_LABEL, label, -1);
  gtk_widget_set_tooltip_text (choice, label);
  return GTK_DROP_DOWN (choice);
}

void
td_chem_choice_set (GtkDropDown *choice, const char *const *words)
{
  g_autoptr (GtkStringList) list = gtk_string_list_new (words);
  g_autoptr (GtkExpression) expression = gtk_property_expression_new (GTK_TYPE_STRING_OBJECT, NULL, "string");
  guint selected = gtk_drop_down_get_selected (choice);

  gtk_drop_down_set_expression (choice, expression);
  gtk_drop_down_set_model (choice, G_LIST_MODEL (list));
  if (selected < g_list_model_get_n_items (G_LIST_MODEL (list)))
    gtk_drop_down_set_selected (choice, selected);
}
