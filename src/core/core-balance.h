/* core-balance.h: whether a draught line pours as it should: pressure, restriction, rise, pour rate.
 *
 * Two ways stand side by side.  The handbook's: so many psi a foot of each tube and 0.5 psi a foot of
 * rise, a rule of thumb for beer at its pour rate, in which pressure should equal the sum.  And the
 * hydraulics of core-pipe.h with beer's own density and viscosity, which also tell the pour rate that is
 * to be expected.  They differ by design: the rule holds foam and faucet in its figures. */
#pragma once

#include "core-json.h"
#include "core-settings.h"

G_BEGIN_DECLS

typedef struct
{
  const char *material; /* "vinyl", "barrier", "stainless", ... */
  double bore_mm;
  double length_m;
} TdBalanceSegment;

typedef struct
{
  double temperature_c;
  double volumes;    /* of CO2 in the beer */
  double altitude_m; /* 0 at sea level */
  double rise_m;     /* from the keg to the faucet; negative where the keg stands above */
  const TdBalanceSegment *segments;
  guint n_segments;
  double applied_kpa; /* gauge, as read at the regulator; NAN: the equilibrium pressure */
  double pour_l_min;  /* as measured; NAN where not */
  gboolean foaming;   /* as seen */
} TdBalanceQuestion;

/* What is wrong, in the order in which to look: temperature, pressure, restriction, equipment. */
typedef enum
{
  TD_VERDICT_WARM,          /* beer above the temperature aimed for */
  TD_VERDICT_COLD,          /* below it */
  TD_VERDICT_PRESSURE_LOW,  /* CO2 comes out on the way: foam */
  TD_VERDICT_PRESSURE_HIGH, /* beer takes up more CO2 in time: foam later; a blend would hold it */
  TD_VERDICT_TOO_FAST,      /* too little restriction: it pours too fast and foams */
  TD_VERDICT_TOO_SLOW,      /* too much restriction */
  TD_VERDICT_OBSTRUCTED,    /* pours slower than its pressure explains: dirt, kink, ice, washer */
  TD_VERDICT_EQUIPMENT,     /* in balance, yet it foams: faucet, coupler, FOB, gas breakout elsewhere */
  TD_VERDICT_GOOD
} TdVerdict;

#define TD_BALANCE_MAX_VERDICTS 8

typedef struct
{
  double equilibrium_kpa; /* gauge, at this temperature, carbonation, altitude */
  double applied_kpa;
  double volume_ml;         /* of the line */
  double restriction_kpa;   /* the handbook's sum over the tubes; NAN where it lacks one of them */
  double rise_kpa;          /* the handbook's 0.5 psi a foot */
  double excess_kpa;        /* applied less restriction and rise; NAN likewise; 0 is the handbook's balance */
  double hydraulic_kpa;     /* friction, fittings and rise at the pour rate aimed for */
  double pour_l_min;        /* expected by hydraulics at the applied pressure; 0 where it cannot rise */
  double reynolds;          /* in the longest segment at that rate */
  gboolean uncertain;       /* some segment flows at 2000 < Re < 4000 */
  double target_l_min;      /* the setting */
  double blend_share;       /* CO2 in a blend that keeps the carbonation at the applied pressure; > 1: none */
  TdVerdict verdicts[TD_BALANCE_MAX_VERDICTS];
  guint n_verdicts;
} TdBalance;

/* @settings: (nullable): NULL for the defaults: beer's density and relative viscosity, fittings, pour rate
 * and temperature aimed for.
 * Returns: FALSE with TD_ERROR_RANGE outside the ranges of core-carbonation.h, for a segment that is not
 * possible, or for none. */
gboolean td_balance_solve (const TdBalanceQuestion *question,
                           const TdSettings *settings,
                           TdBalance *balance_out,
                           GError **error);

/* Stable name of a verdict: "warm", "pressure-low", ... */
const char *td_verdict_to_text (TdVerdict verdict);
/* Returns: (transfer full): the verdict as sentences with the figures and what to do. */
char *td_balance_explain (const TdBalanceQuestion *question, const TdBalance *balance, TdVerdict verdict);

/* Figures in kPa and psi, L/min and mL/s, and "verdicts": [{"code", "text"}].  Returns: (transfer full). */
TdJson *td_balance_to_json (const TdBalanceQuestion *question, const TdBalance *balance);

G_END_DECLS
