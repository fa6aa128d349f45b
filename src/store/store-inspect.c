#include "store-inspect.h"

#include "store-master.h"
#include "store-query.h"
#include "store-setting.h"

/* Visits come newest first; an inspection wants them by date. */
static gboolean
add_visits (TdBook *book, TdInspection *inspection, const char *site_id, GError **error)
{
  const TdVisitsFilter filter = { .state = TD_VISITS_ALL, .site_id = site_id, .newest_only = TRUE };
  g_autoptr (GPtrArray) rows = td_book_list_visits (book, &filter, error);
  if (rows == NULL)
    return FALSE;
  for (guint i = rows->len; i > 0; i--)
    {
      const TdVisitRow *row = g_ptr_array_index (rows, i - 1);
      /* A year before the period is enough to know the cleaning before its first. */
      if (row->date > inspection->to || row->date < inspection->from - 366)
        continue;
      g_autoptr (TdVisitRecord) record = td_book_load_visit (book, &row->id, error);
      if (record == NULL)
        return FALSE;
      td_inspection_add (inspection, record->visit, row->number);
    }
  td_inspection_finish (inspection);
  return TRUE;
}

TdInspection *
td_book_get_inspection (TdBook *book, const char *site_id, const TdRecordRules *rules, TdDate from, TdDate to,
                        GError **error)
{
  g_return_val_if_fail (site_id != NULL && from <= to, NULL);
  g_autoptr (TdSite) site = td_book_get_site (book, site_id, error);
  g_autoptr (TdSettings) settings = site != NULL ? td_book_get_settings (book, site_id, error) : NULL;
  g_autoptr (TdMasters) masters = settings != NULL ? td_book_get_masters (book, error) : NULL;
  if (masters == NULL)
    return NULL;
  TdRecordRules which = rules != NULL ? *rules : (TdRecordRules) td_settings_get (settings, TD_SETTING_RECORD_RULES);
  int days = (int) td_settings_get (settings, TD_SETTING_CAUSTIC_INTERVAL);
  g_autoptr (TdInspection) inspection = td_inspection_new (site, masters, which, days, from, to);
  return add_visits (book, inspection, site_id, error) ? g_steal_pointer (&inspection) : NULL;
}
