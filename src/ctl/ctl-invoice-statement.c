/* invoice statement: what an account was invoiced and has paid. */
#include "ctl-invoice.h"

#include "core-money.h"
#include "document-invoice.h"
#include "document-words.h"
#include "store-master.h"

#include <stdio.h>

/* A year back, where the first day is not given. */
#define STANDARD_MONTHS 12
#define DAY_MS G_GINT64_CONSTANT (86400000)

static void
build_line (TdJsonBuilder *builder, const TdStatementLine *line)
{
  td_json_builder_begin_object (builder);
  td_json_builder_member_date (builder, "date", line->day);
  td_json_builder_member_string (builder, "kind", line->kind);
  td_json_builder_member_string (builder, "number", line->number);
  td_json_builder_member_string (builder, "bill_to", line->bill_to);
  td_json_builder_member_date (builder, "due", line->due);
  td_json_builder_member_string (builder, "currency", line->currency);
  td_json_builder_member_integer (builder, "amount_minor", line->amount_minor);
  td_json_builder_member_integer (builder, "balance_minor", line->balance_minor);
  td_json_builder_member_string (builder, "text", line->text);
  td_json_builder_end (builder);
}

static gboolean
print_json (const TdAccountStatement *statement, GError **error)
{
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();
  g_autofree char *from = td_date_to_text (statement->from);
  g_autofree char *to = td_date_to_text (statement->to);

  td_json_builder_begin_object (builder);
  td_json_builder_member_string (builder, "account", statement->account);
  td_json_builder_member_string (builder, "from", from);
  td_json_builder_member_string (builder, "to", to);
  td_json_builder_key (builder, "balances");
  td_json_builder_begin_array (builder);
  for (guint i = 0; i < statement->balances->len; i++)
    {
      const TdStatementBalance *balance = &g_array_index (statement->balances, TdStatementBalance, i);

      td_json_builder_begin_object (builder);
      td_json_builder_member_string (builder, "currency", balance->currency);
      td_json_builder_member_integer (builder, "opening_minor", balance->opening_minor);
      td_json_builder_member_integer (builder, "closing_minor", balance->closing_minor);
      td_json_builder_end (builder);
    }
  td_json_builder_end (builder);
  td_json_builder_key (builder, "lines");
  td_json_builder_begin_array (builder);
  for (guint i = 0; i < statement->lines->len; i++)
    build_line (builder, &g_array_index (statement->lines, TdStatementLine, i));
  td_json_builder_end (builder);
  td_json_builder_end (builder);
  return td_ctl_invoice_put (builder, NULL, error);
}

static void
print_text (const TdAccountStatement *statement)
{
  for (guint i = 0; i < statement->lines->len; i++)
    {
      const TdStatementLine *line = &g_array_index (statement->lines, TdStatementLine, i);
      g_autofree char *day = td_date_to_text (line->day);
      g_autofree char *amount = td_money_to_text (line->amount_minor, line->currency);
      g_autofree char *balance = td_money_to_text (line->balance_minor, line->currency);

      printf ("%s  %-11s  %s  %14s  balance %14s\n", day, line->kind, line->number, amount, balance);
    }
}

static gboolean
write_pdf (TdBook *book, const TdAccountStatement *statement, const TdCtlInvoice *options, GError **error)
{
  g_autoptr (TdMasters) masters = td_book_get_masters (book, error);
  g_autoptr (TdFonts) fonts = masters != NULL ? td_fonts_new (td_document_language (), error) : NULL;
  g_autoptr (GPtrArray) documents = g_ptr_array_new_with_free_func ((GDestroyNotify) td_pages_free);
  g_autofree char *title = g_strdup_printf ("Statement of account, %s", statement->account);
  TdPages *pages;

  if (fonts == NULL)
    return FALSE;
  pages = td_statement_to_pages (statement, masters, fonts, options->paper_kind, error);
  if (pages == NULL)
    return FALSE;
  g_ptr_array_add (documents, pages);
  return td_ctl_invoice_write (documents, options->out, title, masters->company, (gint64) statement->to * DAY_MS, error);
}

gboolean
td_ctl_invoice_statement (TdBook *book, const TdCtlInvoice *options, char **words, GError **error)
{
  g_autofree char *account = td_ctl_invoice_find_account (book, words[0], error);
  TdDate to = options->to_day != TD_DATE_NONE ? options->to_day : options->day;
  TdDate from = options->from_day != TD_DATE_NONE ? options->from_day : td_date_add_months (to, -STANDARD_MONTHS);
  g_autoptr (TdAccountStatement) statement = NULL;

  if (account == NULL)
    return FALSE;
  if (from > to)
    {
      g_set_error_literal (error, G_OPTION_ERROR, G_OPTION_ERROR_BAD_VALUE, "--from lies behind --to");
      return FALSE;
    }
  statement = td_book_make_statement (book, account, from, to, error);
  if (statement == NULL)
    return FALSE;
  if (options->out != NULL && !write_pdf (book, statement, options, error))
    return FALSE;
  if (options->json)
    return print_json (statement, error);
  if (options->out == NULL)
    print_text (statement);
  return TRUE;
}
