#include "document-day.h"

#include "document-i18n.h"
#include "document-table.h"
#include "document-words.h"

#include <string.h>

char *
td_day_make_title (const TdDaySheet *sheet)
{
  g_autofree char *day = NULL;

  g_return_val_if_fail (sheet != NULL, NULL);
  day = td_date_to_text (sheet->day);
  return g_strdup_printf (_ ("Day sheet, %s, %s"), sheet->name, day);
}

static void
paint_head (TdFlow *flow, const TdDaySheet *sheet)
{
  g_autofree char *title = td_day_make_title (sheet);
  g_autofree char *from = td_day_format_minute (sheet->from_min);
  g_autofree char *to = td_day_format_minute (sheet->to_min);
  g_autofree char *hours = NULL;
  int work = 0, road = 0;

  for (guint i = 0; i < sheet->n_fit; i++)
    {
      const TdDayVisit *visit = g_ptr_array_index (sheet->visits, i);

      work += visit->stop.minutes;
      road += visit->stop.travel_min;
    }
  td_flow_add_heading (flow, 1, title);
  hours = g_strdup_printf (_ ("Working hours %s to %s%s%s \xc2\xb7 %u visits \xc2\xb7 %d min of work, %d min on the road"),
                           from, to, sheet->area != NULL ? _ (", from ") : "", sheet->area != NULL ? sheet->area : "",
                           sheet->n_fit, work, road);
  td_flow_add_paragraph (flow, hours, &td_style_strong);
  td_flow_add_space (flow, 6);
}

/* "caustic since 2026-06-02 (13 days over); acid by 2026-06-20" */
static char *
describe_tasks (const TdDayVisit *visit)
{
  GString *text = g_string_new (NULL);

  for (guint i = 0; i < visit->tasks->len; i++)
    {
      const TdDayTask *task = &g_array_index (visit->tasks, TdDayTask, i);
      g_autofree char *due = td_date_to_text (task->due);

      if (i > 0)
        g_string_append (text, "\n");
      if (task->days < 0)
        g_string_append_printf (text, ngettext ("%s: due %s, %d day over", "%s: due %s, %d days over", (gulong) -task->days),
                                td_word (task->task), due, -task->days);
      else
        g_string_append_printf (text, _ ("%s: due %s"), td_word (task->task), due);
    }
  return g_string_free (text, FALSE);
}

static char *
describe_place (const TdDayVisit *visit)
{
  GString *text = g_string_new (visit->site);

  g_string_append_printf (text, "\n%s", visit->account);
  if (visit->address != NULL)
    g_string_append_printf (text, "\n%s", visit->address);
  if (visit->area != NULL)
    g_string_append_printf (text, _ ("\nArea: %s"), visit->area);
  if (!visit->assigned)
    g_string_append (text, _ ("\nNobody's own: anyone may have been there"));
  return g_string_free (text, FALSE);
}

static char *
describe_notes (const TdDayVisit *visit)
{
  GString *text = g_string_new (NULL);

  if (visit->stop.from_min >= 0 || visit->stop.to_min >= 0)
    {
      g_autofree char *from = td_day_format_minute (MAX (visit->stop.from_min, 0));
      g_autofree char *to = td_day_format_minute (visit->stop.to_min >= 0 ? visit->stop.to_min : 24 * 60);

      g_string_append_printf (text, _ ("Open to us %s to %s. "), from, to);
    }
  if (visit->missed > 0)
    g_string_append_printf (text, ngettext ("Missed %u time. ", "Missed %u times. ", visit->missed),
                            visit->missed);
  if (visit->reason != NULL)
    g_string_append_printf (text, "%s ", visit->reason);
  if (!visit->planned)
    g_string_append (text, _ ("Minutes are a guess: the site cannot be planned."));
  return g_string_free (text, FALSE);
}

static void
add_row (TdTable *table, const TdDayVisit *visit, gboolean fits)
{
  g_autofree char *begin = fits ? td_day_format_minute (visit->stop.begin_min) : g_strdup ("\xe2\x80\x93");
  g_autofree char *end = fits ? td_day_format_minute (visit->stop.end_min) : g_strdup ("");
  g_autofree char *time = fits ? g_strdup_printf ("%s\n%s", begin, end) : g_steal_pointer (&begin);
  g_autofree char *road = fits ? g_strdup_printf ("%d", visit->stop.travel_min) : g_strdup ("");
  g_autofree char *minutes = g_strdup_printf ("%d", visit->stop.minutes);
  g_autofree char *lines = g_strdup_printf ("%u", visit->lines);
  g_autofree char *place = describe_place (visit);
  g_autofree char *tasks = describe_tasks (visit);
  g_autofree char *notes = describe_notes (visit);

  td_table_add (table, time, road, minutes, lines, place, tasks, notes, "");
}

static void
paint_visits (TdFlow *flow, const TdDaySheet *sheet)
{
  const TdColumn columns[] = {
    { _ ("Time"), PANGO_ALIGN_LEFT, 0, TRUE },   { _ ("Road, min"), PANGO_ALIGN_RIGHT, 45, FALSE },
    { _ ("Work, min"), PANGO_ALIGN_RIGHT, 45, FALSE }, { _ ("Lines"), PANGO_ALIGN_RIGHT, 0, TRUE },
    { _ ("Where"), PANGO_ALIGN_LEFT, 0, FALSE }, { _ ("Due"), PANGO_ALIGN_LEFT, 0, FALSE },
    { _ ("Mind"), PANGO_ALIGN_LEFT, 0, FALSE },  { _ ("Done"), PANGO_ALIGN_LEFT, 0, TRUE },
  };
  g_autoptr (TdTable) table = td_table_new (columns, G_N_ELEMENTS (columns), 7.6);

  if (sheet->visits->len == 0)
    {
      td_flow_add_paragraph (flow, _ ("Nothing is due."), &td_style_text);
      return;
    }
  for (guint i = 0; i < sheet->visits->len; i++)
    {
      if (i == sheet->n_fit)
        td_table_add_group (table, _ ("Due, but not to be done within the hours of this day"));
      add_row (table, g_ptr_array_index (sheet->visits, i), i < sheet->n_fit);
    }
  td_flow_add_table (flow, table);
}

static void
paint_end (TdFlow *flow)
{
  td_flow_add_space (flow, 8);
  td_flow_add_paragraph (flow,
                         _ ("Order: by the day on which a site is due; of one day always the nearest by minutes on the road, "
                            "then the one that must be done earliest. A site whose hours would not be kept is passed over and "
                            "tried again after each stop. Minutes of work are those of the site's plan for one technician. This "
                            "is a proposal, not the best of all orders."),
                         &td_style_small);
}

TdPages *
td_day_to_pages (const TdDaySheet *sheet, TdFonts *fonts, TdPaperKind kind, GError **error)
{
  const TdPaper paper = td_paper_get (kind);
  g_autofree char *title = NULL;
  TdFurniture furniture = { 0 };
  TdFlow *flow;

  g_return_val_if_fail (sheet != NULL && fonts != NULL, NULL);
  flow = td_flow_new (&paper, fonts);
  paint_head (flow, sheet);
  paint_visits (flow, sheet);
  paint_end (flow);
  title = td_day_make_title (sheet);
  furniture.head_left = title;
  furniture.head_right = sheet->company;
  return td_pages_new (flow, &furniture, error);
}
