#include "core-ledger.h"

#include "core-agreement-private.h"
#include "core-error.h"
#include "core-money.h"

#include <string.h>

#define REVENUE "revenue"
#define TAX "tax"
/* Most characters of a code. */
#define CODE_MAX 100

static const char *const KINDS[] = { "invoice", "credit-note", "payment" };

static const struct
{
  const char *id;
  const char *code;
} STANDARD[] = {
  { "receivable", "assets:receivable" },
  { "bank", "assets:bank" },
  { REVENUE, "income:work" },
  { TAX, "liabilities:tax" },
};

static void
clear_posting (gpointer data)
{
  g_free (((TdPosting *) data)->id);
}

void
td_ledger_entry_free (TdLedgerEntry *entry)
{
  g_return_if_fail (entry != NULL);
  g_free (entry->document);
  g_free (entry->party);
  g_free (entry->currency);
  g_free (entry->text);
  g_array_unref (entry->postings);
  g_free (entry);
}

static TdLedgerEntry *
make (TdLedgerKind kind, const char *document, const char *party, const char *currency, TdDate day, const char *text)
{
  TdLedgerEntry *entry = g_new0 (TdLedgerEntry, 1);

  entry->kind = kind;
  entry->day = day;
  entry->document = g_strdup (document);
  entry->party = g_strdup (party);
  entry->currency = g_strdup (currency);
  entry->text = g_strdup (text);
  entry->postings = g_array_new (FALSE, TRUE, sizeof (TdPosting));
  g_array_set_clear_func (entry->postings, clear_posting);
  return entry;
}

/* @amount_minor: above 0 is a debit, below 0 a credit; nothing is posted for 0. Takes @id over. */
static void
post (TdLedgerEntry *entry, char *id, gint64 amount_minor, const TdInvoiceTax *tax)
{
  TdPosting posting = { .id = id,
                        .debit_minor = MAX (amount_minor, 0),
                        .credit_minor = MAX (-amount_minor, 0),
                        .taxed = tax != NULL,
                        .category = tax != NULL ? tax->category : TD_TAX_S,
                        .percent_milli = tax != NULL ? tax->percent_milli : 0 };

  if (amount_minor == 0)
    g_free (id);
  else
    g_array_append_val (entry->postings, posting);
}

/* One posting for each kind of item and tax, in the order of both. */
static gboolean
post_revenue (TdLedgerEntry *entry, const TdInvoice *invoice, gint64 sign, GError **error)
{
  for (guint item = 0; item < TD_N_ITEMS; item++)
    for (guint t = 0; t < invoice->taxes->len; t++)
      {
        const TdInvoiceTax *tax = &g_array_index (invoice->taxes, TdInvoiceTax, t);
        gint64 sum = 0;

        for (guint i = 0; i < invoice->lines->len; i++)
          {
            const TdInvoiceLine *line = &g_array_index (invoice->lines, TdInvoiceLine, i);

            if (line->item == (TdItem) item && line->category == tax->category
                && line->percent_milli == tax->percent_milli && !td_money_add (&sum, line->net_minor, error))
              return FALSE;
          }
        /* The most negative number has no positive twin: one more does not fit either. */
        if (sum == G_MININT64 && !td_money_add (&sum, -1, error))
          return FALSE;
        post (entry, g_strconcat (REVENUE "-", td_item_names[item], NULL), -sign * sum, tax);
      }
  return TRUE;
}

TdLedgerEntry *
td_ledger_from_invoice (const TdInvoice *invoice, GError **error)
{
  g_autoptr (TdLedgerEntry) entry = NULL;
  gint64 sign;

  g_return_val_if_fail (invoice != NULL && invoice->number != NULL, NULL);
  sign = invoice->kind == TD_INVOICE_CREDIT ? -1 : 1;
  entry = make (invoice->kind == TD_INVOICE_CREDIT ? TD_LEDGER_CREDIT : TD_LEDGER_INVOICE, invoice->number,
                invoice->payer.name, invoice->currency, invoice->issued, invoice->reason);
  post (entry, g_strdup ("receivable"), sign * invoice->total_minor, NULL);
  if (!post_revenue (entry, invoice, sign, error))
    return NULL;
  for (guint i = 0; i < invoice->taxes->len; i++)
    {
      const TdInvoiceTax *tax = &g_array_index (invoice->taxes, TdInvoiceTax, i);
      g_autofree char *percent = td_milli_to_text (tax->percent_milli);

      post (entry, g_strconcat (TAX "-", percent, NULL), -sign * tax->tax_minor, tax);
    }
  return td_ledger_entry_check (entry, error) ? g_steal_pointer (&entry) : NULL;
}

TdLedgerEntry *
td_ledger_from_payment (const char *document, const char *party, const char *currency, TdDate day, gint64 amount_minor,
                        const char *text)
{
  TdLedgerEntry *entry;

  g_return_val_if_fail (document != NULL && party != NULL && currency != NULL && day != TD_DATE_NONE, NULL);
  entry = make (TD_LEDGER_PAYMENT, document, party, currency, day, text);
  post (entry, g_strdup ("bank"), amount_minor, NULL);
  post (entry, g_strdup ("receivable"), -amount_minor, NULL);
  return entry;
}

gboolean
td_ledger_entry_check (const TdLedgerEntry *entry, GError **error)
{
  gint64 sum = 0;

  g_return_val_if_fail (entry != NULL, FALSE);
  for (guint i = 0; i < entry->postings->len; i++)
    {
      const TdPosting *posting = &g_array_index (entry->postings, TdPosting, i);

      if (!td_money_add (&sum, posting->debit_minor - posting->credit_minor, error))
        return FALSE;
    }
  if (sum == 0)
    return TRUE;
  g_set_error (error, TD_ERROR, TD_ERROR_IMPOSSIBLE,
               "the entry of %s is not balanced: its sums do not follow from its lines; check the book", entry->document);
  return FALSE;
}

const char *
td_ledger_kind_to_text (TdLedgerKind kind)
{
  g_return_val_if_fail ((guint) kind < G_N_ELEMENTS (KINDS), NULL);
  return KINDS[kind];
}

/* "13.5" and "23", but not "13.50", "013" or "101". */
static gboolean
is_percent (const char *text)
{
  gint64 milli = 0;
  g_autofree char *again = NULL;

  if (!td_milli_parse (text, &milli) || milli < 0 || milli > 100000)
    return FALSE;
  again = td_milli_to_text (milli);
  return strcmp (again, text) == 0;
}

gboolean
td_ledger_is_id (const char *id)
{
  g_return_val_if_fail (id != NULL, FALSE);
  for (gsize i = 0; i < G_N_ELEMENTS (STANDARD); i++)
    if (strcmp (STANDARD[i].id, id) == 0)
      return TRUE;
  if (g_str_has_prefix (id, TAX "-"))
    return is_percent (id + strlen (TAX "-"));
  if (!g_str_has_prefix (id, REVENUE "-"))
    return FALSE;
  for (guint i = 0; i < TD_ITEM_NO_CHARGE; i++)
    if (strcmp (td_item_names[i], id + strlen (REVENUE "-")) == 0)
      return TRUE;
  return FALSE;
}

gboolean
td_ledger_is_code (const char *code)
{
  gsize n;

  g_return_val_if_fail (code != NULL, FALSE);
  n = strlen (code);
  if (n == 0 || g_utf8_strlen (code, -1) > CODE_MAX || code[0] == ' ' || code[n - 1] == ' ')
    return FALSE;
  for (gsize i = 0; i < n; i++)
    if ((guchar) code[i] < ' ' || code[i] == 0x7f || (code[i] == ' ' && code[i + 1] == ' '))
      return FALSE;
  return TRUE;
}

const char *
td_ledger_find_code (const TdMasters *masters, const char *id)
{
  const TdLedgerAccount *account;

  g_return_val_if_fail (masters != NULL && id != NULL, NULL);
  account = td_masters_find_ledger (masters, id);
  for (gsize i = 0; account == NULL && i < G_N_ELEMENTS (STANDARD); i++)
    if (g_str_has_prefix (id, STANDARD[i].id))
      {
        account = td_masters_find_ledger (masters, STANDARD[i].id);
        return account != NULL ? account->code : STANDARD[i].code;
      }
  return account != NULL ? account->code : NULL;
}
