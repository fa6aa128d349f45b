/* core-invoice-json.h: an invoice as the bytes that are sealed, and back; its seal. */
#pragma once

#include "core-invoice.h"
#include "core-json-build.h"

G_BEGIN_DECLS

/* The canonical body of an issued invoice: all that stands on it, whole numbers and texts only.
 * Returns: (transfer full). */
char *td_invoice_to_body (const TdInvoice *invoice);
/* Returns: (transfer full): the invoice, or NULL with TD_ERROR_PARSE, _SHAPE or _RANGE. */
TdInvoice *td_invoice_from_body (const char *body, GError **error);

/* SHA-256 of "tundish-invoice-seal/1" LF "previous " SEAL LF BODY LF. @previous: (nullable): the seal of the number
 * before, "none" is written for NULL. Returns: (transfer full): 64 hex digits. */
char *td_invoice_make_seal (const char *previous, const char *body);

/* Appends the keys of `invoice show --json` to an open object: the lines with quantity and percent as
 * decimal numbers, besides the whole ones. */
void td_invoice_build_json (const TdInvoice *invoice, TdJsonBuilder *builder);

G_END_DECLS
