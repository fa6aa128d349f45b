/* deviation.h: figures held against an outside source, and the largest deviation told at the end.
 */
#pragma once

#include <glib.h>
#include <math.h>

typedef struct
{
  const char *source;
  guint n;
  double worst; /* of |got - want|, in per cent of want or in the unit of the figures */
  char where[80];
} Deviation;

static inline void
deviation_note (Deviation *deviation, const char *what, double amount)
{
  deviation->n++;
  if (amount <= deviation->worst && deviation->n > 1)
    return;
  deviation->worst = amount;
  g_snprintf (deviation->where, sizeof deviation->where, "%s", what);
}

/* Asserts |got / want - 1| <= tolerance_percent / 100. */
static inline void
deviation_check (Deviation *deviation,
                 const char *what,
                 double got,
                 double want,
                 double tolerance_percent)
{
  double percent = 100.0 * fabs (got / want - 1.0);

  if (!(percent <= tolerance_percent))
    g_error ("%s, %s: got %.9g, wanted %.9g, off by %.4g %%, allowed %g %%", deviation->source,
             what, got, want, percent, tolerance_percent);
  deviation_note (deviation, what, percent);
}

/* Asserts |got - want| <= tolerance, in the unit of the figures. */
static inline void
deviation_check_absolute (Deviation *deviation,
                          const char *what,
                          double got,
                          double want,
                          double tolerance)
{
  double amount = fabs (got - want);

  if (!(amount <= tolerance))
    g_error ("%s, %s: got %.9g, wanted %.9g, allowed %g apart", deviation->source, what, got, want,
             tolerance);
  deviation_note (deviation, what, amount);
}

static inline void
deviation_tell (const Deviation *deviation, const char *unit)
{
  g_assert_cmpuint (deviation->n, >, 0);
  g_test_message ("largest deviation | %s | %u figures | %.4g %s | at %s", deviation->source,
                  deviation->n, deviation->worst, unit, deviation->where);
}
