/* store-check-private.h: the kinds of check. */
#pragma once

#include "store-cache.h"
#include "store-private.h"
#include "store-state.h"

G_BEGIN_DECLS

typedef struct
{
  guint count;   /* things looked at */
  char *failure; /* the first thing found wanting, NULL while all hold */
} TdChecking;

/* Keeps the first failure only. */
void td_checking_fail (TdChecking *checking, const char *format, ...) G_GNUC_PRINTF (2, 3);

/* Each counts what it looks at and fails @checking where something is wanting; FALSE with an error where
 * it could not look. Within a read. */
gboolean td_check_sqlite (TdBook *book, TdChecking *checking, GError **error);
gboolean td_check_schema (TdBook *book, TdChecking *checking, GError **error);
gboolean td_check_references (TdBook *book, TdChecking *checking, GError **error);
gboolean td_check_sheets (TdBook *book, TdChecking *checking, GError **error);
gboolean td_check_attachments (TdBook *book, TdChecking *checking, GError **error);
gboolean td_check_sites (TdBook *book, TdChecking *checking, GError **error);
gboolean td_check_journal (TdBook *book, TdChecking *checking, GError **error);
gboolean td_check_projections (TdBook *book, TdChecking *checking, GError **error);
gboolean td_check_seals (TdBook *book, TdChecking *checking, GError **error);
gboolean td_check_numbers (TdBook *book, TdChecking *checking, GError **error);
gboolean td_check_agreements (TdBook *book, TdChecking *checking, GError **error);
gboolean td_check_invoices (TdBook *book, TdChecking *checking, GError **error);
gboolean td_check_stock (TdBook *book, TdChecking *checking, GError **error);
/* One closed visit: its journal, its pictures, its seal, its snapshot. */
gboolean td_check_visit (TdBook *book, const TdVisitState *state, TdChecking *checking, GError **error);

G_END_DECLS
