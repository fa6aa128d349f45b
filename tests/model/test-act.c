/* Acts: their lines and exceptions, their bodies, what their own entries mend; plans' wishes; proposals; hints;
 * clocks; flush order; habits; groups of stops; tables of readings. */
#include "core-json-build.h"
#include "core-plan-make.h"
#include "core-rule.h"
#include "model-clock.h"
#include "model-hint.h"
#include "model-leave.h"
#include "model-opening.h"
#include "model-plan.h"
#include "model-proposal.h"
#include "model-reading.h"
#include "model-stops.h"
#include "visit-hand.h"

#include <math.h>
#include <string.h>

#define TWELVE_LINES "data/ferry-landing-12.site.json"
#define BY_GAS_ALONE "../data/demo/the-tin-heron.site.json"

static const TdUnitStyle metric = { TD_UNITS_METRIC, '.' };
static const TdUnitStyle us = { TD_UNITS_US, '.' };

static char *
get_text (const TdJson *body)
{
  return td_json_to_canonical (body, NULL);
}

/* A part that keeps all its lines names its circuit, one that loses some names those that are left, one that
 * loses all falls away. */
static void
test_bodies (void)
{
  g_autoptr (VisitHand) hand = visit_hand_new (TWELVE_LINES);
  g_autoptr (TdAct) act = td_act_new ("a/b/c", "Act", "Done", TRUE);
  TdActPart *circuit = td_act_add_part (act, TD_KIND_CONTACT_ENDED, 1, NULL);
  TdActPart *other = td_act_add_part (act, TD_KIND_FLOW_SEEN, 0, td_fields_new ("direction", "in", NULL));
  const guint lines[] = { 1, 3 };
  const guint single = 5;
  g_autoptr (GArray) chosen = g_array_new (FALSE, FALSE, sizeof (guint));
  g_autoptr (GArray) kinds = NULL;
  g_autoptr (GPtrArray) bodies = NULL;
  g_autofree char *first = NULL;
  g_autofree char *second = NULL;

  g_array_append_vals (circuit->outlets, lines, 2);
  g_array_append_val (other->outlets, single);
  g_assert_true (td_act_has_exceptions (act));
  bodies = td_act_make_bodies (act, hand->visit, NULL, &kinds);
  g_assert_cmpuint (bodies->len, ==, 2);
  first = get_text (g_ptr_array_index (bodies, 0));
  second = get_text (g_ptr_array_index (bodies, 1));
  g_assert_cmpstr (first, ==, "{\"circuit\":1}");
  g_assert_cmpstr (second, ==, "{\"direction\":\"in\",\"lines\":[\"A6\"]}");
  g_clear_pointer (&kinds, g_array_unref);
  g_clear_pointer (&bodies, g_ptr_array_unref);
  g_clear_pointer (&first, g_free);
  g_array_append_val (chosen, lines[1]);
  bodies = td_act_make_bodies (act, hand->visit, chosen, &kinds);
  g_assert_cmpuint (bodies->len, ==, 1);
  g_assert_cmpint (g_array_index (kinds, TdKind, 0), ==, TD_KIND_CONTACT_ENDED);
  first = get_text (g_ptr_array_index (bodies, 0));
  g_assert_cmpstr (first, ==, "{\"lines\":[\"A4\"]}");
}

/* The end of the contact is what the start of the rinse waits for: in one act it does not. */
static void
test_own_remedy (void)
{
  g_autoptr (VisitHand) hand = visit_hand_new (TWELVE_LINES);
  g_autoptr (TdAct) ended = NULL;
  g_autoptr (TdAct) rinse = td_act_new ("a/b/c", "Rinse", "Done", TRUE);
  g_autoptr (GPtrArray) missing = NULL;

  visit_hand_work_to (hand, TD_STEP_CONTACT);
  for (guint i = 0; i < 9; i++)
    {
      TdStepView view = visit_hand_view (hand);
      g_autoptr (TdAct) act = td_steps_find_next (&view, TD_STEP_CONTACT, NULL);

      visit_hand_do (hand, act, NULL);
    }
  visit_hand_wait (hand, 20);
  ended = visit_hand_get_act (hand, "contact/circuit-1/ended");
  missing = td_act_ask_guard (ended, hand->visit, NULL, hand->person, hand->now_ms);
  g_assert_false (td_missing_holds (missing));
  g_clear_pointer (&missing, g_ptr_array_unref);
  td_act_add_part (rinse, TD_KIND_RINSE_STARTED, 1, NULL);
  missing = td_act_ask_guard (rinse, hand->visit, NULL, hand->person, hand->now_ms);
  g_assert_true (td_missing_holds (missing));
}

static void
test_titles (void)
{
  g_autoptr (VisitHand) hand = visit_hand_new (TWELVE_LINES);
  g_autoptr (GArray) lines = g_array_new (FALSE, FALSE, sizeof (guint));
  const guint some[] = { 0, 2, 7 };
  g_autofree char *title = NULL;
  g_autofree char *figure = td_act_say_figure (TD_KIND_SOLUTION_MIXED, "water_ml", 20000, &metric);

  g_array_append_vals (lines, some, 3);
  title = td_outlets_to_title (hand->context.site, lines);
  g_assert_cmpstr (title, ==, "Tower A 1, 3 · Tower B 8");
  g_assert_cmpstr (figure, ==, "20 L");
}

/* Wishes become what the planner keeps; what is not in scope is left out. */
static void
test_wishes (void)
{
  g_autoptr (VisitHand) hand = visit_hand_new (TWELVE_LINES);
  g_autoptr (TdPlanWishes) wishes = NULL;
  g_autoptr (TdPlanPins) pins = NULL;
  g_autoptr (TdPlan) plan = NULL;
  g_autoptr (TdJson) body = NULL;
  g_autoptr (GError) error = NULL;
  g_autofree char *words = NULL;
  TdWish wish;

  visit_hand_add_text (hand, TD_KIND_SCOPE, "{\"clean\":\"caustic\",\"lines\":[\"A1\",\"A2\",\"A3\",\"A4\"]}");
  wishes = td_plan_wishes_new (hand->visit);
  g_assert_true (td_wish_from_text ("static", &wish) && wish == TD_WISH_STATIC);
  g_assert_false (td_wish_from_text ("sideways", &wish));
  wishes->wishes[0] = TD_WISH_STATIC;
  wishes->wishes[1] = TD_WISH_NO_REVERSAL;
  wishes->wishes[2] = TD_WISH_LEAVE_OUT;
  pins = td_plan_wishes_to_pins (wishes, hand->visit);
  plan = td_plan_make_with (hand->context.site, hand->context.settings, pins, &error);
  g_assert_no_error (error);
  g_assert_nonnull (td_plan_find_static (plan, "A1"));
  g_assert_null (td_plan_find_leg (plan, "A3"));
  g_assert_null (td_plan_find_static (plan, "A3"));
  /* Not in the scope. */
  g_assert_null (td_plan_find_leg (plan, "B8"));
  g_assert_false (td_plan_find_leg (plan, "A2") != NULL && td_plan_find_leg (plan, "A2")->reversal);
  words = td_plan_line_to_words (plan, "A3");
  g_assert_cmpstr (words, ==, "Not cleaned");
  body = td_plan_to_adoption (plan, NULL, TRUE);
  g_assert_cmpstr (td_json_get_string (td_json_get_member (body, "source")), ==, "hand");
  g_assert_null (td_json_get_member (body, "certificate_sha256"));
  g_assert_true (td_kind_check_body (TD_KIND_PLAN_ADOPTED, body, &error));
}

/* The lot that expires first, neither recalled nor expired; names that no other mix has. */
static void
test_proposals (void)
{
  g_autoptr (VisitHand) hand = visit_hand_new (TWELVE_LINES);
  const TdProduct *product = td_propose_product (hand->visit, TD_CLEAN_CAUSTIC);
  const TdLot *lot = td_propose_lot (hand->visit, product, td_moment_get_date (&hand->visit->arrived));
  g_autofree char *name = td_propose_batch_name (hand->visit);

  g_assert_cmpint (product->kind, ==, TD_PRODUCT_CAUSTIC);
  g_assert_nonnull (lot);
  for (guint i = 0; i < hand->context.masters->n_lots; i++)
    {
      const TdLot *other = &hand->context.masters->lots[i];

      if (strcmp (other->product, product->id) == 0 && !other->recalled
          && other->expiry >= td_moment_get_date (&hand->visit->arrived))
        g_assert_cmpint (lot->expiry, <=, other->expiry);
    }
  g_assert_false (lot->recalled);
  g_assert_cmpstr (name, ==, "m1");
  g_assert_true (isnan (td_visit_get_solution_l (hand->visit)));
  g_assert_null (td_propose_batch (hand->visit, TD_CLEAN_CAUSTIC));
  visit_hand_work_to (hand, TD_STEP_CONTACT);
  g_free (g_steal_pointer (&name));
  name = td_propose_batch_name (hand->visit);
  g_assert_cmpstr (name, ==, "m2");
  g_assert_cmpstr (td_propose_batch (hand->visit, TD_CLEAN_CAUSTIC)->id, ==, "m1");
  g_assert_null (td_propose_batch (hand->visit, TD_CLEAN_ACID));
  g_assert_cmpfloat (td_visit_get_solution_l (hand->visit), >, 4);
}

static TdHintTone
tell (VisitHand *hand, TdKind kind, const char *body)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (TdJson) json = td_json_parse (body, -1, &error);
  g_autoptr (GPtrArray) hints = td_hints_new (hand->visit, kind, json, &metric);

  g_assert_no_error (error);
  g_assert_cmpuint (hints->len, >, 0);
  return ((TdHint *) g_ptr_array_index (hints, hints->len - 1))->tone;
}

/* Bands: rinse 0.3 pH of the tap's by a meter (derived), strength 2 to 4 % (BA; common practice), solution 26.7 to
 * 43.3 C (BA), drain pH 5 to 11 (40 CFR 403.5(b); local limits). */
static void
test_hints (void)
{
  static const struct
  {
    TdKind kind;
    const char *body;
    TdHintTone tone;
  } cases[] = {
    { TD_KIND_PH_READ, "{\"of\":\"outlet\",\"ph_milli\":7340}", TD_HINT_GOOD },
    { TD_KIND_PH_READ, "{\"of\":\"outlet\",\"ph_milli\":7341}", TD_HINT_OFF },
    { TD_KIND_PH_READ, "{\"of\":\"outlet\"}", TD_HINT_PLAIN },
    { TD_KIND_STRENGTH_MEASURED, "{\"batch\":\"m1\",\"percent_milli\":2000}", TD_HINT_GOOD },
    { TD_KIND_STRENGTH_MEASURED, "{\"batch\":\"m1\",\"percent_milli\":1990}", TD_HINT_OFF },
    { TD_KIND_TEMPERATURE_READ, "{\"of\":\"solution\",\"temperature_c_milli\":26700}", TD_HINT_GOOD },
    { TD_KIND_TEMPERATURE_READ, "{\"of\":\"solution\",\"temperature_c_milli\":50000}", TD_HINT_OFF },
    { TD_KIND_SOLUTION_DISPOSED, "{\"drain\":\"sewer\",\"ph_milli\":11000}", TD_HINT_GOOD },
    { TD_KIND_SOLUTION_DISPOSED, "{\"drain\":\"sewer\",\"ph_milli\":12500}", TD_HINT_OFF },
  };
  g_autoptr (VisitHand) hand = visit_hand_new (TWELVE_LINES);

  g_assert_cmpint (tell (hand, TD_KIND_PH_READ, "{\"of\":\"outlet\",\"ph_milli\":7000}"), ==, TD_HINT_OFF);
  visit_hand_work_to (hand, TD_STEP_CONTACT);
  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    if (tell (hand, cases[i].kind, cases[i].body) != cases[i].tone)
      g_error ("%s", cases[i].body);
}

/* A clock fills, runs, pauses with the cleaning pump, is reached, is too long; 15 min circulating (BA). */
static void
test_clocks (void)
{
  g_autoptr (VisitHand) hand = visit_hand_new (TWELVE_LINES);
  TdClockState states[5];

  visit_hand_work_to (hand, TD_STEP_CONTACT);
  for (gsize i = 0; i < G_N_ELEMENTS (states); i++)
    {
      static const char *const keys[] = { "in", "flow", "stop", "pump", NULL };
      g_autoptr (GPtrArray) clocks = NULL;
      g_autofree char *key = keys[i] != NULL ? g_strdup_printf ("contact/circuit-1/%s", keys[i]) : NULL;
      g_autoptr (TdAct) act = key != NULL ? visit_hand_get_act (hand, key) : NULL;

      if (act != NULL)
        visit_hand_do (hand, act, NULL);
      if (i == 1)
        {
          g_autoptr (TdAct) seen = visit_hand_get_act (hand, "contact/circuit-1/return");

          visit_hand_do (hand, seen, NULL);
        }
      if (i == 3)
        visit_hand_wait (hand, 15);
      if (i == 4)
        visit_hand_wait (hand, 600);
      clocks = td_contact_clocks_new (hand->visit, hand->now_ms);
      g_assert_cmpuint (clocks->len, ==, 1);
      states[i] = ((TdContactClock *) g_ptr_array_index (clocks, 0))->state;
      g_assert_cmpint (((TdContactClock *) g_ptr_array_index (clocks, 0))->required_ms, ==, 15 * 60000);
    }
  g_assert_cmpint (states[0], ==, TD_CLOCK_FILLING);
  g_assert_cmpint (states[1], ==, TD_CLOCK_RUNNING);
  g_assert_cmpint (states[2], ==, TD_CLOCK_PAUSED);
  g_assert_cmpint (states[3], ==, TD_CLOCK_REACHED);
  g_assert_cmpint (states[4], ==, TD_CLOCK_LONG);
}

static void
test_clock_texts (void)
{
  static const struct
  {
    gint64 ms;
    const char *text;
  } cases[] = { { 0, "0:00" }, { 200999, "3:20" }, { 3730000, "1:02:10" }, { -5, "0:00" } };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autofree char *text = td_contact_to_text (cases[i].ms);

      g_assert_cmpstr (text, ==, cases[i].text);
    }
}

/* Static lines first, those without a hanging tag before the others; circuits last. */
static void
test_flush_order (void)
{
  g_autoptr (VisitHand) hand = visit_hand_new (TWELVE_LINES);
  g_autoptr (GPtrArray) order = NULL;

  g_assert_cmpuint ((order = td_visit_get_flush_order (hand->visit))->len, ==, 0);
  g_clear_pointer (&order, g_ptr_array_unref);
  visit_hand_work_to (hand, TD_STEP_CONTACT);
  for (guint i = 0; i < 8; i++)
    {
      TdStepView view = visit_hand_view (hand);
      g_autoptr (TdAct) act = td_steps_find_next (&view, TD_STEP_CONTACT, NULL);

      visit_hand_do (hand, act, NULL);
    }
  {
    TdTag *tag = &g_array_index (hand->visit->tags, TdTag, 0);
    g_autofree char *body = NULL;

    for (guint i = 0; i < hand->visit->tags->len; i++)
      if (g_array_index (hand->visit->tags, TdTag, i).outlet == (int) visit_hand_outlet (hand, "B11"))
        tag = &g_array_index (hand->visit->tags, TdTag, i);
    body = g_strdup_printf ("{\"tag\":\"%s\"}", tag->id);
    visit_hand_add_text (hand, TD_KIND_TAG_LIFTED, body);
  }
  order = td_visit_get_flush_order (hand->visit);
  g_assert_cmpuint (order->len, ==, 4);
  g_assert_cmpuint (g_array_index (((TdFlush *) g_ptr_array_index (order, 0))->outlets, guint, 0), ==,
                    visit_hand_outlet (hand, "B11"));
  g_assert_cmpint (((TdFlush *) g_ptr_array_index (order, 1))->circuit, ==, 0);
  g_assert_cmpint (((TdFlush *) g_ptr_array_index (order, 2))->circuit, ==, 1);
  g_assert_cmpint (((TdFlush *) g_ptr_array_index (order, 3))->circuit, ==, 2);
}

/* Tag on, faucet shut, clock running: all three, or one does not leave. */
static void
test_leave (void)
{
  g_autoptr (VisitHand) hand = visit_hand_new (TWELVE_LINES);
  g_autofree char *words = NULL;

  visit_hand_work_to (hand, TD_STEP_CONTACT);
  for (guint i = 0; i < 8; i++)
    {
      TdStepView view = visit_hand_view (hand);
      g_autoptr (TdAct) act = td_steps_find_next (&view, TD_STEP_CONTACT, NULL);
      g_autoptr (GArray) leaves = td_visit_get_leaves (hand->visit);

      /* Nothing stands behind a static faucet before it is drawn there; then its tag is in the hand. */
      if (g_str_equal (act->key, "contact/static-TB/shut"))
        {
          g_assert_cmpuint (leaves->len, ==, 1);
          g_assert_false (td_leave_is_safe (&g_array_index (leaves, TdLeave, 0)));
          g_assert_false (g_array_index (leaves, TdLeave, 0).tagged);
          g_assert_false (g_array_index (leaves, TdLeave, 0).shut);
        }
      else
        g_assert_cmpuint (leaves->len, ==, 0);
      visit_hand_do (hand, act, NULL);
    }
  {
    g_autoptr (GArray) leaves = td_visit_get_leaves (hand->visit);

    g_assert_cmpuint (leaves->len, ==, 1);
    g_assert_true (td_leave_is_safe (&g_array_index (leaves, TdLeave, 0)));
    words = td_leave_to_words (&g_array_index (leaves, TdLeave, 0), hand->visit);
    g_assert_cmpstr (words, ==, "Tower B: ✓ tagged  ✓ shut  ✓ clock runs");
  }
}

/* Who was told at a bar comes before others; whom this visit told itself before all; no name twice. */
static void
test_habits (void)
{
  g_autoptr (VisitHand) before = visit_hand_new (TWELVE_LINES);
  g_autoptr (VisitHand) now = visit_hand_new (TWELVE_LINES);
  g_autoptr (TdHabits) habits = td_habits_new ();
  g_auto (GStrv) names = NULL;
  g_auto (GStrv) parts = NULL;

  visit_hand_add_text (before, TD_KIND_STAFF_TOLD, "{\"tower\":\"TA\",\"name\":\"Ann\"}");
  visit_hand_add_text (before, TD_KIND_STAFF_TOLD, "{\"tower\":\"TB\",\"name\":\"Ben\"}");
  visit_hand_add_text (before, TD_KIND_PART_FITTED, "{\"part\":\"Faucet washer\",\"quantity\":1}");
  td_habits_offer_part (habits, "Coupler seal");
  td_habits_learn (habits, before->visit);
  visit_hand_add_text (now, TD_KIND_STAFF_TOLD, "{\"tower\":\"TA\",\"name\":\"Cleo\"}");
  names = td_habits_get_names (habits, now->visit, "TB");
  g_assert_cmpstr (names[0], ==, "Cleo");
  g_assert_cmpstr (names[1], ==, "Ben");
  g_assert_cmpstr (names[2], ==, "Ann");
  g_assert_null (names[3]);
  g_assert_cmpstr (td_habits_find_name (habits, "TA"), ==, "Ann");
  g_assert_null (td_habits_find_name (habits, "TC"));
  g_assert_null (td_habits_find_name (NULL, "TA"));
  parts = td_habits_suggest (habits, now->visit, TD_KIND_PART_FITTED, "part", NULL);
  g_assert_cmpstr (parts[0], ==, "Coupler seal");
  g_assert_cmpstr (parts[1], ==, "Faucet washer");
  g_assert_null (td_habits_find_word (habits, TD_KIND_STRENGTH_MEASURED, "method"));
}

/* A site of twelve lines lists each rule once, with how many and which lines. */
static void
test_stop_groups (void)
{
  g_autoptr (VisitHand) hand = visit_hand_new (TWELVE_LINES);
  g_autoptr (GPtrArray) findings = NULL;
  g_autoptr (GPtrArray) groups = NULL;
  guint n = 0;

  visit_hand_work_to (hand, TD_STEP_CONTACT);
  findings = td_visit_get_findings (hand->visit, hand->now_ms);
  groups = td_stop_groups_new (hand->visit, findings, TD_SEVERITY_STOP);
  g_assert_cmpuint (groups->len, <, 15);
  for (guint i = 0; i < groups->len; i++)
    {
      const TdStopGroup *group = g_ptr_array_index (groups, i);

      n += group->n;
      for (guint j = i + 1; j < groups->len; j++)
        g_assert_cmpint (group->rule, !=, ((TdStopGroup *) g_ptr_array_index (groups, j))->rule);
      if (group->rule == TD_RULE_KEG_NOT_COUPLED)
        {
          g_assert_cmpuint (group->n, ==, 12);
          g_assert_cmpint (group->remedy, ==, TD_KIND_KEG_COUPLED);
          g_assert_nonnull (strstr (group->lines, "Tower B"));
        }
    }
  g_assert_cmpuint (n, ==, td_findings_count (findings, TD_SEVERITY_STOP));
}

/* Equal values share an entry; what is not read is not written; leaks stand apart. */
static void
test_table (void)
{
  g_autoptr (VisitHand) hand = visit_hand_new (BY_GAS_ALONE);
  g_autoptr (TdAct) act = NULL;
  g_autoptr (TdReadings) readings = NULL;
  g_autoptr (GPtrArray) bodies = NULL;
  g_autoptr (GArray) kinds = NULL;
  g_autofree char *first = NULL;
  TdHint *hint;

  visit_hand_work_to (hand, TD_STEP_CHECK);
  act = visit_hand_get_act (hand, "check/T1/readings");
  g_assert_true (act->table);
  readings = td_readings_new (act);
  g_assert_cmpuint (td_readings_get_n_columns (readings), ==, 2);
  g_assert_cmpuint (td_readings_get_n_rows (readings), >=, 3);
  g_assert_null (td_readings_judge (readings, hand->visit, 0, &us));
  td_readings_set (readings, 0, 0, 3300);
  td_readings_set (readings, 1, 0, 9000);
  td_readings_set (readings, 2, 0, 3300);
  td_readings_set (readings, 1, 1, 3785);
  td_readings_unset (readings, 1, 1);
  td_readings_set_leak (readings, 1, TRUE);
  bodies = td_readings_make_bodies (readings, hand->visit, &kinds);
  g_assert_cmpuint (bodies->len, ==, 4);
  g_assert_cmpint (g_array_index (kinds, TdKind, 0), ==, TD_KIND_TEMPERATURE_READ);
  g_assert_cmpint (g_array_index (kinds, TdKind, 3), ==, TD_KIND_LEAK_CHECKED);
  g_assert_cmpuint (td_json_get_length (td_json_get_member (g_ptr_array_index (bodies, 0), "lines")), ==, 2);
  g_assert_cmpstr (td_json_get_string (td_json_get_member (g_ptr_array_index (bodies, 3), "result")), ==, "leak");
  for (guint i = 0; i < bodies->len; i++)
    visit_hand_add (hand, g_array_index (kinds, TdKind, i), td_json_ref (g_ptr_array_index (bodies, i)));
  /* 9 C: warm beer is told before pressure and restriction. */
  td_readings_set_leak (readings, 1, FALSE);
  hint = td_readings_judge (readings, hand->visit, 1, &us);
  g_assert_cmpint (hint->tone, ==, TD_HINT_OFF);
  td_hint_free (hint);
  /* 38 typed for Celsius: no beer is that warm. */
  td_readings_set (readings, 1, 0, 38000);
  hint = td_readings_judge (readings, hand->visit, 1, &us);
  g_assert_nonnull (strstr (hint->text, "thermometer"));
  td_hint_free (hint);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/act/bodies", test_bodies);
  g_test_add_func ("/act/own-remedy", test_own_remedy);
  g_test_add_func ("/act/titles", test_titles);
  g_test_add_func ("/plan/wishes", test_wishes);
  g_test_add_func ("/proposal/all", test_proposals);
  g_test_add_func ("/hint/bands", test_hints);
  g_test_add_func ("/clock/states", test_clocks);
  g_test_add_func ("/clock/texts", test_clock_texts);
  g_test_add_func ("/opening/flush-order", test_flush_order);
  g_test_add_func ("/leave/three", test_leave);
  g_test_add_func ("/habit/words", test_habits);
  g_test_add_func ("/stops/groups", test_stop_groups);
  g_test_add_func ("/reading/table", test_table);
  return g_test_run ();
}
