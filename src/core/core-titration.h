/* core-titration.h: the strength of a caustic solution from a titration or a drop test. */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

typedef struct
{
  double naoh_percent;   /* free caustic, g in 100 mL */
  double na2co3_percent; /* soda: caustic spent on carbon dioxide, g in 100 mL */
  gboolean spent;        /* more than half of the alkali is carbonate and below: no free caustic left */
} TdTitration;

/* Two end points with hydrochloric acid: @p_ml to phenolphthalein, @m_ml in all to methyl orange.
 * NaOH % = (2P - M) x 0.04 and Na2CO3 % = (M - P) x 0.106 for a sample of 50 mL and acid of 0.5 N; other
 * samples and acids in proportion (0.04 = 0.5 x 40.00 / 1000 x 100 / 50, 0.106 with 105.99 g/mol).  Where
 * 2P < M there is bicarbonate instead of caustic: NaOH is 0 and the carbonate is that of P.
 * Returns: FALSE with TD_ERROR_RANGE for M < P, a negative reading, a sample or acid not above zero. */
gboolean td_titration_read (double p_ml,
                            double m_ml,
                            double sample_ml,
                            double acid_normality,
                            TdTitration *titration_out,
                            GError **error);

/* A drop test: @drops to the change of colour at @percent_per_drop, the kit's figure.  One drop is the
 * least that can be told, so the strength lies within one drop below the answer.
 * Returns: the percentage in the kit's own basis, NAN for no drops or a figure not above zero. */
double td_titration_count_drops (guint drops, double percent_per_drop);

G_END_DECLS
