/* document-report.h: everything that a service report shows, as a value.
 *
 * Made once from the state of a visit and its findings; the PDF is painted from it and the JSON is
 * written from it, so that the JSON holds every figure that the paper shows.  Immutable; all texts
 * belong to it.  Codes are those of the journal; sentences in the reader's language come at
 * painting. */
#pragma once

#include "document-units.h"

#include "core-compare.h"
#include "core-rule.h"
#include "core-visit.h"

G_BEGIN_DECLS

/* What a report needs besides the visit. */
typedef struct
{
  const char *number;        /* NULL while the visit is open */
  const char *seal;          /* 64 hex digits, NULL while it is open */
  const char *previous_seal; /* NULL for the first of its device */
  const char *amends_number; /* number of the report that this one supersedes; NULL where none */
  const char *amended_by;    /* number of the report that supersedes this one; NULL where none */
  gint64 now_ms;             /* UTC; for clocks that still run. Not looked at once it is closed */
  /* From the book's history, TD_DATE_NONE where it does not know: then counted from this visit
   * alone. */
  TdDate due[TD_N_CLEANS];
} TdReportContext;

#define TD_REPORT_CONTEXT_INIT                                                                     \
  {                                                                                                \
    .due = { TD_DATE_NONE, TD_DATE_NONE }                                                          \
  }

/* Whether beer may be drawn from a faucet. */
typedef enum
{
  TD_POUR_READY,    /* cleaned, rinse passed, beer drawn clear */
  TD_POUR_NOT,      /* must not be poured */
  TD_POUR_UNTOUCHED /* not cleaned in this visit: as it was before */
} TdPour;

/* Why a line must not be poured. */
typedef enum
{
  TD_POUR_WHY_NONE,
  TD_POUR_WHY_OUT_OF_SERVICE,
  TD_POUR_WHY_CHEMICAL, /* it holds chemical, or no rinse reading shows that it does not */
  TD_POUR_WHY_RINSE,    /* the rinse reading is not that of the tap */
  TD_POUR_WHY_NO_BEER,  /* rinsed; clear beer has not been drawn */
  TD_POUR_WHY_TAG       /* a tag hangs on it */
} TdPourWhy;

typedef struct
{
  gint64 value; /* TD_NONE where not read */
  gint64 at_ms;
  const char *known;      /* "measured", ...; NULL where not read */
  const char *instrument; /* name; NULL where not said */
} TdReportReading;

typedef struct
{
  const char *clean;  /* "caustic", "acid" */
  const char *method; /* "circulating", "static", "none" */
  int circuit;
  const char *batch;   /* NULL where none known */
  const char *product; /* name */
  gint64 chemical_in_ms, chemical_seen_ms, clock_start_ms, contact_end_ms;
  gint64 contact_s, required_s; /* contact rounded down; TD_NONE before the clock starts */
  gint64 rinse_start_ms, rinse_circulated_ms;
  TdReportReading rinse_ph, tap_ph; /* 0.001 pH */
  gint64 band;                      /* 0.001 pH; TD_NONE where nothing was read */
  gboolean rinse_passed;
  const char *debris; /* "none", "some", "heavy", NULL */
} TdReportPass;

typedef struct
{
  const char *id;
  int number;
  const char *title; /* "Tower A 4" */
  const char *tower, *cooler;
  const char *product;   /* beer as it now is; NULL where not said */
  const char *beer_pump; /* "none", "one-way", "reversible" */
  gboolean has_fob, side_faucet, in_scope[TD_N_CLEANS];
  TdPour pour;
  TdPourWhy why;
  gint64 since_ms; /* from when it pours or must not be poured; TD_NONE where untouched */

  /* The clean: of the last pass. */
  const char *method;    /* "none" where it was not cleaned */
  const char *direction; /* "out", "in" */
  int circuit;
  gint64 contact_s, required_s; /* TD_NONE */
  TdReportReading rinse_ph, tap_ph;
  GArray *passes;                                 /* TdReportPass */
  gboolean reversed;                              /* the lever of its beer pump was set inwards */
  gint64 reversed_ms, restored_ms, proved_out_ms; /* set in, set back, outward flow seen after */
  gint64 proved_ms;                               /* number proved at both ends */

  gint64 faucet_stripped_ms, faucet_rebuilt_ms, coupler_brushed_ms, coupler_stripped_ms,
      well_dried_ms;
  gint64 fob_opened_ms, fob_flooded_ms, fob_rinsed_ms, fob_vented_ms, fob_stripped_ms;
  gint64 keg_uncoupled_ms, keg_coupled_ms, ball_out_ms, ball_in_ms;
  gint64 gas_off_ms[2], gas_on_ms[2]; /* last; [0] beer-pump drive, [1] keg */
  guint beer_clear_count;
  gint64 beer_clear_first_ms, beer_clear_ms; /* the last */
  gint64 leak_checked_ms;
  gboolean leaking;

  const char *found_lever, *found_keg, *found_gas;   /* NULL where not noted */
  TdReportReading found_pressure, found_temperature; /* Pa, 0.001 C */
  TdReportReading beer_temperature, keg_pressure, pump_pressure,
      pour_rate; /* 0.001 C, Pa, Pa, mL/min */

  gint64 left_out_ms, out_of_service_ms;
  const char *left_out_reason;
  const char *service_condition, *service_reason, *service_handed_to, *service_tag;
} TdReportLine;

typedef struct
{
  const char *batch, *product, *product_id, *kind, *lot, *caution; /* NULL where not known */
  char **safety[TD_N_SAFETY]; /* codes of the label, NULL where none; owned */
  gboolean danger;            /* the signal word is Danger */
  const char *solution_class; /* CLP class of the solution as mixed, NULL where not known or none */
  TdDate sds_revised;         /* of the safety data sheet, TD_DATE_NONE where the book has none */
  TdDate lot_expiry;
  gboolean lot_recalled;
  gint64 concentrate_ml, water_ml, percent_milli; /* TD_NONE */
  const char *basis, *known, *person;
  gint64 mixed_ms;
  TdReportReading strength; /* 0.001 % */
  const char *strength_basis, *strength_method;
  TdReportReading temperature; /* 0.001 C */
  gint64 disposed_ml;
} TdReportChemical;

typedef struct
{
  const char *batch;                 /* NULL where none was named */
  gint64 at_ms, volume_ml, ph_milli; /* TD_NONE */
  const char *drain;
} TdReportDisposal;

typedef struct
{
  gint64 at_ms, again_ms; /* TD_NONE while lifted */
  const char *by;
} TdReportLift;

typedef struct
{
  const char *tag, *kind, *holds, *place, *legend,
      *line; /* line: id, NULL where not on an outlet */
  const char *hung_by, *owner, *removed_by;
  gint64 hung_ms, removed_ms; /* TD_NONE while it hangs */
  gboolean employer_procedure;
  GArray *lifts; /* TdReportLift */
} TdReportLockout;

typedef struct
{
  gint64 at_ms;
  const char *line, *place; /* id or NULL; the place in words, NULL where none was named */
  const char *symptom, *extent, *cause, *severity, *text, *action;
  gboolean quote_wanted, follow_up;
} TdReportFault;

typedef struct
{
  gint64 at_ms;
  const char *line, *part, *text;
  gint64 quantity;
} TdReportPart;

typedef struct
{
  const char *code, *severity, *line, *text, *reason, *source; /* line, reason: NULL where none */
  int circuit;
  guint seq;
} TdReportFinding;

/* Something said: a note, an incident, a photo's caption, a check. */
typedef struct
{
  gint64 at_ms;
  const char *line, *place, *what, *text, *action, *sha256;
  gint64 figure; /* CO2 in ppm, TD_NONE */
} TdReportRemark;

typedef struct
{
  const char *line; /* id */
  const char *title, *direction;
  gboolean reversal;
} TdReportLeg;

typedef struct
{
  gint64 at_ms;
  gboolean on;
} TdReportSwitch;

typedef struct
{
  int number;
  const char *station; /* name of the place */
  GArray *legs;        /* TdReportLeg */
  GArray *pump;        /* TdReportSwitch */
  gint64 return_ms;
  gint64 flow_ml_min, predicted_ml_min; /* TD_NONE */
  TdComparison compared; /* TD_COMPARED_UNKNOWN where not known */
} TdReportCircuit;

typedef struct
{
  const char *line, *title, *cooler;
  int fed_by;
} TdReportStatic;

typedef struct
{
  const char *name, *meaning, *reason; /* NULL where not said */
  gint64 at_ms;                        /* TD_NONE where there is none */
  const TdJson *strokes;               /* NULL where nothing was drawn */
} TdReportSignature;

typedef struct
{
  const char *id, *name, *certificate;
} TdReportPerson;

/* One act of the timeline. */
typedef struct
{
  guint seq;
  const char *kind, *kind_text, *person;
  gint64 happened_ms, recorded_ms;
  gboolean late;      /* written down later than the setting allows */
  guint corrected_by; /* seq of the last correction of it, 0 where none */
  gboolean voided;
  const TdJson *body;
  const char *words; /* the body in words and figures of the report's units */
} TdReportAct;

/* What somebody at the site has to do or to know. */
typedef struct
{
  const char *code;  /* "keep-shut", "call-fault", "decide-quote", "expect-us", "draw-clear",
                        "read-incident" */
  const char *line;  /* id or NULL */
  const char *title; /* of the line or place; NULL */
  const char *text;  /* given words: a fault, a reason; NULL */
} TdReportTask;

typedef struct _TdReport
{
  gboolean draft;
  TdVisit *visit; /* keeps bodies and site alive */
  GStringChunk *texts;
  TdUnits units; /* of the words of the timeline */

  const char *visit_id, *number, *seal, *previous_seal;
  const char *amends, *amends_number, *amended_by;
  const char *work; /* "routine", ... */
  const char *out_of_hours, *sds_at_hand;
  const char *company, *company_address, *company_phone, *emergency_phone;
  const char *account, *site, *site_address, *zone;
  gint32 offset_min;            /* of every time in the report */
  gint64 arrived_ms, closed_ms; /* TD_NONE */
  GArray *persons;              /* TdReportPerson */
  int rules_version;

  GArray *lines;                                      /* TdReportLine */
  GArray *chemicals;                                  /* TdReportChemical */
  GArray *disposals;                                  /* TdReportDisposal */
  GArray *lockouts;                                   /* TdReportLockout */
  GArray *faults;                                     /* TdReportFault */
  GArray *parts;                                      /* TdReportPart */
  GArray *findings;                                   /* TdReportFinding */
  GArray *incidents, *notes, *photos, *staff, *rooms; /* TdReportRemark */
  GArray *protection; /* TdReportRemark: place = person, what = "eyes gloves apron" */
  GArray *cooling;    /* TdReportRemark: place, what = "off" or "on" */
  GArray *taps;       /* TdReportReading, 0.001 pH */
  GArray *circuits;   /* TdReportCircuit */
  GArray *statics;    /* TdReportStatic */
  GArray *timeline;   /* TdReportAct */
  GArray *tasks;      /* TdReportTask */
  gint64 beer_lost_ml, rinse_water_ml;
  gint64 planned_minutes, run_minutes; /* from arrival to closing, rounded down; TD_NONE */
  const char *flow_words; /* what the flows measured say; NULL where none was */
  gint64 left_tidy_ms;
  TdDate due[TD_N_CLEANS]; /* TD_DATE_NONE where not known */
  TdReportSignature signature, countersignature;
} TdReport;

/* @findings: (element-type TdFinding): of the visit. Returns: (transfer full): the report. */
TdReport *td_report_new (const TdVisit *visit,
                         const GPtrArray *findings,
                         const TdReportContext *context,
                         TdUnits units);
void td_report_free (TdReport *report);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdReport, td_report_free)

/* Returns: (transfer full): `report --json`: SI units in the keys, times in ISO 8601 with offset,
 * null where not known. */
TdJson *td_report_to_json (const TdReport *report);

/* Returns: (transfer none) (nullable): the line with that id. */
const TdReportLine *td_report_find_line (const TdReport *report, const char *id);
const char *td_pour_to_text (TdPour pour);
const char *td_pour_why_to_text (TdPourWhy why);

G_END_DECLS
