/* store-csv.h: rows of master data as comma-separated values.
 *
 * The first line names the columns, which are the keys of the row's object in the company file, or of an
 * account: "name", "address", "contact", "email", "phone", "note".  The columns tell what the rows are: "code"
 * makes lots of them, "substance" products, "calibrated", "calibration_due" or "kind" instruments,
 * "certificate", "certificate_expiry" or "id" alone technicians, anything else accounts.  A row is found by
 * its "id", an account by its "name".  A column that the file does not have stays as it is; an empty field
 * takes away what stood there. */
#pragma once

#include "core-csv.h"
#include "core-json.h"
#include "store-edit.h"

G_BEGIN_DECLS

typedef struct
{
  guint index;  /* in the CSV */
  guint line;   /* of the file, from 1 */
  TdJson *json; /* the fields that hold something; NULL where one cannot be read */
  char *error;  /* "line L, column C: ...", NULL where all is well */
} TdCsvRow;

typedef struct
{
  TdMasterKind kind;
  TdCsv *csv;
  char **columns;  /* keys, in the file's order */
  GPtrArray *rows; /* TdCsvRow */
} TdCsvMasters;

/* @length: bytes or -1. Returns: (transfer full): the rows, or NULL with TD_ERROR_PARSE or TD_ERROR_SHAPE
 * where the file is no CSV or its first line does not do. */
TdCsvMasters *td_csv_masters_read (const char *text, gssize length, GError **error);
void td_csv_masters_free (TdCsvMasters *masters);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdCsvMasters, td_csv_masters_free)

/* "id", or "name" of an account: what a row of that kind is found by. */
const char *td_csv_masters_get_key (TdMasterKind kind);
/* The row over what the book has of it. @known: (nullable). (transfer full) */
TdJson *td_csv_masters_merge (const TdCsvMasters *masters, const TdCsvRow *row, const TdJson *known);
/* Where an error of a reader belongs: "line L, column C: ..." of the field that it names. (transfer full) */
char *td_csv_masters_place_error (const TdCsvMasters *masters, const TdCsvRow *row, const GError *error);

G_END_DECLS
