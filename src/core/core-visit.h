/* core-visit.h: the state of a visit, folded from its entries.
 *
 * act -> entry (committed) -> folded state -> findings, scene, document.  A TdVisit is immutable and
 * reference counted; it is made from the whole list of entries each time, so that a correction, a late
 * entry or a crash can leave nothing half changed.  Entries are taken in the order of seq; clocks are
 * differences of `happened`.  Pointers inside point into the site, the masters or the entries, which
 * the visit holds. */
#pragma once

#include "core-entry.h"
#include "core-masters.h"
#include "core-settings.h"
#include "core-site.h"

G_BEGIN_DECLS

/* When something was done and by which entry; seq 0: never. */
typedef struct
{
  gint64 at_ms; /* happened, UTC ms */
  guint seq;
} TdStamp;

typedef enum
{
  TD_CLEAN_CAUSTIC,
  TD_CLEAN_ACID,
  TD_N_CLEANS
} TdClean;

typedef enum
{
  TD_METHOD_NONE,
  TD_METHOD_CIRCULATING,
  TD_METHOD_STATIC
} TdMethod;

typedef enum
{
  TD_DIRECTION_OUT, /* keg to faucet: the dispense direction */
  TD_DIRECTION_IN   /* faucet to keg */
} TdDirection;

typedef enum
{
  TD_KNOWN_MEASURED,
  TD_KNOWN_ACCEPTED,
  TD_KNOWN_ESTIMATED
} TdKnown;

typedef struct
{
  TdStamp stamp;
  gint64 value; /* in the unit of the entry's key */
  TdKnown known;
  const TdInstrument *instrument; /* NULL where not said */
} TdReading;

/* < 0, 0, > 0: by happened, and where that is the same by seq. */
int td_stamp_compare (TdStamp a, TdStamp b);
/* TRUE where what @begun began was not ended after it: the later of the two is the beginning. */
gboolean td_stamp_is_open (TdStamp begun, TdStamp ended);

/* On and off in the order of happened, then seq. */
typedef struct
{
  TdStamp stamp;
  gboolean on;
} TdSwitch;

/* One chemical's way through one line: a visit may run caustic and then acid. */
typedef struct
{
  TdClean clean;
  guint batch;       /* index into batches; G_MAXUINT where its mix was voided */
  TdMethod method;
  int circuit;       /* number, 0 for a static line */
  TdStamp chemical_in;   /* sent in */
  TdStamp chemical_seen; /* full strength at the far end, or at the static line's own faucet, shut */
  gboolean shut;         /* said of a static line's faucet when the chemical was seen */
  TdStamp return_seen;   /* the circuit's return into the bucket in this pass */
  TdStamp clock_start;   /* from when contact counts: also the return in the bucket for a circuit */
  TdStamp contact_end;   /* or the rinse's start, or another chemical, where no end was written down */
  gint64 contact_ms;  /* counted until contact_end, pauses left out; 0 while it runs: ask td_pass_get_contact_ms() */
  gint64 required_ms; /* by method, from the settings */
  TdStamp rinse_start;
  TdStamp rinse_circulated;
  TdReading rinse_ph; /* last outlet reading of this pass, 0.001 pH */
  TdReading tap_ph;   /* the tap reading of this visit that it is held against */
  gint64 rinse_band;  /* 0.001 pH, by the coarser of the two instruments */
  gboolean rinse_passed;
  const char *debris; /* "none", "some", "heavy", or NULL */
  gboolean disorder;  /* its times cannot have come in this order: rinsed before the contact ended, seen
                         before it was sent in, or seen only after its contact ended */
} TdPass;

typedef struct
{
  guint outlet; /* index into site->outlets */
  gboolean in_scope[TD_N_CLEANS];
  /* as planned */
  TdMethod method;
  int circuit; /* number, 0 where none */
  TdDirection direction;
  gboolean reversal; /* the plan sets this line's lever */
  /* as done */
  GArray *passes;        /* TdPass, in order */
  TdStamp proved; /* first */
  TdStamp keg_uncoupled, keg_coupled;
  TdStamp adapter_fitted, adapter_removed;
  TdStamp ball_out, ball_in;
  TdStamp joined_keg, parted_keg, joined_faucet, parted_faucet;
  TdStamp fob_opened, fob_flooded, fob_rinsed, fob_vented;
  TdStamp lever_set, lever_back;
  TdStamp flow_in_seen, flow_out_seen; /* last of each */
  TdStamp run_seen;                    /* last flow seen before the last contact ended: */
  TdDirection run_direction;           /* the direction that the chemical ran in */
  TdStamp faucet_stripped, faucet_rebuilt, coupler_brushed, fob_stripped, coupler_stripped, well_dried;
  TdStamp beer_clear_first, beer_clear_last;
  guint beer_clear_count;
  gboolean gas_off_now[2]; /* [0] beer-pump drive, [1] keg: last act was "off" */
  GArray *gas[2];          /* TdSwitch */
  TdReading beer_temperature, keg_pressure, pump_pressure, pour_rate;
  TdStamp leak_checked;
  gboolean leaking;
  const char *product_now; /* after a swap, else NULL */
  /* as found */
  TdStamp found;
  TdReading found_pressure, found_temperature;
  const char *found_lever; /* "out", "in", "none" or NULL */
  const char *found_keg;
  const char *found_gas;
  /* not finished */
  TdStamp left_out;
  const char *left_out_reason;
  TdStamp out_of_service;
  const char *service_condition; /* "rinsed", "holding", "drained", "not-started" */
  const char *service_reason;
  const char *service_handed_to;
  const char *service_tag; /* id of the tag that stays behind, NULL where none was named */
} TdVisitLine;

typedef struct
{
  guint outlet;
  TdDirection direction;
  gboolean reversal;
} TdLeg;

typedef struct
{
  int number;
  const char *station; /* tower or cooler id */
  GArray *legs;        /* TdLeg in order of flow */
  GArray *pump;        /* TdSwitch of the cleaning pump */
  TdStamp return_in_bucket;
  TdReading flow; /* measured, mL/min */
  gint64 predicted_flow_ml_min; /* 0 where the plan says nothing */
  /* -1 where it says nothing */
  gint64 predicted_fill_s, predicted_volume_ml, predicted_velocity_mm_s;
  gint64 predicted_rinse_s, predicted_rinse_ml;
  gint64 rinse_water_ml; /* written down for the whole circuit */
} TdVisitCircuit;

typedef struct
{
  guint outlet;
  guint cooler;
  int fed_by; /* circuit, 0 where it needs a set-up of its own */
} TdVisitStatic;

typedef struct
{
  TdStamp lifted;
  TdStamp again; /* seq 0 while it is lifted */
  const char *lifted_by;
  const char *owner; /* whose it was then */
} TdTagLift;

typedef struct
{
  const char *id;
  const char *kind; /* "tag", "lock", "handle-removed", "faucet-removed" */
  const char *at;   /* "outlet", "gas", "power", "cooling" */
  int outlet;       /* -1 where it does not hang on an outlet */
  const char *place; /* where it does not: in words */
  const char *legend;
  TdStamp hung;
  const char *hung_by;
  const char *owner; /* hung_by, or to whom it was handed over */
  GArray *lifts;     /* TdTagLift */
  TdStamp removed;
  const char *removed_by;
  gboolean employer_procedure; /* another person removed it with all three facts */
} TdTag;

typedef struct
{
  const char *id;
  TdStamp mixed;
  const TdProduct *product; /* NULL where the book does not know it */
  const TdLot *lot;
  gint64 concentrate_ml; /* -1 where not said */
  gint64 water_ml;       /* -1 where not said */
  gint64 percent_milli;  /* as mixed, -1 where not said */
  TdBasis basis;
  TdKnown known;
  const char *person;
  TdReading strength; /* last measurement, 0.001 % */
  TdBasis strength_basis;
  const char *strength_method;
  TdReading temperature; /* 0.001 C, from mixing or a reading */
  gint64 disposed_ml;    /* sum of the disposals that name it */
} TdBatch;

typedef struct
{
  TdStamp stamp;
  int batch; /* index or -1 */
  gint64 volume_ml;
  gint64 ph_milli; /* -1 where not read */
  const char *drain;
} TdDisposal;

typedef struct
{
  TdStamp stamp;
  int outlet, tower, cooler; /* -1 where not named */
  const char *symptom, *extent, *cause, *severity, *text, *action;
  gboolean quote_wanted, follow_up;
} TdFault;

typedef struct
{
  TdStamp stamp;
  int outlet;
  const char *part, *text;
  gint64 quantity;
} TdPart;

typedef struct
{
  TdStamp stamp;
  const char *place; /* tower or cooler id */
  gboolean on;
} TdCooling;

typedef struct
{
  TdStamp stamp;
  guint place; /* tower or cooler index */
  const char *name; /* staff: who was told */
  const char *co2, *access;
  gint64 co2_ppm; /* -1 where not read */
  const char *text;
} TdCheck;

typedef struct
{
  TdStamp stamp;
  gboolean given;
  const char *name, *meaning, *reason; /* meaning: work-done, informed, nobody-present, refused */
  const TdJson *strokes; /* NULL where there is none */
} TdSignature;

typedef struct
{
  TdStamp stamp;
  const char *code; /* of the rule */
  int outlet;       /* -1: for the whole visit */
  const char *reason;
} TdReason;

typedef struct
{
  TdStamp stamp;
  int outlet;
  const char *text, *what, *action, *sha256, *media; /* as the kind has them */
} TdRemark; /* note, photo, incident */

typedef struct
{
  guint seq;   /* of the correction */
  guint of;    /* corrected entry */
  gboolean voids;
  gboolean breaks_order; /* or could not be applied itself; what stands corrected could not have happened in this order */
  const char *why;
} TdCorrection;

typedef struct
{
  TdStamp stamp;
  const char *person;
  gboolean eyes, gloves, apron;
} TdProtection;

/* When a line last had what is done in long intervals, in earlier visits; TD_DATE_NONE: never on record. */
typedef struct
{
  TdDate acid;
  TdDate fob_stripped;
  TdDate coupler_stripped;
} TdLineHistory;

typedef struct _TdVisit
{
  TdUuid id;
  TdSite *site;
  TdMasters *masters;
  TdSettings *settings;
  TdLineHistory *history; /* one for each outlet of the site; NULL where nobody looked it up */
  GPtrArray *entries;   /* TdEntry, as written */
  GPtrArray *effective; /* TdEntry, as corrected; NULL where voided; same indices */
  guint last_seq;
  GArray *kept_out; /* guint: seqs of entries that a correction, or a change of the site's sheet, made impossible */

  const char *site_id;
  gboolean amends_other;
  TdUuid amends;
  const char *work; /* "routine", ... */
  const char *out_of_hours, *sds_at_hand; /* "yes", "no", or NULL where not said */
  TdMoment arrived;
  TdStamp arrival;
  GPtrArray *persons; /* const char *, everyone who made an entry, in order, once; then the crew */
  gboolean closed;
  TdMoment closed_at;
  const TdJson *snapshot; /* of the closing entry, or NULL */

  TdVisitLine *lines; /* one for each outlet of the site */
  guint n_lines;
  TdStamp plan_adopted;
  gint64 planned_minutes; /* 0 where the plan says nothing */
  GArray *circuits;  /* TdVisitCircuit */
  GArray *statics;   /* TdVisitStatic */
  GArray *tags;      /* TdTag */
  GArray *batches;   /* TdBatch */
  GArray *disposals; /* TdDisposal */
  GArray *faults;    /* TdFault */
  GArray *parts;     /* TdPart */
  GArray *cooling;   /* TdCooling */
  GArray *staff;     /* TdCheck: told */
  GArray *rooms;     /* TdCheck: cold rooms */
  GArray *protection; /* TdProtection */
  GArray *tap_ph;    /* TdReading */
  GArray *incidents; /* TdRemark */
  GArray *notes;     /* TdRemark */
  GArray *photos;    /* TdRemark */
  GArray *reasons;   /* TdReason */
  GArray *corrections; /* TdCorrection */
  gint64 beer_lost_ml;
  gint64 rinse_water_ml;
  TdStamp left_tidy;
  TdSignature signature, countersignature;
} TdVisit;

/* What the fold needs besides the entries. */
typedef struct
{
  TdSite *site;
  TdMasters *masters;
  TdSettings *settings;
  const TdLineHistory *history; /* (nullable): one for each outlet of the site, copied; for what is due */
} TdVisitContext;

/* Folds @entries (TdEntry, by seq from 1 without gaps, of one visit, arrival first). What cannot have
 * happened is refused only in the newest entry (the last of the list); an older one that a correction
 * made impossible is kept out of the state (kept_out) and marks the correction (breaks_order).  A product,
 * lot or instrument that the book has lost since does not keep an older entry out: it reads NULL.
 *
 * Where several entries say the same of one pass, the earliest time counts, so that the act of a whole
 * circuit does not undo what was written down for a single line of it.  Scopes add up.  A later plan
 * replaces an earlier one; circuits and lines that had chemical already keep what they ran by.
 *
 * A correction may `set` fields, happened and person, or `void`; of several of one entry the later wins,
 * field by field.  A correction may itself be corrected or voided: voiding it restores what it corrected.
 * Closing cannot be corrected, arrival cannot be voided nor moved to another site.
 *
 * Closing with an open stop is not looked at here: rules may change, what was closed stays closed. Who
 * appends a closing asks td_visit_get_findings() first.
 * Returns: (transfer full): the state, or NULL with TD_ERROR_REFERENCE, TD_ERROR_IMPOSSIBLE, or
 * TD_ERROR_SHAPE and TD_ERROR_RANGE for a correction that leaves the corrected entry without its shape. */
TdVisit *td_visit_fold (const TdVisitContext *context, const GPtrArray *entries, GError **error);
TdVisit *td_visit_ref (TdVisit *visit);
void td_visit_unref (TdVisit *visit);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdVisit, td_visit_unref)

/* Contact counted up to @now_ms (UTC ms, the clock on the screen) or to its end; pauses of the cleaning
 * pump left out. Milliseconds. */
gint64 td_pass_get_contact_ms (const TdVisit *visit, const TdPass *pass, gint64 now_ms);
/* The last pass of a line, or NULL. */
const TdPass *td_visit_line_get_pass (const TdVisitLine *line);
/* TRUE from the moment chemical was sent in (or seen) until its rinse passed or the line was drained. */
gboolean td_visit_line_holds_chemical (const TdVisitLine *line);
/* The direction that the line ran in: as seen by flow before the last contact ended, else as planned. */
TdDirection td_visit_line_get_direction (const TdVisitLine *line);
/* The circuit with that number, or NULL. */
const TdVisitCircuit *td_visit_find_circuit (const TdVisit *visit, int number);
/* Name of a person: the technician's, or the id itself where the book does not know it. */
const char *td_visit_get_person_name (const TdVisit *visit, const char *person);
/* TRUE where the line, or for a side faucet the line that feeds it, was left out of service to a person. */
gboolean td_visit_is_out_of_service (const TdVisit *visit, guint outlet);
/* The effective entry with that seq, or NULL where it is voided or there is none. */
const TdEntry *td_visit_get_effective (const TdVisit *visit, guint seq);

const char *td_method_to_text (TdMethod method);       /* "none", "circulating", "static" */
const char *td_direction_to_text (TdDirection direction); /* "out", "in" */
const char *td_clean_to_text (TdClean clean);          /* "caustic", "acid" */
const char *td_known_to_text (TdKnown known);          /* "measured", "accepted", "estimated" */

G_END_DECLS
