#include "document-body.h"

#include "document-i18n.h"
#include "document-words.h"

typedef struct
{
  const TdVisit *visit;
  TdUnits units;
  GString *text;
} Writer;

static void write_fields (Writer *writer, const TdField *fields, const TdJson *body);

/* Parts stand apart by a middle dot; a field that needs it has its name in front. */
static void
begin (Writer *writer, const char *key)
{
  const char *name = td_field_name (key);

  if (writer->text->len > 0)
    g_string_append (writer->text, " \xc2\xb7 ");
  if (name != NULL)
    g_string_append_printf (writer->text, "%s ", name);
}

static void
write_text (Writer *writer, const char *key, const char *text)
{
  begin (writer, key);
  g_string_append (writer->text, text);
}

static void
take_text (Writer *writer, const char *key, char *text)
{
  write_text (writer, key, text);
  g_free (text);
}

char *
td_lines_to_words (const TdSite *site, const TdJson *lines)
{
  GString *text = g_string_new (NULL);
  int tower = -1;

  for (guint i = 0; i < td_json_get_length (lines); i++)
    {
      const char *id = td_json_get_string (td_json_get_element (lines, i));
      int index = td_site_find_outlet (site, id);
      const TdOutlet *outlet = index >= 0 ? &site->outlets[index] : NULL;

      if (outlet == NULL || outlet->number == 0)
        {
          g_string_append_printf (text, "%s%s", text->len > 0 ? "; " : "", id);
          tower = -1;
          continue;
        }
      if (tower == (int)outlet->tower)
        g_string_append_printf (text, ", %d", outlet->number);
      else
        g_string_append_printf (text, "%s%s %d", text->len > 0 ? "; " : "",
                                site->towers[outlet->tower].name, outlet->number);
      tower = (int)outlet->tower;
    }
  return g_string_free (text, FALSE);
}

static void
write_line (Writer *writer, const char *key, const char *id)
{
  int outlet = td_site_find_outlet (writer->visit->site, id);

  if (outlet < 0)
    write_text (writer, key, id);
  else
    take_text (writer, key, td_outlet_get_title (writer->visit->site, (guint)outlet));
}

static void
write_integer (Writer *writer, const char *key, gint64 value)
{
  g_autofree char *number = g_strdup_printf ("%" G_GINT64_FORMAT, value);

  if (g_str_has_suffix (key, "flow_ml_min"))
    take_text (writer, key, td_units_flow (writer->units, value));
  else if (g_str_equal (key, "pour_ml_min"))
    take_text (writer, key, td_units_pour_rate (writer->units, value));
  else if (g_str_has_suffix (key, "_ml"))
    take_text (writer, key, td_units_volume (writer->units, value));
  else if (g_str_equal (key, "ph_milli"))
    take_text (writer, key, td_figure_ph (value));
  else if (g_str_has_suffix (key, "percent_milli"))
    take_text (writer, key, td_figure_percent (value));
  else if (g_str_has_suffix (key, "_c_milli"))
    take_text (writer, key, td_units_temperature (writer->units, value));
  else if (g_str_has_suffix (key, "_pa"))
    take_text (writer, key, td_units_pressure (writer->units, value));
  else if (g_str_has_suffix (key, "_ppm"))
    take_text (writer, key, g_strdup_printf ("%s ppm", number));
  else if (g_str_equal (key, "of"))
    take_text (writer, key, g_strdup_printf (_ ("corrects entry %s"), number));
  else
    write_text (writer, key, number);
}

static const char *
find_place (const TdSite *site, const char *id)
{
  int tower = td_site_find_tower (site, id), cooler = td_site_find_cooler (site, id);

  return tower >= 0 ? site->towers[tower].name : cooler >= 0 ? site->coolers[cooler].name : id;
}

static const char *
find_master (const TdMasters *masters, TdFieldType type, const char *id)
{
  const TdProduct *product;
  const TdLot *lot;
  const TdInstrument *instrument;

  switch (type)
    {
    case TD_FIELD_PRODUCT:
      product = td_masters_find_product (masters, id);
      return product != NULL ? product->name : id;
    case TD_FIELD_LOT:
      lot = td_masters_find_lot (masters, id);
      return lot != NULL ? lot->code : id;
    default:
      instrument = td_masters_find_instrument (masters, id);
      return instrument != NULL ? instrument->name : id;
    }
}

static void
write_texts (Writer *writer, const char *key, const TdJson *texts)
{
  g_autoptr (GPtrArray) parts = g_ptr_array_new ();
  gboolean people = g_str_equal (key, "crew");

  for (guint i = 0; i < td_json_get_length (texts); i++)
    {
      const char *text = td_json_get_string (td_json_get_element (texts, i));

      g_ptr_array_add (parts,
                       (gpointer)(people ? td_visit_get_person_name (writer->visit, text) : text));
    }
  g_ptr_array_add (parts, NULL);
  take_text (writer, key, g_strjoinv (", ", (char **)parts->pdata));
}

static const char *
member_text (const TdJson *object, const char *key)
{
  const TdJson *member = td_json_get_member (object, key);

  return member != NULL && td_json_get_kind (member) == TD_JSON_STRING ? td_json_get_string (member)
                                                                       : "";
}

/* "circuit 1 from Tower A: A4 in, A2 out; static B6". */
static void
write_plan (Writer *writer, const TdJson *plan)
{
  const TdJson *circuits = td_json_get_member (plan, "circuits"),
               *statics = td_json_get_member (plan, "static");
  const TdSite *site = writer->visit->site;
  GString *text = g_string_new (NULL);

  for (guint i = 0; circuits != NULL && i < td_json_get_length (circuits); i++)
    {
      const TdJson *circuit = td_json_get_element (circuits, i),
                   *legs = td_json_get_member (circuit, "legs");

      g_string_append_printf (text, _ ("%scircuit %d from %s: "), i > 0 ? "; " : "",
                              (int)td_json_get_integer (td_json_get_member (circuit, "number")),
                              find_place (site, member_text (circuit, "station")));
      for (guint j = 0; j < td_json_get_length (legs); j++)
        {
          const TdJson *leg = td_json_get_element (legs, j);
          int outlet = td_site_find_outlet (site, member_text (leg, "line"));
          g_autofree char *title = outlet >= 0 ? td_outlet_get_title (site, (guint)outlet)
                                               : g_strdup (member_text (leg, "line"));

          g_string_append_printf (text, "%s%s %s", j > 0 ? ", " : "", title,
                                  td_word (member_text (leg, "direction")));
        }
    }
  for (guint i = 0; statics != NULL && i < td_json_get_length (statics); i++)
    {
      int outlet
          = td_site_find_outlet (site, member_text (td_json_get_element (statics, i), "line"));
      g_autofree char *title
          = outlet >= 0 ? td_outlet_get_title (site, (guint)outlet) : g_strdup ("?");

      g_string_append_printf (text, "; %s %s", td_word ("static"), title);
    }
  take_text (writer, "plan", g_string_free (text, FALSE));
}

/* The right values of a correction, as the corrected kind names them. */
static void
write_set (Writer *writer, const TdJson *body, const TdJson *set)
{
  const TdJson *of = td_json_get_member (body, "of");
  gint64 seq = of != NULL ? td_json_get_integer (of) : 0;
  const char *happened = member_text (set, "happened"), *person = member_text (set, "person");

  if (seq < 1 || seq > writer->visit->entries->len)
    return;
  write_fields (
      writer,
      td_kind_get_fields (
          ((TdEntry *)g_ptr_array_index (writer->visit->entries, seq - 1))->envelope.kind),
      set);
  if (*happened != '\0')
    take_text (writer, "happened", g_strdup_printf (_ ("happened %s"), happened));
  if (*person != '\0')
    take_text (writer, "person",
               g_strdup_printf (_ ("by %s"), td_visit_get_person_name (writer->visit, person)));
}

static void
write_string (Writer *writer, const TdField *field, const char *text)
{
  switch (field->type)
    {
    case TD_FIELD_LINE:
      write_line (writer, field->key, text);
      break;
    case TD_FIELD_TOWER:
    case TD_FIELD_COOLER:
      write_text (writer, field->key, find_place (writer->visit->site, text));
      break;
    case TD_FIELD_PRODUCT:
    case TD_FIELD_LOT:
    case TD_FIELD_INSTRUMENT:
      write_text (writer, field->key, find_master (writer->visit->masters, field->type, text));
      break;
    case TD_FIELD_CHOICE:
      write_text (writer, field->key, td_word (text));
      break;
    case TD_FIELD_HASH:
      take_text (writer, field->key, g_strdup_printf ("%.12s\xe2\x80\xa6", text));
      break;
    default:
      if (g_str_equal (field->key, "place"))
        text = find_place (writer->visit->site, text);
      else if (g_str_equal (field->key, "to"))
        text = td_visit_get_person_name (writer->visit, text);
      write_text (writer, field->key, text);
      break;
    }
}

static void
write_field (Writer *writer, const TdField *field, const TdJson *body, const TdJson *value)
{
  switch (td_json_get_kind (value))
    {
    case TD_JSON_INTEGER:
      write_integer (writer, field->key, td_json_get_integer (value));
      break;
    case TD_JSON_STRING:
      write_string (writer, field, td_json_get_string (value));
      break;
    case TD_JSON_ARRAY:
      if (field->type == TD_FIELD_LINES)
        take_text (writer, field->key, td_lines_to_words (writer->visit->site, value));
      else if (field->type == TD_FIELD_STROKES)
        write_text (writer, field->key, _ ("signature drawn"));
      else if (field->type == TD_FIELD_TEXTS)
        write_texts (writer, field->key, value);
      break;
    case TD_JSON_OBJECT:
      if (field->type == TD_FIELD_PLAN)
        write_plan (writer, value);
      else if (g_str_equal (field->key, "set"))
        write_set (writer, body, value);
      else if (g_str_equal (field->key, "snapshot"))
        write_text (writer, field->key, _ ("with the names, products and limits as they stood"));
      break;
    case TD_JSON_NULL:
    case TD_JSON_BOOLEAN:
    case TD_JSON_REAL:
    default:
      /* Bodies hold none of these. */
      break;
    }
}

static void
write_fields (Writer *writer, const TdField *fields, const TdJson *body)
{
  for (const TdField *field = fields; field->key != NULL; field++)
    {
      const TdJson *value = td_json_get_member (body, field->key);

      if (value != NULL)
        write_field (writer, field, body, value);
    }
}

char *
td_body_to_words (const TdVisit *visit, TdKind kind, const TdJson *body, TdUnits units)
{
  Writer writer = { visit, units, g_string_new (NULL) };

  write_fields (&writer, td_kind_get_fields (kind), body);
  return g_string_free (writer.text, FALSE);
}
