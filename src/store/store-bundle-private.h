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
/* FALSE for what no clock, calendar or book of this program gives: a moment or day beyond the years 1..9999,
 * a device's prefix that is not four capitals, a name of a row that could not be read back (or, of a site or
 * account, that could lead a file astray). */
gboolean td_bundle_is_moment (gint64 ms);
gboolean td_bundle_is_day (gint64 day);
gboolean td_bundle_is_prefix (const char *text);
gboolean td_bundle_is_slug (TdMasterKind kind, const char *slug);
/* Reads the book's master data as a company file has it. @wrong_out: (out) (nullable) (transfer full): why it
 * cannot be one; NULL before and where it can. FALSE only where the book cannot be read. */
gboolean td_bundle_read_masters (TdBook *book, char **wrong_out, GError **error);
/* Keeps both versions of a row and tells of it. */
gboolean td_bundle_keep_conflict (TdTaking *taking, const TdBundleConflict *conflict, GError **error);

G_END_DECLS
