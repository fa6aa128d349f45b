/* store-agreement.h: price agreements of accounts, every version kept. */
#pragma once

#include "core-agreement.h"
#include "store-master.h"

G_BEGIN_DECLS

/* Takes an agreement in; its account is made where it is new, as by a site sheet.  One that begins on the day of
 * a known one becomes its next version; what has been invoiced stays as it was.  The agreement that
 * began last holds where several cover a day.
 * @json: as td_agreement_from_json() takes it. @outcome_out: (optional). */
gboolean td_book_import_agreement (TdBook *book, const TdJson *json, TdImportOutcome *outcome_out, GError **error);

/* A version of an agreement. */
typedef struct
{
  TdAgreement *agreement;
  guint version;
  gint64 taken_ms;
} TdAgreementRow;

void td_agreement_row_free (TdAgreementRow *row);
/* Returns: (transfer full) (element-type TdAgreementRow): the newest beginning first, of each the newest
 * version first; NULL with TD_BOOK_ERROR_MISSING where there is no such account. */
GPtrArray *td_book_list_agreements (TdBook *book, const char *account_id, GError **error);

/* Within a transaction.  Returns: (transfer full) (element-type TdAgreement): newest versions alone, the newest
 * beginning first. */
GPtrArray *td_agreements_read (TdBook *book, gint64 account_key, GError **error);
/* Returns: (transfer none) (nullable): the one that holds on that day. */
const TdAgreement *td_agreements_find (const GPtrArray *agreements, TdDate date);

G_END_DECLS
