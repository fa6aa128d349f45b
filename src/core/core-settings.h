/* core-settings.h: every figure that the company or a site may set, with default, range and source.
 *
 * The table is core-settings.def; a setting is an integer in the unit that its key names.  Values are
 * immutable and reference counted. */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

typedef enum
{
#define TD_SETTING(symbol, key, value, minimum, maximum, unit, source, text) TD_SETTING_##symbol,
#include "core-settings.def"
#undef TD_SETTING
  TD_N_SETTINGS
} TdSettingId;

typedef struct
{
  const char *key; /* stable; ends in its unit */
  gint64 standard; /* the default */
  gint64 minimum;
  gint64 maximum;
  const char *unit;   /* as shown */
  const char *source; /* where the default comes from */
  const char *text;   /* what it governs, one sentence */
} TdSettingInfo;

typedef struct _TdSettings TdSettings;

const TdSettingInfo *td_setting_get_info (TdSettingId id);
/* Returns FALSE where no setting has that key. */
gboolean td_setting_find (const char *key, TdSettingId *id_out);

/* All defaults. */
TdSettings *td_settings_new (void);
/* Returns: (transfer full): a copy with one value changed, or NULL with TD_ERROR_RANGE. */
TdSettings *td_settings_with (const TdSettings *settings, TdSettingId id, gint64 value, GError **error);
TdSettings *td_settings_ref (TdSettings *settings);
void td_settings_unref (TdSettings *settings);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdSettings, td_settings_unref)
gint64 td_settings_get (const TdSettings *settings, TdSettingId id);

G_END_DECLS
