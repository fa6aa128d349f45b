/* desk-bills.h: a book with work to be invoiced, for the tests of the Invoices place. */
#pragma once

#include "store-book.h"

/* How many visits are added to the demonstration's own. */
#define TD_TEST_BILLS_VISITS 10

/* Makes the demonstration's book at @path: drafts of several accounts and payers.  With @issued everything is
 * issued on 16 June 2026, one invoice is paid in part, one credited in part, and one visit more is held. */
void td_test_bills_make (const char *path, gboolean issued);
