/* invoice credit, pay, hold, series. */
#include "ctl-invoice.h"

#include "core-money.h"

#include <stdio.h>

static gboolean
misuse (GError **error, const char *text)
{
  g_set_error_literal (error, G_OPTION_ERROR, G_OPTION_ERROR_BAD_VALUE, text);
  return FALSE;
}

/* Indices from 0 of lines that are counted from 1; NULL where none was named. */
static gboolean
read_lines (char **words, GArray **lines_out, GError **error)
{
  g_autoptr (GArray) lines = g_array_new (FALSE, FALSE, sizeof (guint));

  *lines_out = NULL;
  for (guint i = 0; words != NULL && words[i] != NULL; i++)
    {
      guint64 number = 0;
      guint index;

      if (!g_ascii_string_to_unsigned (words[i], 10, 1, G_MAXINT, &number, NULL))
        return misuse (error, "--line takes the number of a line, from 1");
      index = (guint) number - 1;
      g_array_append_val (lines, index);
    }
  if (lines->len > 0)
    *lines_out = g_steal_pointer (&lines);
  return TRUE;
}

static gboolean
print_one (TdBook *book, const char *number, const TdCtlInvoice *options, GError **error)
{
  g_autoptr (TdInvoiceRecord) record = td_book_load_invoice (book, number, error);
  g_autofree char *total = NULL;
  g_autofree char *open = NULL;

  if (record == NULL)
    return FALSE;
  if (options->json)
    {
      g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();

      td_ctl_invoice_build (builder, record);
      return td_ctl_invoice_put (builder, NULL, error);
    }
  total = td_money_to_text (record->row->total_minor, record->row->currency);
  open = td_money_to_text (record->row->open_minor, record->row->currency);
  printf ("%s: %s, open %s\n", number, total, open);
  return TRUE;
}

gboolean
td_ctl_invoice_credit (TdBook *book, const TdCtlInvoice *options, char **words, GError **error)
{
  g_autoptr (GArray) lines = NULL;
  g_autofree char *number = NULL;

  if (options->reason == NULL || *options->reason == '\0')
    return misuse (error, "a credit note needs --reason TEXT");
  if (!read_lines (options->lines, &lines, error))
    return FALSE;
  number = td_book_credit_invoice (book, words[0], lines != NULL ? (const guint *) (gpointer) lines->data : NULL,
                                   lines != NULL ? lines->len : 0, options->again, options->reason, options->day, error);
  return number != NULL && print_one (book, number, options, error);
}

gboolean
td_ctl_invoice_pay (TdBook *book, const TdCtlInvoice *options, char **words, GError **error)
{
  g_autoptr (TdInvoiceRecord) record = NULL;
  gint64 amount = 0;

  if (options->amount == NULL)
    return misuse (error, "say what was paid: --amount 12.50");
  record = td_book_load_invoice (book, words[0], error);
  if (record == NULL)
    return FALSE;
  if (!td_money_parse (options->amount, record->row->currency, &amount, NULL) || amount == 0)
    return misuse (error, "--amount takes a sum with a point and at most the currency's decimals, other than 0");
  return td_book_pay_invoice (book, words[0], amount, options->day, options->text, error)
         && print_one (book, words[0], options, error);
}

gboolean
td_ctl_invoice_hold (TdBook *book, const TdCtlInvoice *options, char **words, GError **error)
{
  TdUuid visit;

  if (options->release == (options->reason != NULL))
    return misuse (error, "say why it is held, --reason TEXT, or let it go, --release");
  if (options->reason != NULL && *options->reason == '\0')
    return misuse (error, "--reason is empty");
  if (!td_ctl_find_visit (book, words[0], &visit, error))
    return FALSE;
  return options->release ? td_book_release_visit (book, &visit, error)
                          : td_book_hold_visit (book, &visit, options->reason, error);
}

gboolean
td_ctl_invoice_series (TdBook *book, const TdCtlInvoice *options, char **words, GError **error)
{
  gboolean here = FALSE;
  g_autofree char *prefix = NULL;

  (void) words;
  if ((options->prefix != NULL || options->here) && !td_book_set_invoice_series (book, options->prefix, error))
    return FALSE;
  prefix = td_book_get_invoice_series (book, &here, error);
  if (prefix == NULL)
    return FALSE;
  printf ("prefix %s, numbered by %s\n", prefix, here ? "this copy of the book" : "another copy of the book");
  return TRUE;
}
