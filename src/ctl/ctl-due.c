/* due: what is due and overdue. */
#include "ctl-book.h"
#include "ctl-commands.h"

#include "core-json-build.h"
#include "store-due.h"

#include <stdio.h>
#include <string.h>

static TdCtlStatus
print_json (const TdCtlInfo *info, const GPtrArray *rows)
{
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();
  g_autoptr (TdJson) json = NULL;
  g_autofree char *text = NULL;
  GError *error = NULL;

  td_json_builder_begin_array (builder);
  for (guint i = 0; i < rows->len; i++)
    {
      const TdDueRow *row = g_ptr_array_index (rows, i);
      g_autofree char *last = row->last != TD_DATE_NONE ? td_date_to_text (row->last) : NULL;
      g_autofree char *due = td_date_to_text (row->due);

      td_json_builder_begin_object (builder);
      td_json_builder_member_string (builder, "account", row->account);
      td_json_builder_member_string (builder, "site", row->site);
      td_json_builder_member_string (builder, "task", td_task_to_text (row->task));
      td_json_builder_member_string (builder, "last", last);
      td_json_builder_member_string (builder, "due", due);
      td_json_builder_member_integer (builder, "days", row->days);
      if (row->minutes >= 0)
        td_json_builder_member_integer (builder, "minutes", row->minutes);
      else
        td_json_builder_member_null (builder, "minutes");
      td_json_builder_end (builder);
    }
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
      const TdDueRow *row = g_ptr_array_index (rows, i);
      g_autofree char *due = td_date_to_text (row->due);
      g_autofree char *last = row->last != TD_DATE_NONE ? td_date_to_text (row->last) : g_strdup ("never");

      printf ("%s  %5d %s  %-11s  %s, %s (last %s)\n", due, ABS (row->days), row->days < 0 ? "days over" : "days     ",
              td_task_to_text (row->task), row->account, row->site, last);
    }
}

TdCtlStatus
td_ctl_due (const TdCtlInfo *info, int argc, char **argv)
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
  book = td_ctl_open_book (&options, &error);
  if (book == NULL)
    return td_ctl_refuse (info, error);
  rows = td_book_list_due (book, td_clock_get_now_ms (td_book_get_clock (book)), &error);
  if (rows == NULL)
    return td_ctl_refuse (info, error);
  if (json)
    return print_json (info, rows);
  print_table (rows);
  return TD_CTL_DONE;
}
