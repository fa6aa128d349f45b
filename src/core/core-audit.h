/* core-audit.h: the chemical account of a period as one value, which JSON, CSV and pages are written from.
 *
 * Whoever reads a book fills it in; its parts are plain structs to be read.  Amounts are mL of concentrate
 * unless said otherwise. */
#pragma once

#include "core-exception.h"
#include "core-json.h"
#include "core-stock.h"

G_BEGIN_DECLS

/* The account of one product, lot, or product in one place. */
typedef struct
{
  TdStockAccount account;   /* texts belong to the audit */
  const char *name;       /* of the product */
  const char *detail;     /* code of the lot, or name of the place; NULL in the account by product */
  gint64 known_ml[3];     /* of what was used, by TdKnown; by product only */
  gint64 water_ml;        /* that it was mixed with; by product only */
  gint64 uses;            /* mixes; by product only */
  gint64 cost_minor;      /* of what was used, by what its lots cost; -1 where not known */
  const char *currency;   /* of the cost, NULL without one */
  gint64 received_count;  /* receipts */
} TdAuditRow;

/* What was used by site, technician, method or month, product by product. */
typedef struct
{
  char *key;
  char *name;
  char *product;
  gint64 uses;
  gint64 used_ml;
  gint64 expected_ml;   /* -1 where it is known of none */
  gint64 unexpected_ml; /* used where the expectation is not known */
  gint64 water_ml;
  gint64 known_ml[3];
  gint64 lines;         /* faucets' lines that it was sent through, each mix counted */
} TdAuditGroup;

typedef enum
{
  TD_AUDIT_SITES,
  TD_AUDIT_TECHNICIANS,
  TD_AUDIT_METHODS,
  TD_AUDIT_MONTHS, /* key "2026-03" */
  TD_N_AUDIT_GROUPS
} TdAuditGroupKind;

typedef struct
{
  TdExceptionId id;
  char *key;     /* names it for an acknowledgement; the same in every run */
  char *visit;   /* UUID, NULL where it belongs to none */
  char *number;  /* of the visit's report, NULL where none */
  char *site;    /* name, NULL where none */
  char *line;    /* id, NULL where none */
  char *subject; /* product, lot, place or task that it is about, NULL where none */
  char *text;
  TdDate date;
  gboolean acknowledged;
  char *by;      /* who acknowledged it */
  char *reason;
  gint64 at_ms;
} TdAuditException;

typedef struct _TdAudit
{
  char *company; /* NULL where it has no name */
  TdDate from, to;
  GArray *products; /* TdAuditRow */
  GArray *lots;     /* TdAuditRow */
  GArray *places;   /* TdAuditRow */
  GPtrArray *groups[TD_N_AUDIT_GROUPS]; /* TdAuditGroup */
  GPtrArray *exceptions;                /* TdAuditException */
  gint64 solution_disposed_ml;
  gint64 water_ml;
  gint64 lines;  /* faucets' lines that chemical was sent through, each mix counted */
  gint64 band_percent; /* beyond which a use is an exception */
  GStringChunk *texts;
} TdAudit;

TdAudit *td_audit_new (TdDate from, TdDate to);
void td_audit_free (TdAudit *audit);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdAudit, td_audit_free)

/* Adds rows of an account with texts of the audit's own. @rows: (element-type TdStockAccount). */
void td_audit_add_rows (TdAudit *audit, GArray *to, const GArray *rows);
void td_audit_group_free (TdAuditGroup *group);
void td_audit_exception_free (TdAuditException *exception);
/* Makes the key: the code, ':' and ten hex digits of the SHA-256 over visit, line and subject. */
void td_audit_exception_make_key (TdAuditException *exception);
/* How many nobody has acknowledged. */
guint td_audit_count_open (const TdAudit *audit);
/* How many there are of one kind. @open_out: (optional): of them, how many nobody has acknowledged. */
guint td_audit_count_exceptions (const TdAudit *audit, TdExceptionId id, guint *open_out);
/* Faucets' lines that a product was sent through, each mix counted. */
gint64 td_audit_count_lines (const TdAudit *audit, const char *product);

const char *td_audit_group_kind_to_text (TdAuditGroupKind kind); /* "sites", "technicians", "methods", "months" */

/* {"format": "tundish-account/1", "from", "to", "products": [...], "lots", "places", "sites", "technicians",
 * "methods", "months", "exceptions": [...], "totals": {...}}; what is not known is null. (transfer full) */
TdJson *td_audit_to_json (const TdAudit *audit);
/* RFC 4180, CRLF: the account by product, lot and place, one row each, then uses by group, the first column
 * says which. (transfer full) */
char *td_audit_to_csv (const TdAudit *audit);

G_END_DECLS
