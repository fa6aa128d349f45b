/* model-form-ledger.h: the codes of the ledger as a form. */
#pragma once

#include "core-masters.h"
#include "model-form-type.h"

G_BEGIN_DECLS

/* One text for each id of the ledger; what is not in the object has the standard code. Codes for one rate of tax
 * alone are not among them. (transfer none). */
const TdFormType *td_form_get_ledger (void);
/* The object of the codes that the company has. (transfer full) */
TdJson *td_form_write_ledger (const TdMasters *masters);

G_END_DECLS
