/* The steps' lists as a visit goes on: which acts are open, where one stands, what holds them back, what mends
 * it, and what follows. */
#include "core-rule.h"
#include "visit-hand.h"

#include <string.h>

#define TWELVE_LINES "data/ferry-landing-12.site.json"
#define TWO_TOWERS "../data/demo/two-lanterns-bar.site.json"
#define BY_GAS_ALONE "../data/demo/the-tin-heron.site.json"

static TdAct *
find (VisitHand *hand, const char *key)
{
  TdStepView view = visit_hand_view (hand);

  return td_steps_find_act (&view, key);
}

static gboolean
is_open (VisitHand *hand, const char *key)
{
  g_autoptr (TdAct) act = find (hand, key);

  return act != NULL;
}

static gboolean
is_held (VisitHand *hand, const char *key)
{
  g_autoptr (TdAct) act = visit_hand_get_act (hand, key);
  g_autoptr (GPtrArray) missing = td_act_ask_guard (act, hand->visit, NULL, hand->person, hand->now_ms);

  return td_missing_holds (missing);
}

static void
do_key (VisitHand *hand, const char *key)
{
  g_autoptr (TdAct) act = visit_hand_get_act (hand, key);

  visit_hand_do (hand, act, NULL);
}

/* Each kind belongs to one step, and a step offers its kinds but those with ways of their own. */
static void
test_kinds (void)
{
  g_assert_cmpint (td_kind_get_step (TD_KIND_STAFF_TOLD), ==, TD_STEP_ARRIVE);
  g_assert_cmpint (td_kind_get_step (TD_KIND_LINE_LEFT_OUT), ==, TD_STEP_PLAN);
  g_assert_cmpint (td_kind_get_step (TD_KIND_TAG_HUNG), ==, TD_STEP_SAFE);
  g_assert_cmpint (td_kind_get_step (TD_KIND_PROTECTION_ON), ==, TD_STEP_MIX);
  g_assert_cmpint (td_kind_get_step (TD_KIND_CHEMICAL_IN), ==, TD_STEP_CONTACT);
  g_assert_cmpint (td_kind_get_step (TD_KIND_PH_READ), ==, TD_STEP_RINSE);
  g_assert_cmpint (td_kind_get_step (TD_KIND_TAG_REMOVED), ==, TD_STEP_BACK);
  g_assert_cmpint (td_kind_get_step (TD_KIND_FAULT), ==, TD_STEP_CHECK);
  g_assert_cmpint (td_kind_get_step (TD_KIND_CLOSING), ==, TD_STEP_SIGN);
  for (TdStep step = 0; step < TD_N_STEPS; step++)
    {
      g_autoptr (GArray) kinds = td_step_get_kinds (step);

      for (guint i = 0; i < kinds->len; i++)
        {
          TdKind kind = g_array_index (kinds, TdKind, i);

          g_assert_true (kind != TD_KIND_ARRIVAL && kind != TD_KIND_CLOSING && kind != TD_KIND_CORRECTION);
        }
      g_assert_cmpuint (kinds->len, >, 0);
    }
}

/* No list asks for more than nine things at a pause, at any point of a visit, and no key stands twice. */
static void
check_lists (VisitHand *hand)
{
  TdStepView view = visit_hand_view (hand);
  g_autoptr (GHashTable) keys = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);

  for (TdStep step = 0; step < TD_N_STEPS; step++)
    {
      g_autoptr (TdStepSheet) sheet = td_step_sheet_new (step, &view);

      for (guint i = 0; i < sheet->stands->len; i++)
        {
          const TdStand *stand = g_ptr_array_index (sheet->stands, i);
          guint open = 0;

          g_assert_cmpuint (stand->acts->len, >, 0);
          for (guint j = 0; j < stand->acts->len; j++)
            {
              const TdAct *act = g_ptr_array_index (stand->acts, j);

              g_assert_true (g_str_has_prefix (act->key, stand->key));
              g_assert_cmpuint (act->parts->len, >, 0);
              open += act->wanted && !act->done;
              if (!g_hash_table_add (keys, g_strdup (act->key)))
                g_error ("%s stands twice", act->key);
            }
          g_assert_cmpuint (open, <=, TD_STAND_MAX);
        }
    }
}

static guint
count_stops (VisitHand *hand)
{
  g_autoptr (GPtrArray) findings = td_visit_get_findings (hand->visit, hand->now_ms);

  return td_findings_count (findings, TD_SEVERITY_STOP);
}

static void
test_whole_visit (gconstpointer data)
{
  g_autoptr (VisitHand) hand = visit_hand_new (data);
  TdStep reached = TD_STEP_ARRIVE;

  for (guint i = 0; i < 400; i++)
    {
      TdStepView view = visit_hand_view (hand);
      TdStep current = td_steps_find_current (&view);
      g_autoptr (TdAct) act = td_steps_find_next (&view, current, NULL);

      check_lists (hand);
      /* One does not fall back but to what a clock or an earlier truth opens again. */
      reached = MAX (reached, current);
      if (act == NULL)
        visit_hand_wait (hand, 1);
      else if (td_act_get_kind (act) == TD_KIND_CLOSING)
        break;
      else
        {
          g_autoptr (GPtrArray) missing = td_act_ask_guard (act, hand->visit, NULL, hand->person, hand->now_ms);

          g_assert_false (td_missing_holds (missing));
          visit_hand_do (hand, act, NULL);
        }
    }
  g_assert_cmpint (reached, ==, TD_STEP_SIGN);
  g_assert_true (hand->visit->signature.given && hand->visit->countersignature.given);
  for (guint i = 0; i < hand->visit->n_lines; i++)
    {
      g_assert_true (td_visit_line_get_pass (&hand->visit->lines[i])->rinse_passed);
      g_assert_cmpuint (hand->visit->lines[i].beer_clear_count, >=, 2);
      g_assert_false (hand->visit->lines[i].gas_off_now[0] || hand->visit->lines[i].gas_off_now[1]);
    }
  g_assert_cmpuint (count_stops (hand), ==, 0);
}

/* Where the cleaning pump stands is made safe last; tags hang before chemical goes in. */
static void
test_walk_of_making_safe (void)
{
  g_autoptr (VisitHand) hand = visit_hand_new (TWELVE_LINES);
  g_autoptr (TdStepSheet) sheet = NULL;
  TdStepView view;
  const char *station;

  visit_hand_work_to (hand, TD_STEP_SAFE);
  view = visit_hand_view (hand);
  sheet = td_step_sheet_new (TD_STEP_SAFE, &view);
  station = g_array_index (hand->visit->circuits, TdVisitCircuit, 0).station;
  g_assert_cmpstr (((TdStand *) g_ptr_array_index (sheet->stands, 0))->key, ==, "safe/C1");
  g_assert_true (g_str_has_suffix (((TdStand *) g_ptr_array_index (sheet->stands, sheet->stands->len - 1))->key, station));
  visit_hand_work_to (hand, TD_STEP_CONTACT);
  g_assert_false (is_held (hand, "contact/circuit-1/in"));
  for (guint i = 0; i < hand->visit->tags->len; i++)
    g_assert_cmpint (g_array_index (hand->visit->tags, TdTag, i).removed.seq, ==, 0);
}

/* Chemical is held back until all is safe, and each thing that is missing has its remedy in a list. */
static void
test_remedies (void)
{
  g_autoptr (VisitHand) hand = visit_hand_new (TWELVE_LINES);
  g_autoptr (GPtrArray) missing = NULL;
  g_autoptr (TdAct) in = NULL;
  TdStepView view;
  guint mended = 0;

  visit_hand_work_to (hand, TD_STEP_SAFE);
  in = visit_hand_get_act (hand, "contact/circuit-1/in");
  missing = td_act_ask_guard (in, hand->visit, NULL, hand->person, hand->now_ms);
  g_assert_true (td_missing_holds (missing));
  view = visit_hand_view (hand);
  for (guint i = 0; i < missing->len; i++)
    {
      g_autoptr (TdAct) remedy = td_steps_find_remedy (&view, g_ptr_array_index (missing, i), NULL);

      mended += remedy != NULL;
    }
  g_assert_cmpuint (mended, ==, missing->len);
}

/* While a clock runs the wait is filled; then putting back waits for the circuit at that place. */
static void
test_wait (void)
{
  g_autoptr (VisitHand) hand = visit_hand_new (TWELVE_LINES);

  visit_hand_work_to (hand, TD_STEP_CONTACT);
  while (!is_open (hand, "contact/TA/faucet-stripped") || is_open (hand, "contact/static-TB/shut"))
    {
      TdStepView view = visit_hand_view (hand);
      g_autoptr (TdAct) act = td_steps_find_next (&view, TD_STEP_CONTACT, NULL);

      visit_hand_do (hand, act, NULL);
    }
  g_assert_true (is_held (hand, "contact/circuit-1/ended"));
  {
    TdStepView view = visit_hand_view (hand);
    TdStep at;
    g_autoptr (TdAct) act = td_steps_find_next (&view, TD_STEP_CONTACT, &at);

    g_assert_cmpstr (act->key, ==, "contact/C1/fob-flooded");
    g_assert_cmpint (at, ==, TD_STEP_CONTACT);
  }
  visit_hand_wait (hand, 20);
  /* The FOBs are still dry: the contact does not end without them. */
  g_assert_true (is_held (hand, "contact/circuit-1/ended"));
  do_key (hand, "contact/C1/fob-flooded");
  g_assert_false (is_held (hand, "contact/circuit-1/ended"));
}

/* The pump's stop is wanted to be mended at once. */
static void
test_pump_stops (void)
{
  g_autoptr (VisitHand) hand = visit_hand_new (TWELVE_LINES);
  g_autoptr (TdAct) stop = NULL;
  g_autoptr (TdAct) next = NULL;
  TdStepView view;

  visit_hand_work_to (hand, TD_STEP_CONTACT);
  do_key (hand, "contact/circuit-1/in");
  do_key (hand, "contact/circuit-1/flow");
  do_key (hand, "contact/circuit-1/return");
  stop = visit_hand_get_act (hand, "contact/circuit-1/stop");
  g_assert_false (stop->wanted);
  visit_hand_do (hand, stop, NULL);
  view = visit_hand_view (hand);
  next = td_steps_find_next (&view, TD_STEP_CONTACT, NULL);
  g_assert_cmpstr (next->key, ==, "contact/circuit-1/pump");
}

/* Readings follow the act before them at the same place and nowhere else. */
static void
test_follow (void)
{
  g_autoptr (VisitHand) hand = visit_hand_new (TWELVE_LINES);
  g_autoptr (TdAct) strength = NULL;
  g_autoptr (TdAct) other = NULL;
  TdStepView view;

  visit_hand_work_to (hand, TD_STEP_MIX);
  view = visit_hand_view (hand);
  other = td_steps_find_follow (&view, "mix/bucket/protection-on");
  g_assert_null (other);
  visit_hand_add_text (hand, TD_KIND_PROTECTION_ON, "{\"eyes\":\"yes\",\"gloves\":\"yes\"}");
  visit_hand_add_text (hand, TD_KIND_SOLUTION_MIXED,
                       "{\"batch\":\"m1\",\"product\":\"caustic-30\",\"lot\":\"caustic-2603\",\"concentrate_ml\":1000,"
                       "\"water_ml\":20000,\"percent_milli\":2000,\"basis\":\"w/w\",\"known\":\"measured\"}");
  view = visit_hand_view (hand);
  strength = td_steps_find_follow (&view, "mix/bucket/mix-caustic");
  g_assert_nonnull (strength);
  g_assert_cmpstr (strength->key, ==, "mix/bucket/strength-m1");
  other = td_steps_find_follow (&view, "safe/TA/join");
  g_assert_null (other);
}

/* A circuit on whose joint static lines hang is read after they were flushed, not before. */
static void
test_ph_after_flush (void)
{
  g_autoptr (VisitHand) hand = visit_hand_new (TWELVE_LINES);
  g_autoptr (TdAct) ph = NULL;
  gboolean seen = FALSE;

  for (guint i = 0; i < 400; i++)
    {
      TdStepView view = visit_hand_view (hand);
      g_autoptr (TdAct) act = td_steps_find_next (&view, td_steps_find_current (&view), NULL);

      if (act != NULL && g_str_equal (act->key, "rinse/circuit-1/ph"))
        {
          seen = TRUE;
          g_assert_true (td_visit_line_get_pass (&hand->visit->lines[visit_hand_outlet (hand, "B7")])->rinse_passed);
          g_assert_true (td_visit_line_get_pass (&hand->visit->lines[visit_hand_outlet (hand, "B11")])->rinse_passed);
          break;
        }
      if (act == NULL)
        visit_hand_wait (hand, 1);
      else
        visit_hand_do (hand, act, NULL);
    }
  g_assert_true (seen);
}

/* Out of service and rinsed: what was brought comes off, its keg and its tag stay. */
static void
test_out_of_service (void)
{
  g_autoptr (VisitHand) hand = visit_hand_new (TWELVE_LINES);
  g_autoptr (GArray) lines = NULL;
  guint outlet = visit_hand_outlet (hand, "A3");
  gboolean found = FALSE;

  visit_hand_work_to (hand, TD_STEP_BACK);
  visit_hand_add_text (hand, TD_KIND_OUT_OF_SERVICE,
                       "{\"lines\":[\"A3\"],\"condition\":\"rinsed\",\"reason\":\"Faucet cracked\",\"handed_to\":\"Petra Vane\"}");
  {
    g_autoptr (TdAct) adapters = visit_hand_get_act (hand, "back/C1/adapter-removed");
    g_autoptr (TdAct) coupling = visit_hand_get_act (hand, "back/C1/couple");

    lines = td_act_get_outlets (adapters);
    for (guint i = 0; i < lines->len; i++)
      found |= g_array_index (lines, guint, i) == outlet;
    g_assert_true (found);
    g_array_unref (g_steal_pointer (&lines));
    lines = td_act_get_outlets (coupling);
    for (guint i = 0; i < lines->len; i++)
      g_assert_cmpuint (g_array_index (lines, guint, i), !=, outlet);
  }
}

/* A keg that was nearly empty is named before its line is pulled through. */
static void
test_nearly_empty (void)
{
  g_autoptr (VisitHand) hand = visit_hand_new (TWELVE_LINES);
  g_autoptr (TdAct) act = NULL;

  visit_hand_add_text (hand, TD_KIND_AS_FOUND, "{\"lines\":[\"A3\"],\"lever\":\"none\",\"gas\":\"on\",\"keg\":\"nearly-empty\"}");
  visit_hand_work_to (hand, TD_STEP_BACK);
  act = visit_hand_get_act (hand, "back/C1/couple");
  g_assert_nonnull (strstr (act->detail, "Tower A 3;"));
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/steps/kinds", test_kinds);
  g_test_add_data_func ("/steps/visit-of-twelve", TWELVE_LINES, test_whole_visit);
  g_test_add_data_func ("/steps/visit-of-two-towers", TWO_TOWERS, test_whole_visit);
  g_test_add_data_func ("/steps/visit-without-pumps", BY_GAS_ALONE, test_whole_visit);
  g_test_add_func ("/steps/walk-of-making-safe", test_walk_of_making_safe);
  g_test_add_func ("/steps/remedies", test_remedies);
  g_test_add_func ("/steps/wait", test_wait);
  g_test_add_func ("/steps/pump-stops", test_pump_stops);
  g_test_add_func ("/steps/follow", test_follow);
  g_test_add_func ("/steps/ph-after-flush", test_ph_after_flush);
  g_test_add_func ("/steps/out-of-service", test_out_of_service);
  g_test_add_func ("/steps/nearly-empty", test_nearly_empty);
  return g_test_run ();
}
