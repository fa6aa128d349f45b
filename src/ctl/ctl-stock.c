/* stock: what came, went and was counted. */
#include "ctl-commands.h"
#include "ctl-stock-book.h"

#include "core-money.h"
#include "store-safety.h"
#include "store-stock.h"

#include <stdio.h>
#include <string.h>

#define NOT_GIVEN (-1)

static void
clear (TdCtlStockOptions *options)
{
  td_ctl_book_options_clear (&options->book);
  g_free (options->place);
  g_free (options->to);
  g_free (options->product);
  g_free (options->lot);
  g_free (options->code);
  g_free (options->expiry);
  g_free (options->reason);
  g_free (options->person);
  g_free (options->at);
  g_free (options->cost);
  g_free (options->currency);
  g_free (options->name);
  g_free (options->van);
  g_free (options->site);
  g_free (options->line);
  g_free (options->file);
  g_free (options->revised);
}

G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (TdCtlStockOptions, clear)

gboolean
td_ctl_stock_get_moment (TdBook *book, const TdCtlStockOptions *options, TdMoment *moment_out, GError **error)
{
  if (options->at == NULL)
    {
      *moment_out = (TdMoment) { td_clock_get_now_ms (td_book_get_clock (book)), 0 };
      return TRUE;
    }
  if (td_moment_parse (options->at, moment_out, error))
    return TRUE;
  g_prefix_error (error, "--at: ");
  return FALSE;
}

/* ---- movements ---- */

static const char *
find_missing (const TdCtlStockOptions *options, TdMoveKind kind)
{
  if (options->product == NULL)
    return "--product";
  if (options->amount_ml == NOT_GIVEN)
    return "--amount-ml";
  if (options->person == NULL)
    return "--person";
  return kind == TD_MOVE_TRANSFER && options->to == NULL ? "--to" : NULL;
}

static gboolean
fill_draft (TdBook *book, const TdCtlStockOptions *options, TdStockDraft *draft, GError **error)
{
  draft->place = options->place != NULL ? options->place : TD_STORE_ID;
  draft->to = options->to;
  draft->product = options->product;
  draft->lot = options->lot;
  draft->lot_code = options->code;
  draft->lot_expiry = TD_DATE_NONE;
  draft->amount_ml = options->amount_ml;
  draft->container_ml = options->container_ml;
  draft->cost_minor = -1;
  draft->currency = options->currency != NULL ? options->currency : "EUR";
  draft->reason = options->reason;
  draft->person = options->person;
  if (options->expiry != NULL && !td_date_parse (options->expiry, &draft->lot_expiry, error))
    {
      g_prefix_error (error, "--expiry: ");
      return FALSE;
    }
  if (options->cost != NULL && !td_money_parse (options->cost, draft->currency, &draft->cost_minor, error))
    {
      g_prefix_error (error, "--cost: ");
      return FALSE;
    }
  return td_ctl_stock_get_moment (book, options, &draft->happened, error);
}

static TdCtlStatus
move (const TdCtlInfo *info, TdBook *book, const TdCtlStockOptions *options, TdMoveKind kind)
{
  TdStockDraft draft = { .kind = kind };
  const char *missing = find_missing (options, kind);
  gint64 adjusted = 0;
  GError *error = NULL;

  if (missing != NULL)
    return td_ctl_misuse (info, "%s is missing", missing);
  if (!fill_draft (book, options, &draft, &error) || !td_book_add_movement (book, &draft, &adjusted, &error))
    return td_ctl_refuse (info, error);
  printf ("%s: %s, %" G_GINT64_FORMAT " mL of %s", td_move_kind_to_text (kind), draft.place, draft.amount_ml,
          draft.product);
  if (draft.lot != NULL)
    printf (", lot %s", draft.lot);
  if (kind == TD_MOVE_COUNT)
    printf (" (%+" G_GINT64_FORMAT " mL against the book)", adjusted);
  putchar ('\n');
  return TD_CTL_DONE;
}

/* ---- places ---- */

static TdCtlStatus
put_place (const TdCtlInfo *info, TdBook *book, const TdCtlStockOptions *options)
{
  TdMoment moment;
  GError *error = NULL;

  if (options->place == NULL)
    return td_ctl_misuse (info, "--place is missing");
  if (!td_ctl_stock_get_moment (book, options, &moment, &error)
      || !td_book_put_place (book, options->place, options->name != NULL ? options->name : options->place,
                             options->van != NULL, &error)
      || (options->van != NULL
          && !td_book_assign_place (book, options->van, options->place, td_moment_get_date (&moment), &error)))
    return td_ctl_refuse (info, error);
  printf ("%s: %s\n", options->place, options->van != NULL ? "a van" : "a store");
  return TD_CTL_DONE;
}

/* ---- products and lots ---- */

static TdCtlStatus
add_sheet (const TdCtlInfo *info, TdBook *book, const TdCtlStockOptions *options)
{
  g_autofree char *text = NULL;
  g_autoptr (GBytes) bytes = NULL;
  gsize length = 0;
  TdDate revised = TD_DATE_NONE;
  GError *error = NULL;

  if (options->product == NULL || options->file == NULL || options->revised == NULL)
    return td_ctl_misuse (info, "say which --product, its --file and the date --revised");
  if (!td_date_parse (options->revised, &revised, &error))
    {
      g_prefix_error (&error, "--revised: ");
      return td_ctl_refuse (info, error);
    }
  if (!td_ctl_read_file (options->file, &text, &length, &error))
    return td_ctl_refuse (info, error);
  bytes = g_bytes_new_take (g_steal_pointer (&text), length);
  if (!td_book_add_safety_sheet (book, options->product, bytes, revised, &error))
    return td_ctl_refuse (info, error);
  printf ("%s: safety data sheet of %s kept\n", options->product, options->revised);
  return TD_CTL_DONE;
}

static TdCtlStatus
recall (const TdCtlInfo *info, TdBook *book, const TdCtlStockOptions *options)
{
  GError *error = NULL;

  if (options->lot == NULL)
    return td_ctl_misuse (info, "--lot is missing");
  if (!td_book_recall_lot (book, options->lot, !options->off, &error))
    return td_ctl_refuse (info, error);
  printf ("%s: %s\n", options->lot, options->off ? "no longer recalled" : "recalled");
  return TD_CTL_DONE;
}

static TdCtlStatus
run_word (const TdCtlInfo *info, TdBook *book, const TdCtlStockOptions *options, const char *word)
{
  static const struct
  {
    const char *word;
    TdMoveKind kind;
  } moves[] = { { "receive", TD_MOVE_RECEIPT },
                { "transfer", TD_MOVE_TRANSFER },
                { "dispose", TD_MOVE_DISPOSAL },
                { "count", TD_MOVE_COUNT } };
  static const struct
  {
    const char *word;
    TdCtlStatus (*run) (const TdCtlInfo *info, TdBook *book, const TdCtlStockOptions *options);
  } others[] = { { "place", put_place },
                 { "list", td_ctl_stock_list },
                 { "trace", td_ctl_stock_trace },
                 { "moment", td_ctl_stock_moment },
                 { "sheet", add_sheet },
                 { "recall", recall } };

  for (gsize i = 0; i < G_N_ELEMENTS (moves); i++)
    if (strcmp (moves[i].word, word) == 0)
      return move (info, book, options, moves[i].kind);
  for (gsize i = 0; i < G_N_ELEMENTS (others); i++)
    if (strcmp (others[i].word, word) == 0)
      return others[i].run (info, book, options);
  return td_ctl_misuse (info, "'%s' is none of receive, transfer, dispose, count, place, list, trace, moment, sheet, "
                              "recall", word);
}

TdCtlStatus
td_ctl_stock (const TdCtlInfo *info, int argc, char **argv)
{
  g_auto (TdCtlStockOptions) o = { .amount_ml = NOT_GIVEN };
  const GOptionEntry entries[] = {
    TD_CTL_BOOK_ENTRIES (&o.book),
    { "place", 0, 0, G_OPTION_ARG_STRING, &o.place, "Where (default: the store)", "PLACE" },
    { "to", 0, 0, G_OPTION_ARG_STRING, &o.to, "Of a transfer: to where", "PLACE" },
    { "product", 0, 0, G_OPTION_ARG_STRING, &o.product, "Of what, by id", "PRODUCT" },
    { "lot", 0, 0, G_OPTION_ARG_STRING, &o.lot, "Of which lot, by id", "LOT" },
    { "amount-ml", 0, 0, G_OPTION_ARG_INT64, &o.amount_ml, "How much; of a count: what is there", "ML" },
    { "container-ml", 0, 0, G_OPTION_ARG_INT64, &o.container_ml, "Size of one package", "ML" },
    { "code", 0, 0, G_OPTION_ARG_STRING, &o.code, "Of a receipt: makes the lot, with this code", "CODE" },
    { "expiry", 0, 0, G_OPTION_ARG_STRING, &o.expiry, "And with this expiry", "DATE" },
    { "cost", 0, 0, G_OPTION_ARG_STRING, &o.cost, "Of a receipt: what it cost", "MONEY" },
    { "currency", 0, 0, G_OPTION_ARG_STRING, &o.currency, "Of the cost (default EUR)", "CODE" },
    { "reason", 0, 0, G_OPTION_ARG_STRING, &o.reason, "Why", "TEXT" },
    { "person", 0, 0, G_OPTION_ARG_STRING, &o.person, "Who did it", "TECHNICIAN" },
    { "at", 0, 0, G_OPTION_ARG_STRING, &o.at, "When (default: now)", "TIME" },
    { "name", 0, 0, G_OPTION_ARG_STRING, &o.name, "Of a place: its name", "NAME" },
    { "van", 0, 0, G_OPTION_ARG_STRING, &o.van, "Of a place: the van that this person takes from", "TECHNICIAN" },
    { "site", 0, 0, G_OPTION_ARG_STRING, &o.site, "Of a trace or moment: the site, by id", "SITE" },
    { "line", 0, 0, G_OPTION_ARG_STRING, &o.line, "And the line, by id", "LINE" },
    { "file", 0, 0, G_OPTION_ARG_FILENAME, &o.file, "Of a sheet: the safety data sheet", "FILE.pdf" },
    { "revised", 0, 0, G_OPTION_ARG_STRING, &o.revised, "And the date of its revision", "DATE" },
    { "off", 0, 0, G_OPTION_ARG_NONE, &o.off, "Of a recall: it is over", NULL },
    { "json", 0, 0, G_OPTION_ARG_NONE, &o.json, "Print JSON", NULL },
    { NULL }
  };
  g_auto (GStrv) words = NULL;
  g_autoptr (TdBook) book = NULL;
  GError *error = NULL;
  TdCtlStatus status;

  if (!td_ctl_parse (info, entries, argc, argv, 1, 1, &words, &status))
    return status;
  book = td_ctl_open_book_reading (&o.book, &error);
  if (book == NULL)
    return td_ctl_refuse (info, error);
  return run_word (info, book, &o, words[0]);
}
