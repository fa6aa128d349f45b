/* document-invoice-private.h: what invoices and statements paint alike. */
#pragma once

#include "document-canvas.h"
#include "document-invoice.h"

G_BEGIN_DECLS

/* The seller on the left; what it is and its number on the right; a rule beneath. Returns: where to go on. */
double td_invoice_paint_letterhead (TdCanvas *canvas,
                                    double width,
                                    const TdSeller *seller,
                                    const char *what,
                                    const char *number);
/* A small label above its value; NULL values leave no trace. Returns: the lower edge. */
double td_invoice_paint_field (TdCanvas *canvas,
                               double x,
                               double y,
                               double width,
                               const char *label,
                               const char *value);
/* "1,234.50" without the currency. (transfer full) */
char *td_invoice_amount (gint64 minor, const char *currency);
/* "23 %", "13.5 %". (transfer full) */
char *td_invoice_percent (gint64 percent_milli);
/* "35", "0.535". (transfer full) */
char *td_invoice_quantity (gint64 milli);

G_END_DECLS
