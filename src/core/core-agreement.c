#include "core-agreement.h"

#include "core-agreement-private.h"

#include <string.h>

const char *const td_item_names[] = { "visit", "call-out", "tower", "line", "minutes", "out-of-hours", "minimum",
                                      "chemical", "part", "contract", "discount", "no-charge", NULL };
G_STATIC_ASSERT (G_N_ELEMENTS (td_item_names) == TD_N_ITEMS + 1);
const char *const td_tax_names[] = { "S", "Z", "E", "AE", "O", NULL };
G_STATIC_ASSERT (G_N_ELEMENTS (td_tax_names) == TD_N_TAXES + 1);

#define FIELD(key, form, required) { #key, G_STRUCT_OFFSET (TdPayer, key), TD_PARTY_##form, required }
const TdPartyField td_payer_fields[] = {
  FIELD (name, TEXT, TRUE),
  FIELD (address, TEXT, TRUE),
  FIELD (country, COUNTRY, FALSE),
  FIELD (email, TEXT, FALSE),
  FIELD (contact, TEXT, FALSE),
  FIELD (tax_id, TEXT, FALSE),
  FIELD (purchase_order, TEXT, FALSE),
  FIELD (city, TEXT, FALSE),
  FIELD (postcode, TEXT, FALSE),
  FIELD (region, TEXT, FALSE),
  FIELD (phone, TEXT, FALSE),
  FIELD (registration, TEXT, FALSE),
  FIELD (endpoint, ENDPOINT, FALSE),
  FIELD (reference, TEXT, FALSE),
  { NULL, 0, TD_PARTY_TEXT, FALSE },
};
#undef FIELD

const char *
td_item_to_text (TdItem item)
{
  g_return_val_if_fail (item < TD_N_ITEMS, NULL);
  return td_item_names[item];
}

const char *
td_tax_to_text (TdTaxCategory category)
{
  g_return_val_if_fail (category < TD_N_TAXES, NULL);
  return td_tax_names[category];
}

gboolean
td_tax_from_text (const char *text, TdTaxCategory *category_out)
{
  g_return_val_if_fail (text != NULL && category_out != NULL, FALSE);
  for (guint i = 0; i < TD_N_TAXES; i++)
    if (strcmp (text, td_tax_names[i]) == 0)
      {
        *category_out = (TdTaxCategory) i;
        return TRUE;
      }
  return FALSE;
}

void
td_payer_copy (const TdPayer *from, TdPayer *to)
{
  g_return_if_fail (from != NULL && to != NULL && from != to);
  to->id = g_strdup (from->id);
  to->account = g_strdup (from->account);
  td_party_copy (td_payer_fields, from, to);
}

void
td_payer_clear (TdPayer *payer)
{
  g_clear_pointer (&payer->id, g_free);
  g_clear_pointer (&payer->account, g_free);
  td_party_clear (td_payer_fields, payer);
}

static void
clear_payer (gpointer data)
{
  td_payer_clear (data);
}

static void
clear_tax (gpointer data)
{
  TdTaxRule *rule = data;

  g_strfreev (rule->sites);
  g_free (rule->text);
}

static void
clear_payer_rule (gpointer data)
{
  TdPayerRule *rule = data;

  g_strfreev (rule->sites);
  g_strfreev (rule->lines);
  g_free (rule->work);
}

static void
clear_line (gpointer data)
{
  TdLinePrice *price = data;

  g_strfreev (price->sites);
  g_strfreev (price->lines);
}

static void
clear_price (gpointer data)
{
  g_free (((TdItemPrice *) data)->name);
}

static void
clear_no_charge (gpointer data)
{
  TdNoCharge *no_charge = data;

  g_free (no_charge->work);
  g_free (no_charge->reason);
}

static GArray *
new_array (gsize size, GDestroyNotify clear)
{
  GArray *array = g_array_new (FALSE, TRUE, (guint) size);

  g_array_set_clear_func (array, clear);
  return array;
}

TdAgreement *
td_agreement_new (void)
{
  TdAgreement *agreement = g_atomic_rc_box_new0 (TdAgreement);

  agreement->to = TD_DATE_NONE;
  agreement->monthly_minor = -1;
  agreement->lines = new_array (sizeof (TdLinePrice), clear_line);
  agreement->parts = new_array (sizeof (TdItemPrice), clear_price);
  agreement->chemicals = new_array (sizeof (TdItemPrice), clear_price);
  agreement->no_charge = new_array (sizeof (TdNoCharge), clear_no_charge);
  agreement->payers = new_array (sizeof (TdPayer), clear_payer);
  agreement->payer_rules = new_array (sizeof (TdPayerRule), clear_payer_rule);
  agreement->taxes = new_array (sizeof (TdTaxRule), clear_tax);
  return agreement;
}

TdAgreement *
td_agreement_ref (TdAgreement *agreement)
{
  g_return_val_if_fail (agreement != NULL, NULL);
  return g_atomic_rc_box_acquire (agreement);
}

static void
clear_agreement (gpointer data)
{
  TdAgreement *agreement = data;

  g_free (agreement->account);
  g_free (agreement->currency);
  g_free (agreement->place);
  g_array_unref (agreement->lines);
  g_array_unref (agreement->parts);
  g_array_unref (agreement->chemicals);
  g_array_unref (agreement->no_charge);
  g_array_unref (agreement->payers);
  g_array_unref (agreement->payer_rules);
  g_array_unref (agreement->taxes);
}

void
td_agreement_unref (TdAgreement *agreement)
{
  g_return_if_fail (agreement != NULL);
  g_atomic_rc_box_release_full (agreement, clear_agreement);
}

gboolean
td_agreement_holds (const TdAgreement *agreement, TdDate date)
{
  g_return_val_if_fail (agreement != NULL && date != TD_DATE_NONE, FALSE);
  return date >= agreement->from && (agreement->to == TD_DATE_NONE || date <= agreement->to);
}

/* A list that is not given fits everything; one that is given does not fit what has no such id. */
static gboolean
names (char **list, const char *id)
{
  return list == NULL || (id != NULL && g_strv_contains ((const char *const *) list, id));
}

guint
td_agreement_find_payer (const TdAgreement *agreement, const TdItemAsked *asked)
{
  g_return_val_if_fail (agreement != NULL && asked != NULL, 0);
  for (guint i = 0; i < agreement->payer_rules->len; i++)
    {
      const TdPayerRule *rule = &g_array_index (agreement->payer_rules, TdPayerRule, i);

      if ((rule->items & TD_ITEM_BIT (asked->item)) != 0 && names (rule->sites, asked->site)
          && names (rule->lines, asked->line) && (rule->clean < 0 || rule->clean == asked->clean)
          && (rule->work == NULL || g_strcmp0 (rule->work, asked->work) == 0))
        return (guint) rule->payer;
    }
  return 0;
}

const TdTaxRule *
td_agreement_find_tax (const TdAgreement *agreement, const TdItemAsked *asked, guint payer)
{
  g_return_val_if_fail (agreement != NULL && asked != NULL && payer < agreement->payers->len, NULL);
  for (guint i = 0; i < agreement->taxes->len; i++)
    {
      const TdTaxRule *rule = &g_array_index (agreement->taxes, TdTaxRule, i);

      if ((rule->items & TD_ITEM_BIT (asked->item)) != 0 && (rule->payer < 0 || (guint) rule->payer == payer)
          && names (rule->sites, asked->site))
        return rule;
    }
  /* The reader takes no agreement without a last rule that fits everything. */
  g_assert_not_reached ();
}

gint64
td_agreement_get_line_price (const TdAgreement *agreement, const TdItemAsked *asked)
{
  g_return_val_if_fail (agreement != NULL && asked != NULL && asked->line != NULL, 0);
  for (guint i = 0; i < agreement->lines->len; i++)
    {
      const TdLinePrice *price = &g_array_index (agreement->lines, TdLinePrice, i);

      if ((price->clean < 0 || price->clean == asked->clean) && (price->method < 0 || price->method == asked->method)
          && names (price->sites, asked->site) && names (price->lines, asked->line))
        return price->unit_minor;
    }
  return 0;
}

gboolean
td_agreement_find_price (const GArray *prices, const char *name, gint64 *minor_out)
{
  g_return_val_if_fail (prices != NULL && name != NULL && minor_out != NULL, FALSE);
  for (guint i = 0; i < prices->len; i++)
    {
      const TdItemPrice *price = &g_array_index (prices, TdItemPrice, i);

      if (g_ascii_strcasecmp (price->name, name) == 0)
        {
          *minor_out = price->minor;
          return TRUE;
        }
    }
  return FALSE;
}

const TdNoCharge *
td_agreement_find_no_charge (const TdAgreement *agreement, const char *work)
{
  g_return_val_if_fail (agreement != NULL && work != NULL, NULL);
  for (guint i = 0; i < agreement->no_charge->len; i++)
    {
      const TdNoCharge *no_charge = &g_array_index (agreement->no_charge, TdNoCharge, i);

      if (strcmp (no_charge->work, work) == 0)
        return no_charge;
    }
  return NULL;
}
