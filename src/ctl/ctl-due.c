/* due: what is due and overdue. */
#include "ctl-book.h"
#include "ctl-commands.h"

#include "core-json-build.h"
#include "core-plan-make.h"
#include "exchange-calendar.h"
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

      printf ("%s  %5d %-9s  %-11s  %s, %s (last %s)\n", due, ABS (row->days), words[row->days < 0][ABS (row->days) == 1],
              td_task_to_text (row->task), row->account, row->site, last);
    }
}

static const char *const SUMMARIES[TD_N_TASKS] = {
  [TD_TASK_CAUSTIC] = "Caustic clean",
  [TD_TASK_ACID] = "Acid clean",
  [TD_TASK_FAUCETS] = "Faucets stripped",
  [TD_TASK_FOB_COUPLER] = "FOBs and couplers stripped",
  [TD_TASK_HOSE] = "Jumper hoses renewed",
};

/* One whole day a row. What is overdue stands at today: nobody looks at the days gone by.
 * The strings that @appointment points to go into @texts. */
static void
fill_appointment (TdAppointment *appointment, const TdDueRow *row, const char *book_id, gint64 now_ms,
                  GPtrArray *texts)
{
  g_autofree char *due = td_date_to_text (row->due);
  char *uid = g_strdup_printf ("%s.%s.%s", td_task_to_text (row->task), row->site_id, book_id);
  char *summary = g_strdup_printf ("%s: %s, %s", SUMMARIES[row->task], row->account, row->site);
  char *description = g_strdup_printf (row->days < 0 ? "Overdue since %s" : "Due on %s", due);

  g_ptr_array_add (texts, uid);
  g_ptr_array_add (texts, summary);
  g_ptr_array_add (texts, description);
  *appointment = (TdAppointment){
    .uid = uid,
    /* Minutes since 1970: a later export always counts as the newer one, whatever moved. */
    .sequence = (guint) (now_ms / 60000),
    .changed_ms = now_ms,
    .date = row->days < 0 ? row->due - row->days : row->due,
    .summary = summary,
    .location = row->site,
    .description = description,
  };
}

static gboolean
write_calendar (TdBook *book, const GPtrArray *rows, const char *path, GError **error)
{
  g_autofree TdAppointment *appointments = g_new0 (TdAppointment, MAX (rows->len, 1));
  g_autoptr (GPtrArray) texts = g_ptr_array_new_with_free_func (g_free);
  g_autofree char *text = NULL;
  g_autofree char *book_id = NULL;
  TdUuid id;

  td_book_get_id (book, &id);
  book_id = td_uuid_to_text (&id);
  for (guint i = 0; i < rows->len; i++)
    fill_appointment (&appointments[i], g_ptr_array_index (rows, i), book_id,
                      td_clock_get_now_ms (td_book_get_clock (book)), texts);
  text = td_calendar_write ("Round", appointments, rows->len, error);
  return text != NULL && g_file_set_contents (path, text, -1, error);
}

TdCtlStatus
td_ctl_due (const TdCtlInfo *info, int argc, char **argv)
{
  g_auto (TdCtlBookOptions) options = { NULL, NULL };
  g_autofree char *calendar = NULL;
  gboolean json = FALSE;
  const GOptionEntry entries[] = {
    TD_CTL_BOOK_ENTRIES (&options),
    { "json", 0, 0, G_OPTION_ARG_NONE, &json, "Print JSON", NULL },
    { "ics", 0, 0, G_OPTION_ARG_FILENAME, &calendar, "Write the round as a calendar (iCalendar)", "FILE" },
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
  rows = td_book_list_due (book, td_clock_get_now_ms (td_book_get_clock (book)), &error);
  if (rows == NULL || (calendar != NULL && !write_calendar (book, rows, calendar, &error)))
    return td_ctl_refuse (info, error);
  add_minutes (book, rows);
  if (json)
    return print_json (info, rows);
  print_table (rows);
  return TD_CTL_DONE;
}
