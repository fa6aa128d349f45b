/* core-drafting-private.h: what a visit costs, before it is given to payers' invoices. */
#pragma once

#include "core-drafting.h"

G_BEGIN_DECLS

/* One charge; its line is complete but for visit, report and site. */
typedef struct
{
  TdInvoiceLine line;
  guint payer; /* index */
} TdCharge;

/* A GArray of TdCharge that frees the texts. */
GArray *td_charges_new (void);
/* Appends the charges of @work. FALSE with an error as of td_drafting_add_work(). */
gboolean td_charges_add_work (GArray *charges, const TdAgreement *agreement, const TdWork *work, GError **error);
/* Appends one charge; computes its net.  @text: (transfer full). @payer: G_MAXUINT: by the rules. */
gboolean td_charges_add (GArray *charges, const TdAgreement *agreement, const TdItemAsked *asked, TdDate date,
                         char *text, gint64 quantity_milli, const char *unit, gint64 unit_price_minor, GError **error);

G_END_DECLS
