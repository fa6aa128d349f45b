/* store-query.h: reading visits, accounts and sites.
 *
 * Everything returned is immutable and free of the book: it may cross to another thread. */
#pragma once

#include "core-rule.h"
#include "core-visit.h"
#include "store-book.h"

G_BEGIN_DECLS

/* One visit in a list. */
typedef struct
{
  TdUuid id;
  char *number;     /* report number, NULL while open */
  char *account;    /* name */
  char *account_id;
  char *site;       /* name */
  char *site_id;
  char *person;     /* name of who arrived */
  TdDate date;      /* civil date of the arrival in the site's zone */
  gint64 arrived_ms;
  gint64 closed_ms; /* 0 while open */
  gboolean closed;
  gboolean amends;  /* starts from an older visit, whose id is amends_id */
  TdUuid amends_id;
  gboolean amended; /* superseded by a newer visit, whose id is amended_by */
  TdUuid amended_by;
  guint entries;
  guint findings[3]; /* by TdSeverity; of an open visit as of its last entry */
} TdVisitRow;

TdVisitRow *td_visit_row_ref (TdVisitRow *row);
void td_visit_row_unref (TdVisitRow *row);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdVisitRow, td_visit_row_unref)

typedef enum
{
  TD_VISITS_ALL,
  TD_VISITS_OPEN,
  TD_VISITS_CLOSED
} TdVisitsState;

typedef struct
{
  TdVisitsState state;
  const char *site_id; /* NULL: every site */
  gboolean newest_only; /* leave out what has been amended */
  guint limit;          /* 0: no limit */
} TdVisitsFilter;

/* @filter: (nullable). Returns: (transfer full) (element-type TdVisitRow): newest arrival first, or NULL
 * with a TD_BOOK_ERROR. */
GPtrArray *td_book_list_visits (TdBook *book, const TdVisitsFilter *filter, GError **error);

/* A visit in full. A closed one stands as it was closed: with the names, products and settings of its
 * snapshot and the findings of its closing. */
typedef struct
{
  TdVisitRow *row;
  TdVisit *visit;
  GPtrArray *findings; /* TdFinding */
  char *sheet_sha256;  /* 64 hex digits, of the sheet that held when the visit began */
  char *seal;          /* 64 hex digits, NULL while open */
  char *previous_seal; /* NULL for the first of its device */
} TdVisitRecord;

/* Returns: (transfer full): the visit, or NULL with TD_BOOK_ERROR_MISSING or another. */
TdVisitRecord *td_book_load_visit (TdBook *book, const TdUuid *visit, GError **error);
void td_visit_record_free (TdVisitRecord *record);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdVisitRecord, td_visit_record_free)

/* The text whose SHA-256 is the seal (td_seal_make_text()). Returns: (transfer full): the text, or NULL
 * with TD_BOOK_ERROR_MISSING, or _REFUSED while the visit is open. */
char *td_book_get_sealed_text (TdBook *book, const TdUuid *visit, GError **error);

/* One site in a list. */
typedef struct
{
  char *id; /* as entries name it */
  char *name;
  char *account;
  char *account_id;
  char *address; /* NULL where not said */
  char *zone;
  guint lines; /* faucets, side faucets included */
  guint rev;   /* of the sheet, from 1 */
} TdSiteRow;

void td_site_row_free (TdSiteRow *row);
/* Returns: (transfer full) (element-type TdSiteRow): by account, then name. */
GPtrArray *td_book_list_sites (TdBook *book, GError **error);
/* Returns: (transfer full): the site as its newest sheet has it, or NULL with TD_BOOK_ERROR_MISSING. */
TdSite *td_book_get_site (TdBook *book, const char *site_id, GError **error);

/* One account in a list. */
typedef struct
{
  char *id;
  char *name;
  char *address, *contact, *email, *phone, *note; /* NULL where not said */
  guint sites;
} TdAccountRow;

void td_account_row_free (TdAccountRow *row);
/* Returns: (transfer full) (element-type TdAccountRow): by name. */
GPtrArray *td_book_list_accounts (TdBook *book, GError **error);

G_END_DECLS
