#include <string.h>

#include "core-guard.h"
#include "core-rule.h"
#include "replay-book.h"

/* Whole visits of tests/replay: each line is taken, each act passes the guard before it is done but
 * for those listed, and the visit ends closed with no stop open. */

/* How long after the act it is written down. */
#define LATE_MS 20000

typedef struct
{
  const char *file;
  const char *site;
  guint least_kinds;   /* different kinds of entry in it */
  const char *held[3]; /* what the guard would have held back, each with its line */
} Replay;

static const Replay replays[] = {
  { "01-two-lanterns-reversed.jsonl", "two-lanterns-bar", 60, { NULL } },
  { "02-tin-heron-routine.jsonl", "the-tin-heron", 45, { NULL } },
  { "03-tin-heron-acid.jsonl", "the-tin-heron", 45, { NULL } },
  { "04-mill-sluice-out-of-service.jsonl",
    "mill-sluice-taproom",
    60,
    { "52: Tag 1 belongs to Dara Finch: have it handed over, or follow the employer's procedure: "
      "absence verified, contact tried, told before return",
      "52: Yard hatch 8: the rinse has not passed" } },
  { "05-kestrel-yard-refused.jsonl",
    "kestrel-yard",
    40,
    { "34: Counter 3: 2 min 18 s of contact are missing" } },
  { "06-gravel-pier-24-lines.jsonl", "gravel-pier-hall", 55, { NULL } },
};

static GPtrArray *
read_drafts (const char *file)
{
  g_autofree char *text = read_source_file ("tests/replay", file);
  g_auto (GStrv) lines = g_strsplit (text, "\n", -1);
  GPtrArray *drafts = g_ptr_array_new_with_free_func ((GDestroyNotify) td_draft_free);

  g_assert_true (g_str_has_suffix (text, "\n"));
  for (guint i = 0; lines[i] != NULL && *lines[i] != '\0'; i++)
    {
      g_autoptr (GError) error = NULL;
      TdDraft *draft = replay_read_line (lines[i], &error);

      if (draft == NULL)
        g_error ("%s:%u: %s", file, i + 1, error->message);
      g_ptr_array_add (drafts, draft);
    }
  return drafts;
}

static GArray *
get_outlets (const TdSite *site, const TdJson *body)
{
  const TdJson *lines = td_json_get_member (body, "lines");
  GArray *outlets = g_array_new (FALSE, FALSE, sizeof (guint));

  for (guint i = 0; lines != NULL && i < td_json_get_length (lines); i++)
    {
      guint outlet
          = (guint) td_site_find_outlet (site, td_json_get_string (td_json_get_element (lines, i)));

      g_array_append_val (outlets, outlet);
    }
  return outlets;
}

/* Returns: (transfer full): what the guard says before the act. */
static GPtrArray *
ask_guard (const ReplayBook *book, const TdDraft *draft)
{
  const TdJson *circuit = td_json_get_member (draft->body, "circuit");
  const TdJson *tag = td_json_get_member (draft->body, "tag");
  g_autoptr (GArray) outlets = get_outlets (book->context.site, draft->body);
  TdGuardQuestion question = {
    .kind = draft->kind,
    .circuit = circuit != NULL ? (int) td_json_get_integer (circuit) : 0,
    .outlets = (const guint *) (gpointer) outlets->data,
    .n_outlets = outlets->len,
    .tag = tag != NULL ? td_json_get_string (tag) : NULL,
    .person = draft->person,
    .now_ms = draft->happened.utc_ms,
  };

  return td_guard_ask (book->visit, &question);
}

/* Adds "line: text" of everything that would have held the act back. */
static void
note_held (const ReplayBook *book, const TdDraft *draft, guint line, GPtrArray *held)
{
  g_autoptr (GPtrArray) missing = ask_guard (book, draft);

  for (guint i = 0; i < missing->len; i++)
    {
      const TdMissing *one = g_ptr_array_index (missing, i);

      if (!one->advice)
        g_ptr_array_add (held, g_strdup_printf ("%u: %s", line, one->text));
    }
}

/* Nothing keeps the visit from being closed; and every finding that asks for a reason has one. */
static void
check_findings (const Replay *replay, const TdVisit *visit)
{
  g_autoptr (GPtrArray) findings = td_visit_get_findings (visit, visit->closed_at.utc_ms);

  for (guint i = 0; i < findings->len; i++)
    {
      const TdFinding *finding = g_ptr_array_index (findings, i);
      const TdRuleInfo *info = td_rule_get_info (finding->rule);

      g_test_message ("%s %s: %s", td_severity_to_text (info->severity), info->code, finding->text);
      if (info->severity == TD_SEVERITY_STOP
          || (info->severity == TD_SEVERITY_REASON && finding->reason == NULL))
        g_error ("%s: %s %s: %s", replay->file, td_severity_to_text (info->severity), info->code,
                 finding->text);
    }
}

static void
test_replay (gconstpointer data)
{
  const Replay *replay = data;
  g_autoptr (GPtrArray) drafts = read_drafts (replay->file);
  g_autoptr (GPtrArray) held = g_ptr_array_new_with_free_func (g_free);
  g_autoptr (GHashTable) kinds = g_hash_table_new (NULL, NULL);
  g_auto (ReplayBook) book = { 0 };
  gint64 before_ms = 0;

  replay_book_init (&book, replay->site);
  for (guint i = 0; i < drafts->len; i++)
    {
      const TdDraft *draft = g_ptr_array_index (drafts, i);
      g_autoptr (GError) error = NULL;

      if (book.visit != NULL)
        note_held (&book, draft, i + 1, held);
      if (!replay_book_append (&book, draft, LATE_MS, &error))
        g_error ("%s:%u: %s", replay->file, i + 1, error->message);
      g_assert_cmpint (draft->happened.utc_ms, >=, before_ms);
      before_ms = draft->happened.utc_ms;
      g_hash_table_add (kinds, GINT_TO_POINTER ((int) draft->kind));
    }
  for (guint i = 0; i < MAX (held->len, G_N_ELEMENTS (replay->held)); i++)
    g_assert_cmpstr (i < held->len ? g_ptr_array_index (held, i) : NULL, ==,
                     i < G_N_ELEMENTS (replay->held) ? replay->held[i] : NULL);
  g_assert_true (book.visit->closed);
  g_assert_cmpuint (book.visit->kept_out->len, ==, 0);
  g_assert_cmpuint (g_hash_table_size (kinds), >=, replay->least_kinds);
  check_findings (replay, book.visit);
}

/* Every file of the folder is in the table, and the kinds that none of them has are known. */
static void
test_folder (void)
{
  g_autofree char *path = g_build_filename (g_test_get_dir (G_TEST_DIST), "replay", NULL);
  g_autoptr (GError) error = NULL;
  g_autoptr (GDir) folder = g_dir_open (path, 0, &error);
  const char *name;
  guint n = 0;

  g_assert_no_error (error);
  while ((name = g_dir_read_name (folder)) != NULL)
    n += g_str_has_suffix (name, ".jsonl");
  g_assert_cmpuint (n, ==, G_N_ELEMENTS (replays));
}

int
main (int argc, char *argv[])
{
  g_test_init (&argc, &argv, NULL);
  for (gsize i = 0; i < G_N_ELEMENTS (replays); i++)
    {
      g_autofree char *name = g_strconcat ("/replay/", replays[i].file, NULL);

      g_test_add_data_func (name, &replays[i], test_replay);
    }
  g_test_add_func ("/replay/folder", test_folder);
  return g_test_run ();
}
