/* due, as a calendar. */
#include "ctl-due.h"

#include "exchange-calendar.h"
#include "store-calendar.h"
#include "store-due.h"

static const char *const SUMMARIES[TD_N_TASKS] = {
  [TD_TASK_CAUSTIC] = "Caustic clean",
  [TD_TASK_ACID] = "Acid clean",
  [TD_TASK_FAUCETS] = "Faucets stripped",
  [TD_TASK_FOB_COUPLER] = "FOBs and couplers stripped",
  [TD_TASK_HOSE] = "Jumper hoses renewed",
};

static char *
describe (const TdDueRow *row)
{
  g_autofree char *due = td_date_to_text (row->due);
  GString *text = g_string_new (NULL);

  g_string_append_printf (text, row->days < 0 ? "Overdue since %s" : "Due on %s", due);
  gboolean moved = row->planned != row->due, missed = row->missed > 0 && row->days <= 0;

  if (moved)
    g_string_append (text, ", moved");
  if (missed)
    g_string_append_printf (text, ", missed %u time%s", row->missed, row->missed == 1 ? "" : "s");
  /* What is due later has nothing to do with it. */
  if (row->reason != NULL && (moved || missed))
    g_string_append_printf (text, ": %s", row->reason);
  return g_string_free (text, FALSE);
}

/* One whole day a row. What is overdue stands at today: nobody looks at the days gone by. */
static TdCalendarRow *
make_row (const TdDueRow *row, const char *book_id)
{
  TdCalendarRow *made = g_new0 (TdCalendarRow, 1);
  TdDate today = row->due - row->days;

  made->uid = g_strdup_printf ("%s.%s.%s", td_task_to_text (row->task), row->site_id, book_id);
  made->date = MAX (row->planned, today);
  made->summary = g_strdup_printf ("%s: %s, %s", SUMMARIES[row->task], row->account, row->site);
  made->location = g_strdup (row->site);
  made->description = describe (row);
  return made;
}

static char *
write_text (const GPtrArray *told, GError **error)
{
  g_autofree TdAppointment *appointments = g_new0 (TdAppointment, MAX (told->len, 1));

  for (guint i = 0; i < told->len; i++)
    {
      const TdCalendarRow *row = g_ptr_array_index (told, i);

      appointments[i] = (TdAppointment){ .uid = row->uid, .sequence = row->sequence, .cancelled = row->cancelled,
                                         .changed_ms = row->changed_ms, .date = row->date, .summary = row->summary,
                                         .location = row->location, .description = row->description };
    }
  return td_calendar_write ("Round", appointments, told->len, error);
}

gboolean
td_ctl_due_calendar (TdBook *book, const GPtrArray *rows, const char *path, GError **error)
{
  g_autoptr (GPtrArray) wanted = g_ptr_array_new_with_free_func ((GDestroyNotify) td_calendar_row_free);
  g_autoptr (GPtrArray) told = NULL;
  g_autofree char *book_id = NULL;
  g_autofree char *text = NULL;
  TdUuid id;

  td_book_get_id (book, &id);
  book_id = td_uuid_to_text (&id);
  for (guint i = 0; i < rows->len; i++)
    g_ptr_array_add (wanted, make_row (g_ptr_array_index (rows, i), book_id));
  told = td_book_update_calendar (book, wanted, error);
  text = told != NULL ? write_text (told, error) : NULL;
  return text != NULL && g_file_set_contents (path, text, -1, error);
}
