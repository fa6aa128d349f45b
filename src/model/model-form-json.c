/* A form as the object of its file, and errors of the file's reader back to the fields. */
#include "core-error.h"
#include "core-json-build.h"
#include "core-json-write.h"
#include "core-leg.h"
#include "core-tubing.h"
#include "model-form-private.h"
#include "model-i18n.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* How a form is written. */
typedef struct
{
  GString *text;
  GArray *places; /* NULL: only looked at, what is wrong is left out and not told */
  TdForm *only;   /* of all lines this one; NULL for every one */
} Target;

static gboolean
write_form (TdForm *self, const Target *target);

static void
end_line (const Target *target, TdForm *form, int field)
{
  TdFormPlace place = { form, field };

  g_string_append_c (target->text, '\n');
  if (target->places != NULL)
    g_array_append_val (target->places, place);
}

static gboolean
write_list (TdForm *self, guint i, const Target *target)
{
  GString *text = target->text;
  gboolean first = TRUE;
  GListModel *items = td_form_get_items (self, i);
  gboolean good = TRUE;

  g_string_append_c (text, '[');
  end_line (target, self, (int) i);
  for (guint j = 0; j < g_list_model_get_n_items (items); j++)
    {
      g_autoptr (TdForm) item = g_list_model_get_item (items, j);

      if (target->only != NULL && td_form_get_form_type (item) == &td_form_line && item != target->only)
        continue;
      if (!first)
        g_string_append_c (text, ',');
      first = FALSE;
      good &= write_form (item, target);
    }
  g_string_append_c (text, ']');
  return good;
}

/* Appends the field's value; nothing where it is empty. FALSE where its text cannot be read. */
static gboolean
write_value (TdForm *self, guint i, const Target *target)
{
  GString *text = target->text;
  const TdFormField *field = &td_form_get_form_type (self)->fields[i];
  g_autofree char *loaded = td_form_make_loaded (self, i);
  g_autoptr (GError) error = NULL;
  gsize before = text->len;

  if (field->kind == TD_FORM_ITEMS)
    {
      if (g_list_model_get_n_items (td_form_get_items (self, i)) == 0 && !field->required)
        return TRUE;
      return write_list (self, i, target);
    }
  if (loaded != NULL)
    g_string_append (text, loaded);
  else if (!td_form_field_parse (field, td_form_get_text (self, i), td_form_get_style (self), text, &error))
    {
      if (target->places == NULL)
        return TRUE;
      td_form_set_error (self, (int) i, error->message);
      return FALSE;
    }
  /* A row that is new to the book has no id yet; the book gives it one. */
  if (text->len == before && field->kind == TD_FORM_KEY)
    g_string_append (text, "\"new\"");
  if (text->len == before && field->required && target->places != NULL)
    {
      td_form_set_error (self, (int) i, _ ("This is needed."));
      return FALSE;
    }
  return TRUE;
}

/* "site" of "site.zone"; NULL where the key stands by itself. (transfer full) */
static char *
get_section (const char *key)
{
  const char *dot = strchr (key, '.');

  return dot != NULL ? g_strndup (key, dot - key) : NULL;
}

typedef struct
{
  const Target *target;
  TdForm *form;
  char *section; /* that is open */
  gboolean first;
} Writer;

static void
close_section (Writer *writer)
{
  if (writer->section == NULL)
    return;
  g_string_append_c (writer->target->text, '}');
  g_clear_pointer (&writer->section, g_free);
  writer->first = FALSE;
}

/* Puts a comma and the key in front of a value. */
static void
begin_member (Writer *writer, const char *key, int field)
{
  GString *text = writer->target->text;
  g_autofree char *section = get_section (key);

  if (g_strcmp0 (section, writer->section) != 0)
    close_section (writer);
  if (!writer->first)
    g_string_append_c (text, ',');
  if (section != NULL && writer->section == NULL)
    {
      td_json_append_string (text, section);
      g_string_append (text, ": {");
      end_line (writer->target, writer->form, field);
      writer->section = g_strdup (section);
    }
  writer->first = FALSE;
  td_json_append_string (text, section != NULL ? key + strlen (section) + 1 : key);
  g_string_append (text, ": ");
}

/* TRUE where a field, or fields in a section, stand for the key. */
static gboolean
is_known (const TdFormType *type, const char *key)
{
  gsize length = strlen (key);

  for (guint i = 0; i < type->n_fields; i++)
    if (g_str_has_prefix (type->fields[i].key, key)
        && (type->fields[i].key[length] == '\0' || type->fields[i].key[length] == '.'))
      return TRUE;
  return strcmp (key, "format") == 0;
}

/* What the form does not show stays as it was. */
static void
write_rest (Writer *writer)
{
  const TdJson *source = td_form_get_source (writer->form);
  const TdFormType *type = td_form_get_form_type (writer->form);

  if (source == NULL || type->as_array)
    return;
  for (guint i = 0; i < td_json_get_length (source); i++)
    {
      g_autofree char *text = td_json_to_text (td_json_get_element (source, i), FALSE);

      if (is_known (type, td_json_get_key (source, i)))
        continue;
      begin_member (writer, td_json_get_key (source, i), -1);
      g_string_append (writer->target->text, text);
      end_line (writer->target, writer->form, -1);
    }
}

static gboolean
write_form (TdForm *self, const Target *target)
{
  const TdFormType *type = td_form_get_form_type (self);
  Writer writer = { target, self, NULL, TRUE };
  GString *text = target->text;
  gboolean good = TRUE;

  g_string_append_c (text, type->as_array ? '[' : '{');
  if (type == &td_form_site)
    {
      g_string_append (text, "\"format\": \"" TD_SITE_FORMAT "\"");
      writer.first = FALSE;
    }
  end_line (target, self, -1);
  for (guint i = 0; i < type->n_fields; i++)
    {
      gsize before = text->len, lines = target->places != NULL ? target->places->len : 0;
      g_autofree char *section = g_strdup (writer.section);
      gboolean first = writer.first;
      gsize start;

      if (type->as_array)
        g_string_append (text, i > 0 ? "," : "");
      else
        begin_member (&writer, type->fields[i].key, (int) i);
      start = text->len;
      good &= write_value (self, i, target);
      if (text->len > start)
        {
          end_line (target, self, (int) i);
          continue;
        }
      /* Nothing stands there: the key goes again, and a section that it opened or closed is as before. */
      g_string_truncate (text, before);
      if (target->places != NULL)
        g_array_set_size (target->places, (guint) lines);
      g_free (writer.section);
      writer.section = g_steal_pointer (&section);
      writer.first = first;
    }
  close_section (&writer);
  write_rest (&writer);
  g_string_append_c (text, type->as_array ? ']' : '}');
  end_line (target, self, -1);
  return good;
}

/* Where the message names a key, in quotes or brackets or at its beginning; NULL where it does not. */
static const char *
find_name (const char *message, const char *key)
{
  const char *dot = strrchr (key, '.');
  const char *first = g_str_has_prefix (message, key) ? message : NULL;

  for (int i = 0; i < 2; i++)
    {
      g_autofree char *name = i == 0 ? g_strdup_printf ("\"%s\"", dot != NULL ? dot + 1 : key)
                                     : g_strdup_printf ("(%s)", dot != NULL ? dot + 1 : key);
      const char *at = strstr (message, name);

      if (at != NULL && (first == NULL || at < first))
        first = at;
    }
  return first;
}

/* A reader that misses a key or a part tells the place of the object and the key in its words: the first
 * that it names. */
static int
find_named_field (TdForm *form, const char *message)
{
  const TdFormType *type = td_form_get_form_type (form);
  const char *first = NULL;
  int found = -1;

  for (guint i = 0; i < type->n_fields; i++)
    {
      const char *at = find_name (message, type->fields[i].key);

      if (at == NULL || (first != NULL && at >= first))
        continue;
      first = at;
      found = (int) i;
    }
  return found;
}

static void
place_error (TdForm *root, const GArray *places, const char *message, TdForm **wrong_out, int *field_out)
{
  guint line = 0, column = 0;
  int length = 0;
  TdFormPlace place = { root, -1 };

  if (sscanf (message, "line %u, column %u: %n", &line, &column, &length) == 2 && length > 0)
    {
      message += length;
      if (line >= 1 && line <= places->len)
        place = g_array_index (places, TdFormPlace, line - 1);
    }
  if (place.field < 0)
    place.field = find_named_field (place.form, message);
  td_form_set_error (place.form, place.field, message);
  *wrong_out = place.form;
  *field_out = place.field;
}

/* The first form with an error, in the order in which they are shown. */
static gboolean
find_wrong (TdForm *form, TdForm **wrong_out, int *field_out)
{
  const TdFormType *type = td_form_get_form_type (form);

  for (guint i = 0; i < type->n_fields; i++)
    {
      GListModel *items = td_form_get_items (form, i);

      if (td_form_get_error (form, i) != NULL)
        {
          *wrong_out = form;
          *field_out = (int) i;
          return TRUE;
        }
      for (guint j = 0; items != NULL && j < g_list_model_get_n_items (items); j++)
        {
          g_autoptr (TdForm) item = g_list_model_get_item (items, j);

          if (find_wrong (item, wrong_out, field_out))
            return TRUE;
        }
    }
  return FALSE;
}

TdJson *
td_form_check (TdForm *root, TdForm **wrong_out, int *field_out)
{
  const TdFormType *type;
  g_autoptr (GString) text = g_string_new (NULL);
  g_autoptr (GArray) places = g_array_new (FALSE, FALSE, sizeof (TdFormPlace));
  g_autoptr (TdJson) file = NULL;
  g_autoptr (GError) error = NULL;
  TdForm *wrong = root;
  int field = -1;
  gsize head;
  gboolean good;

  g_return_val_if_fail (TD_IS_FORM (root) && td_form_get_parent (root) == NULL, NULL);
  type = td_form_get_form_type (root);
  td_form_clear_errors (root);
  g_string_append (text, type->head);
  head = text->len;
  good = write_form (root, &(Target){ text, places, NULL });
  if (good)
    {
      g_autofree char *object = g_strdup (text->str + head);

      g_string_append (text, type->tail);
      file = td_json_parse (text->str, -1, &error);
      if (file != NULL && (type->check == NULL || type->check (file, &error)))
        return td_json_parse (object, -1, NULL);
      place_error (root, places, error->message, &wrong, &field);
    }
  else
    find_wrong (root, &wrong, &field);
  if (wrong_out != NULL)
    *wrong_out = wrong;
  if (field_out != NULL)
    *field_out = field;
  return NULL;
}

gboolean
td_form_take_error (TdForm *root, const char *message)
{
  g_autoptr (GArray) places = g_array_new (FALSE, FALSE, sizeof (TdFormPlace));
  TdForm *wrong = NULL;
  int field = -1;

  g_return_val_if_fail (TD_IS_FORM (root) && message != NULL, FALSE);
  place_error (root, places, message, &wrong, &field);
  return field >= 0;
}

/* The line that the form is or belongs to. */
static TdForm *
find_line (TdForm *form)
{
  while (form != NULL && td_form_get_form_type (form) != &td_form_line)
    form = td_form_get_parent (form);
  return form;
}

/* A sheet with the line alone, with the places, pump, solution and limits of the site. (transfer full) */
static TdSite *
make_mini_site (TdForm *line)
{
  g_autoptr (GString) text = g_string_new (NULL);

  write_form (td_form_get_root (line), &(Target){ text, NULL, line });
  return td_site_parse (text->str, -1, NULL);
}

char *
td_form_make_figures (TdForm *self, const TdSettings *settings)
{
  TdForm *line;
  const TdUnitStyle *style;
  g_autoptr (TdSite) site = NULL;
  g_autoptr (TdLegModel) model = NULL;
  g_autofree char *volume = NULL, *loss = NULL, *flow = NULL, *rise = NULL;
  double rise_m;

  g_return_val_if_fail (TD_IS_FORM (self), NULL);
  line = find_line (self);
  site = line != NULL ? make_mini_site (line) : NULL;
  model = site != NULL && site->n_lines == 1 ? td_leg_model_new (site, settings, NULL) : NULL;
  if (model == NULL)
    return NULL;
  style = td_form_get_style (self);
  rise_m = site->towers[site->lines[0].tower].height_m - site->coolers[site->lines[0].cooler].height_m;
  volume = td_quantity_format (TD_QUANTITY_VOLUME, td_leg_model_get_volume_ml (model, 0), style);
  loss = td_quantity_format (TD_QUANTITY_LENGTH, (double) td_leg_model_get_loss_um (model, 0) / 1e6, style);
  flow = td_quantity_format (TD_QUANTITY_FLOW, td_leg_model_get_min_flow_l_min (model), style);
  rise = td_quantity_format (TD_QUANTITY_LENGTH, fabs (rise_m), style);
  if (rise_m < 0)
    return g_strdup_printf (_ ("Holds %s. Costs %s of head at %s, its jumper hose included. Falls %s."), volume, loss,
                            flow, rise);
  return g_strdup_printf (_ ("Holds %s. Costs %s of head at %s, its jumper hose included. Rises %s."), volume, loss,
                          flow, rise);
}
