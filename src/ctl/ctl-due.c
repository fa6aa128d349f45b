/* due: what is due and overdue. */
#include "ctl-due.h"
#include "ctl-commands.h"

#include "core-json-build.h"
#include "core-plan-make.h"
#include "store-due.h"
#include "store-query.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* Whole minutes of the plan for the site, for one technician; a site that cannot be planned has none. Each
 * site is planned once, whatever it is due for. @minutes: site id to minutes + 2, 1 for none. */
static int
plan_minutes (TdBook *book, const char *site_id, GHashTable *minutes)
{
  int known = GPOINTER_TO_INT (g_hash_table_lookup (minutes, site_id));

  if (known == 0)
    {
      g_autoptr (TdSite) site = td_book_get_site (book, site_id, NULL);
      g_autoptr (TdPlan) plan = site != NULL ? td_plan_make (site, NULL, NULL) : NULL;

      known = plan != NULL && !isnan (plan->minutes) ? (int) ceil (plan->minutes) + 2 : 1;
      g_hash_table_insert (minutes, g_strdup (site_id), GINT_TO_POINTER (known));
    }
  return known - 2;
}

static void
add_minutes (TdBook *book, const GPtrArray *rows)
{
  g_autoptr (GHashTable) minutes = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);

  for (guint i = 0; i < rows->len; i++)
    {
      TdDueRow *row = g_ptr_array_index (rows, i);

      if (row->minutes < 0)
        row->minutes = plan_minutes (book, row->site_id, minutes);
    }
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
      g_autofree char *planned = td_date_to_text (row->planned);
      td_json_builder_member_string (builder, "planned", planned);
      td_json_builder_member_integer (builder, "missed", row->missed);
      td_json_builder_member_string (builder, "reason", row->reason);
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
  static const char *const words[2][2] = { { "days", "day" }, { "days over", "day over" } };

  for (guint i = 0; i < rows->len; i++)
    {
      const TdDueRow *row = g_ptr_array_index (rows, i);
      g_autofree char *due = td_date_to_text (row->due);
      g_autofree char *last = row->last != TD_DATE_NONE ? td_date_to_text (row->last) : g_strdup ("never");

      printf ("%s  %5d %-9s  %-11s  %s, %s (last %s)", due, ABS (row->days), words[row->days < 0][ABS (row->days) == 1],
              td_task_to_text (row->task), row->account, row->site, last);
      if (row->planned != row->due)
        {
          g_autofree char *planned = td_date_to_text (row->planned);

          printf (", moved to %s", planned);
        }
      if (row->missed > 0)
        printf (", missed %u time%s", row->missed, row->missed == 1 ? "" : "s");
      printf ("%s%s\n", row->reason != NULL ? ": " : "", row->reason != NULL ? row->reason : "");
    }
}

static void
clear_options (TdCtlDue *options)
{
  td_ctl_book_options_clear (&options->book);
  g_free (options->calendar);
  g_free (options->day);
  g_free (options->to);
  g_free (options->technician);
  g_free (options->reason);
  g_free (options->person);
  g_free (options->out);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (TdCtlDue, clear_options)

static TdCtlStatus
list (const TdCtlInfo *info, TdBook *book, const TdCtlDue *options)
{
  GError *error = NULL;
  g_autoptr (GPtrArray) rows = td_book_list_due (book, td_clock_get_now_ms (td_book_get_clock (book)), &error);

  if (rows == NULL || (options->calendar != NULL && !td_ctl_due_calendar (book, rows, options->calendar, &error)))
    return td_ctl_refuse (info, error);
  add_minutes (book, rows);
  if (options->json)
    return print_json (info, rows);
  print_table (rows);
  return TD_CTL_DONE;
}

TdCtlStatus
td_ctl_due (const TdCtlInfo *info, int argc, char **argv)
{
  g_auto (TdCtlDue) o = { 0 };
  const GOptionEntry entries[] = {
    TD_CTL_BOOK_ENTRIES (&o.book),
    { "json", 0, 0, G_OPTION_ARG_NONE, &o.json, "Print JSON", NULL },
    { "ics", 0, 0, G_OPTION_ARG_FILENAME, &o.calendar, "Write the round as a calendar (iCalendar)", "FILE" },
    { "day", 0, 0, G_OPTION_ARG_STRING, &o.day, "The sheet of this day; of miss and move: the day that was planned", "DATE" },
    { "technician", 0, 0, G_OPTION_ARG_STRING, &o.technician, "Whose sheet", "ID" },
    { "output", 'o', 0, G_OPTION_ARG_FILENAME, &o.out, "Write the sheet as PDF", "FILE" },
    { "to", 0, 0, G_OPTION_ARG_STRING, &o.to, "move: the day that it is moved to", "DATE" },
    { "reason", 0, 0, G_OPTION_ARG_STRING, &o.reason, "miss, move: why", "TEXT" },
    { "person", 0, 0, G_OPTION_ARG_STRING, &o.person, "miss, move: who writes it down", "ID" },
    { "theirs", 0, 0, G_OPTION_ARG_NONE, &o.theirs, "miss: it was the customer's doing; a contract counts it as made", NULL },
    { NULL }
  };
  g_auto (GStrv) words = NULL;
  g_autoptr (TdBook) book = NULL;
  GError *error = NULL;
  TdCtlStatus status;

  if (!td_ctl_parse (info, entries, argc, argv, 0, 2, &words, &status))
    return status;
  gboolean writes = words[0] != NULL || o.calendar != NULL;
  book = writes ? td_ctl_open_book (&o.book, &error) : td_ctl_open_book_reading (&o.book, &error);
  if (book == NULL)
    return td_ctl_refuse (info, error);
  if (words[0] != NULL)
    return td_ctl_due_note (info, book, &o, (const char *const *) words);
  if (o.day != NULL || o.technician != NULL || o.out != NULL)
    return td_ctl_due_day (info, book, &o);
  return list (info, book, &o);
}
