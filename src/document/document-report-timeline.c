#include "document-report-private.h"

#include "document-body.h"

/* The last correction of an entry that is itself no void one; 0 where there is none. */
static guint
find_correction (const TdVisit *visit, guint seq, gboolean *voids_out)
{
  guint found = 0;

  for (guint i = 0; i < visit->corrections->len; i++)
    {
      const TdCorrection *correction = &g_array_index (visit->corrections, TdCorrection, i);

      if (correction->of != seq)
        continue;
      found = correction->seq;
      *voids_out |= correction->voids;
    }
  return found;
}

void
td_report_fill_timeline (TdReportFiller *filler)
{
  TdReport *report = filler->report;
  const TdVisit *visit = filler->visit;
  gint64 late_ms = td_settings_get (visit->settings, TD_SETTING_LATE_ENTRY) * 1000;

  for (guint i = 0; i < visit->entries->len; i++)
    {
      const TdEntry *entry = g_ptr_array_index (visit->entries, i);
      const TdEnvelope *envelope = &entry->envelope;
      TdReportAct act = {
        .seq = envelope->seq,
        .kind = td_kind_get_code (envelope->kind),
        .kind_text = td_kind_get_text (envelope->kind),
        .person = td_report_person (filler, envelope->person),
        .happened_ms = envelope->happened.utc_ms,
        .recorded_ms = envelope->recorded_ms,
        .late = envelope->recorded_ms - envelope->happened.utc_ms > late_ms,
        .body = entry->body,
      };

      act.corrected_by = find_correction (visit, envelope->seq, &act.voided);
      act.words = td_report_keep_taken (
          report, td_body_to_words (visit, envelope->kind, entry->body, report->units));
      g_array_append_val (report->timeline, act);
    }
}
