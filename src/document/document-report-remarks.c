#include "document-report-private.h"

static void
add_fault (TdReportFiller *filler, const TdFault *from)
{
  TdReport *report = filler->report;
  const TdSite *site = filler->visit->site;
  TdReportFault fault = {
    .at_ms = td_report_time (from->stamp),
    .line = td_report_outlet_id (filler, from->outlet),
    .symptom = td_report_keep (report, from->symptom),
    .extent = td_report_keep (report, from->extent),
    .cause = td_report_keep (report, from->cause),
    .severity = td_report_keep (report, from->severity),
    .text = td_report_keep (report, from->text),
    .action = td_report_keep (report, from->action),
    .quote_wanted = from->quote_wanted,
    .follow_up = from->follow_up,
  };

  if (from->outlet >= 0)
    fault.place = td_report_outlet_title (filler, from->outlet);
  else if (from->tower >= 0)
    fault.place = td_report_keep (report, site->towers[from->tower].name);
  else if (from->cooler >= 0)
    fault.place = td_report_keep (report, site->coolers[from->cooler].name);
  g_array_append_val (report->faults, fault);
}

static void
add_remarks (TdReportFiller *filler, GArray *to, const GArray *from)
{
  for (guint i = 0; i < from->len; i++)
    {
      const TdRemark *remark = &g_array_index (from, TdRemark, i);
      TdReportRemark copy = {
        .at_ms = td_report_time (remark->stamp),
        .line = td_report_outlet_id (filler, remark->outlet),
        .place = td_report_outlet_title (filler, remark->outlet),
        .what = td_report_keep (filler->report, remark->what),
        .text = td_report_keep (filler->report, remark->text),
        .action = td_report_keep (filler->report, remark->action),
        .sha256 = td_report_keep (filler->report, remark->sha256),
        .figure = TD_NONE,
      };

      g_array_append_val (to, copy);
    }
}

static void
add_checks (TdReportFiller *filler)
{
  TdReport *report = filler->report;
  const TdVisit *visit = filler->visit;

  for (guint i = 0; i < visit->staff->len; i++)
    {
      const TdCheck *check = &g_array_index (visit->staff, TdCheck, i);
      TdReportRemark told = { .at_ms = td_report_time (check->stamp), .figure = TD_NONE };

      told.place = td_report_keep (report, visit->site->towers[check->place].name);
      told.what = td_report_keep (report, check->name);
      g_array_append_val (report->staff, told);
    }
  for (guint i = 0; i < visit->rooms->len; i++)
    {
      const TdCheck *check = &g_array_index (visit->rooms, TdCheck, i);
      TdReportRemark room = { .at_ms = td_report_time (check->stamp) };

      room.place = td_report_keep (report, visit->site->coolers[check->place].name);
      room.what = td_report_keep (report, check->co2);
      room.action = td_report_keep (report, check->access);
      room.text = td_report_keep (report, check->text);
      room.figure = check->co2_ppm >= 0 ? check->co2_ppm : TD_NONE;
      g_array_append_val (report->rooms, room);
    }
}

static void
add_protection_and_cooling (TdReportFiller *filler)
{
  TdReport *report = filler->report;
  const TdVisit *visit = filler->visit;

  for (guint i = 0; i < visit->protection->len; i++)
    {
      const TdProtection *from = &g_array_index (visit->protection, TdProtection, i);
      TdReportRemark on = { .at_ms = td_report_time (from->stamp), .figure = TD_NONE };
      const char *words[4] = { NULL };
      guint n = 0;

      if (from->eyes)
        words[n++] = "eyes";
      if (from->gloves)
        words[n++] = "gloves";
      if (from->apron)
        words[n++] = "apron";
      on.place = td_report_person (filler, from->person);
      on.what = td_report_keep_taken (report, g_strjoinv (" ", (char **)words));
      g_array_append_val (report->protection, on);
    }
  for (guint i = 0; i < visit->cooling->len; i++)
    {
      const TdCooling *from = &g_array_index (visit->cooling, TdCooling, i);
      TdReportRemark turn = { .at_ms = td_report_time (from->stamp), .figure = TD_NONE };

      turn.place = td_report_place_name (filler, from->place);
      turn.what = from->on ? "on" : "off";
      g_array_append_val (report->cooling, turn);
    }
}

static TdReportSignature
copy_signature (TdReportFiller *filler, const TdSignature *from)
{
  TdReportSignature copy = { NULL, NULL, NULL, TD_NONE, NULL };

  if (from->stamp.seq == 0)
    return copy;
  copy.name = td_report_keep (filler->report, from->name);
  copy.meaning = td_report_keep (filler->report, from->meaning);
  copy.reason = td_report_keep (filler->report, from->reason);
  copy.at_ms = from->stamp.at_ms;
  copy.strokes = from->strokes;
  return copy;
}

void
td_report_fill_remarks (TdReportFiller *filler)
{
  TdReport *report = filler->report;
  const TdVisit *visit = filler->visit;

  for (guint i = 0; i < visit->faults->len; i++)
    add_fault (filler, &g_array_index (visit->faults, TdFault, i));
  for (guint i = 0; i < visit->parts->len; i++)
    {
      const TdPart *from = &g_array_index (visit->parts, TdPart, i);
      TdReportPart part
          = { td_report_time (from->stamp), td_report_outlet_id (filler, from->outlet),
              td_report_keep (report, from->part), td_report_keep (report, from->text),
              from->quantity };

      g_array_append_val (report->parts, part);
    }
  for (guint i = 0; i < visit->tap_ph->len; i++)
    {
      TdReportReading tap
          = td_report_reading (filler, &g_array_index (visit->tap_ph, TdReading, i));

      g_array_append_val (report->taps, tap);
    }
  add_remarks (filler, report->incidents, visit->incidents);
  add_remarks (filler, report->notes, visit->notes);
  add_remarks (filler, report->photos, visit->photos);
  add_checks (filler);
  add_protection_and_cooling (filler);
  report->signature = copy_signature (filler, &visit->signature);
  report->countersignature = copy_signature (filler, &visit->countersignature);
}
