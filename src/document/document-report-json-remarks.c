#include "document-report-json.h"

static void
write_faults (TdJsonBuilder *b, const TdReport *report)
{
  td_json_builder_key (b, "faults");
  td_json_builder_begin_array (b);
  for (guint i = 0; i < report->faults->len; i++)
    {
      const TdReportFault *fault = &g_array_index (report->faults, TdReportFault, i);

      td_json_builder_begin_object (b);
      td_json_builder_member_string (b, "line", fault->line);
      td_json_builder_member_string (b, "place", fault->place);
      td_report_json_time (b, report, "at", fault->at_ms);
      td_json_builder_member_string (b, "symptom", fault->symptom);
      td_json_builder_member_string (b, "extent", fault->extent);
      td_json_builder_member_string (b, "cause", fault->cause);
      td_json_builder_member_string (b, "severity", fault->severity);
      td_json_builder_member_string (b, "text", fault->text);
      td_json_builder_member_string (b, "action", fault->action);
      td_json_builder_member_boolean (b, "quote_wanted", fault->quote_wanted);
      td_json_builder_member_boolean (b, "follow_up", fault->follow_up);
      td_json_builder_end (b);
    }
  td_json_builder_end (b);
}

static void
write_parts (TdJsonBuilder *b, const TdReport *report)
{
  td_json_builder_key (b, "parts");
  td_json_builder_begin_array (b);
  for (guint i = 0; i < report->parts->len; i++)
    {
      const TdReportPart *part = &g_array_index (report->parts, TdReportPart, i);

      td_json_builder_begin_object (b);
      td_json_builder_member_string (b, "line", part->line);
      td_report_json_time (b, report, "at", part->at_ms);
      td_json_builder_member_string (b, "part", part->part);
      td_json_builder_member_integer (b, "quantity", part->quantity);
      td_json_builder_member_string (b, "text", part->text);
      td_json_builder_end (b);
    }
  td_json_builder_end (b);
}

/* What the general fields of a remark are called in one of the lists; NULL: not written. */
typedef struct
{
  const char *key;
  const char *line, *place, *what, *text, *action, *sha256, *figure;
} RemarkKeys;

static void
write_remarks (TdJsonBuilder *b,
               const TdReport *report,
               const GArray *remarks,
               const RemarkKeys *keys)
{
  td_json_builder_key (b, keys->key);
  td_json_builder_begin_array (b);
  for (guint i = 0; i < remarks->len; i++)
    {
      const TdReportRemark *remark = &g_array_index (remarks, TdReportRemark, i);
      const struct
      {
        const char *key, *value;
      } members[] = { { keys->line, remark->line },     { keys->place, remark->place },
                      { keys->what, remark->what },     { keys->text, remark->text },
                      { keys->action, remark->action }, { keys->sha256, remark->sha256 } };

      td_json_builder_begin_object (b);
      td_report_json_time (b, report, "at", remark->at_ms);
      for (guint j = 0; j < G_N_ELEMENTS (members); j++)
        if (members[j].key != NULL)
          td_json_builder_member_string (b, members[j].key, members[j].value);
      if (keys->figure != NULL)
        td_report_json_integer (b, keys->figure, remark->figure);
      td_json_builder_end (b);
    }
  td_json_builder_end (b);
}

void
td_report_json_remarks (TdJsonBuilder *b, const TdReport *report)
{
  static const RemarkKeys incidents
      = { .key = "incidents", .what = "what", .text = "text", .action = "action" };
  static const RemarkKeys notes = { .key = "notes", .line = "line", .text = "text" };
  static const RemarkKeys photos
      = { .key = "photos", .line = "line", .text = "text", .sha256 = "sha256" };
  static const RemarkKeys staff = { .key = "staff_told", .place = "tower", .what = "name" };
  static const RemarkKeys rooms = { .key = "cold_rooms",
                                    .place = "cooler",
                                    .what = "co2",
                                    .action = "access",
                                    .text = "text",
                                    .figure = "co2_ppm" };
  static const RemarkKeys protection = { .key = "protection", .place = "person", .what = "worn" };
  static const RemarkKeys cooling = { .key = "cooling", .place = "place", .what = "turned" };

  write_faults (b, report);
  write_parts (b, report);
  write_remarks (b, report, report->incidents, &incidents);
  write_remarks (b, report, report->notes, &notes);
  write_remarks (b, report, report->photos, &photos);
  write_remarks (b, report, report->staff, &staff);
  write_remarks (b, report, report->rooms, &rooms);
  write_remarks (b, report, report->protection, &protection);
  write_remarks (b, report, report->cooling, &cooling);
}

void
td_report_json_timeline (TdJsonBuilder *b, const TdReport *report)
{
  td_json_builder_key (b, "timeline");
  td_json_builder_begin_array (b);
  for (guint i = 0; i < report->timeline->len; i++)
    {
      const TdReportAct *act = &g_array_index (report->timeline, TdReportAct, i);

      td_json_builder_begin_object (b);
      td_json_builder_member_integer (b, "seq", act->seq);
      td_json_builder_member_string (b, "kind", act->kind);
      td_report_json_time (b, report, "happened", act->happened_ms);
      td_report_json_time (b, report, "recorded", act->recorded_ms);
      td_json_builder_member_boolean (b, "late", act->late);
      td_json_builder_member_string (b, "person", act->person);
      td_report_json_integer (b, "corrected_by",
                              act->corrected_by > 0 ? (gint64)act->corrected_by : TD_NONE);
      td_json_builder_member_boolean (b, "voided", act->voided);
      td_json_builder_member_value (b, "body", (TdJson *)act->body);
      td_json_builder_end (b);
    }
  td_json_builder_end (b);
}
