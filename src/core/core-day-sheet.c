#include "core-day-sheet.h"

TdDayVisit *
td_day_visit_new (void)
{
  TdDayVisit *visit = g_new0 (TdDayVisit, 1);

  visit->tasks = g_array_new (FALSE, FALSE, sizeof (TdDayTask));
  return visit;
}

void
td_day_visit_free (TdDayVisit *visit)
{
  g_return_if_fail (visit != NULL);
  g_free (visit->site_id);
  g_free (visit->site);
  g_free (visit->account);
  g_free (visit->address);
  g_free (visit->area);
  g_free (visit->reason);
  g_array_unref (visit->tasks);
  g_free (visit);
}

static void
free_visit (gpointer data)
{
  td_day_visit_free (data);
}

TdDaySheet *
td_day_sheet_new (void)
{
  TdDaySheet *sheet = g_new0 (TdDaySheet, 1);

  sheet->visits = g_ptr_array_new_with_free_func (free_visit);
  return sheet;
}

void
td_day_sheet_free (TdDaySheet *sheet)
{
  g_return_if_fail (sheet != NULL);
  g_free (sheet->technician);
  g_free (sheet->name);
  g_free (sheet->company);
  g_free (sheet->area);
  g_ptr_array_unref (sheet->visits);
  g_free (sheet);
}
