#include "desk-chem-job.h"

#include "store-master.h"

static void
clear_loaded (gpointer data)
{
  TdChemLoaded *loaded = data;

  g_clear_pointer (&loaded->audit, td_audit_free);
  g_clear_pointer (&loaded->cells, g_array_unref);
  g_clear_pointer (&loaded->stock, td_stock_free);
  g_clear_pointer (&loaded->movements, g_ptr_array_unref);
  g_clear_pointer (&loaded->places, g_ptr_array_unref);
  g_clear_pointer (&loaded->sites, g_ptr_array_unref);
  g_clear_pointer (&loaded->masters, td_masters_unref);
}

TdChemLoaded *
td_chem_loaded_ref (TdChemLoaded *loaded)
{
  return g_atomic_rc_box_acquire (loaded);
}

void
td_chem_loaded_unref (gpointer loaded)
{
  g_atomic_rc_box_release_full (loaded, clear_loaded);
}

TdChemAsk *
td_chem_ask_new (TdDate from, TdDate to, gint64 now_ms)
{
  TdChemAsk *ask = g_new0 (TdChemAsk, 1);

  ask->from = from;
  ask->to = to;
  ask->now_ms = now_ms;
  return ask;
}

void
td_chem_ask_free (gpointer data)
{
  TdChemAsk *ask = data;

  g_free (ask->key);
  g_free (ask->person);
  g_free (ask->reason);
  g_free (ask->lot);
  g_free (ask->site);
  g_free (ask->line);
  g_free (ask);
}

static gboolean
load (TdBook *book, const TdChemAsk *ask, TdChemLoaded *loaded, GError **error)
{
  loaded->audit = td_book_get_audit (book, ask->from, ask->to, ask->now_ms, error);
  loaded->stock = loaded->audit != NULL ? td_book_get_stock (book, ask->to, error) : NULL;
  loaded->movements = loaded->stock != NULL ? td_book_list_movements (book, error) : NULL;
  loaded->places = loaded->movements != NULL ? td_book_list_places (book, error) : NULL;
  loaded->sites = loaded->places != NULL ? td_book_list_sites (book, error) : NULL;
  loaded->masters = loaded->sites != NULL ? td_book_get_masters (book, error) : NULL;
  if (loaded->masters == NULL)
    return FALSE;
  loaded->cells = td_stock_list_balances (loaded->stock, ask->to);
  return TRUE;
}

gboolean
td_chem_job_load (TdBook *book, gpointer data, gpointer *result_out, GError **error)
{
  TdChemLoaded *loaded = g_atomic_rc_box_new0 (TdChemLoaded);

  if (!load (book, data, loaded, error))
    {
      td_chem_loaded_unref (loaded);
      return FALSE;
    }
  *result_out = loaded;
  return TRUE;
}

gboolean
td_chem_job_acknowledge (TdBook *book, gpointer data, gpointer *result_out, GError **error)
{
  const TdChemAsk *ask = data;
  g_autoptr (TdAudit) audit = td_book_get_audit (book, ask->from, ask->to, ask->now_ms, error);

  return audit != NULL && td_book_acknowledge (book, audit, ask->key, ask->person, ask->reason, error);
}

void
td_chem_trace_free (gpointer data)
{
  TdChemTrace *trace = data;

  g_clear_pointer (&trace->rows, g_ptr_array_unref);
  g_clear_pointer (&trace->moment, td_moment_row_free);
  g_free (trace);
}

gboolean
td_chem_job_trace (TdBook *book, gpointer data, gpointer *result_out, GError **error)
{
  const TdChemAsk *ask = data;
  TdChemTrace *trace = g_new0 (TdChemTrace, 1);
  gboolean asked = ask->at_ms != 0 && ask->site != NULL && ask->line != NULL;

  trace->rows = td_book_trace (book, ask->lot, ask->line != NULL ? ask->site : NULL, ask->line, error);
  if (trace->rows != NULL && asked)
    trace->moment = td_book_find_moment (book, ask->site, ask->line, ask->at_ms, error);
  if (trace->rows == NULL || (asked && trace->moment == NULL))
    {
      td_chem_trace_free (trace);
      return FALSE;
    }
  *result_out = trace;
  return TRUE;
}

gboolean
td_chem_job_site (TdBook *book, gpointer data, gpointer *result_out, GError **error)
{
  *result_out = td_book_get_site (book, ((const TdChemAsk *) data)->site, error);
  return *result_out != NULL;
}

gboolean
td_chem_job_inspect (TdBook *book, gpointer data, gpointer *result_out, GError **error)
{
  const TdChemAsk *ask = data;

  *result_out = td_book_get_inspection (book, ask->site, NULL, ask->from, ask->to, error);
  return *result_out != NULL;
}
