/* stock list, trace, moment: what is there, where a lot went, what was in a line. */
#include "ctl-stock-book.h"

#include "core-json-build.h"
#include "store-stock.h"
#include "store-trace.h"

#include <stdio.h>
#include <string.h>

static TdCtlStatus
print_json (const TdCtlInfo *info, TdJsonBuilder *builder)
{
  g_autoptr (TdJson) json = td_json_builder_finish (builder);
  g_autofree char *text = td_json_to_text (json, TRUE);
  GError *error = NULL;

  return td_ctl_print (text, strlen (text), &error) ? TD_CTL_DONE : td_ctl_refuse (info, error);
}

/* null where @ms is 0 */
static void
add_time (TdJsonBuilder *builder, const char *key, gint64 ms)
{
  const TdMoment moment = { ms, 0 };
  g_autofree char *text = ms != 0 ? td_moment_to_text (&moment) : NULL;

  td_json_builder_member_string (builder, key, text);
}

static void
add_visit (TdJsonBuilder *builder, gboolean has, const TdUuid *visit, const char *number)
{
  g_autofree char *id = has ? td_uuid_to_text (visit) : NULL;

  td_json_builder_member_string (builder, "visit", id);
  td_json_builder_member_string (builder, "number", number);
}

static gboolean
is_asked (const TdStockCell *cell, const TdCtlStockOptions *options)
{
  return (options->place == NULL || strcmp (options->place, cell->place) == 0)
         && (options->product == NULL || strcmp (options->product, cell->product) == 0)
         && (options->lot == NULL || g_strcmp0 (options->lot, cell->lot) == 0);
}

static void
print_cells (const GArray *cells, const TdCtlStockOptions *options)
{
  for (guint i = 0; i < cells->len; i++)
    {
      const TdStockCell *cell = &g_array_index (cells, TdStockCell, i);

      if (is_asked (cell, options))
        printf ("%-16s %-20s %-16s %10" G_GINT64_FORMAT " mL%s\n", cell->place, cell->product,
                cell->lot != NULL ? cell->lot : "-", cell->ml, cell->ml < 0 ? "  NEGATIVE" : "");
    }
}

TdCtlStatus
td_ctl_stock_list (const TdCtlInfo *info, TdBook *book, const TdCtlStockOptions *options)
{
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();
  g_autoptr (TdStock) stock = NULL;
  g_autoptr (GArray) cells = NULL;
  TdMoment moment;
  GError *error = NULL;

  if (!td_ctl_stock_get_moment (book, options, &moment, &error)
      || (stock = td_book_get_stock (book, td_moment_get_date (&moment), &error)) == NULL)
    return td_ctl_refuse (info, error);
  cells = td_stock_list_balances (stock, td_moment_get_date (&moment));
  if (!options->json)
    {
      print_cells (cells, options);
      return TD_CTL_DONE;
    }
  td_json_builder_begin_array (builder);
  for (guint i = 0; i < cells->len; i++)
    {
      const TdStockCell *cell = &g_array_index (cells, TdStockCell, i);

      if (!is_asked (cell, options))
        continue;
      td_json_builder_begin_object (builder);
      td_json_builder_member_string (builder, "place", cell->place);
      td_json_builder_member_string (builder, "product_id", cell->product);
      td_json_builder_member_string (builder, "lot", cell->lot);
      td_json_builder_member_integer (builder, "balance_ml", cell->ml);
      td_json_builder_end (builder);
    }
  td_json_builder_end (builder);
  return print_json (info, builder);
}

static void
print_trace (const TdTraceRow *row)
{
  const TdMoment at = { row->at_ms, 0 };
  g_autofree char *when = td_moment_to_text (&at);

  printf ("%s  %-9s %-18s %8" G_GINT64_FORMAT " mL  ", when, row->kind, row->lot != NULL ? row->lot : "-",
          row->amount_ml);
  if (row->has_visit)
    printf ("%s, line %s (%s)\n", row->site, row->line != NULL ? row->line : "-",
            row->number != NULL ? row->number : "open");
  else
    printf ("%s%s%s\n", row->place, row->to != NULL ? " to " : "", row->to != NULL ? row->to : "");
}

TdCtlStatus
td_ctl_stock_trace (const TdCtlInfo *info, TdBook *book, const TdCtlStockOptions *options)
{
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();
  g_autoptr (GPtrArray) rows = NULL;
  GError *error = NULL;

  if (options->lot == NULL && (options->site == NULL || options->line == NULL))
    return td_ctl_misuse (info, "say which --lot, or which --site and --line");
  rows = td_book_trace (book, options->lot, options->site, options->line, &error);
  if (rows == NULL)
    return td_ctl_refuse (info, error);
  td_json_builder_begin_array (builder);
  for (guint i = 0; i < rows->len; i++)
    {
      const TdTraceRow *row = g_ptr_array_index (rows, i);

      if (!options->json)
        print_trace (row);
      td_json_builder_begin_object (builder);
      td_json_builder_member_string (builder, "kind", row->kind);
      td_json_builder_member_string (builder, "lot", row->lot);
      td_json_builder_member_string (builder, "code", row->lot_code);
      td_json_builder_member_string (builder, "product", row->product);
      add_time (builder, "at", row->at_ms);
      td_json_builder_member_integer (builder, "amount_ml", row->amount_ml);
      td_json_builder_member_string (builder, "place", row->place);
      td_json_builder_member_string (builder, "to", row->to);
      add_visit (builder, row->has_visit, &row->visit, row->number);
      td_json_builder_member_string (builder, "site_id", row->site_id);
      td_json_builder_member_string (builder, "line", row->line);
      td_json_builder_end (builder);
    }
  td_json_builder_end (builder);
  return options->json ? print_json (info, builder) : TD_CTL_DONE;
}

static void
print_moment (const TdMomentRow *row, const char *line)
{
  if (!row->has_visit)
    printf ("No visit had begun by then.\n");
  else if (row->held)
    printf ("In %s stood %s, lot %s, mix %s (%s, %s), visit %s.\n", line, row->product != NULL ? row->product : "-",
            row->lot != NULL ? row->lot : "-", row->batch != NULL ? row->batch : "-", row->clean, row->method,
            row->number != NULL ? row->number : "open");
  else
    printf ("No chemical stood in %s.\n", line);
  if (row->tagged && row->lifted)
    printf ("Tag %s was lifted, %s stood at the outlet.\n", row->tag, row->person);
  else if (row->tagged)
    printf ("Tag %s of %s held its outlet.\n", row->tag, row->person);
  else if (row->has_visit)
    printf ("No tag held its outlet.\n");
}

static void
add_contents (TdJsonBuilder *builder, const TdMomentRow *row)
{
  td_json_builder_key (builder, "contents");
  if (!row->held)
    {
      td_json_builder_null (builder);
      return;
    }
  td_json_builder_begin_object (builder);
  td_json_builder_member_string (builder, "product_id", row->product);
  td_json_builder_member_string (builder, "lot", row->lot);
  td_json_builder_member_string (builder, "batch", row->batch);
  td_json_builder_member_string (builder, "clean", row->clean);
  td_json_builder_member_string (builder, "method", row->method);
  td_json_builder_member_integer (builder, "circuit", row->circuit);
  if (row->percent_milli >= 0)
    td_json_builder_member_integer (builder, "percent_milli", row->percent_milli);
  else
    td_json_builder_member_null (builder, "percent_milli");
  td_json_builder_member_string (builder, "basis", row->basis);
  add_time (builder, "in", row->in_ms);
  add_time (builder, "out", row->out_ms);
  td_json_builder_end (builder);
}

static void
add_control (TdJsonBuilder *builder, const TdMomentRow *row)
{
  td_json_builder_key (builder, "outlet");
  if (!row->tagged)
    {
      td_json_builder_null (builder);
      return;
    }
  td_json_builder_begin_object (builder);
  td_json_builder_member_string (builder, "tag", row->tag);
  td_json_builder_member_string (builder, "kind", row->tag_kind);
  td_json_builder_member_string (builder, "held_by", row->person);
  td_json_builder_member_boolean (builder, "lifted", row->lifted);
  add_time (builder, "since", row->from_ms);
  add_time (builder, "until", row->until_ms);
  td_json_builder_end (builder);
}

TdCtlStatus
td_ctl_stock_moment (const TdCtlInfo *info, TdBook *book, const TdCtlStockOptions *options)
{
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();
  g_autoptr (TdMomentRow) row = NULL;
  TdMoment moment;
  GError *error = NULL;

  if (options->site == NULL || options->line == NULL || options->at == NULL)
    return td_ctl_misuse (info, "say which --site, which --line and --at what time");
  if (!td_ctl_stock_get_moment (book, options, &moment, &error)
      || (row = td_book_find_moment (book, options->site, options->line, moment.utc_ms, &error)) == NULL)
    return td_ctl_refuse (info, error);
  if (!options->json)
    {
      print_moment (row, options->line);
      return TD_CTL_DONE;
    }
  td_json_builder_begin_object (builder);
  add_visit (builder, row->has_visit, &row->visit, row->number);
  add_contents (builder, row);
  add_control (builder, row);
  td_json_builder_end (builder);
  return print_json (info, builder);
}
