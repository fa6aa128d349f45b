#include "core-audit.h"

#include <string.h>

static const char *const group_kinds[TD_N_AUDIT_GROUPS] = { "sites", "technicians", "methods", "months" };

const char *
td_audit_group_kind_to_text (TdAuditGroupKind kind)
{
  g_return_val_if_fail ((guint) kind < TD_N_AUDIT_GROUPS, NULL);
  return group_kinds[kind];
}

void
td_audit_group_free (TdAuditGroup *group)
{
  g_return_if_fail (group != NULL);
  g_free (group->key);
  g_free (group->name);
  g_free (group->product);
  g_free (group);
}

void
td_audit_exception_free (TdAuditException *exception)
{
  g_return_if_fail (exception != NULL);
  g_free (exception->key);
  g_free (exception->visit);
  g_free (exception->number);
  g_free (exception->site);
  g_free (exception->line);
  g_free (exception->subject);
  g_free (exception->text);
  g_free (exception->by);
  g_free (exception->reason);
  g_free (exception);
}

TdAudit *
td_audit_new (TdDate from, TdDate to)
{
  TdAudit *audit = g_new0 (TdAudit, 1);

  audit->from = from;
  audit->to = to;
  audit->products = g_array_new (FALSE, FALSE, sizeof (TdAuditRow));
  audit->lots = g_array_new (FALSE, FALSE, sizeof (TdAuditRow));
  audit->places = g_array_new (FALSE, FALSE, sizeof (TdAuditRow));
  for (guint i = 0; i < TD_N_AUDIT_GROUPS; i++)
    audit->groups[i] = g_ptr_array_new_with_free_func ((GDestroyNotify) td_audit_group_free);
  audit->exceptions = g_ptr_array_new_with_free_func ((GDestroyNotify) td_audit_exception_free);
  audit->texts = g_string_chunk_new (1024);
  return audit;
}

void
td_audit_free (TdAudit *audit)
{
  g_return_if_fail (audit != NULL);
  g_free (audit->company);
  g_array_unref (audit->products);
  g_array_unref (audit->lots);
  g_array_unref (audit->places);
  for (guint i = 0; i < TD_N_AUDIT_GROUPS; i++)
    g_ptr_array_unref (audit->groups[i]);
  g_ptr_array_unref (audit->exceptions);
  g_string_chunk_free (audit->texts);
  g_free (audit);
}

static const char *
keep (TdAudit *audit, const char *text)
{
  return text != NULL ? g_string_chunk_insert_const (audit->texts, text) : NULL;
}

void
td_audit_add_rows (TdAudit *audit, GArray *to, const GArray *rows)
{
  g_return_if_fail (audit != NULL && to != NULL && rows != NULL);
  for (guint i = 0; i < rows->len; i++)
    {
      TdAuditRow row = { .account = g_array_index (rows, TdStockAccount, i), .cost_minor = -1 };

      row.account.product = keep (audit, row.account.product);
      row.account.lot = keep (audit, row.account.lot);
      row.account.place = keep (audit, row.account.place);
      row.name = row.account.product;
      g_array_append_val (to, row);
    }
}

void
td_audit_exception_make_key (TdAuditException *exception)
{
  g_autofree char *text = NULL;
  g_autofree char *hash = NULL;
  const char *code;

  g_return_if_fail (exception != NULL);
  code = td_exception_get_info (exception->id)->code;
  text = g_strdup_printf ("%s\n%s\n%s\n%s\n", code, exception->visit != NULL ? exception->visit : "",
                          exception->line != NULL ? exception->line : "",
                          exception->subject != NULL ? exception->subject : "");
  hash = g_compute_checksum_for_string (G_CHECKSUM_SHA256, text, -1);
  g_free (exception->key);
  exception->key = g_strdup_printf ("%s:%.10s", code, hash);
}

guint
td_audit_count_exceptions (const TdAudit *audit, TdExceptionId id, guint *open_out)
{
  guint n = 0;
  guint open = 0;

  g_return_val_if_fail (audit != NULL && (guint) id < TD_N_EXCEPTIONS, 0);
  for (guint i = 0; i < audit->exceptions->len; i++)
    {
      const TdAuditException *exception = g_ptr_array_index (audit->exceptions, i);

      n += exception->id == id;
      open += exception->id == id && !exception->acknowledged;
    }
  if (open_out != NULL)
    *open_out = open;
  return n;
}

/* Every mix was run by one method. */
gint64
td_audit_count_lines (const TdAudit *audit, const char *product)
{
  gint64 lines = 0;

  g_return_val_if_fail (audit != NULL && product != NULL, 0);
  for (guint i = 0; i < audit->groups[TD_AUDIT_METHODS]->len; i++)
    {
      const TdAuditGroup *group = g_ptr_array_index (audit->groups[TD_AUDIT_METHODS], i);

      if (g_strcmp0 (group->product, product) == 0)
        lines += group->lines;
    }
  return lines;
}

guint
td_audit_count_open (const TdAudit *audit)
{
  guint n = 0;

  g_return_val_if_fail (audit != NULL, 0);
  for (guint i = 0; i < audit->exceptions->len; i++)
    n += !((const TdAuditException *) g_ptr_array_index (audit->exceptions, i))->acknowledged;
  return n;
}
