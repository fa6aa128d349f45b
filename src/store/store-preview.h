/* store-preview.h: what an import would do, before anything is written. */
#pragma once

#include "store-edit.h"

G_BEGIN_DECLS

typedef enum
{
  TD_PREVIEW_NEW,
  TD_PREVIEW_CHANGED,
  TD_PREVIEW_SAME,
  TD_PREVIEW_REFUSED
} TdPreviewOutcome;

/* One row of a file. */
typedef struct
{
  TdPreviewOutcome outcome;
  TdMasterKind kind;
  char *title;        /* its name; NULL where that could not be read */
  guint line;         /* of the file, from 1; 0 where the whole file is meant */
  GPtrArray *changes; /* TdChange of a changed row, NULL of others */
  char *message;      /* why it is refused, NULL otherwise */
} TdPreviewRow;

/* One file. */
typedef struct
{
  char *name;
  GPtrArray *rows; /* TdPreviewRow */
  guint counts[4]; /* of rows by outcome; a file with a refused row is not taken in at all */
} TdPreview;

void td_preview_free (TdPreview *preview);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdPreview, td_preview_free)

/* A file to be looked at. */
typedef struct
{
  const char *name; /* tells CSV by its ending; in errors */
  const char *text;
  gsize length;
} TdPreviewFile;

typedef enum
{
  TD_FILE_COMPANY,
  TD_FILE_SITE,
  TD_FILE_CSV,
  TD_FILE_AGREEMENT,
  TD_FILE_ROUND
} TdFileForm;

/* What kind of file it says to be. @json_out: (out) (transfer full) (nullable): its content, NULL of CSV.
 * FALSE with a TD_ERROR where it is none that can be taken in. */
gboolean td_file_look (const TdPreviewFile *file, TdFileForm *form_out, TdJson **json_out, GError **error);

/* Looks at files as they would be taken in one after the other, company files first, then site sheets, then
 * CSV: each row is held against the book and the files before it, by the checks that the import itself makes.
 * Nothing is written.  Codes of the ledger are told as rows of the company, by their ids.  Price agreements and
 * files of the round are refused here.
 * Returns: (transfer full) (element-type TdPreview): one for each file in the order given, or NULL with a
 * TD_BOOK_ERROR where the book cannot be read. */
GPtrArray *td_book_preview (TdBook *book, const TdPreviewFile *files, guint n_files, GError **error);

G_END_DECLS
