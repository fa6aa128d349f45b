#include "ctl-extract.h"

#include "ctl-paper.h"

#include "core-json-build.h"
#include "document-inspect-pages.h"
#include "store-inspect.h"

#include <stdio.h>
#include <string.h>

static void
print_missing (const TdInspection *inspection)
{
  const TdRecordRulesInfo *rules = td_record_rules_get_info (inspection->rules);

  printf ("%s, %s (%s): %u cleanings\n", inspection->site, rules->name, rules->source, inspection->visits->len);
  for (guint item = 0; item < TD_N_RECORD_ITEMS; item++)
    if (td_record_rules_ask (inspection->rules, item))
      printf ("%-16s missing on %u\n", td_record_item_to_text (item), td_inspection_count_missing (inspection, item));
  if (td_inspection_is_overdue (inspection))
    printf ("overdue: the last cleaning lies longer back than %d d\n", inspection->interval_days);
}

static gboolean
write_pdf (const TdInspection *inspection, const TdCtlExtract *extract, gint64 now_ms, GError **error)
{
  g_autoptr (TdPages) pages = td_inspection_to_pages (inspection, extract->paper, error);
  g_autofree char *title = NULL;
  const TdPdfInfo info = td_inspection_make_info (inspection, now_ms, &title);

  return td_ctl_write_pages (pages, extract->path, &info, error);
}

static gboolean
write_extract (const TdInspection *inspection, const TdCtlExtract *extract, gint64 now_ms, GError **error)
{
  if (extract->path != NULL && !write_pdf (inspection, extract, now_ms, error))
    return FALSE;
  if (extract->json)
    {
      g_autoptr (TdJson) json = td_inspection_to_json (inspection);
      g_autofree char *text = td_json_to_text (json, TRUE);

      return td_ctl_print (text, strlen (text), error);
    }
  if (extract->path == NULL)
    print_missing (inspection);
  return TRUE;
}

TdCtlStatus
td_ctl_extract (const TdCtlInfo *info, TdBook *book, const TdCtlExtract *extract)
{
  TdRecordRules rules;
  g_autoptr (TdInspection) inspection = NULL;
  GError *error = NULL;

  if (extract->rules != NULL && !td_record_rules_find (extract->rules, &rules))
    {
      g_autoptr (GString) codes = g_string_new (NULL);

      for (guint i = 0; i < TD_N_RECORD_RULES; i++)
        g_string_append_printf (codes, "%s%s", i > 0 ? ", " : "", td_record_rules_get_info (i)->code);
      return td_ctl_misuse (info, "--rules is one of %s, not '%s'", codes->str, extract->rules);
    }
  inspection = td_book_get_inspection (book, extract->site, extract->rules != NULL ? &rules : NULL, extract->from,
                                       extract->to, &error);
  if (inspection == NULL
      || !write_extract (inspection, extract, td_clock_get_now_ms (td_book_get_clock (book)), &error))
    return td_ctl_refuse (info, error);
  return TD_CTL_DONE;
}
