/* Projections of what was in a line, who held its outlet, and what a visit shows a manager. */
#include "store-project-rows.h"

#include "core-exception.h"

static TdRow *
add_row (GPtrArray *rows, gint64 key)
{
  TdRow *row = td_row_new ();
  td_row_add_integer (row, key);
  g_ptr_array_add (rows, row);
  return row;
}

static gint64
get_begin (const TdPass *pass)
{
  return pass->chemical_in.seq != 0 ? pass->chemical_in.at_ms : pass->chemical_seen.at_ms;
}

/* When the line did not hold it any more, G_MININT64 while it does. */
static gint64
find_end (const TdVisitLine *line, guint n)
{
  const TdPass *pass = &g_array_index (line->passes, TdPass, n);
  if (pass->rinse_passed)
    return pass->rinse_ph.stamp.at_ms;
  if (n + 1 < line->passes->len)
    return get_begin (&g_array_index (line->passes, TdPass, n + 1));
  return td_visit_line_holds_chemical (line) ? G_MININT64 : line->out_of_service.at_ms;
}

void
td_projected_add_passes (const TdVisitState *state, GPtrArray *rows)
{
  const TdVisit *visit = state->visit;
  for (guint i = 0; i < visit->n_lines; i++)
    for (guint n = 0; n < visit->lines[i].passes->len; n++)
      {
        const TdPass *pass = &g_array_index (visit->lines[i].passes, TdPass, n);
        TdRow *row = add_row (rows, state->key);
        td_row_add_integer (row, i);
        td_row_add_integer (row, n);
        td_row_add_text (row, visit->site->outlets[i].id);
        td_row_add_integer_or_null (row, pass->batch, G_MAXUINT);
        td_row_add_text (row, td_clean_to_text (pass->clean));
        td_row_add_text (row, td_method_to_text (pass->method));
        td_row_add_integer (row, pass->circuit);
        td_row_add_integer (row, get_begin (pass));
        td_row_add_integer_or_null (row, find_end (&visit->lines[i], n), G_MININT64);
      }
}

static void
add_hold (const TdVisitState *state, GPtrArray *rows, const TdTag *tag, const char *person, gboolean lifted,
          gint64 from_ms, gint64 until_ms)
{
  guint n = rows->len;
  TdRow *row = add_row (rows, state->key);
  td_row_add_integer (row, n);
  td_row_add_text (row, state->visit->site->outlets[tag->outlet].id);
  td_row_add_text (row, tag->id);
  td_row_add_text (row, tag->kind);
  td_row_add_text (row, person);
  td_row_add_integer (row, lifted);
  td_row_add_integer (row, from_ms);
  td_row_add_integer_or_null (row, until_ms, G_MININT64);
}

/* Hung, lifted, hung again, ... removed. */
static void
add_tag (const TdVisitState *state, GPtrArray *rows, const TdTag *tag)
{
  gint64 removed = tag->removed.seq != 0 ? tag->removed.at_ms : G_MININT64;
  gint64 since = tag->hung.at_ms;
  for (guint i = 0; i < tag->lifts->len; i++)
    {
      const TdTagLift *lift = &g_array_index (tag->lifts, TdTagLift, i);
      gboolean open = lift->again.seq == 0;
      add_hold (state, rows, tag, lift->owner, FALSE, since, lift->lifted.at_ms);
      add_hold (state, rows, tag, lift->lifted_by, TRUE, lift->lifted.at_ms, open ? removed : lift->again.at_ms);
      if (open)
        return;
      since = lift->again.at_ms;
    }
  add_hold (state, rows, tag, tag->owner, FALSE, since, removed);
}

void
td_projected_add_holds (const TdVisitState *state, GPtrArray *rows)
{
  const GArray *tags = state->visit->tags;
  for (guint i = 0; i < tags->len; i++)
    if (g_array_index (tags, TdTag, i).outlet >= 0)
      add_tag (state, rows, &g_array_index (tags, TdTag, i));
}

void
td_projected_add_exceptions (const TdVisitState *state, GPtrArray *rows)
{
  g_autoptr (GPtrArray) list = td_visit_get_exceptions (state->visit);
  for (guint i = 0; i < list->len; i++)
    {
      const TdVisitException *exception = g_ptr_array_index (list, i);
      TdRow *row = add_row (rows, state->key);
      td_row_add_integer (row, i);
      td_row_add_text (row, td_exception_get_info (exception->id)->code);
      td_row_add_text (row, exception->text);
    }
}
