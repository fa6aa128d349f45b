/* core-site-write.c: site sheets, written in the order of the format's description. */
#include "core-site.h"

#include <math.h>
#include <string.h>

#include "core-json-build.h"
#include "core-site-private.h"

static void
write_text (TdJsonBuilder *builder, const char *key, const char *text)
{
  if (text != NULL)
    td_json_builder_member_string (builder, key, text);
}

static void
write_number (TdJsonBuilder *builder, const char *key, double value, double standard)
{
  if (!isnan (value) && value != standard)
    td_json_builder_member_real (builder, key, value, -1);
}

static void
write_places (TdJsonBuilder *builder, const char *key, const TdPlace *places, guint n)
{
  td_json_builder_key (builder, key);
  td_json_builder_begin_array (builder);
  for (guint i = 0; i < n; i++)
    {
      td_json_builder_begin_object (builder);
      td_json_builder_member_string (builder, "id", places[i].id);
      if (strcmp (places[i].name, places[i].id) != 0)
        td_json_builder_member_string (builder, "name", places[i].name);
      write_number (builder, "height_m", places[i].height_m, SITE_DEFAULT_HEIGHT_M);
      td_json_builder_end (builder);
    }
  td_json_builder_end (builder);
}

static void
write_segments (TdJsonBuilder *builder, const TdSegment *segments, guint n)
{
  if (n == 0)
    return;
  td_json_builder_key (builder, "segments");
  td_json_builder_begin_array (builder);
  for (guint i = 0; i < n; i++)
    {
      td_json_builder_begin_object (builder);
      write_text (builder, "material", segments[i].material);
      td_json_builder_member_real (builder, "bore_mm", segments[i].bore_mm, -1);
      td_json_builder_member_real (builder, "length_m", segments[i].length_m, -1);
      write_number (builder, "roughness_mm", segments[i].roughness_mm, SITE_DEFAULT_ROUGHNESS_MM);
      write_number (builder, "k", segments[i].k, SITE_DEFAULT_K);
      td_json_builder_end (builder);
    }
  td_json_builder_end (builder);
}

static void
write_side_faucets (TdJsonBuilder *builder, const TdSite *site, const TdLine *line)
{
  if (line->n_side_faucets == 0)
    return;
  td_json_builder_key (builder, "side_faucets");
  td_json_builder_begin_array (builder);
  for (guint i = 0; i < line->n_side_faucets; i++)
    {
      const TdSideFaucet *side = &line->side_faucets[i];

      td_json_builder_begin_object (builder);
      td_json_builder_member_string (builder, "id", side->id);
      if (side->number != 0)
        td_json_builder_member_integer (builder, "number", side->number);
      td_json_builder_member_string (builder, "tower", site->towers[side->tower].id);
      write_segments (builder, side->segments, side->n_segments);
      td_json_builder_end (builder);
    }
  td_json_builder_end (builder);
}

static void
write_line (TdJsonBuilder *builder, const TdSite *site, const TdLine *line)
{
  td_json_builder_begin_object (builder);
  td_json_builder_member_string (builder, "id", line->id);
  if (line->number != 0)
    td_json_builder_member_integer (builder, "number", line->number);
  td_json_builder_member_string (builder, "tower", site->towers[line->tower].id);
  td_json_builder_member_string (builder, "cooler", site->coolers[line->cooler].id);
  if (line->beer_pump != TD_BEER_PUMP_NONE)
    td_json_builder_member_string (builder, "beer_pump", td_beer_pump_names[line->beer_pump]);
  if (line->check_valve)
    td_json_builder_member_boolean (builder, "check_valve", TRUE);
  if (line->fob)
    td_json_builder_member_boolean (builder, "fob", TRUE);
  write_text (builder, "product", line->product);
  write_text (builder, "faucet", line->faucet);
  write_text (builder, "coupler", line->coupler);
  write_segments (builder, line->segments, line->n_segments);
  write_number (builder, "head_loss_m", line->head_loss_m, NAN);
  write_number (builder, "volume_ml", line->volume_ml, NAN);
  write_side_faucets (builder, site, line);
  td_json_builder_end (builder);
}

static void
write_address (TdJsonBuilder *builder, const TdSite *site)
{
  gboolean zone = strcmp (site->zone, SITE_DEFAULT_ZONE) != 0;

  if (site->account_name != NULL)
    {
      td_json_builder_key (builder, "account");
      td_json_builder_begin_object (builder);
      td_json_builder_member_string (builder, "name", site->account_name);
      td_json_builder_end (builder);
    }
  if (site->name == NULL && site->address == NULL && !zone && site->language == NULL && site->interval_days == 0)
    return;
  td_json_builder_key (builder, "site");
  td_json_builder_begin_object (builder);
  write_text (builder, "name", site->name);
  write_text (builder, "address", site->address);
  if (zone)
    td_json_builder_member_string (builder, "zone", site->zone);
  write_text (builder, "language", site->language);
  if (site->interval_days != 0)
    td_json_builder_member_integer (builder, "interval_days", site->interval_days);
  td_json_builder_end (builder);
}

static void
write_pump (TdJsonBuilder *builder, const TdSite *site)
{
  if (site->n_curve == 0)
    return;
  td_json_builder_key (builder, "cleaning_pump");
  td_json_builder_begin_object (builder);
  td_json_builder_key (builder, "curve");
  td_json_builder_begin_array (builder);
  for (guint i = 0; i < site->n_curve; i++)
    {
      td_json_builder_begin_array (builder);
      td_json_builder_real (builder, site->curve[i].flow_l_min, -1);
      td_json_builder_real (builder, site->curve[i].head_m, -1);
      td_json_builder_end (builder);
    }
  td_json_builder_end (builder);
  td_json_builder_end (builder);
}

static void
write_conditions (TdJsonBuilder *builder, const TdSite *site)
{
  gboolean substance = strcmp (site->substance, SITE_DEFAULT_SUBSTANCE) != 0;

  if (substance || site->percent != SITE_DEFAULT_PERCENT
      || site->temperature_c != SITE_DEFAULT_TEMPERATURE_C)
    {
      td_json_builder_key (builder, "solution");
      td_json_builder_begin_object (builder);
      if (substance)
        td_json_builder_member_string (builder, "substance", site->substance);
      write_number (builder, "percent", site->percent, SITE_DEFAULT_PERCENT);
      write_number (builder, "temperature_c", site->temperature_c, SITE_DEFAULT_TEMPERATURE_C);
      td_json_builder_end (builder);
    }
  if (site->min_flow_l_min != SITE_DEFAULT_MIN_FLOW_L_MIN
      || site->max_pressure_kpa != SITE_DEFAULT_MAX_PRESSURE_KPA)
    {
      td_json_builder_key (builder, "limits");
      td_json_builder_begin_object (builder);
      write_number (builder, "min_flow_l_min", site->min_flow_l_min, SITE_DEFAULT_MIN_FLOW_L_MIN);
      write_number (builder, "max_pressure_kpa", site->max_pressure_kpa, SITE_DEFAULT_MAX_PRESSURE_KPA);
      td_json_builder_end (builder);
    }
}

TdJson *
td_site_to_json (const TdSite *site)
{
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();

  g_return_val_if_fail (site != NULL, NULL);
  td_json_builder_begin_object (builder);
  td_json_builder_member_string (builder, "format", TD_SITE_FORMAT);
  write_address (builder, site);
  write_places (builder, "coolers", site->coolers, site->n_coolers);
  write_places (builder, "towers", site->towers, site->n_towers);
  td_json_builder_key (builder, "lines");
  td_json_builder_begin_array (builder);
  for (guint i = 0; i < site->n_lines; i++)
    write_line (builder, site, &site->lines[i]);
  td_json_builder_end (builder);
  write_pump (builder, site);
  write_conditions (builder, site);
  td_json_builder_end (builder);
  return td_json_builder_finish (builder);
}
