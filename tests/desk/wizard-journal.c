#include "wizard-journal.h"

#include "core-json-build.h"

#include <string.h>

/* Stands in files for whichever visit it was. */
#define FILED_VISIT "019f1900-0000-7000-9000-54554e444101"

static char *
make_line (TdKind kind, const char *person, const char *body)
{
  return g_strjoin (" ", td_kind_get_code (kind), person, kind == TD_KIND_CLOSING ? "" : body, NULL);
}

GPtrArray *
wizard_journal_of_visit (const TdVisit *visit)
{
  GPtrArray *lines = g_ptr_array_new_with_free_func (g_free);

  for (guint i = 0; i < visit->entries->len; i++)
    {
      const TdEntry *entry = g_ptr_array_index (visit->entries, i);

      g_ptr_array_add (lines, make_line (entry->envelope.kind, entry->envelope.person, entry->body_text));
    }
  return lines;
}

GPtrArray *
wizard_journal_read (const char *path, const TdUuid *visit)
{
  GPtrArray *drafts = g_ptr_array_new_with_free_func ((GDestroyNotify) td_draft_free);
  g_autoptr (GError) error = NULL;
  g_autofree char *text = NULL;
  g_auto (GStrv) lines = NULL;

  g_file_get_contents (path, &text, NULL, &error);
  g_assert_no_error (error);
  lines = g_strsplit (g_strchomp (text), "\n", -1);
  for (guint i = 0; lines[i] != NULL; i++)
    {
      g_autoptr (TdJson) json = td_json_parse (lines[i], -1, &error);
      TdDraft *draft;

      g_assert_no_error (error);
      draft = td_draft_from_json (json, &error);
      g_assert_no_error (error);
      if (visit != NULL)
        draft->visit = *visit;
      g_ptr_array_add (drafts, draft);
    }
  return drafts;
}

GPtrArray *
wizard_journal_of_file (const char *path)
{
  g_autoptr (GPtrArray) drafts = wizard_journal_read (path, NULL);
  GPtrArray *lines = g_ptr_array_new_with_free_func (g_free);

  for (guint i = 0; i < drafts->len; i++)
    {
      const TdDraft *draft = g_ptr_array_index (drafts, i);
      g_autoptr (GError) error = NULL;
      g_autofree char *body = td_json_to_canonical (draft->body, &error);

      g_assert_no_error (error);
      g_ptr_array_add (lines, make_line (draft->kind, draft->person, body));
    }
  return lines;
}

void
wizard_journal_assert_same (const GPtrArray *is, const GPtrArray *should_be)
{
  for (guint i = 0; i < MIN (is->len, should_be->len); i++)
    if (strcmp (g_ptr_array_index (is, i), g_ptr_array_index (should_be, i)) != 0)
      g_error ("entry %u is\n%s\nand should be\n%s", i + 1, (const char *) g_ptr_array_index (is, i),
               (const char *) g_ptr_array_index (should_be, i));
  g_assert_cmpuint (is->len, ==, should_be->len);
}

void
wizard_journal_write (const TdVisit *visit, const char *path)
{
  g_autoptr (GString) text = g_string_new (NULL);
  g_autoptr (GError) error = NULL;
  TdUuid id;

  g_assert_true (td_uuid_parse (FILED_VISIT, &id, NULL));
  for (guint i = 0; i < visit->entries->len; i++)
    {
      const TdEntry *entry = g_ptr_array_index (visit->entries, i);
      TdJson *body = td_json_ref (entry->body);
      g_autoptr (TdDraft) draft = NULL;
      g_autoptr (TdJson) line = NULL;
      g_autofree char *json = NULL;

      if (entry->envelope.kind == TD_KIND_CLOSING)
        {
          /* The book writes what it holds. */
          td_json_unref (body);
          body = td_json_parse ("{}", -1, NULL);
        }
      draft = td_draft_new (&id, entry->envelope.kind, &entry->envelope.happened, entry->envelope.person, body);
      line = td_draft_to_json (draft);
      json = td_json_to_text (line, FALSE);
      g_string_append (text, g_strchomp (json));
      g_string_append_c (text, '\n');
    }
  g_file_set_contents (path, text->str, (gssize) text->len, &error);
  g_assert_no_error (error);
}
