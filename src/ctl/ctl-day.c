/* due, of one day: a technician's sheet; visits that were missed or moved. */
#include "ctl-due.h"

#include "ctl-paper.h"

#include "core-json-build.h"
#include "document-day.h"
#include "document-words.h"
#include "store-round.h"

#include <stdio.h>
#include <string.h>

#define DAY_MS G_GINT64_CONSTANT (86400000)

static void
print_sheet (const TdDaySheet *sheet)
{
  for (guint i = 0; i < sheet->visits->len; i++)
    {
      const TdDayVisit *visit = g_ptr_array_index (sheet->visits, i);
      g_autofree char *begin = td_day_format_minute (visit->stop.begin_min);
      g_autofree char *end = td_day_format_minute (visit->stop.end_min);
      g_autofree char *due = td_date_to_text (visit->stop.date);

      if (i < sheet->n_fit)
        printf ("%s-%s", begin, end);
      else
        printf ("not today ");
      printf ("  %3d min on the road, %3d min of work  %s, %s (due %s, %u tasks)\n", i < sheet->n_fit ? visit->stop.travel_min : 0,
              visit->stop.minutes, visit->account, visit->site, due, visit->tasks->len);
    }
}

static void
add_visit (TdJsonBuilder *builder, const TdDayVisit *visit, gboolean fits)
{
  g_autofree char *begin = td_day_format_minute (visit->stop.begin_min);
  g_autofree char *end = td_day_format_minute (visit->stop.end_min);
  g_autofree char *due = td_date_to_text (visit->stop.date);

  td_json_builder_begin_object (builder);
  td_json_builder_member_string (builder, "site", visit->site);
  td_json_builder_member_string (builder, "site_id", visit->site_id);
  td_json_builder_member_string (builder, "account", visit->account);
  td_json_builder_member_string (builder, "area", visit->area);
  td_json_builder_member_boolean (builder, "fits", fits);
  td_json_builder_member_string (builder, "begin", fits ? begin : NULL);
  td_json_builder_member_string (builder, "end", fits ? end : NULL);
  td_json_builder_member_integer (builder, "travel_min", fits ? visit->stop.travel_min : 0);
  td_json_builder_member_integer (builder, "minutes", visit->stop.minutes);
  td_json_builder_member_string (builder, "due", due);
  td_json_builder_member_integer (builder, "missed", visit->missed);
  td_json_builder_member_string (builder, "reason", visit->reason);
  td_json_builder_key (builder, "tasks");
  td_json_builder_begin_array (builder);
  for (guint i = 0; i < visit->tasks->len; i++)
    td_json_builder_string (builder, g_array_index (visit->tasks, TdDayTask, i).task);
  td_json_builder_end (builder);
  td_json_builder_end (builder);
}

static TdCtlStatus
print_json (const TdCtlInfo *info, const TdDaySheet *sheet)
{
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();
  g_autoptr (TdJson) json = NULL;
  g_autofree char *text = NULL;
  g_autofree char *day = td_date_to_text (sheet->day);
  GError *error = NULL;

  td_json_builder_begin_object (builder);
  td_json_builder_member_string (builder, "technician", sheet->technician);
  td_json_builder_member_string (builder, "day", day);
  td_json_builder_key (builder, "visits");
  td_json_builder_begin_array (builder);
  for (guint i = 0; i < sheet->visits->len; i++)
    add_visit (builder, g_ptr_array_index (sheet->visits, i), i < sheet->n_fit);
  td_json_builder_end (builder);
  td_json_builder_end (builder);
  json = td_json_builder_finish (builder);
  text = td_json_to_text (json, TRUE);
  return td_ctl_print (text, strlen (text), &error) ? TD_CTL_DONE : td_ctl_refuse (info, error);
}

static gboolean
write_paper (const TdDaySheet *sheet, const char *path, GError **error)
{
  g_autoptr (TdFonts) fonts = td_fonts_new (td_document_language (), error);
  g_autoptr (TdPages) pages = fonts != NULL ? td_day_to_pages (sheet, fonts, TD_PAPER_A4, error) : NULL;
  g_autofree char *title = td_day_make_title (sheet);
  /* Told by its day, so that the same sheet gives the same bytes. */
  const TdPdfInfo info = { .title = title, .author = sheet->company, .language = td_document_language (), .utc_ms = sheet->day * DAY_MS };

  return td_ctl_write_pages (pages, path, &info, error);
}

TdCtlStatus
td_ctl_due_day (const TdCtlInfo *info, TdBook *book, const TdCtlDue *options)
{
  TdDate day;
  GError *error = NULL;
  g_autoptr (TdDaySheet) sheet = NULL;

  if (options->day == NULL || options->technician == NULL)
    return td_ctl_misuse (info, "a day's sheet needs --day DATE and --technician ID");
  if (options->json && td_ctl_is_stdout (options->out))
    return td_ctl_misuse (info, "-o - and --json both write to standard output; ask for one of them");
  if (!td_date_parse (options->day, &day, &error))
    {
      g_autoptr (GError) owned = error;

      return td_ctl_misuse (info, "--day: %s", owned->message);
    }
  sheet = td_book_make_day (book, options->technician, day, td_clock_get_now_ms (td_book_get_clock (book)), &error);
  if (sheet == NULL || (options->out != NULL && !write_paper (sheet, options->out, &error)))
    return td_ctl_refuse (info, error);
  if (options->json)
    return print_json (info, sheet);
  if (!td_ctl_is_stdout (options->out))
    print_sheet (sheet);
  return TD_CTL_DONE;
}

TdCtlStatus
td_ctl_due_note (const TdCtlInfo *info, TdBook *book, const TdCtlDue *options, const char *const *words)
{
  TdRoundNote note = { .site_id = words[1], .moved_to = TD_DATE_NONE, .theirs = options->theirs,
                       .reason = options->reason, .person = options->person };
  gboolean move = strcmp (words[0], "move") == 0;
  GError *error = NULL;

  if (!move && strcmp (words[0], "miss") != 0)
    return td_ctl_misuse (info, "“%s” is neither miss nor move", words[0]);
  if (words[1] == NULL || options->day == NULL || options->reason == NULL || options->person == NULL
      || (options->to != NULL) != move)
    return td_ctl_misuse (info, "it is due miss SITE --day DATE --reason TEXT --person ID, or due move SITE --day DATE --to "
                                "DATE --reason TEXT --person ID");
  if (!td_date_parse (options->day, &note.day, &error) || (move && !td_date_parse (options->to, &note.moved_to, &error)))
    {
      g_autoptr (GError) owned = error;

      return td_ctl_misuse (info, "%s", owned->message);
    }
  if (!td_book_add_round_note (book, &note, &error))
    return td_ctl_refuse (info, error);
  printf ("%s: %s %s%s%s\n", words[1], move ? "moved from" : "missed on", options->day, move ? " to " : "",
          move ? options->to : "");
  return TD_CTL_DONE;
}
