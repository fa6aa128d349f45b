/* core-fold.h: what the files of the fold share; not for use outside core-fold*.c.
 *
 * One handler for each kind of entry, in core-fold-*.c by stage of the visit.  A handler looks at
 * the whole entry first and changes the visit only when nothing speaks against it, so that an entry
 * that is kept out leaves no trace.  What depends on the order of time rather than of writing (the
 * passes of a chemical through a line) is only noted by the handlers and worked out at the end. */
#pragma once

#include "core-visit.h"

G_BEGIN_DECLS

typedef enum
{
  TD_EVENT_CHEMICAL_IN,
  TD_EVENT_CHEMICAL_SEEN,
  TD_EVENT_CONTACT_ENDED,
  TD_EVENT_RINSE_STARTED,
  TD_EVENT_RINSE_CIRCULATED,
  TD_EVENT_PH,
  TD_EVENT_DEBRIS,
  TD_EVENT_FLOW
} TdLineEventType;

/* Something that bears on the passes of one line. */
typedef struct
{
  TdLineEventType type;
  TdStamp stamp;
  guint batch; /* of a chemical; G_MAXUINT where its mix was voided */
  TdMethod method;
  int circuit;
  gboolean shut;
  TdReading reading; /* of a pH */
  const char *debris;
  TdDirection direction; /* of a flow */
} TdLineEvent;

/* A circuit's return put into the bucket. */
typedef struct
{
  int circuit;
  TdStamp stamp;
} TdReturnEvent;

typedef struct
{
  TdVisit *visit;
  GHashTable *outlets; /* id -> GUINT_TO_POINTER (index + 1) */
  GArray **events;     /* TdLineEvent of each outlet, NULL where there are none */
  gint64
      *first_chemical; /* of each outlet: earliest happened of a chemical, G_MAXINT64 where none */
  GArray *returns;     /* TdReturnEvent */
  GArray *targets;     /* guint: outlets of the entry in hand */
  int circuit;         /* circuit of the entry in hand, 0 where it names lines */
  gboolean strict;     /* the entry in hand may be refused: newest, or corrected by the newest */
} TdFold;

/* Refuses with TD_ERROR_REFERENCE or TD_ERROR_IMPOSSIBLE. */
typedef gboolean (*TdFoldHandler) (TdFold *fold, const TdEntry *entry, GError **error);

/* What an act asks of a line. */
typedef enum
{
  TD_NEED_NOTHING = 0,
  TD_NEED_KEG_END = 1 << 0, /* a side faucet has none */
  TD_NEED_FOB = 1 << 1,
  TD_NEED_LEVER = 1 << 2,     /* a reversible beer pump */
  TD_NEED_BEER_PUMP = 1 << 3, /* one that has drive gas */
  TD_NEED_MAY_RUN_IN = 1 << 4
} TdNeed;

/* core-fold-body.c: reading a body whose shape has been checked */

TdStamp td_fold_get_stamp (const TdEntry *entry);
/* The text of a field, or NULL where it is left out. */
const char *td_fold_get_text (const TdEntry *entry, const char *key);
gint64 td_fold_get_integer (const TdEntry *entry, const char *key, gint64 missing);
gboolean td_fold_is (const TdEntry *entry, const char *key, const char *word);
TdKnown td_fold_get_known (const TdEntry *entry);
/* Of two times of the same act the earlier, or the later. */
void td_fold_keep_earliest (TdStamp *stamp, const TdEntry *entry);
void td_fold_keep_latest (TdStamp *stamp, const TdEntry *entry);
void td_fold_keep_latest_reading (TdReading *reading, const TdReading *other);
/* Keeps a list of TdSwitch in order. */
void td_fold_insert_switch (GArray *switches, const TdEntry *entry, gboolean on);

/* core-fold-refer.c: what a body refers to; each refuses with TD_ERROR_REFERENCE */

/* Index of the outlet, or -1 with the error. */
int td_fold_find_outlet (const TdFold *fold, const TdEntry *entry, const char *id, GError **error);
/* An optional reference: *@index_out is -1 where the entry leaves the key out. */
gboolean td_fold_get_outlet (TdFold *fold,
                             const TdEntry *entry,
                             const char *key,
                             int *index_out,
                             GError **error);
gboolean td_fold_get_tower (TdFold *fold, const TdEntry *entry, int *index_out, GError **error);
gboolean td_fold_get_cooler (TdFold *fold, const TdEntry *entry, int *index_out, GError **error);
/* Fills targets and circuit from "lines" or "circuit" and holds every line against @need
 * (TD_ERROR_IMPOSSIBLE).  Targets are empty where the entry has neither. */
gboolean td_fold_get_targets (TdFold *fold, const TdEntry *entry, TdNeed need, GError **error);
TdVisitCircuit *td_fold_get_circuit (TdFold *fold, const TdEntry *entry, GError **error);
/* *@index_out is G_MAXUINT where the entry names none, or an older entry one whose mix was voided.
 */
gboolean td_fold_get_batch (TdFold *fold, const TdEntry *entry, guint *index_out, GError **error);
/* The last tag of that id, or NULL with the error. */
TdTag *td_fold_get_tag (TdFold *fold, const TdEntry *entry, const char *id, GError **error);
gboolean td_fold_get_instrument (TdFold *fold,
                                 const TdEntry *entry,
                                 const TdInstrument **instrument_out,
                                 GError **error);
/* A reading: @key's value, known and instrument. */
gboolean td_fold_get_reading (TdFold *fold,
                              const TdEntry *entry,
                              const char *key,
                              TdReading *reading_out,
                              GError **error);
void td_fold_set_error (const TdEntry *entry, int code, GError **error, const char *format, ...)
    G_GNUC_PRINTF (4, 5);

/* core-fold-pass.c */

/* Notes an event for every target. */
void td_fold_note (TdFold *fold, const TdLineEvent *event);
/* Works out the passes of every line. */
void td_fold_finish_passes (TdFold *fold);

/* core-fold-correct.c */

/* Fills visit->effective and visit->corrections. @refuse: FALSE to let the newest pass as well. */
gboolean td_fold_resolve_corrections (TdVisit *visit, gboolean refuse, GError **error);

/* core-plan-possible.c */

/* TRUE where the body's "plan", of checked shape, can be run at the site at all; TD_ERROR_REFERENCE
 * or TD_ERROR_IMPOSSIBLE otherwise. */
gboolean td_plan_is_possible (const TdSite *site, const TdJson *plan, GError **error);

/* Handlers */
#define TD_HANDLER(name)                                                                           \
  gboolean td_fold_##name (TdFold *fold, const TdEntry *entry, GError **error);
TD_HANDLER (arrival)
TD_HANDLER (as_found)
TD_HANDLER (staff_told)
TD_HANDLER (cold_room)
TD_HANDLER (scope)
TD_HANDLER (plan)
TD_HANDLER (mark)
TD_HANDLER (tag_hung)
TD_HANDLER (tag_lifted)
TD_HANDLER (tag_hung_again)
TD_HANDLER (tag_removed)
TD_HANDLER (hand_over)
TD_HANDLER (gas)
TD_HANDLER (cooling)
TD_HANDLER (protection)
TD_HANDLER (keg_coupled)
TD_HANDLER (ends)
TD_HANDLER (mixed)
TD_HANDLER (strength)
TD_HANDLER (cleaning_pump)
TD_HANDLER (pushed_out)
TD_HANDLER (chemical)
TD_HANDLER (flow)
TD_HANDLER (return_in_bucket)
TD_HANDLER (contact_ended)
TD_HANDLER (rinse_started)
TD_HANDLER (rinse_circulated)
TD_HANDLER (rinse_water)
TD_HANDLER (ph)
TD_HANDLER (debris)
TD_HANDLER (disposed)
TD_HANDLER (beer_clear)
TD_HANDLER (product_now)
TD_HANDLER (temperature)
TD_HANDLER (pressure)
TD_HANDLER (pour_rate)
TD_HANDLER (leak)
TD_HANDLER (left_tidy)
TD_HANDLER (fault)
TD_HANDLER (part)
TD_HANDLER (left_out)
TD_HANDLER (out_of_service)
TD_HANDLER (incident)
TD_HANDLER (reason)
TD_HANDLER (note_written)
TD_HANDLER (photo)
TD_HANDLER (signature)
TD_HANDLER (countersignature)
TD_HANDLER (closing)
#undef TD_HANDLER

G_END_DECLS
