#include "store-setting.h"

#include "store-private.h"
#include "store-project.h"
#include "store-put.h"

static const char *const setting_keys[] = { ":site", ":key", NULL };
static const char *const setting_names[] = { ":value", NULL };
static const TdTable setting_table = { TD_SQL_FIND_SETTING, TD_SQL_INSERT_SETTING, TD_SQL_UPDATE_SETTING, FALSE,
                                       setting_keys, setting_names };

/* A value outside its range can only come from a later program or from damage: the default holds then. */
static TdSettings *
apply (TdSettings *settings, TdSettingId id, gint64 value)
{
  TdSettings *changed = td_settings_with (settings, id, value, NULL);
  if (changed == NULL)
    return settings;
  td_settings_unref (settings);
  return changed;
}

static TdSettings *
apply_stored (TdBook *book, gint64 site_key, TdSettings *settings, GError **error)
{
  g_autoptr (TdSettings) result = settings;
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_LIST_SETTINGS, error);
  if (row == NULL)
    return NULL;
  td_statement_bind_integer (row, ":site", site_key);
  TdStep step;
  while ((step = td_statement_step (row, error)) == TD_STEP_ROW)
    {
      TdSettingId id;
      if (td_setting_find (td_statement_get_text (row, 0), &id))
        result = apply (result, id, td_statement_get_integer (row, 1));
    }
  return step == TD_STEP_DONE ? g_steal_pointer (&result) : NULL;
}

TdSettings *
td_settings_read (TdBook *book, gint64 site_key, const TdSite *site, GError **error)
{
  td_book_assert_owner (book);
  TdSettings *settings = apply_stored (book, 0, td_settings_new (), error);
  if (settings != NULL && site != NULL && site->interval_days > 0)
    settings = apply (settings, TD_SETTING_CAUSTIC_INTERVAL, site->interval_days);
  if (settings != NULL && site_key != 0)
    settings = apply_stored (book, site_key, settings, error);
  return settings;
}

/* 0 for the company; FALSE with an error where the book knows no such site. */
static gboolean
find_site (TdBook *book, const char *site_id, TdVisitState **state_out, GError **error)
{
  TdUuid nobody = { { 0 } };
  *state_out = NULL;
  if (site_id == NULL)
    return TRUE;
  *state_out = td_visit_state_begin (book, &nobody, site_id, NULL, error);
  return *state_out != NULL;
}

TdSettings *
td_book_get_settings (TdBook *book, const char *site_id, GError **error)
{
  g_autoptr (TdVisitState) state = NULL;
  TdSettings *settings = NULL;
  if (!td_book_begin_read (book, error))
    return NULL;
  if (find_site (book, site_id, &state, error))
    settings = td_settings_read (book, state != NULL ? state->site_key : 0,
                                 state != NULL ? state->context.site : NULL, error);
  td_book_end_read (book);
  return settings;
}

static gboolean
set_setting (TdBook *book, const char *site_id, TdSettingId id, const gint64 *value, GError **error)
{
  g_autoptr (TdVisitState) state = NULL;
  g_autoptr (TdRow) keys = td_row_new ();
  g_autoptr (TdRow) values = td_row_new ();
  const TdSettingInfo *info = td_setting_get_info (id);
  TdPut put;
  if (!find_site (book, site_id, &state, error))
    return FALSE;
  td_row_add_integer_or_null (keys, state != NULL ? state->site_key : 0, 0);
  td_row_add_text (keys, info->key);
  td_row_add_integer (values, value != NULL ? *value : info->standard);
  return td_put_row (book, &setting_table, keys, values, value == NULL, &put, error) &&
         td_project_open_visits (book, error);
}

gboolean
td_book_set_setting (TdBook *book, const char *site_id, TdSettingId id, const gint64 *value, GError **error)
{
  td_book_assert_owner (book);
  if (value != NULL)
    {
      g_autoptr (TdSettings) standard = td_settings_new ();
      g_autoptr (TdSettings) checked = td_settings_with (standard, id, *value, error);
      if (checked == NULL)
        return FALSE;
    }
  if (!td_book_begin (book, error))
    return FALSE;
  if (!set_setting (book, site_id, id, value, error))
    {
      td_book_rollback (book);
      return FALSE;
    }
  return td_book_commit (book, error);
}
