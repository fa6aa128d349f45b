/* core-site-private.h: what the reader and the writer of site sheets share. */
#pragma once

#include "core-site.h"

G_BEGIN_DECLS

/* What a sheet need not say. */
#define SITE_DEFAULT_ZONE "UTC"
#define SITE_DEFAULT_HEIGHT_M 0.0
#define SITE_DEFAULT_ROUGHNESS_MM 0.0015 /* drawn plastic tube: planning contract of the sheet */
#define SITE_DEFAULT_K 0.0
#define SITE_DEFAULT_SUBSTANCE "naoh"
#define SITE_DEFAULT_PERCENT 2.0          /* w/w; Brewers Association manual, ch. 7: at least 2 % */
#define SITE_DEFAULT_TEMPERATURE_C 40.0   /* within its 80-110 F */
#define SITE_DEFAULT_MIN_FLOW_L_MIN 3.785 /* its 1 US gal/min */
#define SITE_DEFAULT_MAX_PRESSURE_KPA 414.0 /* 60 psi, from memory */

/* A site with the tables that find its parts.  The keys belong to the site. */
typedef struct
{
  TdSite site;          /* first, so that a TdSite * is a TdSiteRecord * */
  GHashTable *coolers;  /* id to index */
  GHashTable *towers;
  GHashTable *lines;
  GHashTable *outlets;
} TdSiteRecord;

/* Spellings in the sheet, in the order of TdBeerPump, NULL-terminated. */
extern const char *const td_beer_pump_names[];

/* Returns: (transfer full): a site of defaults without places and lines, to be filled in. */
TdSiteRecord *td_site_record_new (void);
/* Makes the table of outlets once the lines are filled in.  Returns: FALSE where an id stands twice,
 * with @doubled_out (transfer none) the id. */
gboolean td_site_record_fill_outlets (TdSiteRecord *record, const char **doubled_out);

G_END_DECLS
