/* The round: where a site stands, the order, the search, and what a row says while it is empty. */
#include "model-round.h"
#include "model-visit.h"

static const struct
{
  gboolean open;
  TdDate due;
  int days;
  TdRoundState state;
} states[] = {
  { TRUE, 100, -3, TD_ROUND_OPEN },      { TRUE, TD_DATE_NONE, 0, TD_ROUND_OPEN },
  { FALSE, 100, -1, TD_ROUND_OVERDUE },  { FALSE, 100, 0, TD_ROUND_TODAY },
  { FALSE, 100, 1, TD_ROUND_SOON },      { FALSE, 100, TD_ROUND_SOON_DAYS, TD_ROUND_SOON },
  { FALSE, 100, 8, TD_ROUND_LATER },     { FALSE, TD_DATE_NONE, 0, TD_ROUND_UNKNOWN },
};

static TdRound *
make (const char *site, const char *account, gboolean open, TdDate due, int days)
{
  TdRound round = { .site_id = (char *) site, .site = (char *) site, .account = (char *) account,
                    .address = (char *) "9 Quay Street, Örtchen", .open = open, .due = due, .days = days };

  return td_round_new (&round);
}

static void
test_state (void)
{
  for (gsize i = 0; i < G_N_ELEMENTS (states); i++)
    {
      g_autoptr (TdRound) round = make ("s", "a", states[i].open, states[i].due, states[i].days);

      g_assert_cmpint (td_round_get_state (round), ==, states[i].state);
    }
}

static void
test_order (void)
{
  /* As they must stand. */
  TdRound *rows[] = { make ("b", "a", TRUE, 120, 20),   make ("x", "x", FALSE, 80, -20),
                                 make ("c", "x", FALSE, 99, -1),   make ("a", "y", FALSE, 99, -1),
                                 make ("a", "a", FALSE, 100, 0),   make ("a", "a", FALSE, 103, 3),
                                 make ("a", "a", FALSE, 200, 100), make ("a", "a", FALSE, TD_DATE_NONE, 0) };

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    for (gsize j = 0; j < G_N_ELEMENTS (rows); j++)
      g_assert_cmpint (td_round_compare (rows[i], rows[j]), ==, i < j ? -1 : i > j);
  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    td_round_unref (rows[i]);
}

static const struct
{
  const char *search;
  gboolean found;
} searches[] = {
  { NULL, TRUE },          { "", TRUE },        { "   ", TRUE },      { "anchor", TRUE },
  { "ANCHOR", TRUE },      { "quay", TRUE },    { "örtchen", TRUE },  { "ÖRTCHEN anchor", TRUE },
  { " anchor  9 ", TRUE }, { "ankor", FALSE },  { "anchor x", FALSE }, { "taverns", TRUE },
};

static void
test_search (void)
{
  g_autoptr (TdRound) round = make ("The Anchor", "Quayside Taverns", FALSE, 1, 1);

  for (gsize i = 0; i < G_N_ELEMENTS (searches); i++)
    {
      g_auto (GStrv) words = td_round_fold_search (searches[i].search);

      g_assert_cmpint (td_round_matches (round, words), ==, searches[i].found);
    }
}

static void
test_empty_items (void)
{
  const GType types[] = { TD_TYPE_ROUND_ITEM, TD_TYPE_VISIT_ITEM };

  for (gsize t = 0; t < G_N_ELEMENTS (types); t++)
    {
      g_autoptr (GObject) item = g_object_new (types[t], "key", (gint64) 7, NULL);
      g_autofree GParamSpec **specs = NULL;
      guint n = 0;

      specs = g_object_class_list_properties (G_OBJECT_GET_CLASS (item), &n);
      for (guint i = 0; i < n; i++)
        {
          g_auto (GValue) value = G_VALUE_INIT;

          g_object_get_property (item, specs[i]->name, g_value_init (&value, specs[i]->value_type));
          if (g_str_equal (specs[i]->name, "key"))
            g_assert_cmpint (g_value_get_int64 (&value), ==, 7);
          else
            g_assert_true (g_param_value_defaults (specs[i], &value));
        }
    }
}

static void
test_properties (void)
{
  TdVisitBrief brief = { .number = (char *) "ABCD-12", .account = (char *) "a", .site = (char *) "s",
                         .person = (char *) "p", .date = 20000, .closed = TRUE, .entries = 41, .stops = 1,
                         .reasons = 2, .advice = 3 };
  g_autoptr (TdVisitBrief) value = td_visit_brief_new (&brief);
  g_autoptr (TdRow) item = g_object_new (TD_TYPE_VISIT_ITEM, "key", (gint64) 1, NULL);
  g_autofree char *number = NULL;
  g_autofree char *id = NULL;
  gboolean closed = FALSE, loaded = FALSE;
  guint stops = 0, reasons = 0, advice = 0, entries = 0;
  int date = 0;

  td_row_set_value (item, value);
  g_object_get (item, "number", &number, "id", &id, "closed", &closed, "loaded", &loaded, "stops", &stops,
                "reasons", &reasons, "advice", &advice, "entries", &entries, "date", &date, NULL);
  g_assert_cmpstr (number, ==, "ABCD-12");
  g_assert_cmpstr (id, ==, "00000000-0000-0000-0000-000000000000");
  g_assert_true (closed && loaded);
  g_assert_cmpuint (stops * 1000 + reasons * 100 + advice * 10 + entries, ==, 1271);
  g_assert_cmpint (date, ==, 20000);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/round/state", test_state);
  g_test_add_func ("/round/order", test_order);
  g_test_add_func ("/round/search", test_search);
  g_test_add_func ("/items/empty", test_empty_items);
  g_test_add_func ("/items/properties", test_properties);
  return g_test_run ();
}
