/* model-proposal.h: what the tool proposes where it can know a figure: amounts of a mix, beer lost, rinse
 * water, the batch to use, the next name, the instrument that was used before.  Readings are never
 * proposed. */
#pragma once

#include "core-visit.h"

G_BEGIN_DECLS

/* Millilitres that the lines hold, with a jumper for each leg; NAN where a line's volume is not known.
 * @outlets: guint. */
double td_outlets_get_volume_ml (const TdVisit *visit, const GArray *outlets, gboolean with_jumpers);
/* Litres of solution for the planned lines: the fullest fill of circuits and static lines, and what stays
 * in the bucket; rounded up to half a litre. NAN where it is not known. */
double td_visit_get_solution_l (const TdVisit *visit);

/* The product for that clean: what this visit used before, else the first of its kind. NULL: none. */
const TdProduct *td_propose_product (const TdVisit *visit, TdClean clean);
/* The lot to take: neither recalled nor expired at @today, the one that expires first. NULL: none. */
const TdLot *td_propose_lot (const TdVisit *visit, const TdProduct *product, TdDate today);
/* An instrument of that kind: the one used last in the visit, else the first of the book. NULL: none. */
const TdInstrument *td_propose_instrument (const TdVisit *visit, TdInstrumentKind kind);
/* Fields of solution-mixed as proposed, known as accepted; without amounts where the volume is not known.
 * Returns: (transfer full). */
TdJson *td_propose_mix (const TdVisit *visit, TdClean clean, TdDate today);
/* The fields of a mix of @litres with @product (nullable lot). (transfer full) */
TdJson *td_propose_amounts (const TdVisit *visit, const TdProduct *product, const TdLot *lot, double litres);
/* The last batch of that clean, or NULL. */
const TdBatch *td_propose_batch (const TdVisit *visit, TdClean clean);
/* "m1": the next name that no batch of the visit has. (transfer full) */
char *td_propose_batch_name (const TdVisit *visit);

G_END_DECLS
