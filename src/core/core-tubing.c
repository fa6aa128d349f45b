#include "core-tubing.h"

#include <math.h>
#include <string.h>

#define MM_PER_IN 25.4
/* Metric lists give 9.5 or 9.6 for 9.525 mm. */
#define BORE_TOLERANCE_MM 0.1

static const TdTube tubes[] = {
  { "vinyl", "3/16 in inside", MM_PER_IN * 3 / 16, 1.0 / 6, TD_TUBE_MEMORY, 3.00, TD_TUBE_PRINTED },
  { "vinyl", "1/4 in inside", MM_PER_IN / 4, 1.0 / 3, TD_TUBE_PRINTED, 0.85, TD_TUBE_PRINTED },
  { "vinyl", "5/16 in inside", MM_PER_IN * 5 / 16, 1.0 / 2, TD_TUBE_MEMORY, 0.40, TD_TUBE_PRINTED },
  { "vinyl", "3/8 in inside", MM_PER_IN * 3 / 8, 3.0 / 4, TD_TUBE_PRINTED, 0.20, TD_TUBE_PRINTED },
  { "vinyl", "1/2 in inside", MM_PER_IN / 2, 4.0 / 3, TD_TUBE_PRINTED, 0.025, TD_TUBE_PRINTED },
  { "barrier", "1/4 in inside", MM_PER_IN / 4, 1.0 / 3, TD_TUBE_PRINTED, 0.30, TD_TUBE_PRINTED },
  { "barrier", "5/16 in inside", MM_PER_IN * 5 / 16, 1.0 / 2, TD_TUBE_PRINTED, 0.10, TD_TUBE_PRINTED },
  { "barrier", "3/8 in inside", MM_PER_IN * 3 / 8, 3.0 / 4, TD_TUBE_PRINTED, 0.06, TD_TUBE_MEMORY },
  { "stainless", "5/16 in outside", NAN, 1.0 / 3, TD_TUBE_PRINTED, 0.30, TD_TUBE_PRINTED },
};

const TdTube *
td_tubing_get_table (guint *n_out)
{
  g_return_val_if_fail (n_out != NULL, NULL);
  *n_out = G_N_ELEMENTS (tubes);
  return tubes;
}

const TdTube *
td_tubing_find (const char *material, double bore_mm)
{
  const TdTube *nearest = NULL;
  double least = BORE_TOLERANCE_MM;

  g_return_val_if_fail (material != NULL && isfinite (bore_mm), NULL);
  for (gsize i = 0; i < G_N_ELEMENTS (tubes); i++)
    {
      double distance = fabs (tubes[i].bore_mm - bore_mm);

      /* False for the NAN of an outside size. */
      if (strcmp (tubes[i].material, material) == 0 && distance <= least)
        {
          nearest = &tubes[i];
          least = distance;
        }
    }
  return nearest;
}

double
td_tubing_get_ml_m (double bore_mm)
{
  g_return_val_if_fail (bore_mm > 0, NAN);
  /* mm2 x 1 m = mL */
  return G_PI / 4 * bore_mm * bore_mm;
}
