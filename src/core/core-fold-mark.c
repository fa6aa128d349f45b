/* Acts that say of a line no more than that, and when, they were done. */
#include <stddef.h>

#include "core-fold.h"

typedef struct
{
  TdKind kind;
  TdNeed need;
  gsize offset; /* of the TdStamp in TdVisitLine */
} Mark;

static const Mark marks[] = {
#define MARK(symbol, need, member)                                                                 \
  {                                                                                                \
    TD_KIND_##symbol, need, offsetof (TdVisitLine, member)                                         \
  }
  MARK (LINE_PROVED, TD_NEED_NOTHING, proved),
  MARK (KEG_UNCOUPLED, TD_NEED_KEG_END, keg_uncoupled),
  MARK (ADAPTER_FITTED, TD_NEED_KEG_END, adapter_fitted),
  MARK (ADAPTER_REMOVED, TD_NEED_KEG_END, adapter_removed),
  MARK (CHECK_BALL_OUT, TD_NEED_KEG_END, ball_out),
  MARK (CHECK_BALL_IN, TD_NEED_KEG_END, ball_in),
  MARK (FOB_OPENED, TD_NEED_KEG_END | TD_NEED_FOB, fob_opened),
  MARK (FOB_FLOODED, TD_NEED_KEG_END | TD_NEED_FOB, fob_flooded),
  MARK (FOB_RINSED, TD_NEED_KEG_END | TD_NEED_FOB, fob_rinsed),
  MARK (FOB_VENTED, TD_NEED_KEG_END | TD_NEED_FOB, fob_vented),
  MARK (FOB_STRIPPED, TD_NEED_KEG_END | TD_NEED_FOB, fob_stripped),
  MARK (FAUCET_STRIPPED, TD_NEED_NOTHING, faucet_stripped),
  MARK (FAUCET_REBUILT, TD_NEED_NOTHING, faucet_rebuilt),
  MARK (COUPLER_BRUSHED, TD_NEED_KEG_END, coupler_brushed),
  MARK (COUPLER_STRIPPED, TD_NEED_KEG_END, coupler_stripped),
  MARK (VALVE_WELL_DRIED, TD_NEED_KEG_END, well_dried),
  MARK (LEVER_SET, TD_NEED_KEG_END | TD_NEED_LEVER, lever_set),
  MARK (LEVER_SET_BACK, TD_NEED_KEG_END | TD_NEED_LEVER, lever_back),
#undef MARK
};

gboolean
td_fold_mark (TdFold *fold, const TdEntry *entry, GError **error)
{
  const Mark *mark = NULL;

  for (gsize i = 0; i < G_N_ELEMENTS (marks) && mark == NULL; i++)
    if (marks[i].kind == entry->envelope.kind)
      mark = &marks[i];
  g_assert (mark != NULL);
  if (!td_fold_get_targets (fold, entry, mark->need, error))
    return FALSE;
  for (guint i = 0; i < fold->targets->len; i++)
    {
      TdVisitLine *line = &fold->visit->lines[g_array_index (fold->targets, guint, i)];
      TdStamp *stamp = (TdStamp *)(gpointer)((char *)line + mark->offset);

      /* A line is proved once and for all; of other acts the last one tells how things stand. */
      if (mark->kind == TD_KIND_LINE_PROVED)
        td_fold_keep_earliest (stamp, entry);
      else
        td_fold_keep_latest (stamp, entry);
    }
  return TRUE;
}
