/* Company, products, lots, people and instruments from a company file. */
#include "store-company.h"

#include "store-cache.h"
#include "store-ledger-code.h"
#include "store-master.h"
#include "store-private.h"
#include "store-project.h"
#include "store-put.h"

#include "core-error.h"
#include "core-ledger.h"
#include "core-safety.h"

static const char *const no_keys[] = { NULL };
static const char *const slug_keys[] = { ":slug", NULL };
static const char *const company_names[] = { ":name", ":address", ":phone", ":emergency_phone", ":tax_id", ":payment",
  ":city", ":postcode", ":region", ":country", ":email", ":contact", ":registration", ":endpoint", ":iban", ":bic", NULL };
static const char *const ledger_names[] = { ":code", NULL };
static const char *const product_names[] = { ":name", ":kind", ":substance", ":percent_milli", ":density_kg_m3", ":basis", ":target_percent_milli", ":caution", ":classes", ":hazards", ":precautions", ":protection", ":never_with", NULL };
static const char *const lot_names[] = { ":product", ":code", ":received", ":expiry", ":recalled", NULL };
static const char *const technician_names[] = { ":name", ":certificate", ":certificate_expiry", NULL };
static const char *const instrument_names[] = { ":name", ":kind", ":calibrated", ":calibration_due", NULL };

static const TdTable company_table = { TD_SQL_SELECT_COMPANY, TD_SQL_INSERT_COMPANY, TD_SQL_UPDATE_COMPANY, FALSE, no_keys, company_names };
static const TdTable product_table = { TD_SQL_FIND_PRODUCT, TD_SQL_INSERT_PRODUCT, TD_SQL_UPDATE_PRODUCT, TRUE, slug_keys, product_names };
static const TdTable lot_table = { TD_SQL_FIND_LOT, TD_SQL_INSERT_LOT, TD_SQL_UPDATE_LOT, TRUE, slug_keys, lot_names };
static const TdTable technician_table = { TD_SQL_FIND_TECHNICIAN, TD_SQL_INSERT_TECHNICIAN, TD_SQL_UPDATE_TECHNICIAN, TRUE, slug_keys, technician_names };
static const TdTable ledger_table = { TD_SQL_FIND_LEDGER_ACCOUNT, TD_SQL_INSERT_LEDGER_ACCOUNT, TD_SQL_UPDATE_LEDGER_ACCOUNT, TRUE, slug_keys, ledger_names };
static const TdTable instrument_table = { TD_SQL_FIND_INSTRUMENT, TD_SQL_INSERT_INSTRUMENT, TD_SQL_UPDATE_INSTRUMENT, TRUE, slug_keys, instrument_names };

static gboolean
put (TdBook *book, const TdTable *table, const char *slug, const TdRow *values, gboolean retired,
     TdImportCount *count, GError **error)
{
  g_autoptr (TdRow) keys = td_row_new ();
  if (slug != NULL)
    td_row_add_text (keys, slug);
  return td_put_row_counted (book, table, keys, values, retired, count, error);
}

static gboolean
put_company (TdBook *book, const TdMasters *masters, TdImportCount *count, GError **error)
{
  g_autoptr (TdRow) values = td_row_new ();
  /* A file without a company section says nothing about it. */
  if (masters->company == NULL)
    return TRUE;
  for (const TdPartyField *field = td_company_fields; field->key != NULL; field++)
    td_row_add_text (values, td_party_get (masters, field));
  return put (book, &company_table, NULL, values, FALSE, count, error);
}

static gboolean
put_products (TdBook *book, const TdMasters *masters, TdImportCount *count, GError **error)
{
  for (guint i = 0; i < masters->n_products; i++)
    {
      const TdProduct *product = &masters->products[i];
      g_autoptr (TdRow) values = td_row_new ();
      td_row_add_text (values, product->name);
      td_row_add_text (values, td_product_kind_to_text (product->kind));
      td_row_add_text (values, product->substance);
      td_row_add_integer (values, product->percent_milli);
      td_row_add_integer (values, product->density_kg_m3);
      td_row_add_text (values, td_basis_to_text (product->basis));
      td_row_add_integer (values, product->target_percent_milli);
      td_row_add_text (values, product->caution);
      for (guint part = 0; part < TD_N_SAFETY; part++)
        {
          g_autofree char *codes = td_safety_join (product->safety[part]);
          td_row_add_text (values, codes);
        }
      if (!put (book, &product_table, product->id, values, product->retired, count, error))
        return FALSE;
    }
  return TRUE;
}

static gboolean
find_product (TdBook *book, const TdLot *lot, gint64 *key_out, GError **error)
{
  g_autoptr (TdStatement) find = td_statement_get (book, TD_SQL_FIND_PRODUCT, error);
  if (find == NULL)
    return FALSE;
  td_statement_bind_text (find, ":slug", lot->product);
  TdStep step = td_statement_ask (find, error);
  if (step == TD_STEP_DONE)
    g_set_error (error, TD_ERROR, TD_ERROR_REFERENCE,
                 "Lot “%s” is of the product “%s”, which neither the file nor the book knows; nothing was "
                 "kept; add the product", lot->id, lot->product);
  if (step != TD_STEP_ROW)
    return FALSE;
  *key_out = td_statement_get_integer (find, 0);
  return TRUE;
}

static gboolean
put_lots (TdBook *book, const TdMasters *masters, TdImportCount *count, GError **error)
{
  for (guint i = 0; i < masters->n_lots; i++)
    {
      const TdLot *lot = &masters->lots[i];
      g_autoptr (TdRow) values = td_row_new ();
      gint64 product = 0;
      if (!find_product (book, lot, &product, error))
        return FALSE;
      td_row_add_integer (values, product);
      td_row_add_text (values, lot->code);
      td_row_add_integer_or_null (values, lot->received, TD_DATE_NONE);
      td_row_add_integer_or_null (values, lot->expiry, TD_DATE_NONE);
      td_row_add_integer (values, lot->recalled);
      if (!put (book, &lot_table, lot->id, values, lot->retired, count, error))
        return FALSE;
    }
  return TRUE;
}

static gboolean
put_technicians (TdBook *book, const TdMasters *masters, TdImportCount *count, GError **error)
{
  for (guint i = 0; i < masters->n_technicians; i++)
    {
      const TdTechnician *technician = &masters->technicians[i];
      g_autoptr (TdRow) values = td_row_new ();
      td_row_add_text (values, technician->name);
      td_row_add_text (values, technician->certificate);
      td_row_add_integer_or_null (values, technician->certificate_expiry, TD_DATE_NONE);
      if (!put (book, &technician_table, technician->id, values, technician->retired, count, error))
        return FALSE;
    }
  return TRUE;
}

static gboolean
put_instruments (TdBook *book, const TdMasters *masters, TdImportCount *count, GError **error)
{
  for (guint i = 0; i < masters->n_instruments; i++)
    {
      const TdInstrument *instrument = &masters->instruments[i];
      g_autoptr (TdRow) values = td_row_new ();
      td_row_add_text (values, instrument->name);
      td_row_add_text (values, td_instrument_kind_to_text (instrument->kind));
      td_row_add_integer_or_null (values, instrument->calibrated, TD_DATE_NONE);
      td_row_add_integer_or_null (values, instrument->calibration_due, TD_DATE_NONE);
      if (!put (book, &instrument_table, instrument->id, values, instrument->retired, count, error))
        return FALSE;
    }
  return TRUE;
}

static gboolean
put_ledger (TdBook *book, const TdMasters *masters, TdImportCount *count, GError **error)
{
  for (guint i = 0; i < masters->n_ledger; i++)
    {
      g_autoptr (TdRow) values = td_row_new ();
      td_row_add_text (values, masters->ledger[i].code);
      if (!put (book, &ledger_table, masters->ledger[i].id, values, FALSE, count, error))
        return FALSE;
    }
  return TRUE;
}

/* What stands there of an id that is taken away is kept under its mark. */
static gboolean
put_code (TdBook *book, const char *id, const char *code, GError **error)
{
  TdMasters *masters = td_cache_refresh (book, error) ? td_cache_get_masters (book, error) : NULL;
  const TdLedgerAccount *known = masters != NULL ? td_masters_find_ledger (masters, id) : NULL;
  g_autoptr (TdRow) values = td_row_new ();
  TdImportCount count = { 0 };
  if (masters == NULL)
    return FALSE;
  if (known == NULL && code == NULL)
    return TRUE;
  td_row_add_text (values, code != NULL ? code : known->code);
  return put (book, &ledger_table, id, values, code == NULL, &count, error);
}

gboolean
td_book_put_ledger_code (TdBook *book, const char *id, const char *code, GError **error)
{
  td_book_assert_owner (book);
  g_return_val_if_fail (id != NULL, FALSE);
  if (!td_ledger_is_id (id) || (code != NULL && !td_ledger_is_code (code)))
    {
      g_set_error (error, TD_ERROR, TD_ERROR_SHAPE, "“%s” is nothing that the ledger has, or “%s” cannot be a code", id,
                   code != NULL ? code : "");
      return FALSE;
    }
  if (!td_book_begin (book, error))
    return FALSE;
  if (!put_code (book, id, code, error))
    {
      td_book_rollback (book);
      return FALSE;
    }
  return td_book_commit (book, error);
}

gboolean
td_company_put (TdBook *book, const TdMasters *masters, TdImportCount *count, GError **error)
{
  td_book_assert_owner (book);
  g_assert (masters != NULL);
  return put_company (book, masters, count, error) && put_products (book, masters, count, error) &&
         put_lots (book, masters, count, error) && put_technicians (book, masters, count, error) &&
         put_instruments (book, masters, count, error) && put_ledger (book, masters, count, error) &&
         td_project_open_visits (book, error);
}

gboolean
td_book_import_company (TdBook *book, const TdMasters *masters, TdImportCount *count_out, GError **error)
{
  TdImportCount count = { 0 };
  td_book_assert_owner (book);
  g_return_val_if_fail (masters != NULL, FALSE);
  if (!td_book_begin (book, error))
    return FALSE;
  if (!td_company_put (book, masters, &count, error))
    {
      td_book_rollback (book);
      return FALSE;
    }
  if (!td_book_commit (book, error))
    return FALSE;
  if (count_out != NULL)
    *count_out = count;
  return TRUE;
}

TdMasters *
td_book_get_masters (TdBook *book, GError **error)
{
  TdMasters *masters = NULL;
  td_book_assert_owner (book);
  if (!td_book_begin_read (book, error))
    return NULL;
  if (td_cache_refresh (book, error))
    masters = td_cache_get_masters (book, error);
  if (masters != NULL)
    td_masters_ref (masters);
  td_book_end_read (book);
  return masters;
}
