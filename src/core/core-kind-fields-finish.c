#include "core-kind-private.h"

/* Fields of the acts after the clean: check, what is left to say, sign. */

#define END { NULL }
#define LINES { "lines", TD_FIELD_LINES, TRUE, .text = N_("The lines (outlets).") }
#define LINE { "line", TD_FIELD_LINE, FALSE, .text = N_("The line (outlet) that it is about.") }
#define KNOWN \
  { "known", TD_FIELD_CHOICE, TRUE, "measured|accepted|estimated", \
    .text = N_("How the figure is known.") }
#define INSTRUMENT \
  { "instrument", TD_FIELD_INSTRUMENT, FALSE, .text = N_("What it was measured with.") }

/* clang-format off */
static const TdField temperature_read[] = {
  { "of", TD_FIELD_CHOICE, TRUE, "beer|solution|cold-room", .text = N_("What was measured.") },
  { "lines", TD_FIELD_LINES, FALSE, .text = N_("The lines whose beer it is.") },
  { "batch", TD_FIELD_BATCH, FALSE, .text = N_("The mix.") },
  { "cooler", TD_FIELD_COOLER, FALSE, .text = N_("The cold room.") },
  { "temperature_c_milli", TD_FIELD_INTEGER, TRUE, NULL, -20000, 100000, N_("The reading.") },
  INSTRUMENT,
  KNOWN,
  END
};

static const TdField pressure_read[] = {
  LINES,
  { "gas", TD_FIELD_CHOICE, TRUE, "keg|beer-pump|blend", .text = N_("Whose pressure.") },
  { "pressure_pa", TD_FIELD_INTEGER, TRUE, NULL, 0, 1000000, N_("Gauge pressure.") },
  INSTRUMENT,
  KNOWN,
  END
};

static const TdField pour_rate_read[] = {
  LINES,
  { "pour_ml_min", TD_FIELD_INTEGER, TRUE, NULL, 0, 20000, N_("Pour rate.") },
  KNOWN,
  END
};

static const TdField leak_checked[] = {
  LINES,
  { "result", TD_FIELD_CHOICE, TRUE, "tight|leak", .text = N_("What was found.") },
  END
};

static const TdField left_tidy[] = {
  { "text", TD_FIELD_PROSE, FALSE, .text = N_("Anything else.") },
  END
};

static const TdField fault[] = {
  LINE,
  { "tower", TD_FIELD_TOWER, FALSE, .text = N_("The tower that it is about.") },
  { "cooler", TD_FIELD_COOLER, FALSE, .text = N_("The cooler that it is about.") },
  { "symptom", TD_FIELD_CHOICE, TRUE, "foaming|no-beer|flat|slow|leak|off-taste|warm|other",
    .text = N_("What one notices.") },
  { "extent", TD_FIELD_CHOICE, TRUE, "one-line|all-lines|intermittent",
    .text = N_("Where and when.") },
  { "cause", TD_FIELD_CHOICE, TRUE,
    "balance-temperature|balance-pressure|balance-restriction|equipment",
    .text = N_("Group of the cause.") },
  { "severity", TD_FIELD_CHOICE, TRUE, "safety|stops-service|quality|advisory",
    .text = N_("How grave it is.") },
  { "text", TD_FIELD_PROSE, TRUE, .text = N_("The fault in words.") },
  { "action", TD_FIELD_PROSE, FALSE, .text = N_("What was done about it.") },
  { "quote_wanted", TD_FIELD_CHOICE, FALSE, "yes|no",
    .text = N_("The customer wants a price for the repair.") },
  { "follow_up", TD_FIELD_CHOICE, FALSE, "yes|no", .text = N_("Somebody has to come back.") },
  END
};

static const TdField part_fitted[] = {
  LINE,
  { "part", TD_FIELD_TEXT, TRUE, .text = N_("The part.") },
  { "quantity", TD_FIELD_INTEGER, TRUE, NULL, 1, 1000, N_("How many.") },
  { "text", TD_FIELD_PROSE, FALSE, .text = N_("Anything else.") },
  END
};

static const TdField line_left_out[] = {
  LINES,
  { "reason", TD_FIELD_PROSE, TRUE, .text = N_("Why it was not cleaned.") },
  END
};

static const TdField out_of_service[] = {
  LINES,
  { "condition", TD_FIELD_CHOICE, TRUE, "rinsed|holding|drained|not-started",
    .text = N_("What the line holds: rinsed, holding chemical, drained, or not begun.") },
  { "reason", TD_FIELD_PROSE, TRUE, .text = N_("Why it could not be finished.") },
  { "handed_to", TD_FIELD_TEXT, TRUE, .text = N_("Who at the site knows and keeps it shut.") },
  { "tag", TD_FIELD_TAG, FALSE, .text = N_("The tag that stays on it.") },
  END
};

static const TdField incident[] = {
  { "what", TD_FIELD_CHOICE, TRUE, "exposure|spill|served",
    .text = N_("Somebody was exposed, something was spilled, or chemical was served.") },
  { "text", TD_FIELD_PROSE, TRUE, .text = N_("What happened.") },
  { "action", TD_FIELD_PROSE, FALSE, .text = N_("What was done at once.") },
  END
};

static const TdField finding_reason[] = {
  { "code", TD_FIELD_TEXT, TRUE, .text = N_("Code of the rule.") },
  LINE,
  { "reason", TD_FIELD_PROSE, TRUE, .text = N_("The reason.") },
  END
};

static const TdField note[] = {
  { "text", TD_FIELD_PROSE, TRUE, .text = N_("The note.") },
  LINE,
  END
};

static const TdField photo[] = {
  { "file", TD_FIELD_TEXT, FALSE,
    .text = N_("Path of the picture; only in what a writer hands in.") },
  { "sha256", TD_FIELD_HASH, FALSE, .text = N_("Hash of the attachment; what is stored.") },
  { "media", TD_FIELD_TEXT, FALSE, .text = N_("Media type.") },
  LINE,
  { "text", TD_FIELD_PROSE, FALSE, .text = N_("What it shows.") },
  END
};

static const TdField correction[] = {
  { "of", TD_FIELD_INTEGER, TRUE, NULL, 1, 1000000, N_("Number of the entry that it corrects.") },
  { "set", TD_FIELD_OBJECT, FALSE,
    .text = N_("Fields of that kind with their right values, also happened and person.") },
  { "void", TD_FIELD_CHOICE, FALSE, "yes", .text = N_("The entry does not hold at all.") },
  { "why", TD_FIELD_PROSE, TRUE, .text = N_("Why.") },
  END
};

static const TdField signature[] = {
  { "name", TD_FIELD_TEXT, TRUE, .text = N_("Who signed.") },
  { "strokes", TD_FIELD_STROKES, FALSE, .text = N_("The signature as drawn.") },
  { "meaning", TD_FIELD_CHOICE, TRUE, "work-done", .text = N_("What it means.") },
  END
};

static const TdField countersignature[] = {
  { "meaning", TD_FIELD_CHOICE, TRUE, "informed|nobody-present|refused",
    .text = N_("Received and informed, or why there is none.") },
  { "name", TD_FIELD_TEXT, FALSE, .text = N_("Who signed, or refused.") },
  { "reason", TD_FIELD_PROSE, FALSE, .text = N_("Why it was refused.") },
  { "strokes", TD_FIELD_STROKES, FALSE, .text = N_("The signature as drawn.") },
  END
};

static const TdField closing[] = {
  { "snapshot", TD_FIELD_OBJECT, FALSE,
    .text = N_("Names, products, lots and limits as they stood; written by the book, refused "
            "from a writer.") },
  END
};
/* clang-format on */

static const TdField *const table[TD_N_KINDS] = {
  [TD_KIND_TEMPERATURE_READ] = temperature_read,
  [TD_KIND_PRESSURE_READ] = pressure_read,
  [TD_KIND_POUR_RATE_READ] = pour_rate_read,
  [TD_KIND_LEAK_CHECKED] = leak_checked,
  [TD_KIND_LEFT_TIDY] = left_tidy,
  [TD_KIND_FAULT] = fault,
  [TD_KIND_PART_FITTED] = part_fitted,
  [TD_KIND_LINE_LEFT_OUT] = line_left_out,
  [TD_KIND_OUT_OF_SERVICE] = out_of_service,
  [TD_KIND_INCIDENT] = incident,
  [TD_KIND_FINDING_REASON] = finding_reason,
  [TD_KIND_NOTE] = note,
  [TD_KIND_PHOTO] = photo,
  [TD_KIND_CORRECTION] = correction,
  [TD_KIND_SIGNATURE] = signature,
  [TD_KIND_COUNTERSIGNATURE] = countersignature,
  [TD_KIND_CLOSING] = closing,
};

const TdField *
td_kind_fields_finish (TdKind kind)
{
  g_return_val_if_fail ((guint) kind < TD_N_KINDS, NULL);

  return table[kind];
}
