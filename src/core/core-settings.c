#include "core-settings.h"

#include <string.h>

#include "core-error.h"

static const TdSettingInfo infos[TD_N_SETTINGS] = {
#define TD_SETTING(symbol, key, value, minimum, maximum, unit, source, text)                            \
  [TD_SETTING_##symbol] = { key, value, minimum, maximum, unit, source, text },
#include "core-settings.def"
#undef TD_SETTING
};

struct _TdSettings
{
  gint64 values[TD_N_SETTINGS];
};

const TdSettingInfo *
td_setting_get_info (TdSettingId id)
{
  g_return_val_if_fail ((guint) id < TD_N_SETTINGS, NULL);
  return &infos[id];
}

gboolean
td_setting_find (const char *key, TdSettingId *id_out)
{
  g_return_val_if_fail (key != NULL && id_out != NULL, FALSE);
  for (guint i = 0; i < TD_N_SETTINGS; i++)
    if (strcmp (infos[i].key, key) == 0)
      {
        *id_out = (TdSettingId) i;
        return TRUE;
      }
  return FALSE;
}

TdSettings *
td_settings_new (void)
{
  TdSettings *settings = g_atomic_rc_box_new0 (TdSettings);

  for (guint i = 0; i < TD_N_SETTINGS; i++)
    settings->values[i] = infos[i].standard;
  return settings;
}

TdSettings *
td_settings_with (const TdSettings *settings, TdSettingId id, gint64 value, GError **error)
{
  const TdSettingInfo *info = td_setting_get_info (id);
  TdSettings *changed;

  g_return_val_if_fail (settings != NULL && info != NULL, NULL);
  g_return_val_if_fail (error == NULL || *error == NULL, NULL);
  if (value < info->minimum || value > info->maximum)
    {
      g_set_error (error, TD_ERROR, TD_ERROR_RANGE,
                   "the setting \"%s\" cannot be %" G_GINT64_FORMAT "; it may be from %" G_GINT64_FORMAT
                   " to %" G_GINT64_FORMAT " (unit: %s)",
                   info->key, value, info->minimum, info->maximum, info->unit);
      return NULL;
    }
  changed = g_atomic_rc_box_new0 (TdSettings);
  *changed = *settings;
  changed->values[id] = value;
  return changed;
}

TdSettings *
td_settings_ref (TdSettings *settings)
{
  g_return_val_if_fail (settings != NULL, NULL);
  return g_atomic_rc_box_acquire (settings);
}

void
td_settings_unref (TdSettings *settings)
{
  g_return_if_fail (settings != NULL);
  g_atomic_rc_box_release (settings);
}

gint64
td_settings_get (const TdSettings *settings, TdSettingId id)
{
  g_return_val_if_fail (settings != NULL && (guint) id < TD_N_SETTINGS, 0);
  return settings->values[id];
}
