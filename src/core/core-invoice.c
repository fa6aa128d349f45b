#include "core-invoice.h"

#include "core-error.h"
#include "core-money.h"

#include <string.h>

const char *
td_invoice_kind_to_text (TdInvoiceKind kind)
{
  return kind == TD_INVOICE_CREDIT ? "credit-note" : "invoice";
}

#define FIELD(key, form) { #key, G_STRUCT_OFFSET (TdSeller, key), TD_PARTY_##form, FALSE }
const TdPartyField td_seller_fields[] = {
  FIELD (name, TEXT),         FIELD (address, TEXT),      FIELD (phone, TEXT),        FIELD (tax_id, TEXT),
  FIELD (payment, TEXT),      FIELD (city, TEXT),         FIELD (postcode, TEXT),     FIELD (region, TEXT),
  FIELD (country, COUNTRY),   FIELD (email, TEXT),        FIELD (contact, TEXT),      FIELD (registration, TEXT),
  FIELD (endpoint, ENDPOINT), FIELD (iban, IBAN),         FIELD (bic, BIC),           { NULL, 0, TD_PARTY_TEXT, FALSE },
};
#undef FIELD

void
td_seller_copy (const TdSeller *from, TdSeller *to)
{
  td_party_copy (td_seller_fields, from, to);
}

void
td_seller_clear (TdSeller *seller)
{
  td_party_clear (td_seller_fields, seller);
}

void
td_invoice_line_clear (TdInvoiceLine *line)
{
  g_free (line->text);
  g_free (line->tax_text);
  g_free (line->visit);
  g_free (line->report);
  g_free (line->site);
  g_free (line->line);
  g_free (line->account);
}

void
td_invoice_line_copy (const TdInvoiceLine *from, TdInvoiceLine *to)
{
  g_return_if_fail (from != NULL && to != NULL && from != to);
  *to = *from;
  to->text = g_strdup (from->text);
  to->tax_text = g_strdup (from->tax_text);
  to->visit = g_strdup (from->visit);
  to->report = g_strdup (from->report);
  to->site = g_strdup (from->site);
  to->line = g_strdup (from->line);
  to->account = g_strdup (from->account);
}

static void
clear_line (gpointer data)
{
  td_invoice_line_clear (data);
}

static void
clear_tax (gpointer data)
{
  g_free (((TdInvoiceTax *) data)->text);
}

TdInvoice *
td_invoice_new (TdInvoiceKind kind, const char *account_id, const char *account, const TdPayer *payer,
                const char *currency)
{
  TdInvoice *invoice;

  g_return_val_if_fail (account_id != NULL && account != NULL && payer != NULL && currency != NULL, NULL);
  invoice = g_atomic_rc_box_new0 (TdInvoice);
  invoice->kind = kind;
  invoice->account_id = g_strdup (account_id);
  invoice->account = g_strdup (account);
  td_payer_copy (payer, &invoice->payer);
  invoice->currency = g_strdup (currency);
  invoice->issued = invoice->due = invoice->first = invoice->last = TD_DATE_NONE;
  invoice->lines = g_array_new (FALSE, TRUE, sizeof (TdInvoiceLine));
  g_array_set_clear_func (invoice->lines, clear_line);
  invoice->taxes = g_array_new (FALSE, TRUE, sizeof (TdInvoiceTax));
  g_array_set_clear_func (invoice->taxes, clear_tax);
  return invoice;
}

TdInvoice *
td_invoice_ref (TdInvoice *invoice)
{
  g_return_val_if_fail (invoice != NULL, NULL);
  return g_atomic_rc_box_acquire (invoice);
}

static void
clear_invoice (gpointer data)
{
  TdInvoice *invoice = data;

  g_free (invoice->number);
  g_free (invoice->account);
  g_free (invoice->account_id);
  td_seller_clear (&invoice->seller);
  td_payer_clear (&invoice->payer);
  g_free (invoice->currency);
  g_free (invoice->place);
  g_free (invoice->credits);
  g_free (invoice->reason);
  g_array_unref (invoice->lines);
  g_array_unref (invoice->taxes);
}

void
td_invoice_unref (TdInvoice *invoice)
{
  g_return_if_fail (invoice != NULL);
  g_atomic_rc_box_release_full (invoice, clear_invoice);
}

gboolean
td_invoice_take_line (TdInvoice *invoice, TdInvoiceLine *line, GError **error)
{
  g_return_val_if_fail (invoice != NULL && line != NULL && line->text != NULL && line->unit != NULL, FALSE);
  g_return_val_if_fail (line->unit_price_minor >= 0, FALSE);
  if (!td_money_scale (line->unit_price_minor, line->quantity_milli, 1000, &line->net_minor, error))
    {
      td_invoice_line_clear (line);
      return FALSE;
    }
  g_array_append_vals (invoice->lines, line, 1);
  return TRUE;
}

static gint
compare_taxes (gconstpointer a, gconstpointer b)
{
  const TdInvoiceTax *one = a;
  const TdInvoiceTax *two = b;

  if (one->category != two->category)
    return one->category < two->category ? -1 : 1;
  return one->percent_milli > two->percent_milli ? -1 : one->percent_milli < two->percent_milli;
}

static TdInvoiceTax *
find_tax (TdInvoice *invoice, const TdInvoiceLine *line)
{
  TdInvoiceTax new_tax = { line->category, line->percent_milli, 0, 0, NULL };

  for (guint i = 0; i < invoice->taxes->len; i++)
    {
      TdInvoiceTax *tax = &g_array_index (invoice->taxes, TdInvoiceTax, i);

      if (tax->category == line->category && tax->percent_milli == line->percent_milli)
        return tax;
    }
  g_array_append_val (invoice->taxes, new_tax);
  return &g_array_index (invoice->taxes, TdInvoiceTax, invoice->taxes->len - 1);
}

/* Different reasons of one category stand beside each other, each once. */
static void
add_tax_text (TdInvoiceTax *tax, const char *text)
{
  char *joined;

  if (text == NULL || (tax->text != NULL && strstr (tax->text, text) != NULL))
    return;
  joined = tax->text != NULL ? g_strdup_printf ("%s; %s", tax->text, text) : g_strdup (text);
  g_free (tax->text);
  tax->text = joined;
}

TdDate
td_invoice_line_get_last (const TdInvoiceLine *line)
{
  TdDate next;

  g_return_val_if_fail (line != NULL, TD_DATE_NONE);
  if (line->item != TD_ITEM_CONTRACT || line->date == TD_DATE_NONE)
    return line->date;
  next = td_date_add_months (line->date, 1);
  return next != TD_DATE_NONE ? next - 1 : line->date;
}

void
td_invoice_find_days (TdInvoice *invoice)
{
  g_return_if_fail (invoice != NULL);
  invoice->first = invoice->last = TD_DATE_NONE;
  for (guint i = 0; i < invoice->lines->len; i++)
    {
      const TdInvoiceLine *line = &g_array_index (invoice->lines, TdInvoiceLine, i);
      TdDate last = td_invoice_line_get_last (line);

      if (line->date == TD_DATE_NONE)
        continue;
      if (invoice->first == TD_DATE_NONE || line->date < invoice->first)
        invoice->first = line->date;
      if (invoice->last == TD_DATE_NONE || last > invoice->last)
        invoice->last = last;
    }
}

gboolean
td_invoice_sum (TdInvoice *invoice, GError **error)
{
  g_return_val_if_fail (invoice != NULL, FALSE);
  g_array_set_size (invoice->taxes, 0);
  invoice->net_minor = invoice->tax_minor = 0;
  td_invoice_find_days (invoice);
  for (guint i = 0; i < invoice->lines->len; i++)
    {
      const TdInvoiceLine *line = &g_array_index (invoice->lines, TdInvoiceLine, i);
      TdInvoiceTax *tax = find_tax (invoice, line);

      if (!td_money_add (&tax->base_minor, line->net_minor, error)
          || !td_money_add (&invoice->net_minor, line->net_minor, error))
        return FALSE;
      add_tax_text (tax, line->tax_text);
    }
  g_array_sort (invoice->taxes, compare_taxes);
  for (guint i = 0; i < invoice->taxes->len; i++)
    {
      TdInvoiceTax *tax = &g_array_index (invoice->taxes, TdInvoiceTax, i);

      if (!td_money_get_percent (tax->base_minor, tax->percent_milli, &tax->tax_minor, error)
          || !td_money_add (&invoice->tax_minor, tax->tax_minor, error))
        return FALSE;
    }
  invoice->total_minor = invoice->net_minor;
  return td_money_add (&invoice->total_minor, invoice->tax_minor, error);
}

void
td_invoice_issue (TdInvoice *invoice, const char *number, TdDate issued, const TdSeller *seller)
{
  g_return_if_fail (invoice != NULL && invoice->number == NULL);
  g_return_if_fail (number != NULL && issued != TD_DATE_NONE && seller != NULL);
  invoice->number = g_strdup (number);
  invoice->issued = issued;
  /* A credit note asks for nothing, so it is due at once. */
  invoice->due = issued + (invoice->kind == TD_INVOICE_INVOICE ? invoice->terms_days : 0);
  td_seller_copy (seller, &invoice->seller);
}

static gboolean
take_back (TdInvoice *credit, const TdInvoice *invoice, guint index, GError **error)
{
  TdInvoiceLine line;

  td_invoice_line_copy (&g_array_index (invoice->lines, TdInvoiceLine, index), &line);
  line.of = (int) index;
  return td_invoice_take_line (credit, &line, error);
}

TdInvoice *
td_invoice_credit (const TdInvoice *invoice, const guint *which, guint n_which, const char *reason, GError **error)
{
  g_autoptr (TdInvoice) credit = NULL;
  guint n = which != NULL ? n_which : invoice->lines->len;

  g_return_val_if_fail (invoice != NULL && reason != NULL, NULL);
  if (invoice->kind != TD_INVOICE_INVOICE)
    {
      g_set_error (error, TD_ERROR, TD_ERROR_IMPOSSIBLE, "%s is a credit note itself and cannot be credited",
                   invoice->number);
      return NULL;
    }
  credit = td_invoice_new (TD_INVOICE_CREDIT, invoice->account_id, invoice->account, &invoice->payer,
                           invoice->currency);
  credit->place = g_strdup (invoice->place);
  credit->credits = g_strdup (invoice->number);
  credit->reason = g_strdup (reason);
  for (guint i = 0; i < n; i++)
    {
      guint index = which != NULL ? which[i] : i;

      g_return_val_if_fail (index < invoice->lines->len, NULL);
      if (!take_back (credit, invoice, index, error))
        return NULL;
    }
  return td_invoice_sum (credit, error) ? g_steal_pointer (&credit) : NULL;
}

GPtrArray *
td_invoice_list_visits (const TdInvoice *invoice)
{
  GPtrArray *visits = g_ptr_array_new_with_free_func (g_free);
  g_autoptr (GHashTable) seen = g_hash_table_new (g_str_hash, g_str_equal);

  g_return_val_if_fail (invoice != NULL, visits);
  for (guint i = 0; i < invoice->lines->len; i++)
    {
      const char *visit = g_array_index (invoice->lines, TdInvoiceLine, i).visit;

      if (visit != NULL && g_hash_table_add (seen, (char *) visit))
        g_ptr_array_add (visits, g_strdup (visit));
    }
  return visits;
}

static gboolean
differs (const TdInvoice *invoice, const char *what, GError **error)
{
  g_set_error (error, TD_ERROR, TD_ERROR_IMPOSSIBLE, "invoice %s: %s does not follow from its lines",
               invoice->number != NULL ? invoice->number : "(draft)", what);
  return FALSE;
}

static gboolean
equal_taxes (const GArray *a, const GArray *b)
{
  for (guint i = 0; a->len == b->len && i < a->len; i++)
    {
      const TdInvoiceTax *one = &g_array_index (a, TdInvoiceTax, i);
      const TdInvoiceTax *two = &g_array_index (b, TdInvoiceTax, i);

      if (one->category != two->category || one->percent_milli != two->percent_milli
          || one->base_minor != two->base_minor || one->tax_minor != two->tax_minor)
        return FALSE;
    }
  return a->len == b->len;
}

gboolean
td_invoice_check (const TdInvoice *invoice, GError **error)
{
  g_autoptr (TdInvoice) again = NULL;

  g_return_val_if_fail (invoice != NULL, FALSE);
  again = td_invoice_new (invoice->kind, invoice->account_id, invoice->account, &invoice->payer, invoice->currency);
  for (guint i = 0; i < invoice->lines->len; i++)
    {
      const TdInvoiceLine *line = &g_array_index (invoice->lines, TdInvoiceLine, i);
      TdInvoiceLine copy;

      td_invoice_line_copy (line, &copy);
      if (!td_invoice_take_line (again, &copy, error))
        return FALSE;
      if (copy.net_minor != line->net_minor)
        return differs (invoice, "the net of a line", error);
    }
  if (!td_invoice_sum (again, error))
    return FALSE;
  if (!equal_taxes (again->taxes, invoice->taxes))
    return differs (invoice, "the tax", error);
  if (again->net_minor != invoice->net_minor || again->tax_minor != invoice->tax_minor
      || again->total_minor != invoice->total_minor)
    return differs (invoice, "the sum", error);
  return TRUE;
}

/* Texts that may be filled in later: they tell where the parties are reached and paid, not who owes what. */
static const char *const LATER[] = { "city",    "postcode",     "region",   "country", "email", "contact",
                                     "phone",   "registration", "endpoint", "iban",    "bic",   NULL };

static void
fill_later (const TdPartyField *to_fields, gpointer to, const TdPartyField *from_fields, gconstpointer from)
{
  for (gsize i = 0; LATER[i] != NULL; i++)
    {
      const TdPartyField *field = td_party_find (to_fields, LATER[i]);
      const TdPartyField *other = td_party_find (from_fields, LATER[i]);

      if (field != NULL && other != NULL && *td_party_at (to, field) == NULL)
        *td_party_at (to, field) = g_strdup (td_party_get (from, other));
    }
}

void
td_invoice_complete (TdInvoice *invoice, const TdMasters *masters, const TdPayer *payer)
{
  g_return_if_fail (invoice != NULL);
  if (masters != NULL)
    fill_later (td_seller_fields, &invoice->seller, td_company_fields, masters);
  if (payer != NULL)
    fill_later (td_payer_fields, &invoice->payer, td_payer_fields, payer);
}
