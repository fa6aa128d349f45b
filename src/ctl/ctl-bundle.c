/* bundle: what two copies of the book tell each other. */
#include "ctl-book.h"
#include "ctl-commands.h"

#include "core-json-build.h"
#include "store-bundle.h"

#include <stdio.h>
#include <string.h>

static TdCtlStatus
print_json (const TdCtlInfo *info, TdJsonBuilder *builder)
{
  g_autoptr (TdJson) json = td_json_builder_finish (builder);
  g_autofree char *text = td_json_to_text (json, TRUE);
  GError *error = NULL;

  return td_ctl_print (text, strlen (text), &error) ? TD_CTL_DONE : td_ctl_refuse (info, error);
}

static void
add_conflicts (TdJsonBuilder *builder, const GPtrArray *conflicts)
{
  td_json_builder_begin_array (builder);
  for (guint i = 0; i < conflicts->len; i++)
    {
      const TdBundleConflict *conflict = g_ptr_array_index (conflicts, i);
      const TdMoment met = { conflict->met_ms, 0 };
      g_autofree char *at = td_moment_to_text (&met);

      td_json_builder_begin_object (builder);
      td_json_builder_member_string (builder, "kind", conflict->kind);
      td_json_builder_member_string (builder, "id", conflict->slug);
      td_json_builder_member_integer (builder, "kept_rev", conflict->kept_rev);
      td_json_builder_member_string (builder, "kept", conflict->kept);
      td_json_builder_member_integer (builder, "other_rev", conflict->other_rev);
      td_json_builder_member_string (builder, "other", conflict->other);
      td_json_builder_member_string (builder, "met", at);
      td_json_builder_end (builder);
    }
  td_json_builder_end (builder);
}

static void
print_conflicts (const GPtrArray *conflicts)
{
  for (guint i = 0; i < conflicts->len; i++)
    {
      const TdBundleConflict *conflict = g_ptr_array_index (conflicts, i);

      printf ("%s %s: changed in two books\n  holds (version %u): %s\n  gave way (version %u): %s\n", conflict->kind,
              conflict->slug, conflict->kept_rev, conflict->kept, conflict->other_rev, conflict->other);
    }
}

static TdCtlStatus
print_sum (const TdCtlInfo *info, const TdBundleSum *sum, gboolean json, gboolean out, const char *path)
{
  if (json)
    {
      g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();

      td_json_builder_begin_object (builder);
      td_json_builder_member_string (builder, "from", sum->from);
      td_json_builder_member_string (builder, "sha256", sum->sha256);
      td_json_builder_member_boolean (builder, "test", sum->test);
      td_json_builder_member_boolean (builder, "again", sum->again);
      td_json_builder_member_integer (builder, "visits", sum->visits);
      td_json_builder_member_integer (builder, "known", sum->known);
      td_json_builder_member_integer (builder, "attachments", sum->attachments);
      td_json_builder_member_integer (builder, "rows_new", sum->rows.added);
      td_json_builder_member_integer (builder, "rows_changed", sum->rows.changed);
      td_json_builder_member_integer (builder, "rows_same", sum->rows.same);
      td_json_builder_key (builder, "conflicts");
      add_conflicts (builder, sum->conflicts);
      td_json_builder_end (builder);
      return print_json (info, builder);
    }
  if (out)
    printf ("%s: a bundle of %s, read back and verified: %u visits, %u pictures, %u rows of master data\n", path, sum->from,
            sum->visits, sum->attachments, sum->rows.added);
  else if (sum->again)
    printf ("%s: a bundle of %s that was taken in before; nothing changed\n", path, sum->from);
  else
    printf ("%s: from %s%s: %u visits (%u known already), %u pictures; master data: %u new, %u changed, %u the same\n", path,
            sum->from, sum->test ? ", a test book" : "", sum->visits, sum->known, sum->attachments, sum->rows.added,
            sum->rows.changed, sum->rows.same);
  print_conflicts (sum->conflicts);
  return TD_CTL_DONE;
}

static TdCtlStatus
list_conflicts (const TdCtlInfo *info, TdBook *book, gboolean json)
{
  GError *error = NULL;
  g_autoptr (GPtrArray) conflicts = td_book_list_conflicts (book, &error);

  if (conflicts == NULL)
    return td_ctl_refuse (info, error);
  if (json)
    {
      g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();

      add_conflicts (builder, conflicts);
      return print_json (info, builder);
    }
  print_conflicts (conflicts);
  return TD_CTL_DONE;
}

TdCtlStatus
td_ctl_bundle (const TdCtlInfo *info, int argc, char **argv)
{
  g_auto (TdCtlBookOptions) options = { NULL, NULL };
  g_auto (TdBundleSum) sum = { 0 };
  g_autofree char *to = NULL;
  gboolean json = FALSE, all = FALSE, masters = FALSE;
  const GOptionEntry entries[] = {
    TD_CTL_BOOK_ENTRIES (&options),
    { "all", 0, 0, G_OPTION_ARG_NONE, &all, "out: every closed visit, also those that the others hold", NULL },
    { "masters", 0, 0, G_OPTION_ARG_NONE, &masters, "out: master data only, no visits", NULL },
    { "to", 0, 0, G_OPTION_ARG_STRING, &to, "out: what the copy with this prefix lacks", "PREFIX" },
    { "json", 0, 0, G_OPTION_ARG_NONE, &json, "Print JSON", NULL },
    { NULL }
  };
  g_auto (GStrv) words = NULL;
  g_autoptr (TdBook) book = NULL;
  GError *error = NULL;
  TdCtlStatus status;

  if (!td_ctl_parse (info, entries, argc, argv, 1, 2, &words, &status))
    return status;
  gboolean out = strcmp (words[0], "out") == 0, in = strcmp (words[0], "in") == 0;
  gboolean conflicts = strcmp (words[0], "conflicts") == 0;
  if ((!out && !in && !conflicts) || (words[1] == NULL) != conflicts)
    return td_ctl_misuse (info, "it is bundle out FILE, bundle in FILE or bundle conflicts");
  if (!out && (all || masters || to != NULL))
    return td_ctl_misuse (info, "--all, --masters and --to are of bundle out");
  book = td_ctl_open_book (&options, &error);
  if (book == NULL)
    return td_ctl_refuse (info, error);
  if (conflicts)
    return list_conflicts (info, book, json);
  const TdBundleOut how = { all, masters, to };
  if (out ? !td_book_write_bundle (book, words[1], &how, &sum, &error)
          : !td_book_read_bundle (book, words[1], FALSE, &sum, &error))
    return td_ctl_refuse (info, error);
  return print_sum (info, &sum, json, out, words[1]);
}
