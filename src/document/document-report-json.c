#include "document-report-json.h"

void
td_report_json_time (TdJsonBuilder *b, const TdReport *report, const char *key, gint64 ms)
{
  const TdMoment moment = { ms, report->offset_min };
  g_autofree char *text = ms != TD_NONE ? td_moment_to_text (&moment) : NULL;

  td_json_builder_member_string (b, key, text);
}

void
td_report_json_figure (TdJsonBuilder *b, const char *key, gint64 value, gint64 scale)
{
  if (value == TD_NONE)
    td_json_builder_member_null (b, key);
  else
    td_json_builder_member_real (b, key, (double)value / (double)scale, 6);
}

void
td_report_json_integer (TdJsonBuilder *b, const char *key, gint64 value)
{
  if (value == TD_NONE)
    td_json_builder_member_null (b, key);
  else
    td_json_builder_member_integer (b, key, value);
}

void
td_report_json_date (TdJsonBuilder *b, const char *key, TdDate date)
{
  g_autofree char *text = date != TD_DATE_NONE ? td_date_to_text (date) : NULL;

  td_json_builder_member_string (b, key, text);
}

void
td_report_json_reading (TdJsonBuilder *b,
                        const TdReport *report,
                        const char *key,
                        const TdReportReading *reading,
                        gint64 scale)
{
  g_autofree char *at = g_strconcat (key, "_at", NULL), *known = g_strconcat (key, "_known", NULL);
  g_autofree char *instrument = g_strconcat (key, "_instrument", NULL);

  td_report_json_figure (b, key, reading->value, scale);
  td_report_json_time (b, report, at, reading->at_ms);
  td_json_builder_member_string (b, known, reading->known);
  td_json_builder_member_string (b, instrument, reading->instrument);
}

static void
write_head (TdJsonBuilder *b, const TdReport *report)
{
  td_json_builder_member_string (b, "visit", report->visit_id);
  td_json_builder_member_string (b, "number", report->number);
  td_json_builder_member_boolean (b, "draft", report->draft);
  td_json_builder_member_string (b, "account", report->account);
  td_json_builder_member_string (b, "site", report->site);
  td_json_builder_member_string (b, "site_address", report->site_address);
  td_json_builder_member_string (b, "zone", report->zone);
  td_json_builder_member_string (b, "work", report->work);
  td_json_builder_member_string (b, "out_of_hours", report->out_of_hours);
  td_json_builder_member_string (b, "sds_at_hand", report->sds_at_hand);
  td_report_json_time (b, report, "arrived", report->arrived_ms);
  td_report_json_time (b, report, "closed", report->closed_ms);
  td_json_builder_member_string (b, "amends", report->amends);
  td_json_builder_member_string (b, "amends_number", report->amends_number);
  td_json_builder_member_string (b, "amended_by", report->amended_by);
  td_json_builder_member_string (b, "company", report->company);
  td_json_builder_member_string (b, "company_address", report->company_address);
  td_json_builder_member_string (b, "company_phone", report->company_phone);
  td_json_builder_member_string (b, "emergency_phone", report->emergency_phone);
  td_json_builder_member_integer (b, "rules_version", report->rules_version);
  td_json_builder_key (b, "persons");
  td_json_builder_begin_array (b);
  for (guint i = 0; i < report->persons->len; i++)
    {
      const TdReportPerson *person = &g_array_index (report->persons, TdReportPerson, i);

      td_json_builder_begin_object (b);
      td_json_builder_member_string (b, "id", person->id);
      td_json_builder_member_string (b, "name", person->name);
      td_json_builder_member_string (b, "certificate", person->certificate);
      td_json_builder_end (b);
    }
  td_json_builder_end (b);
}

static void
write_signature (TdJsonBuilder *b,
                 const TdReport *report,
                 const char *key,
                 const TdReportSignature *signature)
{
  td_json_builder_key (b, key);
  if (signature->at_ms == TD_NONE)
    {
      td_json_builder_null (b);
      return;
    }
  td_json_builder_begin_object (b);
  td_json_builder_member_string (b, "name", signature->name);
  td_json_builder_member_string (b, "meaning", signature->meaning);
  td_json_builder_member_string (b, "reason", signature->reason);
  td_report_json_time (b, report, "at", signature->at_ms);
  if (signature->strokes != NULL)
    td_json_builder_member_value (b, "strokes", (TdJson *)signature->strokes);
  else
    td_json_builder_member_null (b, "strokes");
  td_json_builder_end (b);
}

static void
write_for_the_bar (TdJsonBuilder *b, const TdReport *report)
{
  td_json_builder_key (b, "tasks");
  td_json_builder_begin_array (b);
  for (guint i = 0; i < report->tasks->len; i++)
    {
      const TdReportTask *task = &g_array_index (report->tasks, TdReportTask, i);

      td_json_builder_begin_object (b);
      td_json_builder_member_string (b, "code", task->code);
      td_json_builder_member_string (b, "line", task->line);
      td_json_builder_member_string (b, "place", task->title);
      td_json_builder_member_string (b, "text", task->text);
      td_json_builder_end (b);
    }
  td_json_builder_end (b);
  td_json_builder_key (b, "next_due");
  td_json_builder_begin_object (b);
  td_report_json_date (b, "caustic", report->due[TD_CLEAN_CAUSTIC]);
  td_report_json_date (b, "acid", report->due[TD_CLEAN_ACID]);
  td_json_builder_end (b);
  write_signature (b, report, "signature", &report->signature);
  write_signature (b, report, "countersignature", &report->countersignature);
}

static void
write_findings (TdJsonBuilder *b, const TdReport *report)
{
  td_json_builder_key (b, "findings");
  td_json_builder_begin_array (b);
  for (guint i = 0; i < report->findings->len; i++)
    {
      const TdReportFinding *finding = &g_array_index (report->findings, TdReportFinding, i);

      td_json_builder_begin_object (b);
      td_json_builder_member_string (b, "code", finding->code);
      td_json_builder_member_string (b, "severity", finding->severity);
      td_json_builder_member_string (b, "line", finding->line);
      if (finding->circuit > 0)
        td_json_builder_member_integer (b, "circuit", finding->circuit);
      else
        td_json_builder_member_null (b, "circuit");
      td_json_builder_member_integer (b, "seq", finding->seq);
      td_json_builder_member_string (b, "text", finding->text);
      td_json_builder_member_string (b, "reason", finding->reason);
      td_json_builder_member_string (b, "source", finding->source);
      td_json_builder_end (b);
    }
  td_json_builder_end (b);
}

TdJson *
td_report_to_json (const TdReport *report)
{
  g_autoptr (TdJsonBuilder) b = td_json_builder_new ();

  td_json_builder_begin_object (b);
  write_head (b, report);
  write_for_the_bar (b, report);
  td_report_json_lines (b, report);
  td_report_json_work (b, report);
  td_report_json_remarks (b, report);
  write_findings (b, report);
  td_report_json_timeline (b, report);
  td_json_builder_member_string (b, "seal", report->seal);
  td_json_builder_member_string (b, "previous_seal", report->previous_seal);
  td_json_builder_end (b);
  return td_json_builder_finish (b);
}
