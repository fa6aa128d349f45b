/* store-bundle-private.h: what the parts of taking a bundle in share. */
#pragma once

#include "store-bundle-file.h"
#include "store-bundle-table.h"

G_BEGIN_DECLS

typedef struct
{
  TdBook *book;     /* within its write */
  TdBundle *bundle;
  TdBundleSum *sum;
} TdTaking;

/* Notes the versions of all master rows that the book has now. Within a write. */
gboolean td_bundle_note_versions (TdBook *book, GError **error);
/* Sheets that the bundle has, held against their hashes. @sha256: of one that the book may lack yet. */
gboolean td_bundle_take_sheet (TdTaking *taking, const char *sha256, GError **error);
gboolean td_bundle_take_masters (TdTaking *taking, GError **error);
gboolean td_bundle_take_agreements (TdTaking *taking, GError **error);
gboolean td_bundle_take_visits (TdTaking *taking, GError **error);
/* Keeps both versions of a row and tells of it. */
gboolean td_bundle_keep_conflict (TdTaking *taking, const TdBundleConflict *conflict, GError **error);

G_END_DECLS
