/* Signing and closing. */
#include "core-fold.h"

static void
take_signature (TdSignature *signature, const TdEntry *entry)
{
  *signature = (TdSignature){
    .stamp = td_fold_get_stamp (entry),
    .given = TRUE,
    .name = td_fold_get_text (entry, "name"),
    .meaning = td_fold_get_text (entry, "meaning"),
    .reason = td_fold_get_text (entry, "reason"),
    .strokes = td_json_get_member (entry->body, "strokes"),
  };
}

gboolean
td_fold_signature (TdFold *fold, const TdEntry *entry, GError **error)
{
  take_signature (&fold->visit->signature, entry);
  return TRUE;
}

gboolean
td_fold_countersignature (TdFold *fold, const TdEntry *entry, GError **error)
{
  take_signature (&fold->visit->countersignature, entry);
  return TRUE;
}

gboolean
td_fold_closing (TdFold *fold, const TdEntry *entry, GError **error)
{
  TdVisit *visit = fold->visit;

  visit->closed = TRUE;
  visit->closed_at = entry->envelope.happened;
  visit->snapshot = td_json_get_member (entry->body, "snapshot");
  return TRUE;
}
