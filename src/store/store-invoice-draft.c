/* Drafts: what has been done and not yet invoiced, priced by the agreements of the day. */
#include "store-invoice-private.h"

#include "store-agreement.h"
#include "store-cache.h"
#include "store-keys.h"
#include "store-query.h"
#include "store-state.h"

#include "core-drafting.h"
#include "core-error.h"

#include <string.h>

#define DAY_MS G_GINT64_CONSTANT (86400000)

/* A closed visit that may have to be invoiced. */
typedef struct
{
  TdUuid id;
  gint64 account;
  gboolean amending; /* an amendment of it is open */
  char *hold;        /* reason, NULL where it is not held */
  gint64 since_ms;
} Unbilled;

/* A visit that the newest of its chain supersedes. */
typedef struct
{
  gint64 key;
  TdUuid id;
} Older;

typedef struct
{
  TdBook *book;
  const TdDraftFilter *filter; /* NULL: everything */
  TdInvoiceDrafts *drafts;
  GArray *visits; /* TdDraftedVisit, or NULL */
  GHashTable *ids;        /* name of an account -> its id */
  TdDrafting *collective; /* of what payers with accounts of their own pay */
  /* of the account at hand */
  gint64 account;
  char *account_id, *name;
  GPtrArray *agreements;
  TdDrafting *drafting;
} Collecting;

static void
clear_unbilled (gpointer data)
{
  g_free (((Unbilled *) data)->hold);
}

static void
draft_free (gpointer data)
{
  TdInvoiceDraft *draft = data;
  g_free (draft->key);
  td_invoice_unref (draft->invoice);
  g_free (draft);
}

static void
waiting_free (gpointer data)
{
  TdWaiting *waiting = data;
  g_free (waiting->number);
  g_free (waiting->account);
  g_free (waiting->account_id);
  g_free (waiting->site);
  g_free (waiting->text);
  g_free (waiting);
}

void
td_invoice_drafts_free (TdInvoiceDrafts *drafts)
{
  g_return_if_fail (drafts != NULL);
  g_ptr_array_unref (drafts->drafts);
  g_ptr_array_unref (drafts->waiting);
  g_free (drafts);
}

static void
clear_drafted (gpointer data)
{
  g_ptr_array_unref (((TdDraftedVisit *) data)->payers);
}

GArray *
td_drafted_visits_new (void)
{
  GArray *visits = g_array_new (FALSE, FALSE, sizeof (TdDraftedVisit));
  g_array_set_clear_func (visits, clear_drafted);
  return visits;
}

const char *
td_waiting_why_to_text (TdWaitingWhy why)
{
  static const char *const names[] = { "hold", "agreement", "price", "amendment" };
  g_return_val_if_fail (why < G_N_ELEMENTS (names), NULL);
  return names[why];
}

static GArray *
list_unbilled (TdBook *book, GError **error)
{
  g_autoptr (GArray) rows = g_array_new (FALSE, FALSE, sizeof (Unbilled));
  g_array_set_clear_func (rows, clear_unbilled);
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_LIST_UNBILLED, error);
  if (row == NULL)
    return NULL;
  TdStep step;
  while ((step = td_statement_step (row, error)) == TD_STEP_ROW)
    {
      Unbilled one = { td_statement_get_uuid (row, 0), td_statement_get_integer (row, 1),
                       td_statement_get_integer (row, 2) != 0, td_statement_dup_text_or_null (row, 3),
                       td_statement_get_integer (row, 4) };
      g_array_append_val (rows, one);
    }
  return step == TD_STEP_DONE ? g_steal_pointer (&rows) : NULL;
}

gboolean
td_billed_read (TdBook *book, gint64 visit_key, GPtrArray **payers_out, GArray **invoices_out, GError **error)
{
  g_autoptr (GPtrArray) payers = g_ptr_array_new_with_free_func (g_free);
  g_autoptr (GArray) invoices = g_array_new (FALSE, FALSE, sizeof (gint64));
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_LIST_BILLED_PAYERS, error);
  if (row == NULL)
    return FALSE;
  td_statement_bind_integer (row, ":visit", visit_key);
  TdStep step;
  while ((step = td_statement_step (row, error)) == TD_STEP_ROW)
    {
      gint64 invoice = td_statement_get_integer (row, 1);
      g_ptr_array_add (payers, td_statement_dup_text (row, 0));
      g_array_append_val (invoices, invoice);
    }
  if (step != TD_STEP_DONE)
    return FALSE;
  *payers_out = g_steal_pointer (&payers);
  if (invoices_out != NULL)
    *invoices_out = g_steal_pointer (&invoices);
  return TRUE;
}

/* The newest visit of a chain by what was agreed for its first. @older: (nullable): is added to. */
static TdWork *
load_work (TdBook *book, const TdUuid *id, gint64 *key_out, GArray *older, GError **error)
{
  g_autoptr (TdVisitState) state = NULL;
  g_autoptr (TdWork) first = NULL;
  if (!td_visit_state_load (book, id, &state, error))
    return NULL;
  g_assert (state != NULL && state->closed);
  *key_out = state->key;
  if (state->amends_key != 0)
    {
      Older one = { 0, state->amends_id };
      first = load_work (book, &state->amends_id, &one.key, older, error);
      if (first == NULL)
        return NULL;
      g_array_append_val (older, one);
    }
  return td_work_new (state->visit, state->number, td_zone_get_date (state->zone, state->visit->arrived.utc_ms), first);
}

static void
wait (Collecting *collecting, const Unbilled *row, const TdWork *work, TdWaitingWhy why, const char *text)
{
  TdWaiting *waiting = g_new0 (TdWaiting, 1);
  waiting->visit = row->id;
  waiting->number = g_strdup (work->number);
  waiting->account = g_strdup (collecting->name);
  waiting->account_id = g_strdup (collecting->account_id);
  waiting->site = g_strdup (work->site);
  waiting->date = work->date;
  waiting->why = why;
  waiting->text = g_strdup (text);
  waiting->since_ms = why == TD_WAITING_HOLD ? row->since_ms : 0;
  g_ptr_array_add (collecting->drafts->waiting, waiting);
}

static void
add_draft (Collecting *collecting, TdInvoice *invoice)
{
  TdInvoiceDraft *draft = g_new0 (TdInvoiceDraft, 1);
  const TdInvoiceLine *line = &g_array_index (invoice->lines, TdInvoiceLine, 0);
  g_autofree char *day = td_date_to_text (invoice->first);
  draft->invoice = td_invoice_ref (invoice);
  draft->key = g_strjoin ("/", invoice->account_id, invoice->payer.id, invoice->currency, day,
                          line->report != NULL ? line->report : "contract", invoice->credits, NULL);
  g_ptr_array_add (collecting->drafts->drafts, draft);
}

/* What an older visit of the chain was invoiced with is to be taken back. */
static gboolean
propose_credit (Collecting *collecting, const Older *older, gint64 number, const char *newer, GError **error)
{
  g_autofree char *code = NULL;
  g_autofree char *visit = td_uuid_to_text (&older->id);
  if (!td_invoice_find_code (collecting->book, number, &code, error))
    return FALSE;
  g_autoptr (TdInvoiceRecord) record = td_invoice_record_read (collecting->book, code, error);
  g_autoptr (GArray) credited = record != NULL ? td_credit_lines_read (collecting->book, number, error) : NULL;
  if (credited == NULL)
    return FALSE;
  g_autoptr (GArray) left = td_credit_lines_left (record->invoice, credited, visit);
  if (left->len == 0)
    return TRUE;
  g_autofree char *reason = g_strdup_printf ("Superseded by report %s", newer);
  g_autoptr (TdInvoice) credit
      = td_invoice_credit (record->invoice, (const guint *) (gpointer) left->data, left->len, reason, error);
  if (credit == NULL)
    return FALSE;
  add_draft (collecting, credit);
  return TRUE;
}

static gboolean
propose_credits (Collecting *collecting, const GArray *older, const char *newer, GError **error)
{
  for (guint i = 0; i < older->len; i++)
    {
      const Older *one = &g_array_index (older, Older, i);
      g_autoptr (GPtrArray) payers = NULL;
      g_autoptr (GArray) invoices = NULL;
      if (!td_billed_read (collecting->book, one->key, &payers, &invoices, error))
        return FALSE;
      for (guint k = 0; k < invoices->len; k++)
        if (!propose_credit (collecting, one, g_array_index (invoices, gint64, k), newer, error))
          return FALSE;
    }
  return TRUE;
}

/* FALSE with TD_ERROR where the agreement cannot price it. */
static gboolean
price (Collecting *collecting, const TdAgreement *agreement, const TdWork *work, gint64 key, GError **error)
{
  g_autoptr (GPtrArray) payers = td_drafting_list_payers (agreement, work, error);
  g_autoptr (GPtrArray) done = NULL;
  if (payers == NULL || !td_billed_read (collecting->book, key, &done, NULL, error))
    return FALSE;
  g_ptr_array_add (done, NULL);
  if (!td_drafting_add_work (collecting->drafting, agreement, work, (const char *const *) done->pdata, error))
    return FALSE;
  if (collecting->visits != NULL)
    {
      TdDraftedVisit drafted = { key, g_steal_pointer (&payers) };
      g_array_append_val (collecting->visits, drafted);
    }
  return TRUE;
}

/* The name of an account of a payer that the book does not have; NULL where it has them all. */
static const char *
find_unknown_account (const Collecting *collecting, const TdAgreement *agreement)
{
  for (guint i = 0; i < agreement->payers->len; i++)
    {
      const char *name = g_array_index (agreement->payers, TdPayer, i).account;
      if (name != NULL && !g_hash_table_contains (collecting->ids, name))
        return name;
    }
  return NULL;
}

static void
wait_unknown (Collecting *collecting, const Unbilled *row, const TdWork *work, const char *name)
{
  g_autofree char *text = g_strdup_printf ("the agreement has its payer invoiced under the account “%s”, which the book "
                                           "does not have; take in a new one", name);
  wait (collecting, row, work, TD_WAITING_AGREEMENT, text);
}

static gboolean
collect_visit (Collecting *collecting, const Unbilled *row, GError **error)
{
  gint64 key = 0;
  g_autoptr (GError) why = NULL;
  g_autoptr (GArray) older = g_array_new (FALSE, FALSE, sizeof (Older));
  g_autoptr (TdWork) work = load_work (collecting->book, &row->id, &key, older, error);
  if (work == NULL)
    return FALSE;
  if (collecting->filter != NULL && collecting->filter->has_until && work->date > collecting->filter->until)
    return TRUE;
  const TdAgreement *agreement = td_agreements_find (collecting->agreements, work->date);
  if (row->hold != NULL)
    wait (collecting, row, work, TD_WAITING_HOLD, row->hold);
  else if (row->amending)
    wait (collecting, row, work, TD_WAITING_AMENDMENT, "an amendment of this report is open; close it first");
  else if (agreement == NULL)
    wait (collecting, row, work, TD_WAITING_AGREEMENT, "no price agreement holds on this day; take one in");
  else if (find_unknown_account (collecting, agreement) != NULL)
    wait_unknown (collecting, row, work, find_unknown_account (collecting, agreement));
  else if (price (collecting, agreement, work, key, &why))
    return propose_credits (collecting, older, work->number, error);
  else if (why->domain == TD_ERROR)
    wait (collecting, row, work, TD_WAITING_PRICE, why->message);
  else
    {
      g_propagate_error (error, g_steal_pointer (&why));
      return FALSE;
    }
  return TRUE;
}

static gboolean
is_month_billed (Collecting *collecting, const char *payer, TdDate month, gboolean *billed_out, GError **error)
{
  g_autoptr (TdStatement) releases = td_statement_get (collecting->book, TD_SQL_COUNT_MONTH_RELEASES, error);
  g_autoptr (TdStatement) find = releases ? td_statement_get (collecting->book, TD_SQL_FIND_BILLED_MONTH, error) : NULL;
  if (find == NULL)
    return FALSE;
  td_statement_bind_integer (releases, ":account", collecting->account);
  td_statement_bind_text (releases, ":payer", payer);
  td_statement_bind_integer (releases, ":month", month);
  if (td_statement_ask (releases, error) != TD_STEP_ROW)
    return FALSE;
  td_statement_bind_integer (find, ":account", collecting->account);
  td_statement_bind_text (find, ":payer", payer);
  td_statement_bind_integer (find, ":month", month);
  td_statement_bind_integer (find, ":round", td_statement_get_integer (releases, 0));
  TdStep step = td_statement_ask (find, error);
  *billed_out = step == TD_STEP_ROW;
  return step != TD_STEP_FAILED;
}

static gboolean
count_month (Collecting *collecting, TdDate month, guint *closed_out, guint *open_out, GError **error)
{
  TdDate next = td_date_add_months (month, 1);
  g_autoptr (TdStatement) count = td_statement_get (collecting->book, TD_SQL_COUNT_MONTH_VISITS, error);
  if (count == NULL)
    return FALSE;
  td_statement_bind_integer (count, ":account", collecting->account);
  td_statement_bind_integer (count, ":from", month);
  td_statement_bind_integer (count, ":to", next);
  /* A day's margin: civil dates stand at most 14 hours from UTC. */
  td_statement_bind_integer (count, ":from_ms", (gint64) (month - 1) * DAY_MS);
  td_statement_bind_integer (count, ":to_ms", (gint64) (next + 1) * DAY_MS);
  if (td_statement_ask (count, error) != TD_STEP_ROW)
    return FALSE;
  *closed_out = td_statement_get_integer (count, 0);
  *open_out = td_statement_get_integer (count, 1);
  return TRUE;
}

static gboolean
collect_month (Collecting *collecting, const TdAgreement *agreement, TdDate month, GError **error)
{
  gboolean billed = FALSE;
  guint closed = 0, open = 0;
  if (!is_month_billed (collecting, td_drafting_get_month_payer (agreement), month, &billed, error) ||
      !count_month (collecting, month, &closed, &open, error))
    return FALSE;
  /* An open visit may still become one of those made: its month waits. */
  return billed || open > 0 || td_drafting_add_month (collecting->drafting, agreement, month, closed, error);
}

/* Months that have ended, by the agreement of their first day. */
static gboolean
collect_months (Collecting *collecting, GError **error)
{
  TdDate today = td_clock_get_now_ms (collecting->book->clock) / DAY_MS;
  TdDate end = collecting->filter != NULL && collecting->filter->has_until ? collecting->filter->until + 1 : today;
  end = MIN (end, today);
  for (guint i = 0; i < collecting->agreements->len; i++)
    {
      const TdAgreement *agreement = g_ptr_array_index (collecting->agreements, i);
      int year = 0, month_number = 0, day = 0;
      td_date_split (agreement->from, &year, &month_number, &day);
      TdDate month = td_date_make (year, month_number, 1);
      if (agreement->monthly_minor < 0 || find_unknown_account (collecting, agreement) != NULL)
        continue;
      for (; td_date_add_months (month, 1) <= end; month = td_date_add_months (month, 1))
        if (td_agreements_find (collecting->agreements, month) == agreement &&
            !collect_month (collecting, agreement, month, error))
          return FALSE;
    }
  return TRUE;
}

static gboolean
read_account (Collecting *collecting, GError **error)
{
  g_autoptr (TdStatement) row = td_statement_get (collecting->book, TD_SQL_SELECT_ACCOUNT, error);
  if (row == NULL)
    return FALSE;
  td_statement_bind_integer (row, ":id", collecting->account);
  if (td_statement_ask (row, error) != TD_STEP_ROW)
    return FALSE;
  collecting->account_id = td_statement_dup_text (row, 0);
  collecting->name = td_statement_dup_text (row, 1);
  return TRUE;
}

static gboolean
collect_account (Collecting *collecting, const GArray *rows, GError **error)
{
  collecting->drafting = td_drafting_new (collecting->account_id, collecting->name);
  td_drafting_set_collective (collecting->drafting, collecting->collective);
  for (guint i = 0; i < rows->len; i++)
    {
      const Unbilled *row = &g_array_index (rows, Unbilled, i);
      if (row->account == collecting->account && !collect_visit (collecting, row, error))
        return FALSE;
    }
  if (!collect_months (collecting, error))
    return FALSE;
  g_autoptr (GPtrArray) invoices = td_drafting_finish (collecting->drafting, error);
  for (guint i = 0; invoices != NULL && i < invoices->len; i++)
    add_draft (collecting, g_ptr_array_index (invoices, i));
  return invoices != NULL;
}

/* Whether an account is one of those asked for, or a payer of it is invoiced under one of them. */
static gboolean
is_asked_for (const Collecting *collecting)
{
  const char *asked = collecting->filter != NULL ? collecting->filter->account_id : NULL;
  if (asked == NULL || strcmp (asked, collecting->account_id) == 0)
    return TRUE;
  for (guint i = 0; i < collecting->agreements->len; i++)
    {
      const TdAgreement *agreement = g_ptr_array_index (collecting->agreements, i);
      for (guint k = 0; k < agreement->payers->len; k++)
        {
          const char *name = g_array_index (agreement->payers, TdPayer, k).account;
          if (name != NULL && g_strcmp0 (g_hash_table_lookup (collecting->ids, name), asked) == 0)
            return TRUE;
        }
    }
  return FALSE;
}

static gboolean
run_account (Collecting *collecting, const GArray *rows, GError **error)
{
  gboolean ok = read_account (collecting, error);
  if (ok)
    collecting->agreements = td_agreements_read (collecting->book, collecting->account, error);
  ok = collecting->agreements != NULL && (!is_asked_for (collecting) || collect_account (collecting, rows, error));
  g_clear_pointer (&collecting->agreements, g_ptr_array_unref);
  g_clear_pointer (&collecting->drafting, td_drafting_free);
  g_clear_pointer (&collecting->account_id, g_free);
  g_clear_pointer (&collecting->name, g_free);
  return ok;
}

static gint
compare_keys (gconstpointer a, gconstpointer b)
{
  gint64 one = *(const gint64 *) a, two = *(const gint64 *) b;
  return one < two ? -1 : one > two;
}

static gboolean
collect_accounts (Collecting *collecting, GError **error)
{
  gint64 last = 0;
  g_autoptr (GArray) rows = list_unbilled (collecting->book, error);
  g_autoptr (GArray) accounts
      = rows ? td_keys_list_integers (collecting->book, TD_SQL_LIST_AGREEMENT_ACCOUNTS, error) : NULL;
  if (accounts == NULL)
    return FALSE;
  for (guint i = 0; i < rows->len; i++)
    g_array_append_val (accounts, g_array_index (rows, Unbilled, i).account);
  g_array_sort (accounts, compare_keys);
  for (guint i = 0; i < accounts->len; i++)
    {
      collecting->account = g_array_index (accounts, gint64, i);
      if (collecting->account != last && !run_account (collecting, rows, error))
        return FALSE;
      last = collecting->account;
    }
  return TRUE;
}

/* What payers with accounts of their own pay comes last, when everybody's work is in it. */
static gboolean
finish_collective (Collecting *collecting, GError **error)
{
  g_autoptr (GPtrArray) invoices = td_drafting_finish (collecting->collective, error);
  for (guint i = 0; invoices != NULL && i < invoices->len; i++)
    {
      TdInvoice *invoice = g_ptr_array_index (invoices, i);
      const char *id = g_hash_table_lookup (collecting->ids, invoice->account);
      g_assert (id != NULL);
      g_free (invoice->account_id);
      invoice->account_id = g_strdup (id);
      add_draft (collecting, invoice);
    }
  return invoices != NULL;
}

/* Of accounts that were only looked at for the sake of a payer nothing of their own is told. */
static void
drop_others (TdInvoiceDrafts *drafts, const char *account_id)
{
  for (guint i = drafts->drafts->len; i-- > 0;)
    if (strcmp (((TdInvoiceDraft *) g_ptr_array_index (drafts->drafts, i))->invoice->account_id, account_id) != 0)
      g_ptr_array_remove_index (drafts->drafts, i);
  for (guint i = drafts->waiting->len; i-- > 0;)
    if (strcmp (((TdWaiting *) g_ptr_array_index (drafts->waiting, i))->account_id, account_id) != 0)
      g_ptr_array_remove_index (drafts->waiting, i);
}

static gboolean
map_accounts (Collecting *collecting, GError **error)
{
  g_autoptr (GPtrArray) rows = td_book_list_accounts (collecting->book, error);
  for (guint i = 0; rows != NULL && i < rows->len; i++)
    {
      const TdAccountRow *row = g_ptr_array_index (rows, i);
      g_hash_table_insert (collecting->ids, g_strdup (row->name), g_strdup (row->id));
    }
  return rows != NULL;
}

TdInvoiceDrafts *
td_drafts_collect (TdBook *book, const TdDraftFilter *filter, GArray *visits, GError **error)
{
  td_book_assert_owner (book);
  g_autoptr (TdInvoiceDrafts) drafts = g_new0 (TdInvoiceDrafts, 1);
  g_autoptr (GHashTable) ids = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, g_free);
  g_autoptr (TdDrafting) collective = td_drafting_new_collective ();
  drafts->drafts = g_ptr_array_new_with_free_func (draft_free);
  drafts->waiting = g_ptr_array_new_with_free_func (waiting_free);
  Collecting collecting
      = { .book = book, .filter = filter, .drafts = drafts, .visits = visits, .ids = ids, .collective = collective };
  if (!map_accounts (&collecting, error) || !collect_accounts (&collecting, error) ||
      !finish_collective (&collecting, error))
    return NULL;
  if (filter != NULL && filter->account_id != NULL)
    drop_others (drafts, filter->account_id);
  return g_steal_pointer (&drafts);
}

TdInvoiceDrafts *
td_book_draft_invoices (TdBook *book, const TdDraftFilter *filter, GError **error)
{
  TdInvoiceDrafts *drafts = NULL;
  if (!td_book_begin_read (book, error))
    return NULL;
  if (td_cache_refresh (book, error))
    drafts = td_drafts_collect (book, filter, NULL, error);
  td_book_end_read (book);
  return drafts;
}
