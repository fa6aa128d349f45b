/* Every code that the journal can hold has its word, and every body can be told. */
#include "document-body.h"
#include "document-words.h"
#include "visit-cases.h"

#include "core-kind.h"

#include <string.h>

/* Words that are spelled as their code is are in the table all the same: so a translator sees them.
 */
static void
test_choices (void)
{
  for (int kind = 0; kind < TD_N_KINDS; kind++)
    for (const TdField *field = td_kind_get_fields ((TdKind)kind); field->key != NULL; field++)
      {
        g_auto (GStrv) words = field->choices != NULL ? g_strsplit (field->choices, "|", -1) : NULL;

        for (guint i = 0; words != NULL && words[i] != NULL; i++)
          {
            /* "w/w" and the like are signs, not words; td_word() gives an unknown code back itself.
             */
            if (strchr (words[i], '/') == NULL && td_word (words[i]) == words[i])
              g_error ("%s has no word (field %s of %s)", words[i], field->key,
                       td_kind_get_code ((TdKind)kind));
          }
      }
}

static void
test_capital (void)
{
  g_autofree char *text = td_word_capital ("call-out");

  g_assert_cmpstr (text, ==, "Call-out");
  g_assert_cmpstr (td_word (NULL), ==, "\xe2\x80\x93");
  g_assert_cmpstr (td_word ("stops-service"), ==, "stops service");
  g_assert_cmpstr (td_field_name ("absent_verified"), ==, "owner verified absent");
  g_assert_cmpstr (td_field_name ("why"), ==, "why");
  g_assert_null (td_field_name ("lines"));
}

/* The first entry of a kind in a replay, told. (transfer full) */
static char *
tell_first (const VisitCase *one, TdKind kind)
{
  for (guint i = 0; i < one->visit->entries->len; i++)
    {
      const TdEntry *entry = g_ptr_array_index (one->visit->entries, i);

      if (entry->envelope.kind == kind)
        return td_body_to_words (one->visit, kind, entry->body, TD_UNITS_METRIC);
    }
  g_assert_not_reached ();
}

static void
test_bodies (void)
{
  static const struct
  {
    TdKind kind;
    const char *words;
  } cases[] = {
    { TD_KIND_STAFF_TOLD, "Tower A \xc2\xb7 Petra Vane, bar manager" },
    { TD_KIND_COLD_ROOM_CHECKED,
      "Cold room \xc2\xb7 CO2 normal \xc2\xb7 CO2 620 ppm \xc2\xb7 way in and out clear" },
    { TD_KIND_PLAN_ADOPTED,
      "circuit 1 from Tower A: Tower A 4 in, Tower A 2 out; static Tower B 6" },
    { TD_KIND_CHEMICAL_IN, "circuit 1 \xc2\xb7 mix m1" },
    { TD_KIND_LEVER_SET, "Tower A 4" },
    { TD_KIND_CORRECTION, "corrects entry 30 \xc2\xb7 pH 7.40 \xc2\xb7 why " },
  };
  VisitCase one = visit_case_load ("01-two-lanterns-reversed", 0);

  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autofree char *words = tell_first (&one, cases[i].kind);

      if (!g_str_has_prefix (words, cases[i].words))
        g_error ("\"%s\" does not begin with \"%s\"", words, cases[i].words);
    }
  visit_case_clear (&one);
}

/* Nothing of any body of any replay goes untold but what it is said to leave out. */
static void
test_nothing_untold (void)
{
  static const char *const replays[]
      = { "01-two-lanterns-reversed", "03-tin-heron-acid", "04-mill-sluice-out-of-service",
          "05-kestrel-yard-refused" };

  for (guint r = 0; r < G_N_ELEMENTS (replays); r++)
    {
      VisitCase one = visit_case_load (replays[r], 0);

      for (guint i = 0; i < one.visit->entries->len; i++)
        {
          const TdEntry *entry = g_ptr_array_index (one.visit->entries, i);
          g_autofree char *words
              = td_body_to_words (one.visit, entry->envelope.kind, entry->body, TD_UNITS_METRIC);
          const TdJson *text = td_json_get_member (entry->body, "text");

          if (td_json_get_length (entry->body) > 0)
            g_assert_cmpuint (strlen (words), >, 0);
          if (text != NULL)
            g_assert_nonnull (strstr (words, td_json_get_string (text)));
        }
      visit_case_clear (&one);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/words/choices", test_choices);
  g_test_add_func ("/words/capital", test_capital);
  g_test_add_func ("/words/bodies", test_bodies);
  g_test_add_func ("/words/nothing-untold", test_nothing_untold);
  return g_test_run ();
}
