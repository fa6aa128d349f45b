#include "wizard-choices.h"

#include "desk-format.h"
#include "desk-i18n.h"
#include "model-value.h"

#include <string.h>

static void
add_words (TdWizardToggles *toggles, const TdField *field)
{
  g_auto (GStrv) words = g_strsplit (field->choices, "|", -1);

  for (guint i = 0; words[i] != NULL; i++)
    td_wizard_toggles_add (toggles, words[i], td_choice_get_label (field->key, words[i]));
}

static void
add_outlets (TdWizardToggles *toggles, const TdVisit *visit, const GArray *outlets)
{
  guint n = outlets != NULL ? outlets->len : visit->n_lines;

  for (guint i = 0; i < n; i++)
    {
      guint outlet = outlets != NULL ? g_array_index (outlets, guint, i) : i;
      g_autofree char *title = td_outlet_get_title (visit->site, outlet);

      td_wizard_toggles_add (toggles, visit->site->outlets[outlet].id, title);
    }
}

static void
add_circuits (TdWizardToggles *toggles, const TdVisit *visit)
{
  for (guint i = 0; i < visit->circuits->len; i++)
    {
      int number = g_array_index (visit->circuits, TdVisitCircuit, i).number;
      g_autofree char *id = g_strdup_printf ("%d", number);
      g_autofree char *title = g_strdup_printf (_ ("Circuit %d"), number);

      td_wizard_toggles_add (toggles, id, title);
    }
}

static void
add_places (TdWizardToggles *toggles, const TdPlace *places, guint n)
{
  for (guint i = 0; i < n; i++)
    td_wizard_toggles_add (toggles, places[i].id, places[i].name);
}

static void
add_tags (TdWizardToggles *toggles, const TdVisit *visit)
{
  for (guint i = 0; i < visit->tags->len; i++)
    {
      const TdTag *tag = &g_array_index (visit->tags, TdTag, i);
      g_autofree char *place
        = tag->outlet >= 0 ? td_outlet_get_title (visit->site, (guint) tag->outlet) : g_strdup (tag->place);
      g_autofree char *title = g_strdup_printf ("%s: %s", tag->id, place != NULL ? place : tag->at);

      if (tag->removed.seq == 0)
        td_wizard_toggles_add (toggles, tag->id, title);
    }
}

static void
add_batches (TdWizardToggles *toggles, const TdVisit *visit)
{
  for (guint i = 0; i < visit->batches->len; i++)
    {
      const TdBatch *batch = &g_array_index (visit->batches, TdBatch, i);
      g_autofree char *title
        = g_strdup_printf ("%s: %s", batch->id, batch->product != NULL ? batch->product->name : "?");

      td_wizard_toggles_add (toggles, batch->id, title);
    }
}

static void
add_people (TdWizardToggles *toggles, const TdMasters *masters)
{
  for (guint i = 0; i < masters->n_technicians; i++)
    if (!masters->technicians[i].retired)
      td_wizard_toggles_add (toggles, masters->technicians[i].id, masters->technicians[i].name);
}

/* Instruments that can read what the kind asks for. */
static gboolean
can_measure (TdKind kind, TdInstrumentKind instrument)
{
  switch (kind)
    {
    case TD_KIND_PH_READ:
      return instrument == TD_INSTRUMENT_PH_METER || instrument == TD_INSTRUMENT_PH_STRIP;
    case TD_KIND_TEMPERATURE_READ:
      return instrument == TD_INSTRUMENT_THERMOMETER;
    case TD_KIND_PRESSURE_READ:
      return instrument == TD_INSTRUMENT_PRESSURE_GAUGE;
    case TD_KIND_STRENGTH_MEASURED:
      return instrument == TD_INSTRUMENT_TITRATION_KIT || instrument == TD_INSTRUMENT_OTHER;
    case TD_KIND_SOLUTION_MIXED:
      return instrument == TD_INSTRUMENT_MEASURING_JUG || instrument == TD_INSTRUMENT_OTHER;
    default:
      return TRUE;
    }
}

static void
add_instruments (TdWizardToggles *toggles, const TdMasters *masters, TdKind kind)
{
  for (guint i = 0; i < masters->n_instruments; i++)
    if (!masters->instruments[i].retired && can_measure (kind, masters->instruments[i].kind))
      td_wizard_toggles_add (toggles, masters->instruments[i].id, masters->instruments[i].name);
}

static void
add_products (TdWizardToggles *toggles, const TdMasters *masters)
{
  for (guint i = 0; i < masters->n_products; i++)
    if (!masters->products[i].retired)
      td_wizard_toggles_add (toggles, masters->products[i].id, masters->products[i].name);
}

void
td_wizard_choices_fill_lots (TdWizardToggles *toggles, const TdMasters *masters, const char *product)
{
  td_wizard_toggles_clear (toggles);
  for (guint i = 0; i < masters->n_lots; i++)
    {
      const TdLot *lot = &masters->lots[i];
      g_autofree char *expiry = lot->expiry != TD_DATE_NONE ? td_format_date (NULL, lot->expiry) : NULL;
      g_autofree char *title
        = lot->recalled   ? g_strdup_printf (_ ("%s, RECALLED"), lot->code)
          : expiry != NULL ? g_strdup_printf (_ ("%s, to %s"), lot->code, expiry)
                           : g_strdup (lot->code);

      if (!lot->retired && (product == NULL || strcmp (lot->product, product) == 0))
        td_wizard_toggles_add (toggles, lot->id, title);
    }
}

/* Texts that name a person, a place or a tag of the visit. */
static gboolean
add_named (TdWizardToggles *toggles, TdKind kind, const TdField *field, const TdVisit *visit, const TdMasters *masters)
{
  if (strcmp (field->key, "to") == 0 || strcmp (field->key, "person") == 0 || strcmp (field->key, "crew") == 0)
    add_people (toggles, masters);
  else if (strcmp (field->key, "place") == 0 && (kind == TD_KIND_COOLING_OFF || kind == TD_KIND_COOLING_ON))
    {
      add_places (toggles, visit->site->coolers, visit->site->n_coolers);
      add_places (toggles, visit->site->towers, visit->site->n_towers);
    }
  else if (strcmp (field->key, "tags") == 0)
    add_tags (toggles, visit);
  else
    return FALSE;
  return TRUE;
}

static gboolean
fill (TdWizardToggles *toggles, TdKind kind, const TdField *field, const TdVisit *visit, const TdMasters *masters,
      const GArray *outlets)
{
  switch (field->type)
    {
    case TD_FIELD_CHOICE:
      add_words (toggles, field);
      return TRUE;
    case TD_FIELD_LINE:
    case TD_FIELD_LINES:
      add_outlets (toggles, visit, outlets);
      return TRUE;
    case TD_FIELD_CIRCUIT:
      add_circuits (toggles, visit);
      return TRUE;
    case TD_FIELD_TOWER:
      add_places (toggles, visit->site->towers, visit->site->n_towers);
      return TRUE;
    case TD_FIELD_COOLER:
      add_places (toggles, visit->site->coolers, visit->site->n_coolers);
      return TRUE;
    case TD_FIELD_PRODUCT:
      add_products (toggles, masters);
      return TRUE;
    case TD_FIELD_LOT:
      td_wizard_choices_fill_lots (toggles, masters, NULL);
      return TRUE;
    case TD_FIELD_INSTRUMENT:
      add_instruments (toggles, masters, kind);
      return TRUE;
    case TD_FIELD_TAG:
      if (kind != TD_KIND_TAG_HUNG)
        add_tags (toggles, visit);
      return kind != TD_KIND_TAG_HUNG;
    case TD_FIELD_BATCH:
      if (kind != TD_KIND_SOLUTION_MIXED)
        add_batches (toggles, visit);
      return kind != TD_KIND_SOLUTION_MIXED;
    case TD_FIELD_TEXT:
    case TD_FIELD_TEXTS:
      return add_named (toggles, kind, field, visit, masters);
    default:
      return FALSE;
    }
}

GtkWidget *
td_wizard_choices_new (TdKind kind, const TdField *field, const TdVisit *visit, const TdMasters *masters,
                       const GArray *outlets, const char *label)
{
  gboolean several = field->type == TD_FIELD_LINES || field->type == TD_FIELD_TEXTS;
  GtkWidget *toggles = td_wizard_toggles_new (several, label);

  /* A person, a place that the book does not list is typed. */
  if (fill (TD_WIZARD_TOGGLES (toggles), kind, field, visit, masters, outlets)
      && td_wizard_toggles_get_length (TD_WIZARD_TOGGLES (toggles)) > 0)
    return toggles;
  g_object_unref (g_object_ref_sink (toggles));
  return NULL;
}
