/* core-agreement-private.h: what the reader of agreements shares with their value. */
#pragma once

#include "core-agreement.h"

G_BEGIN_DECLS

/* NULL-terminated, in the order of TdItem and TdTaxCategory. */
extern const char *const td_item_names[];
extern const char *const td_tax_names[];

/* Returns: (transfer full): an empty one, to be filled in. */
TdAgreement *td_agreement_new (void);

G_END_DECLS
