/* store-bundle-table.h: rows of master data as canonical JSON, and back: the form in which bundles carry and
 * compare them.
 *
 * Columns are asked of the book's own schema, so that one that is added later travels without a word here.
 * A body holds every column but the local key, uuid, slug and rev; references are slugs, hashes hex digits;
 * what is null is left out. */
#pragma once

#include "store-statement.h"

#include "core-json.h"

G_BEGIN_DECLS

/* In the order in which they are taken in: what is referred to comes first. */
typedef enum
{
  TD_MASTER_COMPANY,
  TD_MASTER_TECHNICIAN,
  TD_MASTER_INSTRUMENT,
  TD_MASTER_PRODUCT,
  TD_MASTER_LOT,
  TD_MASTER_ACCOUNT,
  TD_MASTER_SITE,
  TD_MASTER_LEDGER_ACCOUNT,
  TD_MASTER_SETTING,
  TD_MASTER_ROUND_SITE,
  TD_MASTER_ROUND_TECHNICIAN,
  TD_MASTER_ROUND_TRAVEL,
  TD_N_MASTERS
} TdMasterKind;

typedef struct
{
  gint64 id;
  guint rev;
  TdUuid uuid; /* all zero for a kind without */
  char *body;
  char *sha256; /* of the body */
} TdMasterRow;

const char *td_master_kind_to_text (TdMasterKind kind); /* "product" */
/* TRUE for a body that says nothing, as of a company that was never named. */
gboolean td_master_is_empty (const char *body);

/* All rows of a kind, within a transaction.
 * Returns: (transfer full) (element-type utf8 TdMasterRow): by slug, or NULL with an error. */
GHashTable *td_master_read (TdBook *book, TdMasterKind kind, GError **error);

/* Writes a row as the body has it, with that rev.  @row: (nullable): the row that is there; its id is changed
 * to the new one's otherwise in @id_out. @uuid: (nullable): for a new row, where no other has it.
 * FALSE with TD_BOOK_ERROR_NEWER for a column that the book does not have, TD_BOOK_ERROR_REFUSED for a value
 * that does not fit. Within a write. */
gboolean td_master_write (TdBook *book, TdMasterKind kind, const char *slug, const TdMasterRow *row,
                          const TdJson *body, guint rev, const TdUuid *uuid, gint64 *id_out, GError **error);

G_END_DECLS
