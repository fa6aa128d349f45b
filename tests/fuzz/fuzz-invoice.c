/* Frozen invoices: a body that is taken is written once and for all, gives a balanced entry of the ledger or
 * none, and an electronic invoice exactly where no rule is broken. */
#include "core-invoice-json.h"
#include "core-ledger.h"
#include "exchange-ubl.h"
#include "fuzz.h"

#include <string.h>

static void
check_markup (const char *xml)
{
  gint open = 0;

  g_assert_true (g_utf8_validate (xml, -1, NULL));
  for (const char *p = xml; *p != '\0'; p++)
    {
      open += *p == '<';
      open -= *p == '>';
      g_assert_true (open == 0 || open == 1);
      g_assert_true ((guchar) *p >= ' ' || *p == '\n');
    }
  g_assert_cmpint (open, ==, 0);
}

int
LLVMFuzzerTestOneInput (const uint8_t *data, size_t size)
{
  g_autofree char *text = g_strndup ((const char *) data, size);
  g_autoptr (TdInvoice) invoice = td_invoice_from_body (text, NULL);
  g_autoptr (TdInvoice) again = NULL;
  g_autoptr (GPtrArray) problems = NULL;
  g_autoptr (TdLedgerEntry) entry = NULL;
  g_autoptr (GError) error = NULL;
  g_autofree char *first = NULL;
  g_autofree char *second = NULL;
  g_autofree char *xml = NULL;

  if (invoice == NULL)
    return 0;
  first = td_invoice_to_body (invoice);
  again = td_invoice_from_body (first, &error);
  g_assert_no_error (error);
  second = td_invoice_to_body (again);
  g_assert_cmpstr (first, ==, second);
  entry = td_ledger_from_invoice (invoice, NULL);
  g_assert_true (entry == NULL || td_ledger_entry_check (entry, NULL));
  problems = td_ubl_check (invoice);
  xml = td_ubl_write (invoice, &error);
  g_assert_true ((xml != NULL) == (problems->len == 0));
  g_assert_true ((xml == NULL) == (error != NULL));
  if (xml != NULL)
    check_markup (xml);
  return 0;
}
