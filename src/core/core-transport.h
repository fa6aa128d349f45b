/* core-transport.h: how a liquid follows another through a line: fronts, rinse-out, what is lost. */
#pragma once

#include "core-fluid.h"
#include "core-site.h"

G_BEGIN_DECLS

/* The share of 2 % caustic left in water at which its pH stands 0.3 above the tap's: at an alkalinity of
 * 100 mg/L as CaCO3, and in soft water (derived; core-rinse-end.h works it out for a given water). */
#define TD_RINSE_SHARE_HARD 1.6e-4
#define TD_RINSE_SHARE_SOFT 5e-5

/* What a FOB holds where its maker does not say, mL; common practice, no source. */
#define TD_FOB_POCKET_ML 60.0

/* A rinse of laminar flow takes from so many line volumes to so many. */
#define TD_LAMINAR_MIN_VOLUMES 3.0
#define TD_LAMINAR_MAX_VOLUMES 8.0

/* x with erfc x = @y, 0 < @y <= 1, to 1e-14. */
double td_erfc_inverse (double y);

/* Dispersion number D / (u d) of a tube of bore d: 3.0e7 Re^-2.1 + 1.35 Re^-0.125, C. Y. Wen and L. T.
 * Fan, Models for Flow Systems and Chemical Reactors (1975), from memory; @reynolds above 2000. NAN
 * below, where no such number holds in lines so short. */
double td_transport_get_dispersion (double reynolds);

/* Line volumes of new liquid after which a share @eps (0 < @eps <= 0.5) of the old one is left at the end:
 * (a + sqrt (1 + a^2))^2 with a = sqrt (@spread) erfcinv (2 @eps), @spread = D / (u L) of the whole way;
 * O. Levenspiel, Chemical Reaction Engineering, ch. 13, for a step in an endless pipe. */
double td_transport_get_theta (double spread, double eps);

typedef struct
{
  const TdSegment *segments; /* the way from where the new liquid enters; at least one */
  guint n_segments;
  const double *pockets_ml; /* stirred pockets on the way: FOBs, couplers, the bucket; may be NULL */
  guint n_pockets;
  double flow_l_min;
  TdFluid fluid; /* the new liquid */
  double eps;    /* share of the old one at which it counts as gone */
} TdRinseQuestion;

typedef struct
{
  double volume_ml; /* of the tubes */
  double front_s;   /* the new liquid's mean arrival: pockets count as full bore would */
  double reynolds;  /* the least on the way */
  double spread;    /* D / (u L) of the whole way; NAN where a tube flows laminar */
  double theta;     /* line volumes without pockets; NAN likewise */
  double volumes;   /* line volumes with pockets, each adding V ln (1 / eps); NAN likewise */
  double rinse_l;   /* the same in litres; where laminar, by TD_LAMINAR_MAX_VOLUMES */
  double rinse_s;
  gboolean laminar;   /* a tube flows below Re 2000: 3 to 8 volumes, no better figure; flush faster */
  gboolean uncertain; /* a tube flows at 2000 < Re < 4000 */
} TdRinse;

/* The rinse of one way.  An estimate, never the end of a rinse: only pH against tap says that.
 * Returns: FALSE with TD_ERROR_RANGE for a flow or a share that is not possible. */
gboolean td_transport_rinse (const TdRinseQuestion *question, TdRinse *rinse_out, GError **error);

/* When a front that starts at zero reaches the end of each of @n lines in turn, seconds.
 * @volumes_ml: of the lines in the order of flow; @flow_l_min > 0; @fronts_s_out: room for @n. */
void td_transport_get_fronts (const double *volumes_ml, guint n, double flow_l_min, double *fronts_s_out);

/* Litres of solution for a site.  Each circuit needs its own volume and @bucket_ml in the bucket.  Re-used,
 * one filling serves all circuits one after the other, the largest sets the amount; fresh, each gets its
 * own.  Static lines keep what they are filled with, so they always add. */
double td_transport_get_solution_l (const double *circuits_ml,
                                    guint n_circuits,
                                    const double *statics_ml,
                                    guint n_statics,
                                    double bucket_ml,
                                    gboolean reused);

/* Beer lost by cleaning a line of @volume_ml: what stands in it, and on refilling the mixed zone up to a
 * hundredth of water, (theta (0.01) - 1) volumes at @spread; NAN @spread (laminar): one more volume. */
double td_transport_get_beer_lost_ml (double volume_ml, double spread);
/* Its price in minor units at @minor_per_litre, rounded half away from zero, once. */
gint64 td_transport_get_beer_price_minor (double lost_ml, gint64 minor_per_litre);

G_END_DECLS
