/* visits: the list of visits. */
#include "ctl-book.h"
#include "ctl-commands.h"

#include "core-json-build.h"
#include "store-query.h"

#include <stdio.h>
#include <string.h>

static void
add_visit (TdJsonBuilder *builder, const TdVisitRow *row)
{
  g_autofree char *id = td_uuid_to_text (&row->id);
  g_autofree char *amended = row->amended ? td_uuid_to_text (&row->amended_by) : NULL;
  g_autofree char *amends = row->amends ? td_uuid_to_text (&row->amends_id) : NULL;
  g_autofree char *date = td_date_to_text (row->date);

  td_json_builder_begin_object (builder);
  td_json_builder_member_string (builder, "id", id);
  td_json_builder_member_string (builder, "number", row->number);
  td_json_builder_member_string (builder, "account", row->account);
  td_json_builder_member_string (builder, "site", row->site);
  td_json_builder_member_string (builder, "site_id", row->site_id);
  td_json_builder_member_string (builder, "person", row->person);
  td_json_builder_member_string (builder, "date", date);
  td_json_builder_member_string (builder, "state", row->closed ? "closed" : "open");
  td_json_builder_member_string (builder, "amends", amends);
  td_json_builder_member_string (builder, "amended_by", amended);
  td_json_builder_member_integer (builder, "entries", row->entries);
  td_json_builder_key (builder, "findings");
  td_json_builder_begin_object (builder);
  for (int s = TD_SEVERITY_STOP; s <= TD_SEVERITY_ADVICE; s++)
    td_json_builder_member_integer (builder, td_severity_to_text ((TdSeverity) s), row->findings[s]);
  td_json_builder_end (builder);
  td_json_builder_end (builder);
}

static TdCtlStatus
print_json (const TdCtlInfo *info, const GPtrArray *rows)
{
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();
  g_autoptr (TdJson) json = NULL;
  g_autofree char *text = NULL;
  GError *error = NULL;

  td_json_builder_begin_array (builder);
  for (guint i = 0; i < rows->len; i++)
    add_visit (builder, g_ptr_array_index (rows, i));
  td_json_builder_end (builder);
  json = td_json_builder_finish (builder);
  text = td_json_to_text (json, TRUE);
  return td_ctl_print (text, strlen (text), &error) ? TD_CTL_DONE : td_ctl_refuse (info, error);
}

static void
print_table (const GPtrArray *rows)
{
  for (guint i = 0; i < rows->len; i++)
    {
      const TdVisitRow *row = g_ptr_array_index (rows, i);
      char id[TD_UUID_TEXT_LENGTH + 1];
      g_autofree char *date = td_date_to_text (row->date);

      td_uuid_format (&row->id, id);
      printf ("%s  %s  %-10s  %-6s  %s, %s", id, date, row->number != NULL ? row->number : "-",
              row->amended ? "amended" : row->closed ? "closed" : "open", row->account, row->site);
      if (row->findings[TD_SEVERITY_STOP] > 0)
        printf ("  (%u in the way of closing)", row->findings[TD_SEVERITY_STOP]);
      putchar ('\n');
    }
}

TdCtlStatus
td_ctl_visits (const TdCtlInfo *info, int argc, char **argv)
{
  g_auto (TdCtlBookOptions) options = { NULL, NULL };
  gboolean json = FALSE;
  const GOptionEntry entries[] = {
    TD_CTL_BOOK_ENTRIES (&options),
    { "json", 0, 0, G_OPTION_ARG_NONE, &json, "Print JSON", NULL },
    { NULL }
  };
  g_auto (GStrv) words = NULL;
  g_autoptr (TdBook) book = NULL;
  g_autoptr (GPtrArray) rows = NULL;
  GError *error = NULL;
  TdCtlStatus status;

  if (!td_ctl_parse (info, entries, argc, argv, 0, 0, &words, &status))
    return status;
  book = td_ctl_open_book_reading (&options, &error);
  if (book == NULL)
    return td_ctl_refuse (info, error);
  rows = td_book_list_visits (book, NULL, &error);
  if (rows == NULL)
    return td_ctl_refuse (info, error);
  if (json)
    return print_json (info, rows);
  print_table (rows);
  return TD_CTL_DONE;
}
