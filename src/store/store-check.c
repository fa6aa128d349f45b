#include "store-check.h"

#include "store-check-private.h"

typedef struct
{
  const char *kind;
  gboolean (*run) (TdBook *book, TdChecking *checking, GError **error);
} Check;

static const Check checks[] = {
  { "sqlite", td_check_sqlite },
  { "schema", td_check_schema },
  { "references", td_check_references },
  { "sheets", td_check_sheets },
  { "attachments", td_check_attachments },
  { "sites", td_check_sites },
  { "journal", td_check_journal },
  { "projections", td_check_projections },
  { "seals", td_check_seals },
  { "numbers", td_check_numbers },
  { "agreements", td_check_agreements },
  { "invoices", td_check_invoices },
  { "stock", td_check_stock },
};

void
td_checking_fail (TdChecking *checking, const char *format, ...)
{
  va_list arguments;
  g_assert (checking != NULL);
  if (checking->failure != NULL)
    return;
  va_start (arguments, format);
  checking->failure = g_strdup_vprintf (format, arguments);
  va_end (arguments);
}

/* One kind; damage that keeps it from running at all is its failure. */
static gboolean
run_check (TdBook *book, const Check *check, TdChecking *checking, GError **error)
{
  g_autoptr (GError) why = NULL;
  if (check->run (book, checking, &why))
    return TRUE;
  if (g_error_matches (why, TD_BOOK_ERROR, TD_BOOK_ERROR_DAMAGED))
    {
      td_checking_fail (checking, "%s", why->message);
      return TRUE;
    }
  g_propagate_error (error, g_steal_pointer (&why));
  return FALSE;
}

static gboolean
run_checks (TdBook *book, TdCheckFunc func, gpointer user_data, char **first_out, GError **error)
{
  for (gsize i = 0; i < G_N_ELEMENTS (checks); i++)
    {
      TdChecking checking = { 0 };
      gboolean ran = run_check (book, &checks[i], &checking, error);
      if (ran && func != NULL)
        func (checks[i].kind, checking.count, checking.failure, user_data);
      if (*first_out == NULL && checking.failure != NULL)
        *first_out = g_strdup_printf ("%s: %s", checks[i].kind, checking.failure);
      g_free (checking.failure);
      if (!ran)
        return FALSE;
    }
  return TRUE;
}

gboolean
td_book_check (TdBook *book, TdCheckFunc func, gpointer user_data, GError **error)
{
  td_book_assert_owner (book);
  g_autofree char *first = NULL;
  if (!td_book_begin_read (book, error))
    return FALSE;
  gboolean ran = td_cache_refresh (book, error) && run_checks (book, func, user_data, &first, error);
  td_book_end_read (book);
  if (ran && first != NULL)
    g_set_error (error, TD_BOOK_ERROR, TD_BOOK_ERROR_DAMAGED,
                 "The check found something wanting in %s; keep the book as it is, and restore the newest backup "
                 "that passes", first);
  return ran && first == NULL;
}
