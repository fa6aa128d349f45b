/* The exceptions of a period: of visits, of the stock, of sites. */
#include "store-audit-private.h"

#include "store-cache.h"
#include "store-due.h"
#include "store-setting.h"

static TdAuditException *
add (TdAudit *audit, TdExceptionId id, TdDate date, const char *subject, char *text)
{
  TdAuditException *exception = g_new0 (TdAuditException, 1);
  exception->id = id;
  exception->date = date;
  exception->subject = g_strdup (subject);
  exception->text = text;
  g_ptr_array_add (audit->exceptions, exception);
  return exception;
}

/* Rows of a statement with the columns of an exception. @code: (nullable): bound where the statement has it.
 * @band: -1 where it has none. */
static gboolean
list (TdBook *book, TdAudit *audit, TdExceptionId id, TdSql sql, const char *code, gint64 band, GError **error)
{
  g_autoptr (TdStatement) row = td_statement_get (book, sql, error);
  if (row == NULL)
    return FALSE;
  td_statement_bind_integer (row, ":from", audit->from);
  td_statement_bind_integer (row, ":to", audit->to);
  if (code != NULL)
    td_statement_bind_text (row, ":code", code);
  if (band >= 0)
    td_statement_bind_integer (row, ":band", band);
  TdStep step;
  while ((step = td_statement_step (row, error)) == TD_STEP_ROW)
    {
      TdUuid visit = td_statement_get_uuid (row, 0);
      g_autofree char *subject = td_statement_dup_text_or_null (row, 5);
      TdAuditException *exception = add (audit, id, td_statement_get_integer (row, 3), subject,
                                         td_statement_dup_text_or_null (row, 6));
      exception->visit = td_uuid_to_text (&visit);
      exception->number = td_statement_dup_text_or_null (row, 1);
      exception->site = td_statement_dup_text_or_null (row, 2);
      exception->line = td_statement_dup_text_or_null (row, 4);
    }
  return step == TD_STEP_DONE;
}

static gboolean
list_visits (TdBook *book, TdAudit *audit, GError **error)
{
  for (guint i = 0; i < TD_N_EXCEPTIONS; i++)
    {
      const char *rule = td_exception_get_info (i)->rule;
      if (rule != NULL && !list (book, audit, i, TD_SQL_LIST_EXCEPTION_FINDINGS, rule, -1, error))
        return FALSE;
    }
  return list (book, audit, TD_EXCEPTION_NOT_COUNTERSIGNED, TD_SQL_LIST_VISIT_EXCEPTIONS, "not-countersigned", -1,
               error) &&
         list (book, audit, TD_EXCEPTION_LATE_BURST, TD_SQL_LIST_VISIT_EXCEPTIONS, "late-burst", -1, error) &&
         list (book, audit, TD_EXCEPTION_VISIT_OPEN, TD_SQL_LIST_EXCEPTION_OPEN, NULL, -1, error) &&
         list (book, audit, TD_EXCEPTION_LOT_RECALLED, TD_SQL_LIST_EXCEPTION_RECALLED, NULL, -1, error) &&
         list (book, audit, TD_EXCEPTION_LOT_EXPIRED, TD_SQL_LIST_EXCEPTION_EXPIRED, NULL, -1, error) &&
         list (book, audit, TD_EXCEPTION_USE_UNKNOWN, TD_SQL_LIST_EXCEPTION_UNKNOWN, NULL, -1, error) &&
         list (book, audit, TD_EXCEPTION_USE_OFF_EXPECTED, TD_SQL_LIST_EXCEPTION_OFF, NULL, audit->band_percent, error);
}

static void
list_shortfalls (TdAudit *audit, const TdStock *stock)
{
  g_autoptr (GArray) cells = td_stock_list_shortfalls (stock, audit->from, audit->to);
  for (guint i = 0; i < cells->len; i++)
    {
      const TdStockCell *cell = &g_array_index (cells, TdStockCell, i);
      g_autofree char *subject = g_strdup_printf ("%s/%s/%s", cell->place, cell->product,
                                                  cell->lot != NULL ? cell->lot : "-");
      add (audit, TD_EXCEPTION_STOCK_NEGATIVE, cell->date, subject,
           g_strdup_printf ("%s, %s, lot %s: down to %" G_GINT64_FORMAT " mL", cell->place, cell->product,
                            cell->lot != NULL ? cell->lot : "-", cell->ml));
    }
}

/* What is left of lots that were called back, at the end of the period. */
static void
list_recalled (TdAudit *audit, const TdStock *stock, const TdMasters *masters)
{
  g_autoptr (GArray) cells = td_stock_list_balances (stock, audit->to);
  for (guint i = 0; i < cells->len; i++)
    {
      const TdStockCell *cell = &g_array_index (cells, TdStockCell, i);
      const TdLot *lot = td_masters_find_lot (masters, cell->lot);
      if (lot == NULL || !lot->recalled || cell->ml <= 0)
        continue;
      g_autofree char *subject = g_strdup_printf ("%s/%s", cell->place, cell->lot);
      add (audit, TD_EXCEPTION_LOT_RECALLED_HELD, audit->to, subject,
           g_strdup_printf ("%s: %" G_GINT64_FORMAT " mL of lot %s, which was recalled", cell->place, cell->ml,
                            lot->code));
    }
}

/* The package that a lot came in, where a movement does not say it itself. */
static gint64
find_container (const GPtrArray *movements, const TdMovementRow *move)
{
  gint64 found = move->container_ml;
  for (guint i = 0; found == 0 && move->lot != NULL && i < movements->len; i++)
    {
      const TdMovementRow *other = g_ptr_array_index (movements, i);
      if (other->kind == TD_MOVE_RECEIPT && g_strcmp0 (other->lot, move->lot) == 0)
        found = other->container_ml;
    }
  return found;
}

static void
list_movements (TdAudit *audit, const GPtrArray *movements, gint64 limit_ml)
{
  for (guint i = 0; i < movements->len; i++)
    {
      const TdMovementRow *move = g_ptr_array_index (movements, i);
      g_autofree char *id = td_uuid_to_text (&move->id);
      if (move->date < audit->from || move->date > audit->to)
        continue;
      if (move->kind == TD_MOVE_COUNT && move->adjusted_ml != 0)
        add (audit, TD_EXCEPTION_COUNT_DIFFERS, move->date, id,
             g_strdup_printf ("%s, %s, lot %s: counted %" G_GINT64_FORMAT " mL, %+" G_GINT64_FORMAT
                              " mL against the book: %s", move->place_name, move->product_name,
                              move->lot_code != NULL ? move->lot_code : "-", move->amount_ml, move->adjusted_ml,
                              move->reason != NULL ? move->reason : "-"));
      gint64 container = move->into_van && move->corrosive ? find_container (movements, move) : 0;
      if (container > limit_ml)
        add (audit, TD_EXCEPTION_VAN_PACKAGE, move->date, id,
             g_strdup_printf ("%s, %s: a package of %" G_GINT64_FORMAT " mL, the limit is %" G_GINT64_FORMAT " mL",
                              move->to_name != NULL ? move->to_name : move->place_name, move->product_name, container,
                              limit_ml));
    }
}

static void
list_sites (TdAudit *audit, const GPtrArray *due)
{
  for (guint i = 0; i < due->len; i++)
    {
      const TdDueRow *row = g_ptr_array_index (due, i);
      if (row->days >= 0)
        continue;
      g_autofree char *since = td_date_to_text (row->due);
      g_autofree char *subject = g_strdup_printf ("%s/%s/%s", row->site_id, td_task_to_text (row->task), since);
      TdAuditException *exception =
        add (audit, TD_EXCEPTION_SITE_OVERDUE, row->due, subject,
             g_strdup_printf ("%s, %s: %s overdue by %d d", row->account, row->site, td_task_to_text (row->task),
                              -row->days));
      exception->site = g_strdup (row->site);
    }
}

static gboolean
find_acknowledgement (TdBook *book, TdAuditException *exception, GError **error)
{
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_FIND_ACKNOWLEDGEMENT, error);
  if (row == NULL)
    return FALSE;
  td_audit_exception_make_key (exception);
  td_statement_bind_text (row, ":exception", exception->key);
  TdStep step = td_statement_ask (row, error);
  exception->acknowledged = step == TD_STEP_ROW;
  if (step == TD_STEP_ROW)
    {
      exception->by = td_statement_dup_text_or_null (row, 0);
      exception->reason = td_statement_dup_text_or_null (row, 1);
      exception->at_ms = td_statement_get_integer (row, 2);
    }
  return step != TD_STEP_FAILED;
}

static int
compare (gconstpointer a, gconstpointer b)
{
  const TdAuditException *first = *(const TdAuditException *const *) a;
  const TdAuditException *second = *(const TdAuditException *const *) b;
  if (first->id != second->id)
    return first->id < second->id ? -1 : 1;
  if (first->date != second->date)
    return first->date < second->date ? -1 : 1;
  int order = g_strcmp0 (first->visit, second->visit);
  if (order == 0)
    order = g_strcmp0 (first->line, second->line);
  return order != 0 ? order : g_strcmp0 (first->subject, second->subject);
}

gboolean
td_audit_read_exceptions (TdBook *book, TdAudit *audit, const TdStock *stock, const GPtrArray *movements,
                          const GPtrArray *due, GError **error)
{
  td_book_assert_owner (book);
  g_assert (audit != NULL && stock != NULL);
  g_autoptr (TdSettings) settings = td_settings_read (book, 0, NULL, error);
  if (settings == NULL || !list_visits (book, audit, error))
    return FALSE;
  TdMasters *masters = td_cache_get_masters (book, error);
  if (masters == NULL)
    return FALSE;
  list_shortfalls (audit, stock);
  list_recalled (audit, stock, masters);
  list_movements (audit, movements, td_settings_get (settings, TD_SETTING_VAN_PACKAGE));
  list_sites (audit, due);
  g_ptr_array_sort (audit->exceptions, compare);
  for (guint i = 0; i < audit->exceptions->len; i++)
    if (!find_acknowledgement (book, g_ptr_array_index (audit->exceptions, i), error))
      return FALSE;
  return TRUE;
}
