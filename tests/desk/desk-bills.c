#include "desk-bills.h"

#include "demo-book.h"
#include "store-invoice.h"
#include "store-ledger.h"

#define DAY_MS G_GINT64_CONSTANT (86400000)
/* 2026-06-15 and 2026-06-16, by GNU date. */
#define DEMO_DAY 20619
#define ISSUE_DAY 20620

static void
hold_one (TdBook *book)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (TdInvoiceDrafts) drafts = td_book_draft_invoices (book, NULL, &error);
  TdUuid visit;

  g_assert_no_error (error);
  for (guint i = 0; i < drafts->drafts->len; i++)
    {
      const TdInvoice *invoice = ((TdInvoiceDraft *) g_ptr_array_index (drafts->drafts, i))->invoice;
      const TdInvoiceLine *line = &g_array_index (invoice->lines, TdInvoiceLine, 0);

      if (line->visit == NULL)
        continue;
      g_assert_true (td_uuid_parse (line->visit, &visit, &error));
      td_book_hold_visit (book, &visit, "Asks for the order number first", &error);
      g_assert_no_error (error);
      return;
    }
  g_assert_not_reached ();
}

/* The largest invoice is paid in part, the next credited in part. */
static void
settle_some (TdBook *book)
{
  const TdInvoicesFilter filter = { .order = TD_INVOICES_BY_TOTAL };
  const guint line = 0;
  g_autoptr (GError) error = NULL;
  g_autoptr (GPtrArray) rows = td_book_list_invoices (book, &filter, &error);
  g_autofree char *credit = NULL;

  g_assert_no_error (error);
  g_assert_cmpuint (rows->len, >, 2);
  td_book_pay_invoice (book, ((TdInvoiceRow *) g_ptr_array_index (rows, 0))->number, 5000, ISSUE_DAY + 3, "Transfer 118",
                       &error);
  g_assert_no_error (error);
  credit = td_book_credit_invoice (book, ((TdInvoiceRow *) g_ptr_array_index (rows, 1))->number, &line, 1, FALSE,
                                   "Agreed on the telephone", ISSUE_DAY + 4, &error);
  g_assert_no_error (error);
}

void
td_test_bills_make (const char *path, gboolean issued)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GPtrArray) numbers = NULL;
  TdBook *book = td_demo_book_create (path, DEMO_DAY * DAY_MS + DAY_MS / 2, TD_TEST_BILLS_VISITS, &error);

  g_assert_no_error (error);
  if (issued)
    {
      hold_one (book);
      numbers = td_book_issue_invoices (book, NULL, ISSUE_DAY, &error);
      g_assert_no_error (error);
      settle_some (book);
    }
  td_book_close (book);
}
