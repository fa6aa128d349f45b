#include "wizard-form-private.h"

#include "model-proposal.h"
#include "wizard-form-body.h"

#include <string.h>

/* The fields of a form: found, placed, proposed anew. */

TdWizardField *
td_wizard_form_find (TdWizardForm *self, const char *key)
{
  for (guint i = 0; i < self->fields->len; i++)
    if (strcmp (td_wizard_field_get_field (g_ptr_array_index (self->fields, i))->key, key) == 0)
      return g_ptr_array_index (self->fields, i);
  return NULL;
}

static void
put (TdWizardForm *self, const TdJson *body, const char *key)
{
  TdWizardField *field = td_wizard_form_find (self, key);
  const TdJson *value = td_json_get_member (body, key);

  if (field != NULL && value != NULL)
    td_wizard_field_set_value (field, value);
}

void
td_wizard_form_follow_product (TdWizardForm *self)
{
  TdVisit *visit = td_session_get_visit (self->session);
  TdMasters *masters = td_session_get_masters (self->session);
  TdWizardField *lot = td_wizard_form_find (self, "lot");
  g_autoptr (TdJson) body = td_form_body_make (self->fields, self->preset, NULL);
  const TdJson *id = body != NULL ? td_json_get_member (body, "product") : NULL;
  const TdProduct *product = id != NULL ? td_masters_find_product (masters, td_json_get_string (id)) : NULL;
  g_autoptr (TdJson) proposed = NULL;
  TdMoment now = td_session_get_moment (self->session);
  static const char *const keys[] = { "lot", "concentrate_ml", "water_ml", "percent_milli", "basis" };

  if (product == NULL || g_strcmp0 (self->product, product->id) == 0)
    return;
  g_free (self->product);
  self->product = g_strdup (product->id);
  if (lot != NULL)
    td_wizard_field_set_product (lot, product->id);
  proposed = td_propose_amounts (visit, product, td_propose_lot (visit, product, td_moment_get_date (&now)),
                                 td_visit_get_solution_l (visit));
  for (gsize i = 0; i < G_N_ELEMENTS (keys); i++)
    put (self, proposed, keys[i]);
}

/* Figures first, which are read off and poured; lines last, which are many. */
static int
get_rank (const TdField *field)
{
  return field->type == TD_FIELD_INTEGER ? 0 : field->type == TD_FIELD_LINES ? 2 : 1;
}

void
td_wizard_form_place (TdWizardForm *self)
{
  int row = 0, column = 0;

  for (int rank = 0; rank < 3; rank++)
    for (guint i = 0; i < self->fields->len; i++)
      {
        TdWizardField *field = g_ptr_array_index (self->fields, i);
        gboolean wide = td_wizard_field_is_wide (field);

        if (get_rank (td_wizard_field_get_field (field)) != rank)
          continue;
        if (wide && column == 1)
          {
            row++;
            column = 0;
          }
        gtk_grid_attach (self->grid, GTK_WIDGET (field), column, row, wide ? 2 : 1, 1);
        if (wide || column == 1)
          {
            row++;
            column = 0;
          }
        else
          column = 1;
      }
}

void
td_wizard_form_focus_first (TdWizardForm *self)
{
  GtkWidget *first = NULL;

  for (guint i = 0; i < self->fields->len; i++)
    {
      TdWizardField *field = g_ptr_array_index (self->fields, i);
      const TdField *known = td_wizard_field_get_field (field);
      gboolean typed = known->type == TD_FIELD_INTEGER || known->type == TD_FIELD_TEXT || known->type == TD_FIELD_PROSE;

      if (td_wizard_field_is_empty (field) && known->required && (first == NULL || typed))
        {
          first = GTK_WIDGET (field);
          if (typed)
            break;
        }
    }
  /* A figure that may be left out is what one came for where all else is known. */
  for (guint i = 0; i < self->fields->len && first == NULL; i++)
    {
      TdWizardField *field = g_ptr_array_index (self->fields, i);

      if (td_wizard_field_is_empty (field) && td_wizard_field_get_field (field)->type == TD_FIELD_INTEGER)
        first = GTK_WIDGET (field);
    }
  gtk_adjustment_set_value (gtk_scrolled_window_get_vadjustment (self->scroller), 0);
  if (first == NULL || !gtk_widget_grab_focus (first))
    gtk_widget_grab_focus (self->commit);
}
