#include "desk-chem-safety.h"

#include "desk-i18n.h"
#include "store-safety.h"

typedef struct
{
  char *lot, *product, *path;
  gboolean recalled;
  TdDate revised;
} Safety;

static void
free_safety (gpointer data)
{
  Safety *safety = data;

  g_free (safety->lot);
  g_free (safety->product);
  g_free (safety->path);
  g_free (safety);
}

static gboolean
recall_job (TdBook *book, gpointer data, gpointer *result_out, GError **error)
{
  const Safety *safety = data;

  return td_book_recall_lot (book, safety->lot, safety->recalled, error);
}

static gboolean
sheet_job (TdBook *book, gpointer data, gpointer *result_out, GError **error)
{
  const Safety *safety = data;
  g_autoptr (GBytes) bytes = NULL;
  char *text = NULL;
  gsize length = 0;

  if (!g_file_get_contents (safety->path, &text, &length, error))
    return FALSE;
  bytes = g_bytes_new_take (text, length);
  return td_book_add_safety_sheet (book, safety->product, bytes, safety->revised, error);
}

void
td_chem_safety_ask_recall (TdAskForm *form, const TdLot *lot, const char *product)
{
  g_autofree char *title = NULL;

  g_return_if_fail (TD_IS_ASK_FORM (form) && lot != NULL && product != NULL);
  title = lot->recalled
            ? g_strdup_printf (_ ("Lot %s of %s is marked as called back. Take the mark away?"), lot->code, product)
            : g_strdup_printf (_ ("Was lot %s of %s called back by its maker? It is marked wherever a lot is chosen; its uses "
                                  "and what is left of it become exceptions."),
                               lot->code, product);
  if (lot->recalled)
    td_ask_form_begin (form, "restore", title, _ ("Take the mark away"));
  else
    td_ask_form_begin (form, "recall", title, _ ("Mark as called back"));
  td_ask_form_show (form);
}

void
td_chem_safety_recall (TdContext *context, const char *lot, gboolean recalled, GAsyncReadyCallback callback,
                       gpointer user_data)
{
  Safety *safety = g_new0 (Safety, 1);

  safety->lot = g_strdup (lot);
  safety->recalled = recalled;
  td_context_run_async (context, TD_JOB_WRITE, recall_job, safety, free_safety, NULL, NULL, callback, user_data);
}

void
td_chem_safety_ask_sheet (TdAskForm *form, const char *product, const char *path)
{
  g_autofree char *name = g_path_get_basename (path);
  g_autofree char *shown = g_filename_display_name (name);
  g_autofree char *title = g_strdup_printf (_ ("Safety data sheet of %s: %s"), product, shown);

  g_return_if_fail (TD_IS_ASK_FORM (form));
  td_ask_form_begin (form, "sheet", title, _ ("Keep the sheet"));
  td_ask_form_add_entry (form, "revised", _ ("Date of revision, as printed on it: 2026-03-02"), NULL);
  td_ask_form_show (form);
}

gboolean
td_chem_safety_keep_sheet (TdAskForm *form, TdContext *context, const char *product, const char *path,
                           GAsyncReadyCallback callback, gpointer user_data)
{
  TdDate revised = TD_DATE_NONE;
  Safety *safety;

  if (!td_ask_form_get_date (form, "revised", &revised))
    return FALSE;
  safety = g_new0 (Safety, 1);
  safety->product = g_strdup (product);
  safety->path = g_strdup (path);
  safety->revised = revised;
  td_context_run_async (context, TD_JOB_WRITE, sheet_job, safety, free_safety, NULL, NULL, callback, user_data);
  return TRUE;
}
