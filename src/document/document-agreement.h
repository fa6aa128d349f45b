/* document-agreement.h: a price agreement in words, for people who have to know what it says. */
#pragma once

#include "core-agreement.h"

G_BEGIN_DECLS

/* Returns: (transfer full) (element-type utf8): sentences in the reader's language: when it holds, what costs
 * what, what is free, who pays, how it is taxed. */
GPtrArray *td_agreement_to_words (const TdAgreement *agreement);

G_END_DECLS
