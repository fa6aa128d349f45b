#include "model-steps-private.h"

#include <string.h>

gboolean
td_line_is_wanted (const TdVisit *visit, guint outlet)
{
  const TdVisitLine *line = &visit->lines[outlet];

  return (line->in_scope[TD_CLEAN_CAUSTIC] || line->in_scope[TD_CLEAN_ACID]) && line->left_out.seq == 0
         && !td_visit_is_out_of_service (visit, outlet);
}

gboolean
td_line_is_planned (const TdVisit *visit, guint outlet)
{
  return td_line_is_wanted (visit, outlet) && visit->lines[outlet].method != TD_METHOD_NONE;
}

gboolean
td_line_has_keg_end (const TdVisit *visit, guint outlet)
{
  return visit->site->outlets[outlet].side < 0;
}

gboolean
td_line_is_before (const TdVisit *visit, guint outlet)
{
  return td_line_is_planned (visit, outlet) && td_line_has_keg_end (visit, outlet)
         && visit->lines[outlet].passes->len == 0;
}

gboolean
td_line_was_run (const TdVisit *visit, guint outlet)
{
  return visit->lines[outlet].passes->len > 0 && !td_visit_is_out_of_service (visit, outlet);
}

const TdLine *
td_line_get_sheet (const TdVisit *visit, guint outlet)
{
  return &visit->site->lines[visit->site->outlets[outlet].line];
}

gboolean
td_line_get_clean (const TdVisit *visit, guint outlet, TdClean *clean_out)
{
  const TdVisitLine *line = &visit->lines[outlet];

  for (TdClean clean = 0; clean < TD_N_CLEANS; clean++)
    {
      gboolean passed = FALSE;

      if (!line->in_scope[clean])
        continue;
      for (guint i = 0; i < line->passes->len; i++)
        {
          const TdPass *pass = &g_array_index (line->passes, TdPass, i);

          passed |= pass->clean == clean && pass->rinse_passed;
        }
      if (passed)
        continue;
      *clean_out = clean;
      return TRUE;
    }
  return FALSE;
}

const TdPass *
td_line_get_work (const TdVisit *visit, guint outlet)
{
  const TdPass *last = td_visit_line_get_pass (&visit->lines[outlet]);
  TdClean clean;

  if (last == NULL || !td_line_get_clean (visit, outlet, &clean))
    return last;
  /* What is in the line comes out of it before the next one goes in. */
  return last->clean == clean || !last->rinse_passed ? last : NULL;
}

gboolean
td_line_awaits_chemical (const TdVisit *visit, guint outlet)
{
  TdClean clean;

  return td_line_is_wanted (visit, outlet) && td_line_get_clean (visit, outlet, &clean)
         && td_line_get_work (visit, outlet) == NULL;
}

const TdTag *
td_line_find_tag (const TdVisit *visit, guint outlet)
{
  for (guint i = visit->tags->len; i > 0; i--)
    {
      const TdTag *tag = &g_array_index (visit->tags, TdTag, i - 1);

      if (tag->outlet == (int) outlet && tag->removed.seq == 0)
        return tag;
    }
  return NULL;
}

gboolean
td_tag_is_lifted (const TdTag *tag)
{
  return tag->lifts->len > 0 && g_array_index (tag->lifts, TdTagLift, tag->lifts->len - 1).again.seq == 0;
}

static gboolean
names_line (const TdEntry *entry, const char *id)
{
  const TdJson *lines = td_json_get_member (entry->body, "lines");
  const TdJson *line = td_json_get_member (entry->body, "line");

  if (line != NULL)
    return strcmp (td_json_get_string (line), id) == 0;
  for (guint i = 0; lines != NULL && i < td_json_get_length (lines); i++)
    if (strcmp (td_json_get_string (td_json_get_element (lines, i)), id) == 0)
      return TRUE;
  return FALSE;
}

gboolean
td_visit_has_entry (const TdVisit *visit, TdKind kind, int circuit, int outlet, TdStamp since)
{
  for (guint i = visit->effective->len; i > 0; i--)
    {
      const TdEntry *entry = g_ptr_array_index (visit->effective, i - 1);
      const TdJson *number;
      TdStamp stamp;

      if (entry == NULL || entry->envelope.kind != kind)
        continue;
      stamp.at_ms = entry->envelope.happened.utc_ms;
      stamp.seq = entry->envelope.seq;
      if (since.seq != 0 && td_stamp_compare (stamp, since) < 0)
        continue;
      number = td_json_get_member (entry->body, "circuit");
      if (circuit != 0 && number != NULL && td_json_get_integer (number) == circuit)
        return TRUE;
      if (outlet >= 0 && names_line (entry, visit->site->outlets[outlet].id))
        return TRUE;
      if (circuit == 0 && outlet < 0)
        return TRUE;
    }
  return FALSE;
}

GArray *
td_circuit_get_lines (const TdVisit *visit, const TdVisitCircuit *circuit)
{
  GArray *lines = g_array_new (FALSE, FALSE, sizeof (guint));

  for (guint i = 0; i < circuit->legs->len; i++)
    {
      guint outlet = g_array_index (circuit->legs, TdLeg, i).outlet;

      if (td_line_is_wanted (visit, outlet))
        g_array_append_val (lines, outlet);
    }
  return lines;
}

gboolean
td_circuit_is_pumping (const TdVisitCircuit *circuit)
{
  return circuit->pump->len > 0 && g_array_index (circuit->pump, TdSwitch, circuit->pump->len - 1).on;
}

GArray *
td_tower_get_statics (const TdVisit *visit, guint tower)
{
  GArray *lines = g_array_new (FALSE, FALSE, sizeof (guint));

  for (guint i = 0; i < visit->statics->len; i++)
    {
      guint outlet = g_array_index (visit->statics, TdVisitStatic, i).outlet;

      if (visit->site->outlets[outlet].tower == tower && td_line_is_wanted (visit, outlet))
        g_array_append_val (lines, outlet);
    }
  return lines;
}
