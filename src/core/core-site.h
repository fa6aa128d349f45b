/* core-site.h: a site as its sheet tells it: coolers, towers, lines, pump, solution, limits.
 *
 * A TdSite is immutable and reference counted; its parts are plain structs to be read, never written.
 * Every TdSite comes from td_site_from_json() or td_site_parse(); none is made by hand.
 * Everything is SI as in the sheet's key names.  A number that the sheet leaves out is NAN (or the
 * documented default), a text that it leaves out is NULL. */
#pragma once

#include "core-json.h"

G_BEGIN_DECLS

#define TD_SITE_FORMAT "tundish-site/1"

/* A cooler (keg room) or a tower (faucets at a bar). */
typedef struct
{
  char *id;
  char *name;      /* the id where the sheet gives none */
  double height_m; /* above the site's own zero; default 0 */
} TdPlace;

typedef struct
{
  char *material;      /* vinyl, barrier, stainless, ...; NULL where not said */
  double bore_mm;      /* inside diameter, > 0 */
  double length_m;     /* > 0 */
  double roughness_mm; /* >= 0; default 0.0015, drawn plastic tube */
  double k;            /* sum of fittings' loss coefficients on this segment's velocity head; default 0 */
} TdSegment;

typedef enum
{
  TD_BEER_PUMP_NONE,
  TD_BEER_PUMP_ONE_WAY,
  TD_BEER_PUMP_REVERSIBLE
} TdBeerPump;

/* A further faucet fed from a line through a tee. */
typedef struct
{
  char *id;
  int number;
  guint tower;         /* index into towers */
  TdSegment *segments; /* from the tee to the faucet; may be empty */
  guint n_segments;
} TdSideFaucet;

typedef struct
{
  char *id;
  int number;   /* as painted on the faucet; 0 where the sheet gives none */
  guint tower;  /* index into towers */
  guint cooler; /* index into coolers */
  TdBeerPump beer_pump;
  gboolean check_valve; /* a fixed check: runs out only */
  gboolean fob;
  char *product; /* beer poured, NULL where not said */
  char *faucet;  /* generic kind */
  char *coupler; /* generic kind */
  TdSegment *segments;
  guint n_segments;   /* 0 where head_loss_m and volume_ml stand in for them */
  double head_loss_m; /* whole leg at limits.min_flow, jumper share included; NAN with segments */
  double volume_ml;   /* NAN with segments or where not said: ask td_line_get_volume_ml() */
  TdSideFaucet *side_faucets;
  guint n_side_faucets;
} TdLine;

/* Every faucet of the site, side faucets too: what a visit keeps a record for. */
typedef struct
{
  const char *id; /* of the line or the side faucet */
  int number;
  guint tower;
  guint cooler;
  guint line;    /* index into lines */
  int side;      /* index into the line's side_faucets, or -1 for the line's own faucet */
} TdOutlet;

typedef struct
{
  double flow_l_min;
  double head_m;
} TdCurvePoint;

typedef struct _TdSite
{
  char *account_name; /* NULL where the sheet has no account */
  char *name;
  char *address;
  char *zone;        /* IANA name; default "UTC" */
  char *language;    /* of the bar's staff, BCP 47 such as "de"; NULL where not said */
  int interval_days; /* 0 where the sheet does not say: the company's setting holds */

  TdPlace *coolers;
  guint n_coolers;
  TdPlace *towers;
  guint n_towers;
  TdLine *lines;
  guint n_lines;
  TdOutlet *outlets; /* line by line: its own faucet, then its side faucets */
  guint n_outlets;

  TdCurvePoint *curve; /* the cleaning pump; NULL where the sheet gives none */
  guint n_curve;
  char *substance;      /* "naoh" (default), "koh", "h3po4" */
  double percent;       /* w/w; default 2 */
  double temperature_c; /* default 40 */
  double min_flow_l_min;   /* default 3.785 (1 US gal/min) */
  double max_pressure_kpa; /* default 414 (60 psi) */
} TdSite;

/* Reads a sheet. Unknown keys, doubled ids (a line and a side faucet may not share one), unknown places, a
 * line with both or neither of segments and head_loss_m, numbers out of range, a pump curve that
 * td_pump_new() would refuse are errors that name key, line and column.  format, coolers, towers and lines
 * are required (the arrays may be empty); every other section may be missing (a sheet to be planned
 * only).  volume_ml goes with head_loss_m and may be missing.  Returns: (transfer full): the site or NULL. */
TdSite *td_site_from_json (const TdJson *sheet, GError **error);
/* td_json_parse() and td_site_from_json() in one. */
TdSite *td_site_parse (const char *text, gssize length, GError **error);
/* Returns: (transfer full): the sheet of the site, keys in the order of the format's description,
 * defaults left out; reading it back gives an equal site and the same text. */
TdJson *td_site_to_json (const TdSite *site);

TdSite *td_site_ref (TdSite *site);
void td_site_unref (TdSite *site);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdSite, td_site_unref)

/* Index of the part with that id, or -1. Constant time. */
int td_site_find_cooler (const TdSite *site, const char *id);
int td_site_find_tower (const TdSite *site, const char *id);
int td_site_find_line (const TdSite *site, const char *id);
int td_site_find_outlet (const TdSite *site, const char *id);

/* Millilitres in a segment: pi/4 bore^2 length, exact geometry. */
double td_segment_get_volume_ml (const TdSegment *segment);
/* Millilitres from keg end to the line's own faucet; NAN where the sheet gives head_loss_m alone. */
double td_line_get_volume_ml (const TdLine *line);
/* Millilitres that an outlet's own tube holds: the line's for its own faucet, from the tee on for a side
 * faucet (NAN where that is not known). */
double td_outlet_get_volume_ml (const TdSite *site, guint outlet);
/* FALSE where a one-way beer pump or a fixed check lets liquid through outwards only. */
gboolean td_line_may_run_in (const TdLine *line);
/* The name that people use: "Front bar 4", or the id where there is no number. (transfer full) */
char *td_outlet_get_title (const TdSite *site, guint outlet);

G_END_DECLS
