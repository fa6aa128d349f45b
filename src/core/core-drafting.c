#include "core-drafting.h"

#include "core-drafting-private.h"

#include <string.h>

struct _TdDrafting
{
  TdDrafting *collective; /* NULL */
  char *account_id;       /* NULL for that of all accounts */
  char *account;
  GPtrArray *drafts;  /* Draft */
  GHashTable *by_key; /* of their own keys */
};

typedef struct
{
  char *key;
  TdInvoice *invoice;
  TdDate latest; /* of what is in it: its agreement gives the bill-to */
} Draft;

static void
draft_free (gpointer data)
{
  Draft *draft = data;

  g_free (draft->key);
  g_clear_pointer (&draft->invoice, td_invoice_unref);
  g_free (draft);
}

TdDrafting *
td_drafting_new (const char *account_id, const char *account)
{
  TdDrafting *drafting;

  g_return_val_if_fail (account_id != NULL && account != NULL, NULL);
  drafting = g_new0 (TdDrafting, 1);
  drafting->account_id = g_strdup (account_id);
  drafting->account = g_strdup (account);
  drafting->drafts = g_ptr_array_new_with_free_func (draft_free);
  drafting->by_key = g_hash_table_new (g_str_hash, g_str_equal);
  return drafting;
}

TdDrafting *
td_drafting_new_collective (void)
{
  TdDrafting *drafting = td_drafting_new ("", "");

  g_clear_pointer (&drafting->account_id, g_free);
  return drafting;
}

void
td_drafting_set_collective (TdDrafting *drafting, TdDrafting *collective)
{
  g_return_if_fail (drafting != NULL && collective != NULL && collective->account_id == NULL);
  drafting->collective = collective;
}

void
td_drafting_free (TdDrafting *drafting)
{
  g_return_if_fail (drafting != NULL);
  g_hash_table_unref (drafting->by_key);
  g_ptr_array_unref (drafting->drafts);
  g_free (drafting->account_id);
  g_free (drafting->account);
  g_free (drafting);
}

/* One invoice for each payer, currency, and month or visit. */
static char *
make_own_key (const TdAgreement *agreement, const TdPayer *row, TdDate date, const char *visit)
{
  int year = 0, month = 0, day = 0;

  td_date_split (date, &year, &month, &day);
  if (agreement->collect == TD_COLLECT_VISIT && visit != NULL)
    return g_strdup_printf ("%s %s %s", row->id, agreement->currency, visit);
  return g_strdup_printf ("%s %s %04d-%02d", row->id, agreement->currency, year, month);
}

/* In that of all accounts, one for each account of payers, too. */
static char *
make_key (const TdDrafting *drafting, const TdAgreement *agreement, const TdPayer *row, TdDate date, const char *visit)
{
  g_autofree char *own = make_own_key (agreement, row, date, visit);

  return drafting->account_id == NULL ? g_strconcat (row->account, "\n", own, NULL) : g_steal_pointer (&own);
}

static TdInvoice *
find_invoice (TdDrafting *drafting, const TdAgreement *agreement, guint payer, TdDate date, const char *visit)
{
  const TdPayer *row = &g_array_index (agreement->payers, TdPayer, payer);
  g_autofree char *key = make_key (drafting, agreement, row, date, visit);
  gboolean collective = drafting->account_id == NULL;
  Draft *draft = g_hash_table_lookup (drafting->by_key, key);

  if (draft == NULL)
    {
      draft = g_new0 (Draft, 1);
      draft->key = g_steal_pointer (&key);
      draft->invoice = td_invoice_new (TD_INVOICE_INVOICE, collective ? row->account : drafting->account_id,
                                       collective ? row->account : drafting->account, row, agreement->currency);
      draft->latest = TD_DATE_NONE;
      g_ptr_array_add (drafting->drafts, draft);
      g_hash_table_insert (drafting->by_key, draft->key, draft);
    }
  if (draft->latest == TD_DATE_NONE || date > draft->latest)
    {
      td_payer_clear (&draft->invoice->payer);
      td_payer_copy (row, &draft->invoice->payer);
      draft->invoice->terms_days = agreement->terms_days;
      g_free (draft->invoice->place);
      draft->invoice->place = g_strdup (agreement->place);
      draft->latest = date;
    }
  return draft->invoice;
}

static gboolean
hand_out (TdDrafting *drafting, const TdAgreement *agreement, const GArray *charges, const TdWork *work,
          const char *const *done, GError **error)
{
  g_autofree char *visit = work != NULL ? td_uuid_to_text (&work->visit) : NULL;

  for (guint i = 0; i < charges->len; i++)
    {
      const TdCharge *charge = &g_array_index (charges, TdCharge, i);
      const TdPayer *payer = &g_array_index (agreement->payers, TdPayer, charge->payer);
      TdDrafting *to = payer->account != NULL && drafting->collective != NULL ? drafting->collective : drafting;
      TdInvoiceLine line;

      if (done != NULL && g_strv_contains (done, payer->id))
        continue;
      td_invoice_line_copy (&charge->line, &line);
      line.visit = g_strdup (visit);
      line.report = work != NULL ? g_strdup (work->number) : NULL;
      line.site = work != NULL ? g_strdup (work->site) : NULL;
      line.account = to != drafting ? g_strdup (drafting->account_id) : NULL;
      /* The charge's net was computed already, so it fits. */
      if (!td_invoice_take_line (find_invoice (to, agreement, charge->payer, line.date, visit), &line, error))
        return FALSE;
    }
  return TRUE;
}

gboolean
td_drafting_add_work (TdDrafting *drafting, const TdAgreement *agreement, const TdWork *work, const char *const *done,
                      GError **error)
{
  g_autoptr (GArray) charges = td_charges_new ();

  g_return_val_if_fail (drafting != NULL && agreement != NULL && work != NULL, FALSE);
  return td_charges_add_work (charges, agreement, work, error)
         && hand_out (drafting, agreement, charges, work, done, error);
}

static const TdItemAsked contract_asked = { TD_ITEM_CONTRACT, NULL, NULL, -1, -1, "routine" };

gboolean
td_drafting_add_month (TdDrafting *drafting, const TdAgreement *agreement, TdDate month, guint made, GError **error)
{
  g_autoptr (GArray) charges = td_charges_new ();
  g_autofree char *name = td_date_to_text (month);
  gint64 missed = agreement->month_visits - (gint64) made;

  g_return_val_if_fail (drafting != NULL && agreement->monthly_minor >= 0, FALSE);
  name[strlen ("2026-03")] = '\0';
  if (!td_charges_add (charges, agreement, &contract_asked, month, g_strdup_printf ("Service by contract, %s", name),
                       1000, TD_UNIT_ONE, agreement->monthly_minor, error))
    return FALSE;
  if (missed > 0 && agreement->missed_minor > 0
      && !td_charges_add (charges, agreement, &contract_asked, month,
                          g_strdup_printf ("Visits of the contract not made, %s", name), -1000 * missed, TD_UNIT_ONE,
                          agreement->missed_minor, error))
    return FALSE;
  return hand_out (drafting, agreement, charges, NULL, NULL, error);
}

static gint
compare_drafts (gconstpointer a, gconstpointer b)
{
  const Draft *one = *(const Draft *const *) a;
  const Draft *two = *(const Draft *const *) b;

  if (one->invoice->first != two->invoice->first)
    return one->invoice->first < two->invoice->first ? -1 : 1;
  return strcmp (one->key, two->key);
}

GPtrArray *
td_drafting_finish (TdDrafting *drafting, GError **error)
{
  g_autoptr (GPtrArray) invoices = g_ptr_array_new_with_free_func ((GDestroyNotify) td_invoice_unref);

  g_return_val_if_fail (drafting != NULL, NULL);
  for (guint i = 0; i < drafting->drafts->len; i++)
    if (!td_invoice_sum (((Draft *) drafting->drafts->pdata[i])->invoice, error))
      return NULL;
  g_ptr_array_sort (drafting->drafts, compare_drafts);
  for (guint i = 0; i < drafting->drafts->len; i++)
    g_ptr_array_add (invoices, td_invoice_ref (((Draft *) drafting->drafts->pdata[i])->invoice));
  g_hash_table_remove_all (drafting->by_key);
  g_ptr_array_set_size (drafting->drafts, 0);
  return g_steal_pointer (&invoices);
}

GPtrArray *
td_drafting_list_payers (const TdAgreement *agreement, const TdWork *work, GError **error)
{
  g_autoptr (GArray) charges = td_charges_new ();
  g_autoptr (GPtrArray) ids = g_ptr_array_new_with_free_func (g_free);

  g_return_val_if_fail (agreement != NULL && work != NULL, NULL);
  if (!td_charges_add_work (charges, agreement, work, error))
    return NULL;
  for (guint p = 0; p < agreement->payers->len; p++)
    for (guint i = 0; i < charges->len; i++)
      if (g_array_index (charges, TdCharge, i).payer == p)
        {
          g_ptr_array_add (ids, g_strdup (g_array_index (agreement->payers, TdPayer, p).id));
          break;
        }
  return g_steal_pointer (&ids);
}

const char *
td_drafting_get_month_payer (const TdAgreement *agreement)
{
  guint payer;

  g_return_val_if_fail (agreement != NULL, NULL);
  payer = td_agreement_find_payer (agreement, &contract_asked);
  return g_array_index (agreement->payers, TdPayer, payer).id;
}
