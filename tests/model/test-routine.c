/* A routine visit of twelve lines without faults: what it costs the hand. */
#include "visit-hand.h"

#define TWELVE_LINES "data/ferry-landing-12.site.json"

/* More than so many acts of the pointer and the clipboard is faster. */
#define TAPS_MAX 45

/* What the visit before leaves behind. */
static TdHabits *
learn (void)
{
  g_autoptr (VisitHand) before = visit_hand_new (TWELVE_LINES);
  TdHabits *habits = td_habits_new ();

  visit_hand_work_to (before, TD_N_STEPS);
  /* The names of the staff were not known then. */
  g_assert_cmpuint (before->words, ==, 2);
  td_habits_learn (habits, before->visit);
  return habits;
}

static void
test_taps (void)
{
  g_autoptr (VisitHand) hand = visit_hand_new (TWELVE_LINES);

  hand->habits = learn ();
  hand->bulk = TRUE;
  visit_hand_work_to (hand, TD_N_STEPS);
  g_test_message ("%u taps, %u typed, %u entries", hand->taps, hand->typed, hand->entries->len);
  g_test_message ("%s", hand->log->str);
  g_assert_cmpuint (hand->taps, <=, TAPS_MAX);
  /* Nothing but readings is typed. */
  g_assert_cmpuint (hand->words, ==, 0);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/routine/taps", test_taps);
  return g_test_run ();
}
