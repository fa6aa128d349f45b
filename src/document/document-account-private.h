/* document-account-private.h: the charts of the account's pages. */
#pragma once

#include "document-account-pages.h"
#include "document-flow.h"

G_BEGIN_DECLS

/* Stands where nothing is known. */
#define TD_ACCOUNT_NONE "\xe2\x80\x93"

/* Each with its heading, its chart and the figures in a table; nothing where there is nothing to show. */
void td_account_paint_months (TdFlow *flow, const TdAudit *audit);
void td_account_paint_expected (TdFlow *flow, const TdAudit *audit);
void td_account_paint_rules (TdFlow *flow, const TdAudit *audit);

G_END_DECLS
