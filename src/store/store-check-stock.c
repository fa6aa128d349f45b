/* Checks of the stock: the ledger is as it was written, and two ways of summing it up agree. */
#include "store-check-private.h"

#include "store-audit-private.h"

/* Dates that hold every movement. */
#define FIRST_DATE (-719162) /* 0001-01-01 */
#define LAST_DATE 2932896    /* 9999-12-31 */

static void
check_ledger (const GPtrArray *movements, TdChecking *checking)
{
  for (guint i = 0; i < movements->len; i++)
    {
      const TdMovementRow *row = g_ptr_array_index (movements, i);
      checking->count++;
      if (!row->holds)
        {
          g_autofree char *id = td_uuid_to_text (&row->id);
          td_checking_fail (checking, "movement %s of stock is not as it was written", id);
        }
    }
}

static const TdStockAccount *
find_account (const TdAudit *audit, const char *product)
{
  for (guint i = 0; i < audit->products->len; i++)
    if (g_strcmp0 (g_array_index (audit->products, TdAuditRow, i).account.product, product) == 0)
      return &g_array_index (audit->products, TdAuditRow, i).account;
  return NULL;
}

/* By product from the sums of days, and from every day's uses place by place. */
static void
check_sums (const TdAudit *audit, const TdStock *stock, TdChecking *checking)
{
  g_autoptr (GArray) rows = td_stock_make_account (stock, FIRST_DATE, LAST_DATE, TD_ACCOUNT_BY_PRODUCT);
  if (rows->len != audit->products->len)
    td_checking_fail (checking, "the account has products more by product than place by place, or fewer");
  for (guint i = 0; i < rows->len; i++)
    {
      const TdStockAccount *a = &g_array_index (rows, TdStockAccount, i);
      const TdStockAccount *b = find_account (audit, a->product);
      if (b == NULL || !td_stock_account_holds (a) || a->used_ml != b->used_ml || a->closing_ml != b->closing_ml ||
          a->expected_ml != b->expected_ml || a->unexpected_ml != b->unexpected_ml)
        td_checking_fail (checking, "the account of %s does not come to the same place by place", a->product);
    }
}

gboolean
td_check_stock (TdBook *book, TdChecking *checking, GError **error)
{
  g_autoptr (TdStock) stock = td_stock_new ();
  g_autoptr (TdAudit) audit = td_audit_new (FIRST_DATE, LAST_DATE);
  g_autoptr (GPtrArray) movements = td_movements_read (book, error);
  if (movements == NULL)
    return FALSE;
  check_ledger (movements, checking);
  if (checking->failure != NULL)
    return TRUE;
  if (!td_movements_add (movements, stock, error) || !td_uses_add (book, stock, LAST_DATE, error) ||
      !td_audit_read_products (book, audit, movements, error))
    return FALSE;
  check_sums (audit, stock, checking);
  return TRUE;
}
