#include "visit-hand.h"

#include "core-json-build.h"
#include "core-plan-make.h"
#include "model-plan.h"
#include "model-reading.h"

#include <string.h>

#define PATIENCE 400

/* What a routine visit without faults fills into the forms. */
static const struct
{
  TdKind kind;
  const char *field;
  const char *word; /* chosen by a tap, or typed */
  gint64 figure;    /* typed where there is no word */
  gboolean typed;
} answers[] = {
  { TD_KIND_STAFF_TOLD, "name", "Petra Vane", 0, TRUE },
  { TD_KIND_COUNTERSIGNATURE, "name", "Petra Vane", 0, TRUE },
  { TD_KIND_STRENGTH_MEASURED, "percent_milli", NULL, 2180, TRUE },
  { TD_KIND_STRENGTH_MEASURED, "method", "titration", 0, FALSE },
  { TD_KIND_PH_READ, "ph_milli", NULL, 7040, TRUE },
  { TD_KIND_SOLUTION_DISPOSED, "ph_milli", NULL, 8600, TRUE },
  { TD_KIND_SOLUTION_DISPOSED, "drain", "neutralised", 0, FALSE },
  { TD_KIND_TEMPERATURE_READ, "temperature_c_milli", NULL, 3300, TRUE },
  { TD_KIND_POUR_RATE_READ, "pour_ml_min", NULL, 3540, TRUE },
  { TD_KIND_PRESSURE_READ, "pressure_pa", NULL, 90000, TRUE },
};

static char *
read_text (const char *folder, const char *name)
{
  g_autofree char *path = g_test_build_filename (G_TEST_DIST, folder, name, NULL);
  g_autoptr (GError) error = NULL;
  char *text = NULL;

  g_file_get_contents (path, &text, NULL, &error);
  g_assert_no_error (error);
  return text;
}

static TdJson *
parse (const char *text)
{
  g_autoptr (GError) error = NULL;
  TdJson *json = td_json_parse (text, -1, &error);

  g_assert_no_error (error);
  return json;
}

VisitHand *
visit_hand_new (const char *site)
{
  VisitHand *hand = g_new0 (VisitHand, 1);
  g_autofree char *sheet = read_text (".", site);
  g_autofree char *company = read_text ("../data/demo", "company.json");
  g_autoptr (TdJson) json = parse (company);
  g_autoptr (GError) error = NULL;

  hand->context.site = td_site_parse (sheet, -1, &error);
  g_assert_no_error (error);
  hand->context.masters = td_masters_from_json (json, &error);
  g_assert_no_error (error);
  hand->context.settings = td_settings_new ();
  hand->entries = g_ptr_array_new_with_free_func ((GDestroyNotify) td_entry_unref);
  hand->now_ms = HAND_BEGIN_MS;
  hand->person = hand->context.masters->technicians[0].id;
  hand->log = g_string_new (NULL);
  visit_hand_add_text (hand, TD_KIND_ARRIVAL, "{\"site\":\"here\",\"work\":\"routine\",\"sds_at_hand\":\"yes\"}");
  return hand;
}

void
visit_hand_free (VisitHand *hand)
{
  td_site_unref (hand->context.site);
  td_masters_unref (hand->context.masters);
  td_settings_unref (hand->context.settings);
  g_ptr_array_unref (hand->entries);
  g_clear_pointer (&hand->visit, td_visit_unref);
  td_habits_unref (hand->habits);
  g_string_free (hand->log, TRUE);
  g_free (hand);
}

TdStepView
visit_hand_view (VisitHand *hand)
{
  TdStepView view
    = { .visit = hand->visit, .now_ms = hand->now_ms, .person = hand->person, .habits = hand->habits };

  return view;
}

void
visit_hand_add (VisitHand *hand, TdKind kind, TdJson *body)
{
  g_autoptr (TdJson) owned = body;
  char zone[] = "UTC", boot[] = "boot-1";
  TdEnvelope envelope = { .version = TD_ENTRY_VERSION, .kind = kind, .zone = zone, .boot_id = boot };
  g_autofree char *person = g_strdup (hand->person);
  g_autoptr (GError) error = NULL;
  TdEntry *entry;

  hand->now_ms += 5000;
  memset (envelope.visit.bytes, 7, sizeof envelope.visit.bytes);
  envelope.seq = hand->entries->len + 1;
  envelope.happened.utc_ms = hand->now_ms;
  envelope.recorded_ms = hand->now_ms + 1000;
  envelope.boottime_ms = hand->now_ms - HAND_BEGIN_MS;
  envelope.person = person;
  td_kind_check_body (kind, body, &error);
  g_assert_no_error (error);
  entry = td_entry_new (&envelope, body, &error);
  g_assert_no_error (error);
  g_ptr_array_add (hand->entries, entry);
  g_clear_pointer (&hand->visit, td_visit_unref);
  hand->visit = td_visit_fold (&hand->context, hand->entries, &error);
  if (hand->visit == NULL)
    g_error ("%s %s: %s", td_kind_get_code (kind), entry->body_text, error->message);
}

void
visit_hand_add_text (VisitHand *hand, TdKind kind, const char *body)
{
  visit_hand_add (hand, kind, parse (body));
}

static void
count (VisitHand *hand, const char *what)
{
  hand->taps++;
  g_string_append_printf (hand->log, "%u %s\n", hand->taps, what);
}

/* The body with what the form asks for; each answer costs what it costs the hand. */
static TdJson *
answer (VisitHand *hand, TdKind kind, TdJson *body)
{
  g_autoptr (TdJson) given = body;
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();
  gboolean first = TRUE;

  td_json_builder_begin_object (builder);
  for (guint i = 0; i < td_json_get_length (given); i++)
    td_json_builder_member_value (builder, td_json_get_key (given, i), td_json_get_element (given, i));
  for (gsize i = 0; i < G_N_ELEMENTS (answers); i++)
    {
      if (answers[i].kind != kind || td_json_get_member (given, answers[i].field) != NULL)
        continue;
      if (answers[i].word != NULL)
        td_json_builder_member_string (builder, answers[i].field, answers[i].word);
      else
        td_json_builder_member_integer (builder, answers[i].field, answers[i].figure);
      if (!answers[i].typed || !first)
        count (hand, answers[i].field);
      hand->typed += answers[i].typed;
      hand->words += answers[i].typed && answers[i].word != NULL;
      first = first && !answers[i].typed;
    }
  td_json_builder_end (builder);
  return td_json_builder_finish (builder);
}

static void
adopt_plan (VisitHand *hand)
{
  g_autoptr (TdPlanWishes) wishes = td_plan_wishes_new (hand->visit);
  g_autoptr (TdPlanPins) pins = td_plan_wishes_to_pins (wishes, hand->visit);
  g_autoptr (GError) error = NULL;
  g_autoptr (TdPlan) plan = td_plan_make_with (hand->context.site, hand->context.settings, pins, &error);

  g_assert_no_error (error);
  visit_hand_add (hand, TD_KIND_PLAN_ADOPTED, td_plan_to_adoption (plan, NULL, FALSE));
}

static void
add_bodies (VisitHand *hand, const TdAct *act, const GArray *chosen)
{
  g_autoptr (GArray) kinds = NULL;
  g_autoptr (GPtrArray) bodies = td_act_make_bodies (act, hand->visit, chosen, &kinds);

  for (guint i = 0; i < bodies->len; i++)
    {
      TdKind kind = g_array_index (kinds, TdKind, i);
      TdJson *body = td_json_ref (g_ptr_array_index (bodies, i));

      visit_hand_add (hand, kind, act->confirm != NULL ? body : answer (hand, kind, body));
    }
}

/* Figures of a table differ a little from line to line, as they do. */
static void
add_table (VisitHand *hand, const TdAct *act)
{
  g_autoptr (TdReadings) readings = td_readings_new (act);
  g_autoptr (GArray) kinds = NULL;
  g_autoptr (GPtrArray) bodies = NULL;

  for (guint row = 0; row < td_readings_get_n_rows (readings); row++)
    for (guint column = 0; column < td_readings_get_n_columns (readings); column++)
      {
        gboolean warmth = td_readings_get_column (readings, column, NULL)->kind == TD_KIND_TEMPERATURE_READ;

        if (!td_readings_asks (readings, row, column))
          continue;
        td_readings_set (readings, row, column, warmth ? 3000 + 100 * (row % 4) : 3540 + 10 * row);
        hand->typed++;
      }
  bodies = td_readings_make_bodies (readings, hand->visit, &kinds);
  for (guint i = 0; i < bodies->len; i++)
    visit_hand_add (hand, g_array_index (kinds, TdKind, i), td_json_ref (g_ptr_array_index (bodies, i)));
}

static void
do_act (VisitHand *hand, TdAct *act, const GArray *chosen)
{
  guint typed = hand->typed;
  if (td_act_get_kind (act) == TD_KIND_PLAN_ADOPTED)
    {
      adopt_plan (hand);
      return;
    }
  if (act->table)
    add_table (hand, act);
  else
    add_bodies (hand, act, chosen);
  /* The Enter key ends a form whose last field was typed. */
  if (act->confirm == NULL && hand->typed == typed)
    count (hand, "commit");
}

/* Readings at the same place open their forms of themselves. */
static void
follow (VisitHand *hand, const char *key)
{
  TdStepView view = visit_hand_view (hand);
  g_autofree char *done = g_strdup (key);
  TdAct *act;

  while ((act = td_steps_find_follow (&view, done)) != NULL)
    {
      g_string_append_printf (hand->log, "- %s\n", act->key);
      do_act (hand, act, NULL);
      g_free (done);
      done = g_strdup (act->key);
      td_act_unref (act);
      view = visit_hand_view (hand);
    }
}

void
visit_hand_do (VisitHand *hand, TdAct *act, const GArray *chosen)
{
  g_autofree char *key = g_strdup (act->key);

  count (hand, key);
  do_act (hand, act, chosen);
  follow (hand, key);
}

static gboolean
is_among (const GPtrArray *acts, const char *key)
{
  for (guint i = 0; i < acts->len; i++)
    if (strcmp (((TdAct *) g_ptr_array_index (acts, i))->key, key) == 0)
      return TRUE;
  return FALSE;
}

/* Confirms the list that the next act stands in as a whole, where it can be. */
static gboolean
do_bulk (VisitHand *hand)
{
  TdStepView view = visit_hand_view (hand);
  TdStep step = td_steps_find_current (&view);
  g_autoptr (TdAct) next = td_steps_find_next (&view, step, &step);
  g_autoptr (TdStepSheet) sheet = td_step_sheet_new (step, &view);

  for (guint i = 0; next != NULL && i < sheet->stands->len; i++)
    {
      const TdStand *stand = g_ptr_array_index (sheet->stands, i);
      g_autoptr (GPtrArray) acts = td_stand_get_confirmable (stand, &view);

      if (stand->manner != TD_STAND_READ_DO || acts->len < 2 || !is_among (acts, next->key))
        continue;
      count (hand, stand->key);
      for (guint j = 0; j < acts->len; j++)
        add_bodies (hand, g_ptr_array_index (acts, j), NULL);
      follow (hand, ((TdAct *) g_ptr_array_index (acts, acts->len - 1))->key);
      return TRUE;
    }
  return FALSE;
}

void
visit_hand_work_to (VisitHand *hand, TdStep step)
{
  for (guint i = 0; i < PATIENCE; i++)
    {
      TdStepView view = visit_hand_view (hand);
      TdStep current = td_steps_find_current (&view);
      g_autoptr (TdAct) act = NULL;

      if (step < TD_N_STEPS && current >= step)
        return;
      if (hand->bulk && do_bulk (hand))
        continue;
      act = td_steps_find_next (&view, current, NULL);
      if (act == NULL)
        visit_hand_wait (hand, 1);
      else if (td_act_get_kind (act) == TD_KIND_CLOSING)
        {
          count (hand, act->key);
          return;
        }
      else
        visit_hand_do (hand, act, NULL);
    }
  g_error ("the visit does not end:\n%s", hand->log->str);
}

TdAct *
visit_hand_get_act (VisitHand *hand, const char *key)
{
  TdStepView view = visit_hand_view (hand);
  TdAct *act = td_steps_find_act (&view, key);

  if (act == NULL)
    g_error ("no open act %s", key);
  return act;
}

guint
visit_hand_outlet (VisitHand *hand, const char *id)
{
  int found = td_site_find_outlet (hand->context.site, id);

  g_assert_cmpint (found, >=, 0);
  return (guint) found;
}

void
visit_hand_wait (VisitHand *hand, guint minutes)
{
  hand->now_ms += minutes * G_GINT64_CONSTANT (60000);
}
