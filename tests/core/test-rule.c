/* Every rule by visits that break it and visits that just do not; the findings as a list. */
#include <string.h>

#include "core-rule.h"
#include "rule-cases.h"
#include "visit-bench.h"

static void
replace_all (GPtrArray *lines, const char *change)
{
  g_auto (GStrv) parts = g_strsplit (change, " => ", 2);

  g_assert_cmpuint (g_strv_length (parts), ==, 2);
  for (guint i = 0; i < lines->len; i++)
    {
      GString *line = g_string_new (g_ptr_array_index (lines, i));

      g_string_replace (line, parts[0], parts[1], 0);
      g_free (lines->pdata[i]);
      lines->pdata[i] = g_string_free (line, FALSE);
    }
}

static void
leave_out (GPtrArray *lines, const char *text)
{
  guint len = lines->len;

  for (guint i = lines->len; i-- > 0;)
    if (strstr (g_ptr_array_index (lines, i), text) != NULL)
      g_ptr_array_remove_index (lines, i);
  g_assert_cmpuint (lines->len, <, len);
}

static void
insert_by_time (GPtrArray *lines, const char *line)
{
  g_autofree char *clock = g_strndup (line, strcspn (line, " "));
  guint at = lines->len;

  while (at > 0)
    {
      const char *other = g_ptr_array_index (lines, at - 1);
      g_autofree char *own = g_strndup (other, strcspn (other, " "));

      if (bench_time (own) <= bench_time (clock))
        break;
      at--;
    }
  g_ptr_array_insert (lines, (int)at, g_strdup (line));
}

static TdDate
read_date (const char *text)
{
  TdDate date = TD_DATE_NONE;

  if (strcmp (text, "-") != 0)
    g_assert_true (td_date_parse (text, &date, NULL));
  return date;
}

static void
set_history (Bench *bench, const char *dates)
{
  g_auto (GStrv) parts = g_strsplit (dates, " ", -1);
  guint n_outlets = bench->context.site->n_outlets;

  g_assert_cmpuint (g_strv_length (parts), ==, 3);
  bench->history = g_new0 (TdLineHistory, n_outlets);
  for (guint i = 0; i < n_outlets; i++)
    bench->history[i]
        = (TdLineHistory){ read_date (parts[0]), read_date (parts[1]), read_date (parts[2]) };
  bench->context.history = bench->history;
}

static void
change_lines (Bench *bench, GPtrArray *lines, const char *changes)
{
  g_auto (GStrv) parts = g_strsplit (changes, "\n", -1);

  for (guint i = 0; parts[i] != NULL; i++)
    switch (parts[i][0])
      {
      case '-':
        leave_out (lines, parts[i] + 2);
        break;
      case '~':
        replace_all (lines, parts[i] + 2);
        break;
      case '+':
        insert_by_time (lines, parts[i] + 2);
        break;
      case '>':
        g_ptr_array_add (lines, g_strdup (parts[i] + 2));
        break;
      case '*':
        set_history (bench, parts[i] + 2);
        break;
      default:
        g_assert_cmpstr (parts[i], ==, "");
      }
}

/* Folds the good visit with the changes; only the whole is folded, as what is read from a book is.
 */
static TdVisit *
fold_changed (Bench *bench, const char *changes)
{
  g_autoptr (GPtrArray) lines = g_ptr_array_new_with_free_func (g_free);

  for (guint i = 0; bench_good_visit[i] != NULL; i++)
    g_ptr_array_add (lines, g_strdup (bench_good_visit[i]));
  change_lines (bench, lines, changes);
  for (guint i = 0; i < lines->len; i++)
    {
      g_autoptr (GError) error = NULL;
      TdEntry *entry = bench_make_entry (bench, g_ptr_array_index (lines, i), &error);

      if (entry == NULL)
        g_error ("%s: %s", (const char *)g_ptr_array_index (lines, i), error->message);
      g_ptr_array_add (bench->entries, entry);
    }
  return bench_fold (bench);
}

static void
print_findings (const GPtrArray *findings)
{
  for (guint i = 0; i < findings->len; i++)
    {
      const TdFinding *finding = g_ptr_array_index (findings, i);

      g_test_message ("%s: %s", td_rule_get_info (finding->rule)->code, finding->text);
    }
}

static void
check_case (const RuleCase *rule_case)
{
  g_autoptr (Bench) bench = bench_new ();
  g_autoptr (TdVisit) visit = fold_changed (bench, rule_case->changes);
  g_autoptr (GPtrArray) findings = td_visit_get_findings (visit, bench_time ("08:00"));
  gboolean found = FALSE;
  gboolean said = FALSE;

  for (guint i = 0; i < findings->len; i++)
    {
      const TdFinding *finding = g_ptr_array_index (findings, i);

      if (strcmp (td_rule_get_info (finding->rule)->code, rule_case->code) != 0)
        continue;
      found = TRUE;
      said = said || (rule_case->says != NULL && strstr (finding->text, rule_case->says) != NULL);
    }
  if (found == (rule_case->says != NULL) && said == found)
    return;
  print_findings (findings);
  g_test_message ("%s after:\n%s\nshould say: %s", rule_case->code, rule_case->changes,
                  rule_case->says != NULL ? rule_case->says : "nothing");
  g_test_fail ();
}

static void
test_cases (void)
{
  for (gsize i = 0; i < G_N_ELEMENTS (rule_cases); i++)
    check_case (&rule_cases[i]);
}

/* A rule without a visit that breaks it and one that does not is not a tested rule. */
static void
test_every_rule_has_cases (void)
{
  for (guint rule = 0; rule < TD_N_RULES; rule++)
    {
      const TdRuleInfo *info = td_rule_get_info ((TdRuleId)rule);
      guint breaks = 0;
      guint keeps = 0;

      for (gsize i = 0; i < G_N_ELEMENTS (rule_cases); i++)
        if (strcmp (rule_cases[i].code, info->code) == 0)
          {
            if (rule_cases[i].says != NULL)
              breaks++;
            else
              keeps++;
          }
      if (breaks == 0 || keeps == 0)
        {
          g_test_message ("%s: %u cases break it, %u keep it", info->code, breaks, keeps);
          g_test_fail ();
        }
    }
}

static void
test_cases_name_rules (void)
{
  for (gsize i = 0; i < G_N_ELEMENTS (rule_cases); i++)
    {
      TdRuleId rule;

      g_assert_true (td_rule_find (rule_cases[i].code, &rule));
      g_assert_cmpstr (td_rule_get_info (rule)->code, ==, rule_cases[i].code);
    }
}

static void
test_good_visit (void)
{
  g_autoptr (Bench) bench = bench_new ();
  g_autoptr (TdVisit) visit = fold_changed (bench, "");
  g_autoptr (GPtrArray) findings = td_visit_get_findings (visit, bench_time ("08:00"));

  print_findings (findings);
  g_assert_cmpuint (findings->len, ==, 0);
}

static void
test_table (void)
{
  for (guint i = 0; i < TD_N_RULES; i++)
    {
      const TdRuleInfo *info = td_rule_get_info ((TdRuleId)i);

      for (const char *c = info->code; *c != '\0'; c++)
        g_assert_true (g_ascii_islower (*c) || *c == '-' || g_ascii_isdigit (*c));
      g_assert_true (g_str_has_suffix (info->text, "."));
      g_assert_cmpuint (strlen (info->source), >, 4);
      for (guint k = 0; k < i; k++)
        g_assert_cmpstr (td_rule_get_info ((TdRuleId)k)->code, !=, info->code);
    }
  g_assert_cmpstr (td_severity_to_text (TD_SEVERITY_STOP), ==, "stop");
  g_assert_cmpstr (td_severity_to_text (TD_SEVERITY_REASON), ==, "reason");
  g_assert_cmpstr (td_severity_to_text (TD_SEVERITY_ADVICE), ==, "advice");
}

/* Stops first, then by line and code. */
static void
test_order (void)
{
  g_autoptr (Bench) bench = bench_new ();
  g_autoptr (TdVisit) visit = NULL;
  g_autoptr (GPtrArray) findings = NULL;

  visit = fold_changed (
      bench, "- fob-rinsed\n- coupler-brushed\n- rinse-circulated\n- cooling-on\n- check-ball-in\n"
             "~ percent_milli=2050 => percent_milli=1000\n- of=tap\n- cold-room-checked\n"
             "~ lot=LY1 => lot=LYOLD\n- solution-disposed");
  findings = td_visit_get_findings (visit, bench_time ("08:00"));
  for (guint i = 1; i < findings->len; i++)
    {
      const TdFinding *a = g_ptr_array_index (findings, i - 1);
      const TdFinding *b = g_ptr_array_index (findings, i);
      const TdRuleInfo *info_a = td_rule_get_info (a->rule);
      const TdRuleInfo *info_b = td_rule_get_info (b->rule);

      g_assert_cmpint (info_a->severity, <=, info_b->severity);
      if (info_a->severity != info_b->severity)
        continue;
      g_assert_cmpint (a->outlet, <=, b->outlet);
      if (a->outlet == b->outlet)
        g_assert_cmpstr (info_a->code, <=, info_b->code);
    }
  g_assert_cmpuint (td_findings_count (findings, TD_SEVERITY_STOP), ==, 4);
  g_assert_cmpuint (td_findings_count (findings, TD_SEVERITY_REASON), ==, 10);
  g_assert_cmpuint (td_findings_count (findings, TD_SEVERITY_ADVICE), ==, 1);
}

static const TdFinding *
find_finding (const GPtrArray *findings, const char *code, int outlet)
{
  for (guint i = 0; i < findings->len; i++)
    {
      const TdFinding *finding = g_ptr_array_index (findings, i);

      if (finding->outlet == outlet && strcmp (td_rule_get_info (finding->rule)->code, code) == 0)
        return finding;
    }
  g_assert_not_reached ();
}

/* The line's own reason goes before that for the visit, a later one before an earlier. */
static void
test_reasons (void)
{
  g_autoptr (Bench) bench = bench_new ();
  g_autoptr (TdVisit) visit = NULL;
  g_autoptr (GPtrArray) findings = NULL;
  int a2, a4;

  visit = fold_changed (
      bench, "~ 06:51 contact-ended => 06:40 contact-ended\n"
             "~ percent_milli=2050 => percent_milli=1000\n"
             "> 07:30 finding-reason code=contact-short reason='bar opened early'\n"
             "> 07:31 finding-reason code=contact-short line=A4 reason=first\n"
             "> 07:32 finding-reason code=contact-short line=A4 reason=second\n"
             "> 07:33 finding-reason code=contact-short reason='last for all'\n"
             "> 07:34 finding-reason code=contact-short line=A1 reason='of another line'");
  findings = td_visit_get_findings (visit, bench_time ("08:00"));
  a2 = (int)bench_line (visit, "A2")->outlet;
  a4 = (int)bench_line (visit, "A4")->outlet;
  g_assert_cmpstr (find_finding (findings, "contact-short", a4)->reason, ==, "second");
  g_assert_cmpstr (find_finding (findings, "contact-short", a2)->reason, ==, "last for all");
  g_assert_null (find_finding (findings, "strength-out-of-range", -1)->reason);
}

/* What still runs is judged by now in an open visit, by its closing in a closed one. */
static void
test_now (void)
{
  static const struct
  {
    const char *changes;
    const char *now;
    guint n_long;
    guint n_short;
  } cases[] = {
    { "- contact-ended lines=B6\n- rinse-started lines=B6", "08:35", 0, 0 },
    { "- contact-ended lines=B6\n- rinse-started lines=B6", "08:36", 1, 0 },
    { "- contact-ended lines=B6\n- rinse-started lines=B6\n> 08:00 closing", "23:00", 0, 1 },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (Bench) bench = bench_new ();
      g_autoptr (TdVisit) visit = fold_changed (bench, cases[i].changes);
      g_autoptr (GPtrArray) findings = td_visit_get_findings (visit, bench_time (cases[i].now));
      guint n_long = 0;
      guint n_short = 0;

      for (guint k = 0; k < findings->len; k++)
        {
          const TdFinding *finding = g_ptr_array_index (findings, k);

          n_long += finding->rule == TD_RULE_CONTACT_LONG;
          n_short += finding->rule == TD_RULE_CONTACT_SHORT;
        }
      g_assert_cmpuint (n_long, ==, cases[i].n_long);
      g_assert_cmpuint (n_short, ==, cases[i].n_short);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/rule/table", test_table);
  g_test_add_func ("/rule/good-visit", test_good_visit);
  g_test_add_func ("/rule/cases", test_cases);
  g_test_add_func ("/rule/every-rule-has-cases", test_every_rule_has_cases);
  g_test_add_func ("/rule/cases-name-rules", test_cases_name_rules);
  g_test_add_func ("/rule/order", test_order);
  g_test_add_func ("/rule/reasons", test_reasons);
  g_test_add_func ("/rule/now", test_now);
  return g_test_run ();
}
