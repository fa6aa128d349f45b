/* core-masters-private.h: what the reader and the writer of the company file share. */
#pragma once

#include "core-masters.h"

G_BEGIN_DECLS

/* Spellings in the file, in the order of their enumerations, NULL-terminated. */
extern const char *const td_product_kind_names[];
extern const char *const td_basis_names[];
extern const char *const td_instrument_kind_names[];

G_END_DECLS
