/* store-audit-private.h: the parts of an audit. Within a read of the caller's. */
#pragma once

#include "store-audit.h"
#include "store-stock-private.h"

G_BEGIN_DECLS

/* The account by product. @movements: the ledger. */
gboolean td_audit_read_products (TdBook *book, TdAudit *audit, const GPtrArray *movements, GError **error);
/* What was used by site, technician, method, month. */
gboolean td_audit_read_groups (TdBook *book, TdAudit *audit, GError **error);
/* @stock: ledger and uses; @due: (element-type TdDueRow): of now. */
gboolean td_audit_read_exceptions (TdBook *book, TdAudit *audit, const TdStock *stock, const GPtrArray *movements,
                                   const GPtrArray *due, GError **error);

G_END_DECLS
