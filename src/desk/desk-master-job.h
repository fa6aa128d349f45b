/* desk-master-job.h: master data between the book and the forms. */
#pragma once

#include "core-json.h"
#include "store-book.h"

#include <gio/gio.h>

G_BEGIN_DECLS

/* What the page of records shows, in its order. */
typedef enum
{
  TD_RECORDS_COMPANY,
  TD_RECORDS_ACCOUNTS,
  TD_RECORDS_SITES,
  TD_RECORDS_TECHNICIANS,
  TD_RECORDS_INSTRUMENTS,
  TD_RECORDS_PRODUCTS,
  TD_RECORDS_LOTS,
  TD_RECORDS_FIGURES, /* intervals and limits */
  TD_RECORDS_LEDGER,  /* codes of the ledger */
  TD_N_RECORDS
} TdRecords;

/* "accounts", as places name it. */
const char *td_records_to_text (TdRecords records);
gboolean td_records_from_text (const char *text, TdRecords *records_out);
/* TRUE where there is one row only. */
gboolean td_records_is_single (TdRecords records);

/* Answer of td_master_list_job(). */
typedef struct
{
  TdRecords records;
  GPtrArray *masters;  /* TdMaster; of figures and ledger one without id and rev */
  char *refers;        /* what a form of these refers to elsewhere, "products"; NULL for none */
  char **ids, **titles; /* of those */
} TdMasterList;

void td_master_list_free (gpointer list);

/* A TdJob, reading. @data: GUINT_TO_POINTER of TdRecords. Answer: a TdMasterList. */
gboolean td_master_list_job (TdBook *book, gpointer data, gpointer *result_out, GError **error);

/* What is to be written. */
typedef struct
{
  TdRecords records;
  char *id; /* NULL for a new row */
  guint rev;
  gboolean retired;
  TdJson *json;
  TdJson *before; /* of figures and ledger: what the person began with */
} TdMasterPut;

void td_master_put_free (gpointer put);
/* A TdJob, writing. @data: a TdMasterPut. Answer: the id (char *, transfer full).
 * Errors of td_book_put_master(); of figures and ledger also TD_BOOK_ERROR_CONFLICT. */
gboolean td_master_put_job (TdBook *book, gpointer data, gpointer *result_out, GError **error);

G_END_DECLS
