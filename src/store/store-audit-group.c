/* What was used by site, technician, method and month. */
#include "store-audit-private.h"

static const TdSql statements[TD_N_AUDIT_GROUPS] = {
  [TD_AUDIT_SITES] = TD_SQL_LIST_USES_BY_SITE,
  [TD_AUDIT_TECHNICIANS] = TD_SQL_LIST_USES_BY_PERSON,
  [TD_AUDIT_METHODS] = TD_SQL_LIST_USES_BY_METHOD,
  [TD_AUDIT_MONTHS] = TD_SQL_LIST_USES_BY_MONTH,
};

static TdAuditGroup *
read_group (TdStatement *row)
{
  TdAuditGroup *group = g_new0 (TdAuditGroup, 1);
  group->key = td_statement_dup_text_or_null (row, 0);
  group->name = td_statement_dup_text_or_null (row, 1);
  group->product = td_statement_dup_text_or_null (row, 2);
  group->uses = td_statement_get_integer (row, 3);
  group->used_ml = td_statement_get_integer (row, 4);
  group->expected_ml = td_statement_is_null (row, 5) ? -1 : td_statement_get_integer (row, 5);
  group->unexpected_ml = td_statement_get_integer (row, 6);
  group->water_ml = td_statement_get_integer (row, 7);
  for (int way = 0; way < 3; way++)
    group->known_ml[way] = td_statement_get_integer (row, 8 + way);
  group->lines = td_statement_get_integer (row, 11);
  return group;
}

static gboolean
read_groups (TdBook *book, TdAudit *audit, TdAuditGroupKind kind, GError **error)
{
  g_autoptr (TdStatement) row = td_statement_get (book, statements[kind], error);
  if (row == NULL)
    return FALSE;
  td_statement_bind_integer (row, ":from", audit->from);
  td_statement_bind_integer (row, ":to", audit->to);
  TdStep step;
  while ((step = td_statement_step (row, error)) == TD_STEP_ROW)
    g_ptr_array_add (audit->groups[kind], read_group (row));
  return step == TD_STEP_DONE;
}

static gboolean
read_totals (TdBook *book, TdAudit *audit, GError **error)
{
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_SUM_WASTE, error);
  if (row == NULL)
    return FALSE;
  td_statement_bind_integer (row, ":from", audit->from);
  td_statement_bind_integer (row, ":to", audit->to);
  if (td_statement_ask (row, error) != TD_STEP_ROW)
    return FALSE;
  audit->solution_disposed_ml = td_statement_get_integer (row, 0);
  audit->water_ml = td_statement_get_integer (row, 1);
  audit->lines = td_statement_get_integer (row, 2);
  return TRUE;
}

gboolean
td_audit_read_groups (TdBook *book, TdAudit *audit, GError **error)
{
  td_book_assert_owner (book);
  g_assert (audit != NULL);
  for (guint kind = 0; kind < TD_N_AUDIT_GROUPS; kind++)
    if (!read_groups (book, audit, kind, error))
      return FALSE;
  return read_totals (book, audit, error);
}
