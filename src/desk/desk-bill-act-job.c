#include "desk-bill-act-job.h"

void
td_bill_act_free (gpointer data)
{
  TdBillAct *act = data;

  g_strfreev (act->ids);
  g_free (act->number);
  g_free (act->reason);
  g_free (act->text);
  g_clear_pointer (&act->lines, g_array_unref);
  g_free (act);
}

gboolean
td_bill_issue_job (TdBook *book, gpointer data, gpointer *result_out, GError **error)
{
  const TdBillAct *act = data;
  const TdDraftFilter filter = { .keys = (const char *const *) act->ids };

  *result_out = td_book_issue_invoices (book, &filter, act->day, error);
  return *result_out != NULL;
}

gboolean
td_bill_credit_job (TdBook *book, gpointer data, gpointer *result_out, GError **error)
{
  const TdBillAct *act = data;
  const guint *lines = act->lines != NULL ? (const guint *) (gpointer) act->lines->data : NULL;

  *result_out = td_book_credit_invoice (book, act->number, lines, lines != NULL ? act->lines->len : 0, act->again,
                                        act->reason, act->day, error);
  return *result_out != NULL;
}

gboolean
td_bill_pay_job (TdBook *book, gpointer data, gpointer *result_out, GError **error)
{
  const TdBillAct *act = data;

  return td_book_pay_invoice (book, act->number, act->amount_minor, act->day, act->text, error);
}

typedef gboolean (*Each) (TdBook *book, const TdUuid *visit, const TdBillAct *act, GError **error);

static gboolean
hold_one (TdBook *book, const TdUuid *visit, const TdBillAct *act, GError **error)
{
  return td_book_hold_visit (book, visit, act->reason, error);
}

static gboolean
release_one (TdBook *book, const TdUuid *visit, const TdBillAct *act, GError **error)
{
  return td_book_release_visit (book, visit, error);
}

static gboolean
do_each (TdBook *book, const TdBillAct *act, Each each, GError **error)
{
  for (guint i = 0; act->ids[i] != NULL; i++)
    {
      TdUuid visit;

      if (!td_uuid_parse (act->ids[i], &visit, error))
        return FALSE;
      if (!each (book, &visit, act, error))
        {
          if (i > 0)
            g_prefix_error (error, "Visit %u of %u: ", i + 1, g_strv_length (act->ids));
          return FALSE;
        }
    }
  return TRUE;
}

gboolean
td_bill_hold_job (TdBook *book, gpointer data, gpointer *result_out, GError **error)
{
  return do_each (book, data, hold_one, error);
}

gboolean
td_bill_release_job (TdBook *book, gpointer data, gpointer *result_out, GError **error)
{
  return do_each (book, data, release_one, error);
}
