/* store-master.h: company, products, lots, people, instruments, accounts, sites, settings.
 *
 * Every change raises the row's revision; nothing is erased.  Each import is all or nothing. */
#pragma once

#include "core-masters.h"
#include "core-settings.h"
#include "core-site.h"
#include "store-book.h"

G_BEGIN_DECLS

typedef struct
{
  guint added;
  guint changed;
  guint same;
} TdImportCount;

/* Returns: (transfer full): what the book knows now, or NULL with a TD_BOOK_ERROR. */
TdMasters *td_book_get_masters (TdBook *book, GError **error);
/* Adds what is new and changes what differs, by id; what the file leaves out stays. A lot's product must
 * be in the file or the book (TD_ERROR_REFERENCE). @count_out: (optional). */
gboolean td_book_import_company (TdBook *book,
                                 const TdMasters *masters,
                                 TdImportCount *count_out,
                                 GError **error);

typedef enum
{
  TD_IMPORT_ADDED,   /* a new site */
  TD_IMPORT_CHANGED, /* a new version of the sheet of a known one */
  TD_IMPORT_SAME     /* nothing differs, nothing written */
} TdImportOutcome;

typedef struct
{
  char *site_id;
  TdImportOutcome outcome;
  guint rev;
} TdSiteImport;

void td_site_import_clear (TdSiteImport *import);

/* Takes a site sheet in. Account and site must be named (TD_ERROR_SHAPE); the account is made where it
 * is new. A site of the same name under the same account gets a new version of its sheet; visits begun
 * before keep the sheet that they began with. @import_out: (out) (optional): clear it afterwards. */
gboolean td_book_import_site (TdBook *book, const TdSite *site, TdSiteImport *import_out, GError **error);

/* Takes rows in from CSV (RFC 4180) as store-csv.h describes it: accounts, technicians, instruments, products,
 * lots. Adds and changes, all or nothing. @length: bytes or -1.
 * Returns FALSE with TD_ERROR_PARSE or TD_ERROR_SHAPE "line L, column C: ...". */
gboolean td_book_import_csv (TdBook *book, const char *csv, gssize length, TdImportCount *count_out, GError **error);

/* The figures that hold: the defaults, over them the company's, the sheet's own interval, the site's.
 * @site_id: (nullable): NULL for the company. Returns: (transfer full), or NULL with TD_BOOK_ERROR. */
TdSettings *td_book_get_settings (TdBook *book, const char *site_id, GError **error);
/* @site_id: (nullable). @value: (nullable): NULL takes the setting back. TD_ERROR_RANGE. */
gboolean td_book_set_setting (TdBook *book,
                              const char *site_id,
                              TdSettingId id,
                              const gint64 *value,
                              GError **error);

G_END_DECLS
