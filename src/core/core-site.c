#include "core-site.h"

#include <math.h>

#include "core-site-private.h"

const char *const td_beer_pump_names[] = { "none", "one-way", "reversible", NULL };

TdSiteRecord *
td_site_record_new (void)
{
  TdSiteRecord *record = g_atomic_rc_box_new0 (TdSiteRecord);

  record->site.zone = g_strdup (SITE_DEFAULT_ZONE);
  record->site.substance = g_strdup (SITE_DEFAULT_SUBSTANCE);
  record->site.percent = SITE_DEFAULT_PERCENT;
  record->site.temperature_c = SITE_DEFAULT_TEMPERATURE_C;
  record->site.min_flow_l_min = SITE_DEFAULT_MIN_FLOW_L_MIN;
  record->site.max_pressure_kpa = SITE_DEFAULT_MAX_PRESSURE_KPA;
  record->coolers = g_hash_table_new (g_str_hash, g_str_equal);
  record->towers = g_hash_table_new (g_str_hash, g_str_equal);
  record->lines = g_hash_table_new (g_str_hash, g_str_equal);
  record->outlets = g_hash_table_new (g_str_hash, g_str_equal);
  return record;
}

static void
add_outlet (TdSiteRecord *record, TdOutlet outlet, const char **doubled_out)
{
  TdSite *site = &record->site;

  if (!g_hash_table_insert (record->outlets, (gpointer) outlet.id, GUINT_TO_POINTER (site->n_outlets))
      && *doubled_out == NULL)
    *doubled_out = outlet.id;
  site->outlets[site->n_outlets++] = outlet;
}

gboolean
td_site_record_fill_outlets (TdSiteRecord *record, const char **doubled_out)
{
  TdSite *site = &record->site;
  guint n = site->n_lines;

  g_assert (site->outlets == NULL && site->n_outlets == 0);
  *doubled_out = NULL;
  for (guint i = 0; i < site->n_lines; i++)
    n += site->lines[i].n_side_faucets;
  site->outlets = g_new0 (TdOutlet, n);
  for (guint i = 0; i < site->n_lines; i++)
    {
      const TdLine *line = &site->lines[i];

      add_outlet (record,
                  (TdOutlet) { line->id, line->number, line->tower, line->cooler, i, -1 },
                  doubled_out);
      for (guint j = 0; j < line->n_side_faucets; j++)
        {
          const TdSideFaucet *side = &line->side_faucets[j];

          add_outlet (record,
                      (TdOutlet) { side->id, side->number, side->tower, line->cooler, i, (int) j },
                      doubled_out);
        }
    }
  g_assert (site->n_outlets == n);
  return *doubled_out == NULL;
}

static void
free_places (TdPlace *places, guint n)
{
  for (guint i = 0; i < n; i++)
    {
      g_free (places[i].id);
      g_free (places[i].name);
    }
  g_free (places);
}

static void
free_segments (TdSegment *segments, guint n)
{
  for (guint i = 0; i < n; i++)
    g_free (segments[i].material);
  g_free (segments);
}

static void
clear_line (TdLine *line)
{
  g_free (line->id);
  g_free (line->product);
  g_free (line->faucet);
  g_free (line->coupler);
  free_segments (line->segments, line->n_segments);
  for (guint i = 0; i < line->n_side_faucets; i++)
    {
      g_free (line->side_faucets[i].id);
      free_segments (line->side_faucets[i].segments, line->side_faucets[i].n_segments);
    }
  g_free (line->side_faucets);
}

static void
clear_record (gpointer data)
{
  TdSiteRecord *record = data;
  TdSite *site = &record->site;

  g_hash_table_unref (record->coolers);
  g_hash_table_unref (record->towers);
  g_hash_table_unref (record->lines);
  g_hash_table_unref (record->outlets);
  free_places (site->coolers, site->n_coolers);
  free_places (site->towers, site->n_towers);
  for (guint i = 0; i < site->n_lines; i++)
    clear_line (&site->lines[i]);
  g_free (site->lines);
  g_free (site->outlets);
  g_free (site->curve);
  g_free (site->account_name);
  g_free (site->name);
  g_free (site->address);
  g_free (site->zone);
  g_free (site->language);
  g_free (site->substance);
}

TdSite *
td_site_ref (TdSite *site)
{
  g_return_val_if_fail (site != NULL, NULL);
  return g_atomic_rc_box_acquire (site);
}

void
td_site_unref (TdSite *site)
{
  g_return_if_fail (site != NULL);
  g_atomic_rc_box_release_full (site, clear_record);
}

static int
find (GHashTable *table, const char *id)
{
  gpointer index;

  g_return_val_if_fail (id != NULL, -1);
  return g_hash_table_lookup_extended (table, id, NULL, &index) ? (int) GPOINTER_TO_UINT (index) : -1;
}

int
td_site_find_cooler (const TdSite *site, const char *id)
{
  return find (((const TdSiteRecord *) site)->coolers, id);
}

int
td_site_find_tower (const TdSite *site, const char *id)
{
  return find (((const TdSiteRecord *) site)->towers, id);
}

int
td_site_find_line (const TdSite *site, const char *id)
{
  return find (((const TdSiteRecord *) site)->lines, id);
}

int
td_site_find_outlet (const TdSite *site, const char *id)
{
  return find (((const TdSiteRecord *) site)->outlets, id);
}

double
td_segment_get_volume_ml (const TdSegment *segment)
{
  g_return_val_if_fail (segment != NULL, NAN);
  /* mm2 x m = mL */
  return G_PI / 4 * segment->bore_mm * segment->bore_mm * segment->length_m;
}

static double
sum_volumes_ml (const TdSegment *segments, guint n)
{
  double volume = 0;

  for (guint i = 0; i < n; i++)
    volume += td_segment_get_volume_ml (&segments[i]);
  return volume;
}

double
td_line_get_volume_ml (const TdLine *line)
{
  g_return_val_if_fail (line != NULL, NAN);
  return line->n_segments > 0 ? sum_volumes_ml (line->segments, line->n_segments) : line->volume_ml;
}

double
td_outlet_get_volume_ml (const TdSite *site, guint outlet)
{
  const TdLine *line;
  const TdSideFaucet *side;

  g_return_val_if_fail (site != NULL && outlet < site->n_outlets, NAN);
  line = &site->lines[site->outlets[outlet].line];
  if (site->outlets[outlet].side < 0)
    return td_line_get_volume_ml (line);
  side = &line->side_faucets[site->outlets[outlet].side];
  return side->n_segments > 0 ? sum_volumes_ml (side->segments, side->n_segments) : NAN;
}

gboolean
td_line_may_run_in (const TdLine *line)
{
  g_return_val_if_fail (line != NULL, FALSE);
  return !line->check_valve && line->beer_pump != TD_BEER_PUMP_ONE_WAY;
}

char *
td_outlet_get_title (const TdSite *site, guint outlet)
{
  const TdOutlet *found;

  g_return_val_if_fail (site != NULL && outlet < site->n_outlets, NULL);
  found = &site->outlets[outlet];
  if (found->number == 0)
    return g_strdup (found->id);
  return g_strdup_printf ("%s %d", site->towers[found->tower].name, found->number);
}
