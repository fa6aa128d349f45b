#include "document-report-groups.h"

char *
td_report_titles (const GPtrArray *lines)
{
  GString *text = g_string_new (NULL);
  const char *tower = NULL;

  for (guint i = 0; i < lines->len; i++)
    {
      const TdReportLine *line = g_ptr_array_index (lines, i);

      if (line->number > 0 && g_strcmp0 (line->tower, tower) == 0)
        g_string_append_printf (text, ", %d", line->number);
      else
        g_string_append_printf (text, "%s%s", text->len > 0 ? "; " : "", line->title);
      tower = line->number > 0 ? line->tower : NULL;
    }
  return g_string_free (text, FALSE);
}

char *
td_report_shorten (const char *text, guint most)
{
  const char *cut, *space;

  if (text == NULL)
    return g_strdup ("");
  if (g_utf8_strlen (text, -1) <= (glong)most)
    return g_strdup (text);
  cut = g_utf8_offset_to_pointer (text, most);
  space = g_utf8_strrchr (text, cut - text, ' ');
  /* A script without spaces is cut where it is. */
  if (space != NULL && space > text + (cut - text) / 2)
    cut = space;
  return g_strdup_printf ("%.*s\xe2\x80\xa6", (int)(cut - text), text);
}

GPtrArray *
td_report_group (const TdReport *report, TdReportWanted wanted, TdReportKey key)
{
  GPtrArray *groups = g_ptr_array_new_with_free_func ((GDestroyNotify)g_ptr_array_unref);

  for (guint i = 0; i < report->lines->len; i++)
    {
      TdReportLine *line = &g_array_index (report->lines, TdReportLine, i);
      GPtrArray *group = NULL;

      if (!wanted (line))
        continue;
      for (guint j = 0; j < groups->len && group == NULL; j++)
        {
          GPtrArray *one = g_ptr_array_index (groups, j);

          if (g_strcmp0 (key (g_ptr_array_index (one, 0)), key (line)) == 0)
            group = one;
        }
      if (group == NULL)
        {
          group = g_ptr_array_new ();
          g_ptr_array_add (groups, group);
        }
      g_ptr_array_add (group, line);
    }
  return groups;
}
