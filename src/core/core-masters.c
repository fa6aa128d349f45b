#include "core-masters.h"

#include <string.h>

#include "core-error.h"
#include "core-masters-private.h"

const char *const td_product_kind_names[]
    = { "caustic", "caustic-chlorinated", "acid", "other", NULL };
const char *const td_basis_names[] = { "w/w", "w/v", "v/v", NULL };
const char *const td_instrument_kind_names[]
    = { "ph-meter",       "ph-strip",      "thermometer", "pressure-gauge",
        "titration-kit", "measuring-jug", "other",       NULL };

#define FIELD(key, member, form) { key, G_STRUCT_OFFSET (TdMasters, member), TD_PARTY_##form, FALSE }
const TdPartyField td_company_fields[] = {
  FIELD ("name", company, TEXT),
  FIELD ("address", company_address, TEXT),
  FIELD ("phone", company_phone, TEXT),
  FIELD ("emergency_phone", emergency_phone, TEXT),
  FIELD ("tax_id", company_tax_id, TEXT),
  FIELD ("payment", company_payment, TEXT),
  FIELD ("city", company_city, TEXT),
  FIELD ("postcode", company_postcode, TEXT),
  FIELD ("region", company_region, TEXT),
  FIELD ("country", company_country, COUNTRY),
  FIELD ("email", company_email, TEXT),
  FIELD ("contact", company_contact, TEXT),
  FIELD ("registration", company_registration, TEXT),
  FIELD ("endpoint", company_endpoint, ENDPOINT),
  FIELD ("iban", company_iban, IBAN),
  FIELD ("bic", company_bic, BIC),
  { NULL, 0, TD_PARTY_TEXT, FALSE },
};
#undef FIELD

TdMasters *
td_masters_new (void)
{
  return g_atomic_rc_box_new0 (TdMasters);
}

TdMasters *
td_masters_ref (TdMasters *masters)
{
  g_return_val_if_fail (masters != NULL, NULL);
  return g_atomic_rc_box_acquire (masters);
}

static void
clear_products (TdMasters *masters)
{
  for (guint i = 0; i < masters->n_products; i++)
    {
      g_free (masters->products[i].id);
      g_free (masters->products[i].name);
      g_free (masters->products[i].substance);
      g_free (masters->products[i].caution);
      for (guint part = 0; part < TD_N_SAFETY; part++)
        g_strfreev (masters->products[i].safety[part]);
      g_free (masters->products[i].sds_sha256);
    }
  g_free (masters->products);
}

static void
clear_lots (TdMasters *masters)
{
  for (guint i = 0; i < masters->n_lots; i++)
    {
      g_free (masters->lots[i].id);
      g_free (masters->lots[i].product);
      g_free (masters->lots[i].code);
    }
  g_free (masters->lots);
}

static void
clear_masters (gpointer data)
{
  TdMasters *masters = data;

  td_party_clear (td_company_fields, masters);
  clear_products (masters);
  clear_lots (masters);
  for (guint i = 0; i < masters->n_technicians; i++)
    {
      g_free (masters->technicians[i].id);
      g_free (masters->technicians[i].name);
      g_free (masters->technicians[i].certificate);
    }
  g_free (masters->technicians);
  for (guint i = 0; i < masters->n_instruments; i++)
    {
      g_free (masters->instruments[i].id);
      g_free (masters->instruments[i].name);
    }
  g_free (masters->instruments);
  for (guint i = 0; i < masters->n_ledger; i++)
    {
      g_free (masters->ledger[i].id);
      g_free (masters->ledger[i].code);
    }
  g_free (masters->ledger);
}

void
td_masters_unref (TdMasters *masters)
{
  g_return_if_fail (masters != NULL);
  g_atomic_rc_box_release_full (masters, clear_masters);
}

/* The row with that id among rows of @size bytes that start with their id and are sorted by it. */
static gconstpointer
find_row (gconstpointer rows, guint n, gsize size, const char *id)
{
  guint low = 0;
  guint high = n;

  while (id != NULL && low < high)
    {
      guint middle = low + (high - low) / 2;
      const char *const *row = (gconstpointer) ((const char *) rows + middle * size);
      int difference = strcmp (id, *row);

      if (difference == 0)
        return row;
      if (difference < 0)
        high = middle;
      else
        low = middle + 1;
    }
  return NULL;
}

const TdProduct *
td_masters_find_product (const TdMasters *masters, const char *id)
{
  g_return_val_if_fail (masters != NULL, NULL);
  return find_row (masters->products, masters->n_products, sizeof (TdProduct), id);
}

const TdLot *
td_masters_find_lot (const TdMasters *masters, const char *id)
{
  g_return_val_if_fail (masters != NULL, NULL);
  return find_row (masters->lots, masters->n_lots, sizeof (TdLot), id);
}

const TdTechnician *
td_masters_find_technician (const TdMasters *masters, const char *id)
{
  g_return_val_if_fail (masters != NULL, NULL);
  return find_row (masters->technicians, masters->n_technicians, sizeof (TdTechnician), id);
}

const TdInstrument *
td_masters_find_instrument (const TdMasters *masters, const char *id)
{
  g_return_val_if_fail (masters != NULL, NULL);
  return find_row (masters->instruments, masters->n_instruments, sizeof (TdInstrument), id);
}

const TdLedgerAccount *
td_masters_find_ledger (const TdMasters *masters, const char *id)
{
  g_return_val_if_fail (masters != NULL, NULL);
  return find_row (masters->ledger, masters->n_ledger, sizeof (TdLedgerAccount), id);
}

gboolean
td_masters_check_references (const TdMasters *masters, GError **error)
{
  g_return_val_if_fail (masters != NULL, FALSE);
  for (guint i = 0; i < masters->n_lots; i++)
    {
      const TdLot *lot = &masters->lots[i];

      if (td_masters_find_product (masters, lot->product) == NULL)
        {
          g_set_error (error, TD_ERROR, TD_ERROR_REFERENCE,
                       "the lot \"%s\" is of a product \"%s\" that is not known; enter the product first",
                       lot->id, lot->product);
          return FALSE;
        }
    }
  return TRUE;
}

const char *
td_product_kind_to_text (TdProductKind kind)
{
  g_return_val_if_fail ((guint) kind <= TD_PRODUCT_OTHER, NULL);
  return td_product_kind_names[kind];
}

const char *
td_basis_to_text (TdBasis basis)
{
  g_return_val_if_fail ((guint) basis <= TD_BASIS_V_V, NULL);
  return td_basis_names[basis];
}

gboolean
td_basis_from_text (const char *text, TdBasis *basis_out)
{
  g_return_val_if_fail (text != NULL && basis_out != NULL, FALSE);
  for (guint i = 0; td_basis_names[i] != NULL; i++)
    if (strcmp (td_basis_names[i], text) == 0)
      {
        *basis_out = (TdBasis) i;
        return TRUE;
      }
  return FALSE;
}

const char *
td_instrument_kind_to_text (TdInstrumentKind kind)
{
  g_return_val_if_fail ((guint) kind <= TD_INSTRUMENT_OTHER, NULL);
  return td_instrument_kind_names[kind];
}
