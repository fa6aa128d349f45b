/* What is told rather than done: faults, parts, lines left, incidents, reasons, notes, photos. */
#include "core-error.h"
#include "core-fold.h"
#include "core-rule.h"

gboolean
td_fold_left_tidy (TdFold *fold, const TdEntry *entry, GError **error)
{
  td_fold_keep_latest (&fold->visit->left_tidy, entry);
  return TRUE;
}

gboolean
td_fold_fault (TdFold *fold, const TdEntry *entry, GError **error)
{
  TdFault fault = { .stamp = td_fold_get_stamp (entry) };

  if (!td_fold_get_outlet (fold, entry, "line", &fault.outlet, error)
      || !td_fold_get_tower (fold, entry, &fault.tower, error)
      || !td_fold_get_cooler (fold, entry, &fault.cooler, error))
    return FALSE;
  fault.symptom = td_fold_get_text (entry, "symptom");
  fault.extent = td_fold_get_text (entry, "extent");
  fault.cause = td_fold_get_text (entry, "cause");
  fault.severity = td_fold_get_text (entry, "severity");
  fault.text = td_fold_get_text (entry, "text");
  fault.action = td_fold_get_text (entry, "action");
  fault.quote_wanted = td_fold_is (entry, "quote_wanted", "yes");
  fault.follow_up = td_fold_is (entry, "follow_up", "yes");
  g_array_append_val (fold->visit->faults, fault);
  return TRUE;
}

gboolean
td_fold_part (TdFold *fold, const TdEntry *entry, GError **error)
{
  TdPart part = { .stamp = td_fold_get_stamp (entry) };

  if (!td_fold_get_outlet (fold, entry, "line", &part.outlet, error))
    return FALSE;
  part.part = td_fold_get_text (entry, "part");
  part.text = td_fold_get_text (entry, "text");
  part.quantity = td_fold_get_integer (entry, "quantity", 1);
  g_array_append_val (fold->visit->parts, part);
  return TRUE;
}

gboolean
td_fold_left_out (TdFold *fold, const TdEntry *entry, GError **error)
{
  if (!td_fold_get_targets (fold, entry, TD_NEED_NOTHING, error))
    return FALSE;
  for (guint i = 0; i < fold->targets->len; i++)
    {
      TdVisitLine *line = &fold->visit->lines[g_array_index (fold->targets, guint, i)];

      line->left_out = td_fold_get_stamp (entry);
      line->left_out_reason = td_fold_get_text (entry, "reason");
    }
  return TRUE;
}

gboolean
td_fold_out_of_service (TdFold *fold, const TdEntry *entry, GError **error)
{
  const char *tag = td_fold_get_text (entry, "tag");

  if (!td_fold_get_targets (fold, entry, TD_NEED_NOTHING, error)
      || (tag != NULL && td_fold_get_tag (fold, entry, tag, error) == NULL))
    return FALSE;
  for (guint i = 0; i < fold->targets->len; i++)
    {
      TdVisitLine *line = &fold->visit->lines[g_array_index (fold->targets, guint, i)];

      line->out_of_service = td_fold_get_stamp (entry);
      line->service_condition = td_fold_get_text (entry, "condition");
      line->service_reason = td_fold_get_text (entry, "reason");
      line->service_handed_to = td_fold_get_text (entry, "handed_to");
      line->service_tag = tag;
    }
  return TRUE;
}

gboolean
td_fold_reason (TdFold *fold, const TdEntry *entry, GError **error)
{
  TdReason reason
      = { .stamp = td_fold_get_stamp (entry), .code = td_fold_get_text (entry, "code") };
  TdRuleId rule;

  if (!td_fold_get_outlet (fold, entry, "line", &reason.outlet, error))
    return FALSE;
  /* A reason outlives the rule that asked for it. */
  if (fold->strict && !td_rule_find (reason.code, &rule))
    {
      td_fold_set_error (entry, TD_ERROR_REFERENCE, error,
                         "no rule has the code \"%s\": use the code that the finding shows",
                         reason.code);
      return FALSE;
    }
  reason.reason = td_fold_get_text (entry, "reason");
  g_array_append_val (fold->visit->reasons, reason);
  return TRUE;
}

static gboolean
add_remark (TdFold *fold, const TdEntry *entry, GArray *remarks, GError **error)
{
  TdRemark remark = { .stamp = td_fold_get_stamp (entry) };

  if (!td_fold_get_outlet (fold, entry, "line", &remark.outlet, error))
    return FALSE;
  remark.text = td_fold_get_text (entry, "text");
  remark.what = td_fold_get_text (entry, "what");
  remark.action = td_fold_get_text (entry, "action");
  remark.sha256 = td_fold_get_text (entry, "sha256");
  remark.media = td_fold_get_text (entry, "media");
  g_array_append_val (remarks, remark);
  return TRUE;
}

gboolean
td_fold_incident (TdFold *fold, const TdEntry *entry, GError **error)
{
  return add_remark (fold, entry, fold->visit->incidents, error);
}

gboolean
td_fold_note_written (TdFold *fold, const TdEntry *entry, GError **error)
{
  return add_remark (fold, entry, fold->visit->notes, error);
}

gboolean
td_fold_photo (TdFold *fold, const TdEntry *entry, GError **error)
{
  return add_remark (fold, entry, fold->visit->photos, error);
}
