#include "draw-run-sheet.h"

static const TdPass *
last_pass (const TdVisitLine *line)
{
  if (line->passes == NULL || line->passes->len == 0)
    return NULL;
  return &g_array_index (line->passes, TdPass, line->passes->len - 1);
}

TdStage
td_stage_of_line (const TdVisitLine *line)
{
  const TdPass *pass = last_pass (line);

  if (line->out_of_service.seq != 0)
    return TD_STAGE_OUT_OF_SERVICE;
  if (line->left_out.seq != 0)
    return TD_STAGE_LEFT_OUT;
  if (pass == NULL)
    {
      for (guint i = 0; i < TD_N_CLEANS; i++)
        if (line->in_scope[i])
          return TD_STAGE_WAITING;
      return TD_STAGE_NOT_DUE;
    }
  if (pass->rinse_passed)
    {
      /* Beer that ran clear before the last rinse says nothing about what stands in the line now.
       */
      gboolean clear = line->beer_clear_last.seq != 0
                       && line->beer_clear_last.at_ms >= pass->rinse_ph.stamp.at_ms;
      return clear ? TD_STAGE_POURS : TD_STAGE_RINSED;
    }
  if (pass->contact_end.seq != 0 || pass->rinse_start.seq != 0)
    return TD_STAGE_RINSING;
  if (pass->clock_start.seq != 0)
    return TD_STAGE_CONTACT;
  return TD_STAGE_FILLING;
}

static void
add_circuits (TdRunSheet *sheet, const TdVisit *visit)
{
  for (guint i = 0; i < visit->circuits->len; i++)
    {
      const TdVisitCircuit *from = &g_array_index (visit->circuits, TdVisitCircuit, i);
      g_autofree TdRunLeg *legs = g_new0 (TdRunLeg, from->legs->len);

      for (guint j = 0; j < from->legs->len; j++)
        {
          const TdLeg *leg = &g_array_index (from->legs, TdLeg, j);

          legs[j] = (TdRunLeg){ leg->outlet, leg->direction };
          sheet->outlets[leg->outlet].reversal = leg->reversal;
        }
      td_run_sheet_add_circuit (sheet, from->number, from->station, legs, from->legs->len);
    }
}

/* What was done outweighs what was planned. */
static void
set_way_as_done (TdRunSheet *sheet, const TdVisitLine *line)
{
  TdRunOutlet *outlet = &sheet->outlets[line->outlet];
  const TdPass *pass = last_pass (line);

  outlet->stage = td_stage_of_line (line);
  if (pass != NULL && pass->method == TD_METHOD_STATIC)
    outlet->way = TD_RUN_STATIC;
  else if (pass != NULL && pass->method == TD_METHOD_CIRCULATING)
    outlet->way = td_visit_line_get_direction (line) == TD_DIRECTION_IN ? TD_RUN_IN : TD_RUN_OUT;
  else if (line->left_out.seq != 0)
    outlet->way = TD_RUN_IDLE;
}

static void
add_tags (TdRunSheet *sheet, const TdVisit *visit, TdShow show)
{
  for (guint i = 0; i < visit->tags->len; i++)
    {
      const TdTag *tag = &g_array_index (visit->tags, TdTag, i);
      TdTagState state = TD_TAG_HANGS;

      if (tag->removed.seq != 0)
        state = TD_TAG_GONE;
      else if (tag->lifts != NULL && tag->lifts->len > 0
               && g_array_index (tag->lifts, TdTagLift, tag->lifts->len - 1).again.seq == 0)
        state = TD_TAG_LIFTED;
      if (show == TD_SHOW_NOW && state == TD_TAG_GONE)
        continue;
      td_run_sheet_add_tag (sheet, tag->id, tag->outlet, tag->place, state);
    }
}

TdRunSheet *
td_run_sheet_new_visit (const TdVisit *visit, TdShow show)
{
  TdRunSheet *sheet = td_run_sheet_new (visit->site);

  add_circuits (sheet, visit);
  for (guint i = 0; i < visit->statics->len; i++)
    {
      const TdVisitStatic *from = &g_array_index (visit->statics, TdVisitStatic, i);
      td_run_sheet_add_static (sheet, from->outlet, from->fed_by);
    }
  for (guint i = 0; i < visit->n_lines; i++)
    set_way_as_done (sheet, &visit->lines[i]);
  add_tags (sheet, visit, show);
  return sheet;
}
