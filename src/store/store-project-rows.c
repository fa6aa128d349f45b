#include "store-project-rows.h"

#include "store-due.h"
#include "store-history.h"

#include "core-use.h"

#include <string.h>

static GPtrArray *
new_rows (void)
{
  return g_ptr_array_new_with_free_func ((GDestroyNotify) td_row_unref);
}

static TdRow *
add_row (GPtrArray *rows, gint64 key)
{
  TdRow *row = td_row_new ();
  td_row_add_integer (row, key);
  g_ptr_array_add (rows, row);
  return row;
}

static void
make_row (const TdVisitState *state, GPtrArray *rows)
{
  const TdVisit *visit = state->visit;
  g_autoptr (GPtrArray) findings = td_visit_state_get_findings (state);
  const TdEntry *arrival = g_ptr_array_index (state->entries, 0);
  const TdEntry *now = td_visit_get_effective (visit, 1);
  TdRow *row = add_row (rows, state->key);
  td_row_add_integer (row, state->site_key);
  td_row_add_text (row, (now != NULL ? now : arrival)->envelope.person);
  td_row_add_integer (row, visit->arrived.utc_ms);
  td_row_add_integer (row, td_zone_get_date (state->zone, visit->arrived.utc_ms));
  td_row_add_integer (row, state->closed);
  if (state->closed)
    td_row_add_integer (row, visit->closed_at.utc_ms);
  else
    td_row_add_text (row, NULL);
  td_row_add_text (row, state->number);
  td_row_add_integer (row, state->entries->len);
  td_row_add_integer (row, td_findings_count (findings, TD_SEVERITY_STOP));
  td_row_add_integer (row, td_findings_count (findings, TD_SEVERITY_REASON));
  td_row_add_integer (row, td_findings_count (findings, TD_SEVERITY_ADVICE));
}

static void
add_reading (TdRow *row, const TdReading *reading)
{
  if (reading != NULL && reading->stamp.seq != 0)
    td_row_add_integer (row, reading->value);
  else
    td_row_add_text (row, NULL);
}

static void
make_lines (const TdVisitState *state, GPtrArray *rows)
{
  const TdVisit *visit = state->visit;
  for (guint i = 0; i < visit->n_lines; i++)
    {
      const TdVisitLine *line = &visit->lines[i];
      const TdPass *pass = td_visit_line_get_pass (line);
      TdRow *row = add_row (rows, state->key);
      td_row_add_integer (row, i);
      td_row_add_text (row, visit->site->outlets[i].id);
      td_row_add_integer (row, line->in_scope[TD_CLEAN_CAUSTIC]);
      td_row_add_integer (row, line->in_scope[TD_CLEAN_ACID]);
      td_row_add_text (row, td_method_to_text (pass != NULL ? pass->method : TD_METHOD_NONE));
      td_row_add_integer (row, pass != NULL ? pass->circuit : line->circuit);
      td_row_add_text (row, td_direction_to_text (td_visit_line_get_direction (line)));
      if (pass != NULL && pass->contact_end.seq != 0)
        td_row_add_integer (row, pass->contact_ms / 1000);
      else
        td_row_add_text (row, NULL);
      if (pass != NULL)
        td_row_add_integer (row, pass->required_ms / 1000);
      else
        td_row_add_text (row, NULL);
      add_reading (row, pass != NULL ? &pass->rinse_ph : NULL);
      add_reading (row, pass != NULL ? &pass->tap_ph : NULL);
      td_row_add_integer (row, pass != NULL && pass->rinse_passed);
      td_row_add_text (row, line->left_out.seq != 0 ? line->left_out_reason : NULL);
      td_row_add_text (row, line->out_of_service.seq != 0 ? line->service_reason : NULL);
    }
}

static void
make_findings (const TdVisitState *state, GPtrArray *rows)
{
  g_autoptr (GPtrArray) findings = td_visit_state_get_findings (state);
  for (guint i = 0; i < findings->len; i++)
    {
      const TdFinding *finding = g_ptr_array_index (findings, i);
      const TdRuleInfo *info = td_rule_get_info (finding->rule);
      TdRow *row = add_row (rows, state->key);
      td_row_add_integer (row, i);
      td_row_add_text (row, info->code);
      td_row_add_text (row, td_severity_to_text (info->severity));
      td_row_add_text (row, finding->outlet >= 0 ? state->context.site->outlets[finding->outlet].id : NULL);
      td_row_add_integer (row, finding->circuit);
      td_row_add_integer (row, finding->seq);
      td_row_add_text (row, finding->text);
      td_row_add_text (row, finding->reason);
    }
}

static void
make_uses (const TdVisitState *state, GPtrArray *rows)
{
  const TdVisit *visit = state->visit;
  for (guint i = 0; i < visit->batches->len; i++)
    {
      const TdBatch *batch = &g_array_index (visit->batches, TdBatch, i);
      TdRow *row = add_row (rows, state->key);
      td_row_add_integer (row, i);
      td_row_add_text (row, batch->id);
      td_row_add_text (row, batch->product != NULL ? batch->product->id : NULL);
      td_row_add_text (row, batch->lot != NULL ? batch->lot->id : NULL);
      td_row_add_integer (row, batch->mixed.at_ms);
      td_row_add_integer (row, td_zone_get_date (state->zone, batch->mixed.at_ms));
      td_row_add_integer_or_null (row, batch->concentrate_ml, -1);
      td_row_add_integer_or_null (row, batch->water_ml, -1);
      td_row_add_integer_or_null (row, batch->percent_milli, -1);
      td_row_add_text (row, td_basis_to_text (batch->basis));
      td_row_add_text (row, td_known_to_text (batch->known));
      td_row_add_integer (row, batch->disposed_ml);
      td_row_add_text (row, batch->person);
      td_row_add_text (row, td_use_get_method (visit, i));
      td_row_add_integer (row, td_use_count_lines (visit, i));
      td_row_add_integer_or_null (row, td_use_get_expected_ml (visit, i), -1);
    }
}

/* When the task was done on the line, 0 where it was not. */
static gint64
find_done (const TdVisit *visit, const TdVisitLine *line, TdTask task)
{
  TdClean clean = task == TD_TASK_ACID ? TD_CLEAN_ACID : TD_CLEAN_CAUSTIC;
  const TdOutlet *outlet = &visit->site->outlets[line->outlet];
  gint64 done = 0;
  switch (task)
    {
    case TD_TASK_CAUSTIC:
    case TD_TASK_ACID:
      /* The chemical was in, its contact ended, and it is being rinsed out; whether contact and rinse
       * were enough is a finding, not another date. */
      for (guint i = 0; i < line->passes->len; i++)
        {
          const TdPass *pass = &g_array_index (line->passes, TdPass, i);
          if (pass->clean == clean && pass->contact_end.seq != 0 && pass->rinse_start.seq != 0)
            done = MAX (done, pass->rinse_start.at_ms);
        }
      return done;
    case TD_TASK_FAUCETS:
      return line->faucet_stripped.seq != 0 ? line->faucet_stripped.at_ms : 0;
    case TD_TASK_FOB_COUPLER:
      if (line->coupler_stripped.seq == 0 ||
          (visit->site->lines[outlet->line].fob && line->fob_stripped.seq == 0))
        return 0;
      return MAX (line->coupler_stripped.at_ms, line->fob_stripped.seq != 0 ? line->fob_stripped.at_ms : 0);
    case TD_TASK_HOSE:
      for (guint i = 0; i < visit->parts->len; i++)
        {
          const TdPart *part = &g_array_index (visit->parts, TdPart, i);
          if ((part->outlet < 0 || part->outlet == (int) line->outlet) &&
              g_ascii_strncasecmp (part->part, TD_PART_HOSE, strlen (TD_PART_HOSE)) == 0)
            done = MAX (done, part->stamp.at_ms);
        }
      return done;
    case TD_N_TASKS:
    default:
      g_assert_not_reached ();
    }
}

static int
compare_tasks (gconstpointer a, gconstpointer b)
{
  const TdRow *first = *(const TdRow *const *) a;
  const TdRow *second = *(const TdRow *const *) b;
  /* line, then task: the primary key after the visit */
  int order = g_strcmp0 (g_array_index (first, TdValue, 2).text, g_array_index (second, TdValue, 2).text);
  return order != 0 ? order
                    : g_strcmp0 (g_array_index (first, TdValue, 3).text, g_array_index (second, TdValue, 3).text);
}

static void
add_task (const TdVisitState *state, GPtrArray *rows, guint outlet, const char *task, gint64 done)
{
  if (done == 0)
    return;
  TdRow *row = add_row (rows, state->key);
  td_row_add_integer (row, state->site_key);
  td_row_add_text (row, state->visit->site->outlets[outlet].id);
  td_row_add_text (row, task);
  td_row_add_integer (row, td_zone_get_date (state->zone, done));
}

static void
make_tasks (const TdVisitState *state, GPtrArray *rows)
{
  const TdVisit *visit = state->visit;
  for (guint i = 0; i < visit->n_lines; i++)
    {
      const TdVisitLine *line = &visit->lines[i];
      for (guint task = 0; task < TD_N_TASKS; task++)
        add_task (state, rows, i, td_task_to_text (task), find_done (visit, line, task));
      /* Each by itself, for the rule that asks after them. */
      add_task (state, rows, i, TD_HISTORY_FOB, line->fob_stripped.seq != 0 ? line->fob_stripped.at_ms : 0);
      add_task (state, rows, i, TD_HISTORY_COUPLER, line->coupler_stripped.seq != 0 ? line->coupler_stripped.at_ms : 0);
    }
  g_ptr_array_sort (rows, compare_tasks);
}

GPtrArray *
td_projected_make_rows (const TdVisitState *state, TdProjected table)
{
  static void (*const makers[]) (const TdVisitState *, GPtrArray *) = { make_row, make_lines, make_findings,
                                                                        make_uses, make_tasks,
                                                                        td_projected_add_passes,
                                                                        td_projected_add_holds,
                                                                        td_projected_add_exceptions };
  G_STATIC_ASSERT (G_N_ELEMENTS (makers) == TD_N_PROJECTED);
  g_assert (state != NULL && state->visit != NULL);
  g_assert ((guint) table < TD_N_PROJECTED);
  GPtrArray *rows = new_rows ();
  makers[table](state, rows);
  return rows;
}

GPtrArray *
td_projected_make_lines_now (gint64 site_key, const TdSite *site, GHashTable *first_seen)
{
  g_assert (site != NULL && first_seen != NULL);
  GPtrArray *rows = new_rows ();
  for (guint i = 0; i < site->n_outlets; i++)
    {
      const TdOutlet *outlet = &site->outlets[i];
      TdRow *row = add_row (rows, site_key);
      td_row_add_integer (row, i);
      td_row_add_text (row, outlet->id);
      td_row_add_integer (row, outlet->number);
      td_row_add_text (row, site->towers[outlet->tower].id);
      td_row_add_text (row, site->lines[outlet->line].product);
      td_row_add_integer (row, GPOINTER_TO_INT (g_hash_table_lookup (first_seen, outlet->id)));
    }
  return rows;
}
