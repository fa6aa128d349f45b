/* store-edit.h: rows of master data one by one, as a person edits them.
 *
 * A row is the object that a file has for it (company file, account, site sheet), so that everything that is
 * edited can be exported and is checked by the same readers as what is imported. */
#pragma once

#include "core-json.h"
#include "store-book.h"

G_BEGIN_DECLS

typedef enum
{
  TD_MASTER_COMPANY, /* one row, without an id */
  TD_MASTER_ACCOUNT,
  TD_MASTER_SITE, /* its sheet */
  TD_MASTER_TECHNICIAN,
  TD_MASTER_INSTRUMENT,
  TD_MASTER_PRODUCT,
  TD_MASTER_LOT,
  TD_N_MASTERS
} TdMasterKind;

/* One row; immutable and free of the book. */
typedef struct
{
  TdMasterKind kind;
  char *id;         /* "" for the company */
  guint rev;        /* raised by each change */
  gboolean retired; /* kept for what names it, not offered any more */
  TdJson *json;
} TdMaster;

void td_master_free (TdMaster *master);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdMaster, td_master_free)

/* The key of the array in the company file, "products"; NULL for what stands in none. */
const char *td_master_kind_get_key (TdMasterKind kind);

/* Returns: (transfer full) (element-type TdMaster): every row of the kind, retired ones too, sites and
 * accounts by name, the others by id; NULL with a TD_BOOK_ERROR. */
GPtrArray *td_book_list_masters (TdBook *book, TdMasterKind kind, GError **error);
/* Returns: (transfer full): the row, or NULL with TD_BOOK_ERROR_MISSING or another. */
TdMaster *td_book_get_master (TdBook *book, TdMasterKind kind, const char *id, GError **error);

/* Writes a row.  @id: (nullable): NULL adds a new one, whose id is made from its name (of a lot from its
 * code); an "id" within @json is not looked at.  @rev: the revision that the person looked at, 0 with NULL.
 * A site that is renamed stays the same site; an account that is renamed takes the sheets of its sites along.
 * @id_out: (out) (optional) (transfer full).
 * Returns FALSE with nothing written: TD_ERROR where the row does not pass the checks of a file (the message
 * names line and column in @json's text), TD_BOOK_ERROR_CONFLICT where the row has changed since, _REFUSED
 * where another row has its name or a site with an open visit is retired. */
gboolean td_book_put_master (TdBook *book,
                             TdMasterKind kind,
                             const char *id,
                             guint rev,
                             const TdJson *json,
                             gboolean retired,
                             char **id_out,
                             GError **error);

/* The checks of td_book_put_master() that need no book: those of the file's reader. FALSE with TD_ERROR. */
gboolean td_master_check (TdMasterKind kind, const TdJson *json, GError **error);

G_END_DECLS
