/* ctl-report.h: a visit's report as other commands bind it in. */
#pragma once

#include "document-report.h"
#include "store-book.h"

G_BEGIN_DECLS

/* Returns: (transfer full): the report of a visit of the book, or NULL with a TD_BOOK_ERROR. */
TdReport *td_ctl_make_report (TdBook *book, const TdUuid *visit, TdUnits units, GError **error);

G_END_DECLS
