#include "core-guard.h"

#include <string.h>

#include "replay-book.h"

/* The guard over a careful visit with one thing left undone: it names that thing, its place and the
 * act that mends it, and nothing else. */

#define REPLAY "01-two-lanterns-reversed.jsonl"

typedef struct
{
  const char *name;
  const char *stop;    /* asked before the first line that holds this */
  const char *omit[3]; /* lines that hold one of these are left out */
  const char *insert;  /* members of one more entry before the question, or NULL */
  const char *kind;    /* of the question; NULL: the act that it stops at */
  int circuit;
  const char *lines; /* "A2,A4"; used where kind is given */
  const char *tag;
  const char *person;
  int sooner_s;       /* the question is asked so many seconds earlier */
  const char *wanted; /* "text -> remedy", one a line; "?" behind an advice */
} GuardCase;

#define CHEMICAL_IN "\"kind\": \"chemical-in\", \"happened\": \"2026-06-16T07:15"
#define STATIC_IN "\"kind\": \"chemical-in\", \"happened\": \"2026-06-16T07:20"
#define KEG_COUPLED "\"kind\": \"keg-coupled\""
#define BEER_CLEAR "\"kind\": \"beer-clear\""

static const GuardCase cases[] = {
  /* Before chemical. */
  { "nothing", CHEMICAL_IN, .wanted = "" },
  { "staff",
    CHEMICAL_IN,
    { "\"tower\": \"TB\"" },
    .wanted = "Staff at Tower B was not told -> staff-told" },
  { "cold-room",
    CHEMICAL_IN,
    { "cold-room-checked" },
    .wanted = "Cold room was not checked for carbon dioxide and access -> cold-room-checked" },
  { "co2", CHEMICAL_IN,
    .insert
    = "\"kind\": \"cold-room-checked\", \"cooler\": \"C1\", \"co2\": \"high\", \"access\": \"clear\"",
    .wanted = "Cold room had too much carbon dioxide in its air: stay out, air it, check again -> "
              "cold-room-checked" },
  { "co2-ppm", CHEMICAL_IN,
    .insert = "\"kind\": \"cold-room-checked\", \"cooler\": \"C1\", \"co2\": \"normal\", "
              "\"co2_ppm\": 5001, \"access\": \"clear\"",
    .wanted = "Cold room had too much carbon dioxide in its air: stay out, air it, check again -> "
              "cold-room-checked" },
  { "protection",
    CHEMICAL_IN,
    { "protection-on" },
    .wanted = "Eye protection and gloves are not on -> protection-on" },
  { "protection-of-one", CHEMICAL_IN, { "\"apron\": \"yes\"" }, .wanted = "" },
  { "gloves",
    CHEMICAL_IN,
    { "protection-on" },
    .insert = "\"kind\": \"protection-on\", \"eyes\": \"yes\", \"gloves\": \"no\"",
    .wanted = "Eye protection and gloves are not on -> protection-on" },
  { "solution",
    CHEMICAL_IN,
    { "\"batch\": \"m1\"" },
    .wanted = "No solution was mixed -> solution-mixed" },
  { "estimated",
    CHEMICAL_IN,
    { "\"batch\": \"m1\"" },
    .insert = "\"kind\": \"solution-mixed\", \"batch\": \"m2\", \"product\": \"caustic-30\", "
              "\"known\": \"estimated\"",
    .wanted
    = "Amounts of mix m2 are estimated and its strength was not measured -> strength-measured" },
  { "accepted",
    CHEMICAL_IN,
    { "\"batch\": \"m1\"" },
    .insert = "\"kind\": \"solution-mixed\", \"batch\": \"m2\", \"product\": \"caustic-30\", "
              "\"known\": \"accepted\"",
    .wanted = "" },
  { "tag",
    CHEMICAL_IN,
    { "\"tag\": \"1\"" },
    .wanted = "Tag on Tower B 6 is not hung -> tag-hung" },
  { "tag-lifted", CHEMICAL_IN, .insert = "\"kind\": \"tag-lifted\", \"tag\": \"1\"",
    .wanted = "Tag on Tower B 6 is lifted and not hung again -> tag-hung-again" },
  { "proved",
    CHEMICAL_IN,
    { "line-proved" },
    .wanted = "Tower A 4: not proved at both ends -> line-proved\n"
              "Tower A 2: not proved at both ends -> line-proved" },
  { "drive-gas",
    CHEMICAL_IN,
    { "\"gas\": \"beer-pump\"" },
    .wanted = "Tower A 4: the beer pump's drive gas was not shut -> gas-off\n"
              "Tower A 2: the beer pump's drive gas was not shut -> gas-off" },
  { "drive-gas-helps", CHEMICAL_IN,
    .insert = "\"kind\": \"gas-on\", \"gas\": \"beer-pump\", \"lines\": [\"A2\", \"A4\"]",
    .wanted = "" },
  { "kegs",
    CHEMICAL_IN,
    { "keg-uncoupled" },
    .wanted = "Tower A 4: the keg is still coupled -> keg-uncoupled\n"
              "Tower A 2: the keg is still coupled -> keg-uncoupled" },
  { "fobs",
    CHEMICAL_IN,
    { "fob-opened" },
    .wanted = "Tower A 4: the FOB is not opened -> fob-opened\n"
              "Tower A 2: the FOB is not opened -> fob-opened" },
  { "lever",
    CHEMICAL_IN,
    { "lever-set" },
    .wanted
    = "Tower A 4: the plan runs it in and the beer pump's lever is not set inwards -> lever-set" },
  /* A static line, drawn to by whoever stands at its faucet. */
  { "static", STATIC_IN, .wanted = "" },
  { "static-tag",
    STATIC_IN,
    { "\"tag\": \"1\"" },
    .wanted = "Tag on Tower B 6 is not hung -> tag-hung" },
  { "side-faucet", CHEMICAL_IN, .kind = "chemical-in", .lines = "B7",
    .wanted = "Tag on Tower B 7 is not hung -> tag-hung\n"
              "Tag on Tower B 8 is not hung -> tag-hung\n"
              "Tower B 7: not proved at both ends -> line-proved\n"
              "Tower B 7: the keg is still coupled -> keg-uncoupled\n"
              "Tower B 7: the FOB is not opened -> fob-opened" },
  { "two-cleaners",
    "\"kind\": \"solution-disposed\"",
    { "\"kind\": \"ph-read\", \"happened\": \"2026-06-16T08:13" },
    .insert = "\"kind\": \"solution-mixed\", \"batch\": \"acid\", \"product\": \"acid-25\", "
              "\"known\": \"accepted\"",
    .kind = "chemical-in",
    .circuit = 1,
    .wanted
    = "Tower A 2: the rinse after the last chemical has not passed; two cleaners never meet -> "
      "ph-read" },
  /* Kegs and levers. */
  { "pressure",
    "\"kind\": \"keg-uncoupled\"",
    { "\"gas\": \"keg\"" },
    .wanted
    = "Tower A 2: the gas on the keg is not off; relieve the pressure before opening -> gas-off\n"
      "Tower A 4: the gas on the keg is not off; relieve the pressure before opening -> gas-off" },
  { "cold-room-entered",
    "\"kind\": \"keg-uncoupled\"",
    { "cold-room-checked" },
    .wanted = "Cold room was not checked for carbon dioxide and access -> cold-room-checked" },
  { "lever-gas-off", "\"kind\": \"lever-set\"",
    .wanted = "Tower A 4: the drive gas is off; move the lever gently -> gas-off?" },
  { "lever-gas-on",
    "\"kind\": \"lever-set\"",
    { "\"gas\": \"beer-pump\"" },
    .wanted
    = "Tower A 4: the drive gas is on; the lever moves hard, go gently or shut the gas -> gas-off?" },
  { "mixing",
    "\"kind\": \"solution-mixed\"",
    { "protection-on" },
    .wanted = "Eye protection and gloves are not on -> protection-on" },
  /* Clocks: 20 min from 07:17 with two minutes' pause are 18 of 15; static 26 min 20 s of 20. */
  { "clock-up", "contact-ended", .wanted = "" },
  { "clock", "contact-ended", .sooner_s = 200,
    .wanted = "Circuit 1: 0 min 20 s of contact are missing -> contact-ended" },
  { "clock-paused", "\"kind\": \"cleaning-pump-on\", \"happened\": \"2026-06-16T07:27",
    .kind = "contact-ended", .circuit = 1,
    .wanted
    = "Circuit 1: 7 min 00 s of contact are missing, and the cleaning pump is off -> cleaning-pump-on" },
  { "clock-static", "\"kind\": \"contact-ended\", \"happened\": \"2026-06-16T07:48:20",
    .sooner_s = 381, .wanted = "Tower B 6: 0 min 01 s of contact are missing -> contact-ended" },
  { "clock-return",
    "contact-ended",
    { "return-in-bucket" },
    .wanted
    = "Circuit 1: the clock has not begun: the return does not run into the bucket -> return-in-bucket" },
  { "clock-strength",
    "contact-ended",
    { "\"kind\": \"chemical-seen\", \"happened\": \"2026-06-16T07:17" },
    .wanted
    = "Circuit 1: the clock has not begun: full strength was not seen at its end -> chemical-seen" },
  { "fob-dry",
    "contact-ended",
    { "fob-flooded" },
    .wanted = "Tower A 4: the FOB was not flooded with solution -> fob-flooded\n"
              "Tower A 2: the FOB was not flooded with solution -> fob-flooded" },
  { "rinse", "rinse-started", .wanted = "" },
  { "rinse-early",
    "rinse-started",
    { "contact-ended" },
    .wanted = "Tower A 4: the contact is not ended yet -> contact-ended\n"
              "Tower A 2: the contact is not ended yet -> contact-ended" },
  { "rinse-too-early", "contact-ended", .kind = "rinse-started", .circuit = 1, .sooner_s = 240,
    .wanted = "Circuit 1: 1 min 00 s of contact are missing -> rinse-started" },
  { "rinse-of-nothing", CHEMICAL_IN, .kind = "rinse-started", .lines = "B5",
    .wanted = "Tower B 5: no chemical was sent in -> chemical-in" },
  /* Faucets and tags. */
  { "faucet-gas",
    "faucet-stripped",
    { "\"gas\": \"beer-pump\"" },
    .wanted = "Tower A 2: the beer pump's drive gas is on -> gas-off\n"
              "Tower A 4: the beer pump's drive gas is on -> gas-off" },
  { "faucet-static", "faucet-stripped", .kind = "faucet-stripped", .lines = "B6",
    .wanted = "Tower B 6: chemical stands behind the faucet; strip it after its rinse -> ph-read" },
  { "lifted-by-other", "\"kind\": \"tag-lifted\"", .kind = "tag-lifted", .tag = "1",
    .person = "dara",
    .wanted = "Tag 1 belongs to Nora Quill: have it handed over first -> hand-over" },
  { "removed-by-other", "\"kind\": \"tag-removed\"", .kind = "tag-removed", .tag = "2",
    .person = "nora",
    .wanted
    = "Tag 2 belongs to Dara Finch: have it handed over, or follow the employer's procedure: "
      "absence verified, contact tried, told before return -> hand-over" },
  { "handed-over", "\"kind\": \"tag-removed\"",
    .insert = "\"person\": \"dara\", \"kind\": \"hand-over\", \"to\": \"nora\"",
    .kind = "tag-removed", .tag = "2", .person = "nora", .wanted = "" },
  { "removed-early", "at line 6 is not tap water", .kind = "tag-removed", .lines = "B6",
    .person = "nora", .wanted = "Tower B 6: the rinse has not passed -> ph-read" },
  { "removed-joined", "\"kind\": \"faucet-stripped\", \"happened\": \"2026-06-16T08:04",
    .kind = "tag-removed", .lines = "B6", .person = "nora",
    .wanted
    = "Tower A 2: it is joined to the tagged line and its rinse has not passed -> ph-read" },
  { "removed", "\"kind\": \"tag-removed\", \"happened\": \"2026-06-16T08:36", .wanted = "" },
  /* Put back. */
  { "coupled", KEG_COUPLED, .wanted = "" },
  { "wet",
    KEG_COUPLED,
    { "valve-well-dried" },
    .wanted = "Tower A 2: the keg's valve well is not dried -> valve-well-dried\n"
              "Tower A 4: the keg's valve well is not dried -> valve-well-dried" },
  { "lever-in",
    KEG_COUPLED,
    { "lever-set-back" },
    .wanted = "Tower A 4: the beer pump's lever still stands inwards -> lever-set-back" },
  { "joined",
    KEG_COUPLED,
    { "ends-parted" },
    .wanted = "Tower A 2: its keg end is still joined -> ends-parted\n"
              "Tower A 4: its keg end is still joined -> ends-parted" },
  { "adapter",
    KEG_COUPLED,
    { "adapter-removed" },
    .wanted = "Tower A 2: the cleaning adapter is still fitted -> adapter-removed\n"
              "Tower A 4: the cleaning adapter is still fitted -> adapter-removed" },
  { "ball",
    KEG_COUPLED,
    { "check-ball-in" },
    .wanted = "Tower A 4: the coupler's check ball is still out -> check-ball-in" },
  { "unrinsed",
    KEG_COUPLED,
    { "\"ph_milli\": 7510" },
    .wanted = "Tower A 4: the rinse has not passed -> ph-read" },
  { "lever-pumping",
    "\"kind\": \"lever-set-back\"",
    { "\"kind\": \"cleaning-pump-off\", \"happened\": \"2026-06-16T08" },
    .wanted = "Circuit 1: the cleaning pump is on -> cleaning-pump-off" },
  { "beer", BEER_CLEAR, .wanted = "" },
  { "beer-fob",
    BEER_CLEAR,
    { "\"kind\": \"fob-rinsed\", \"happened\": \"2026-06-16T07:50" },
    .wanted = "Tower B 6: the FOB was flooded with solution and not rinsed -> fob-rinsed" },
  { "beer-keg",
    BEER_CLEAR,
    { "\"keg\": \"full\"" },
    .wanted = "Tower B 6: the keg is not coupled -> keg-coupled" },
  { "beer-gas",
    BEER_CLEAR,
    { "\"kind\": \"gas-on\", \"happened\": \"2026-06-16T08:34" },
    .wanted = "Tower A 2: the beer pump's drive gas is off -> gas-on\n"
              "Tower A 4: the beer pump's drive gas is off -> gas-on\n"
              "Tower B 6: the beer pump's drive gas is off -> gas-on" },
  { "beer-lever",
    BEER_CLEAR,
    { "\"kind\": \"flow-seen\", \"happened\": \"2026-06-16T08:38" },
    .wanted = "Tower A 4: the lever was set back and no outward flow has proved it -> flow-seen" },
  { "beer-faucet",
    BEER_CLEAR,
    { "\"kind\": \"faucet-rebuilt\", \"happened\": \"2026-06-16T08:08" },
    .wanted = "Tower B 6: the faucet is not rebuilt -> faucet-rebuilt" },
  { "beer-tag",
    BEER_CLEAR,
    { "\"kind\": \"tag-removed\", \"happened\": \"2026-06-16T08:36" },
    .wanted = "Tower B 6: a tag still hangs on it -> tag-removed" },
  /* The end. */
  { "sign", "\"kind\": \"signature\"", .wanted = "" },
  { "sign-open",
    "\"kind\": \"signature\"",
    { "\"kind\": \"cooling-on\"", "\"kind\": \"lever-set-back\"",
      "\"kind\": \"fob-rinsed\", \"happened\": \"2026-06-16T07:50" },
    .wanted = "cooling of Cold room switched off at 06:41 and not on again -> cooling-on\n"
              "Tower A 4: pump lever set inwards at 06:58 and not set back -> lever-set-back\n"
              "Tower B 6: FOB flooded at 07:23 and not rinsed -> fob-rinsed" },
  { "sign-tag",
    "\"kind\": \"signature\"",
    { "\"kind\": \"tag-removed\", \"happened\": \"2026-06-16T08:36" },
    .wanted = "Tower B 6: tag 1, hung at 06:43, was not removed -> tag-removed" },
  { "countersign", "\"kind\": \"countersignature\"", .wanted = "" },
  { "countersign-unsigned",
    "\"kind\": \"countersignature\"",
    { "\"kind\": \"signature\"" },
    .wanted = "nobody has signed for the work done -> signature" },
  { "close", "\"kind\": \"closing\"", .wanted = "" },
  { "close-unsigned",
    "\"kind\": \"closing\"",
    { "signature" },
    .wanted = "no countersignature, nor why there is none (nobody present, or refused) -> "
              "countersignature\n"
              "nobody has signed for the work done -> signature" },
  /* Acts without a guard. */
  { "note", CHEMICAL_IN, .kind = "note", .lines = "A1", .wanted = "" },
};

static gboolean
is_omitted (const GuardCase *row, const char *line)
{
  for (guint i = 0; i < G_N_ELEMENTS (row->omit); i++)
    if (row->omit[i] != NULL && strstr (line, row->omit[i]) != NULL)
      return TRUE;
  return FALSE;
}

static void
append (ReplayBook *book, const char *line)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (TdDraft) draft = replay_read_line (line, &error);

  g_assert_no_error (error);
  replay_book_put (book, draft, 1000, &error);
  g_assert_no_error (error);
}

/* One more entry with the time and, unless it names one, the person of @like. */
static void
insert (ReplayBook *book, const char *members, const TdDraft *like)
{
  g_autofree char *visit = td_uuid_to_text (&like->visit);
  g_autofree char *happened = td_moment_to_text (&like->happened);
  gboolean named = strstr (members, "\"person\"") != NULL;
  g_autofree char *line = g_strdup_printf ("{\"visit\": \"%s\", \"happened\": \"%s\", %s%s%s%s}",
                                           visit, happened, named ? "" : "\"person\": \"",
                                           named ? "" : like->person, named ? "" : "\", ", members);

  append (book, line);
}

static GArray *
find_outlets (const TdSite *site, const char *ids)
{
  GArray *outlets = g_array_new (FALSE, FALSE, sizeof (guint));
  g_auto (GStrv) words = g_strsplit (ids, ",", -1);

  for (guint i = 0; words[i] != NULL; i++)
    {
      int outlet = td_site_find_outlet (site, words[i]);
      guint found = (guint) outlet;

      g_assert_cmpint (outlet, >=, 0);
      g_array_append_val (outlets, found);
    }
  return outlets;
}

/* "A2,A4" of a body's lines. */
static char *
list_lines (const TdJson *body)
{
  const TdJson *lines = td_json_get_member (body, "lines");
  g_autoptr (GString) ids = g_string_new (NULL);

  for (guint i = 0; lines != NULL && i < td_json_get_length (lines); i++)
    g_string_append_printf (ids, "%s%s", i > 0 ? "," : "",
                            td_json_get_string (td_json_get_element (lines, i)));
  return g_string_free (g_steal_pointer (&ids), FALSE);
}

static char *
ask (const GuardCase *row, const ReplayBook *book, const TdDraft *act)
{
  const TdJson *circuit = td_json_get_member (act->body, "circuit");
  const TdJson *tag = td_json_get_member (act->body, "tag");
  g_autofree char *own = list_lines (act->body);
  const char *ids = row->kind == NULL ? own : row->lines;
  g_autoptr (GArray) outlets = NULL;
  g_autoptr (GPtrArray) missing = NULL;
  g_autoptr (GString) text = g_string_new (NULL);
  TdGuardQuestion question = { .kind = act->kind, .person = act->person };

  outlets = find_outlets (book->context.site, ids != NULL && *ids != '\0' ? ids : "A1");
  question.outlets = (const guint *) (gpointer) outlets->data;
  question.n_outlets = ids != NULL && *ids != '\0' ? outlets->len : 0;
  question.now_ms = act->happened.utc_ms - 1000 * (gint64) row->sooner_s;
  if (row->kind != NULL)
    {
      g_assert_true (td_kind_from_code (row->kind, &question.kind));
      question.circuit = row->circuit;
      question.tag = row->tag;
      question.person = row->person;
    }
  else
    {
      question.circuit = circuit != NULL ? (int) td_json_get_integer (circuit) : 0;
      question.tag = tag != NULL ? td_json_get_string (tag) : NULL;
    }
  missing = td_guard_ask (book->visit, &question);
  for (guint i = 0; i < missing->len; i++)
    {
      const TdMissing *one = g_ptr_array_index (missing, i);

      g_string_append_printf (text, "%s%s -> %s%s", i > 0 ? "\n" : "", one->text,
                              td_kind_get_code (one->remedy), one->advice ? "?" : "");
    }
  return g_string_free (g_steal_pointer (&text), FALSE);
}

static void
test_case (gconstpointer data)
{
  const GuardCase *row = data;
  g_autofree char *text = read_source_file ("tests/replay", REPLAY);
  g_auto (GStrv) lines = g_strsplit (text, "\n", -1);
  g_auto (ReplayBook) book = { 0 };
  g_autoptr (TdDraft) act = NULL;
  g_autoptr (GError) error = NULL;
  g_autofree char *said = NULL;
  guint n_omitted = 0;
  guint i;

  replay_book_init (&book, "two-lanterns-bar");
  for (i = 0; lines[i] != NULL && strstr (lines[i], row->stop) == NULL; i++)
    if (is_omitted (row, lines[i]))
      n_omitted++;
    else
      append (&book, lines[i]);
  g_assert_nonnull (lines[i]);
  g_assert_true (row->omit[0] == NULL || n_omitted > 0);
  act = replay_read_line (lines[i], &error);
  g_assert_no_error (error);
  if (row->insert != NULL)
    insert (&book, row->insert, act);
  replay_book_fold (&book, &error);
  g_assert_no_error (error);
  g_assert_cmpuint (book.visit->kept_out->len, ==, 0);
  said = ask (row, &book, act);
  g_assert_cmpstr (said, ==, row->wanted);
}

int
main (int argc, char *argv[])
{
  g_test_init (&argc, &argv, NULL);
  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autofree char *name = g_strconcat ("/guard/", cases[i].name, NULL);

      g_test_add_data_func (name, &cases[i], test_case);
    }
  return g_test_run ();
}
