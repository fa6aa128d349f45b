/* The form of the figures that govern the work, out of the table of settings; presets of jurisdictions. */
#include "model-form-type.h"

#include "core-error.h"
#include "core-json-build.h"
#include "model-i18n.h"

#include <string.h>

/* Intervals and limits as rules of a place ask for them, as far as they differ from the defaults, which are
 * those of the Brewers Association's manual.  Sources: 40 Pa. Code 5.50-5.54; R.I. Gen. Laws 3-7-25; DIN
 * 6650-6; BBPA line-cleaning guidance; 40 CFR 403.5(b) for the drain.  "Seven days, Australia" is common
 * practice, no source.  Rules change: whoever picks one reads the rule itself. */
static const struct
{
  const char *label;
  const char *values;
} jurisdictions[] = {
  { N_ ("Defaults: Brewers Association, 14 days"), "{\"caustic-interval-days\": 14, \"faucet-strip-interval-days\": 14}" },
  { N_ ("Pennsylvania, 14 days (40 Pa. Code 5.50-5.54)"),
    "{\"caustic-interval-days\": 14, \"faucet-strip-interval-days\": 14}" },
  { N_ ("Rhode Island, 28 days (R.I. Gen. Laws 3-7-25)"), "{\"caustic-interval-days\": 28}" },
  { N_ ("United Kingdom, 7 days (BBPA guidance)"),
    "{\"caustic-interval-days\": 7, \"faucet-strip-interval-days\": 7}" },
  { N_ ("Germany, 7 days (DIN 6650-6)"), "{\"caustic-interval-days\": 7, \"faucet-strip-interval-days\": 7}" },
  { N_ ("Australia, 7 days (common practice)"),
    "{\"caustic-interval-days\": 7, \"faucet-strip-interval-days\": 7}" },
  { N_ ("Canada, 21 days (21 to 28 seen)"), "{\"caustic-interval-days\": 21}" },
};

static const TdFormPreset *
get_jurisdictions (guint *n_out)
{
  static TdFormPreset presets[G_N_ELEMENTS (jurisdictions)];

  for (gsize i = 0; i < G_N_ELEMENTS (jurisdictions); i++)
    {
      presets[i].label = (char *) _ (jurisdictions[i].label);
      presets[i].values = (char *) jurisdictions[i].values;
    }
  *n_out = G_N_ELEMENTS (presets);
  return presets;
}

static const char *const no_keys[] = { NULL };

static gboolean
check_figures (const TdJson *file, GError **error)
{
  gint64 values[TD_N_SETTINGS];
  gboolean set[TD_N_SETTINGS];

  return td_form_read_figures (file, values, set, error);
}

static void
fill_field (TdFormField *field, const TdSettingInfo *info)
{
  gboolean milli = g_str_has_prefix (info->unit, "0.001");
  const char *unit = milli ? info->unit + strlen ("0.001") : info->unit;

  field->key = info->key;
  field->label = info->text;
  field->hint = info->source;
  field->kind = milli ? TD_FORM_DECIMAL : TD_FORM_WHOLE;
  unit += *unit == ' ';
  field->fallback = milli ? td_number_format ((double) info->standard / 1000, 3, '.')
                          : g_strdup_printf ("%" G_GINT64_FORMAT, info->standard);
  field->unit = strcmp (unit, "C") == 0 ? "°C" : unit;
}

const TdFormType *
td_form_get_figures (void)
{
  static TdFormField fields[TD_N_SETTINGS];
  static TdFormType type;
  static gsize made;

  if (g_once_init_enter (&made))
    {
      for (int i = 0; i < TD_N_SETTINGS; i++)
        fill_field (&fields[i], td_setting_get_info ((TdSettingId) i));
      type = (TdFormType) { .title = N_ ("Intervals and limits"),
                            .plural = N_ ("Intervals and limits"),
                            .new_title = N_ ("Intervals and limits"),
                            .fields = fields,
                            .n_fields = TD_N_SETTINGS,
                            .title_keys = no_keys,
                            .head = "",
                            .tail = "",
                            .check = check_figures,
                            .presets_label = N_ ("As rules of a place ask"),
                            .get_presets = get_jurisdictions };
      g_once_init_leave (&made, 1);
    }
  return &type;
}

gboolean
td_form_read_figures (const TdJson *json, gint64 *values, gboolean *set_out, GError **error)
{
  g_return_val_if_fail (json != NULL && values != NULL && set_out != NULL, FALSE);
  for (int i = 0; i < TD_N_SETTINGS; i++)
    {
      const TdSettingInfo *info = td_setting_get_info ((TdSettingId) i);
      const TdJson *value = td_json_get_member (json, info->key);

      set_out[i] = value != NULL;
      if (value != NULL && td_json_get_kind (value) != TD_JSON_INTEGER)
        {
          td_json_set_error (value, TD_ERROR_SHAPE, error, "\"%s\" must be a whole number", info->key);
          return FALSE;
        }
      values[i] = value != NULL ? td_json_get_integer (value) : info->standard;
      if (values[i] >= info->minimum && values[i] <= info->maximum)
        continue;
      td_json_set_error (value, TD_ERROR_RANGE, error,
                         "\"%s\" must be from %" G_GINT64_FORMAT " to %" G_GINT64_FORMAT " %s", info->key, info->minimum,
                         info->maximum, info->unit);
      return FALSE;
    }
  return TRUE;
}

TdJson *
td_form_write_figures (const TdSettings *settings)
{
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();

  g_return_val_if_fail (settings != NULL, NULL);
  td_json_builder_begin_object (builder);
  for (int i = 0; i < TD_N_SETTINGS; i++)
    {
      const TdSettingInfo *info = td_setting_get_info ((TdSettingId) i);

      if (td_settings_get (settings, (TdSettingId) i) != info->standard)
        td_json_builder_member_integer (builder, info->key, td_settings_get (settings, (TdSettingId) i));
    }
  td_json_builder_end (builder);
  return td_json_builder_finish (builder);
}
