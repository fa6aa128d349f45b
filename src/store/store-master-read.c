#include "store-master-read.h"

#include "core-safety.h"
#include "store-private.h"
#include "store-words.h"

static TdDate
read_date (TdStatement *row, int column)
{
  return td_statement_is_null (row, column) ? TD_DATE_NONE : (TdDate) td_statement_get_integer (row, column);
}

static gboolean
read_company (TdBook *book, TdMasters *masters, GError **error)
{
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_SELECT_COMPANY, error);
  if (row == NULL)
    return FALSE;
  TdStep step = td_statement_ask (row, error);
  if (step == TD_STEP_ROW)
    for (int i = 0; td_company_fields[i].key != NULL; i++)
      *td_party_at (masters, &td_company_fields[i]) = td_statement_dup_text_or_null (row, 3 + i);
  return step != TD_STEP_FAILED;
}

static gboolean
read_products (TdBook *book, TdMasters *masters, GError **error)
{
  g_autoptr (GArray) products = g_array_new (FALSE, TRUE, sizeof (TdProduct));
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_LIST_PRODUCTS, error);
  if (row == NULL)
    return FALSE;
  TdStep step;
  while ((step = td_statement_step (row, error)) == TD_STEP_ROW)
    {
      TdProduct product = { .id = td_statement_dup_text (row, 0),
                            .name = td_statement_dup_text (row, 1),
                            .kind = td_words_find_product_kind (td_statement_get_text (row, 2)),
                            .substance = td_statement_dup_text (row, 3),
                            .percent_milli = td_statement_get_integer (row, 4),
                            .density_kg_m3 = td_statement_get_integer (row, 5),
                            .target_percent_milli = td_statement_get_integer (row, 7),
                            .caution = td_statement_dup_text_or_null (row, 8),
                            .retired = td_statement_get_integer (row, 9) != 0,
                            .sds_revised = read_date (row, 10 + TD_N_SAFETY) };
      for (guint part = 0; part < TD_N_SAFETY; part++)
        product.safety[part] = td_safety_split (td_statement_get_text (row, 10 + (int) part));
      if (product.sds_revised != TD_DATE_NONE)
        product.sds_sha256 = td_statement_get_hash (row, 11 + TD_N_SAFETY);
      td_basis_from_text (td_statement_get_text (row, 6), &product.basis);
      g_array_append_val (products, product);
    }
  masters->n_products = products->len;
  masters->products = (TdProduct *) g_array_free (g_steal_pointer (&products), FALSE);
  return step == TD_STEP_DONE;
}

static gboolean
read_lots (TdBook *book, TdMasters *masters, GError **error)
{
  g_autoptr (GArray) lots = g_array_new (FALSE, TRUE, sizeof (TdLot));
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_LIST_LOTS, error);
  if (row == NULL)
    return FALSE;
  TdStep step;
  while ((step = td_statement_step (row, error)) == TD_STEP_ROW)
    {
      TdLot lot = { .id = td_statement_dup_text (row, 0),
                    .product = td_statement_dup_text (row, 1),
                    .code = td_statement_dup_text (row, 2),
                    .received = read_date (row, 3),
                    .expiry = read_date (row, 4),
                    .recalled = td_statement_get_integer (row, 5) != 0,
                    .retired = td_statement_get_integer (row, 6) != 0 };
      g_array_append_val (lots, lot);
    }
  masters->n_lots = lots->len;
  masters->lots = (TdLot *) g_array_free (g_steal_pointer (&lots), FALSE);
  return step == TD_STEP_DONE;
}

static gboolean
read_technicians (TdBook *book, TdMasters *masters, GError **error)
{
  g_autoptr (GArray) technicians = g_array_new (FALSE, TRUE, sizeof (TdTechnician));
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_LIST_TECHNICIANS, error);
  if (row == NULL)
    return FALSE;
  TdStep step;
  while ((step = td_statement_step (row, error)) == TD_STEP_ROW)
    {
      TdTechnician technician = { .id = td_statement_dup_text (row, 0),
                                  .name = td_statement_dup_text (row, 1),
                                  .certificate = td_statement_dup_text_or_null (row, 2),
                                  .certificate_expiry = read_date (row, 3),
                                  .retired = td_statement_get_integer (row, 4) != 0 };
      g_array_append_val (technicians, technician);
    }
  masters->n_technicians = technicians->len;
  masters->technicians = (TdTechnician *) g_array_free (g_steal_pointer (&technicians), FALSE);
  return step == TD_STEP_DONE;
}

static gboolean
read_instruments (TdBook *book, TdMasters *masters, GError **error)
{
  g_autoptr (GArray) instruments = g_array_new (FALSE, TRUE, sizeof (TdInstrument));
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_LIST_INSTRUMENTS, error);
  if (row == NULL)
    return FALSE;
  TdStep step;
  while ((step = td_statement_step (row, error)) == TD_STEP_ROW)
    {
      TdInstrument instrument = { .id = td_statement_dup_text (row, 0),
                                  .name = td_statement_dup_text (row, 1),
                                  .kind = td_words_find_instrument_kind (td_statement_get_text (row, 2)),
                                  .calibrated = read_date (row, 3),
                                  .calibration_due = read_date (row, 4),
                                  .retired = td_statement_get_integer (row, 5) != 0 };
      g_array_append_val (instruments, instrument);
    }
  masters->n_instruments = instruments->len;
  masters->instruments = (TdInstrument *) g_array_free (g_steal_pointer (&instruments), FALSE);
  return step == TD_STEP_DONE;
}

static gboolean
read_ledger (TdBook *book, TdMasters *masters, GError **error)
{
  g_autoptr (GArray) accounts = g_array_new (FALSE, TRUE, sizeof (TdLedgerAccount));
  g_autoptr (TdStatement) row = td_statement_get (book, TD_SQL_LIST_LEDGER_ACCOUNTS, error);
  if (row == NULL)
    return FALSE;
  TdStep step;
  while ((step = td_statement_step (row, error)) == TD_STEP_ROW)
    {
      TdLedgerAccount account = { td_statement_dup_text (row, 0), td_statement_dup_text (row, 1) };
      g_array_append_val (accounts, account);
    }
  masters->n_ledger = accounts->len;
  masters->ledger = (TdLedgerAccount *) g_array_free (g_steal_pointer (&accounts), FALSE);
  return step == TD_STEP_DONE;
}

TdMasters *
td_masters_read (TdBook *book, GError **error)
{
  td_book_assert_owner (book);
  g_autoptr (TdMasters) masters = td_masters_new ();
  if (!read_company (book, masters, error) || !read_products (book, masters, error) ||
      !read_lots (book, masters, error) || !read_technicians (book, masters, error) ||
      !read_instruments (book, masters, error) || !read_ledger (book, masters, error))
    return NULL;
  return g_steal_pointer (&masters);
}
