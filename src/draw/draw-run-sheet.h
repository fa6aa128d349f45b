/* draw-run-sheet.h: what a picture of a site shows, before anything is laid out.
 *
 * Made from a site alone, from a proposed plan or from the state of a visit, so that the scene
 * knows neither plan nor visit.  A run sheet holds copies of all it needs except the site, which it
 * refers to. */
#pragma once

#include "core-plan.h"
#include "core-site.h"
#include "core-visit.h"

G_BEGIN_DECLS

/* How a line runs in the picture. */
typedef enum
{
  TD_RUN_IDLE,  /* not cleaned: thin, no heads */
  TD_RUN_OUT,   /* with the dispense direction */
  TD_RUN_IN,    /* against it */
  TD_RUN_STATIC /* filled, shut, held */
} TdRunWay;

/* How far a line has come; told by a fill pattern and a short word. */
typedef enum
{
  TD_STAGE_UNSAID,  /* no visit, nothing to tell */
  TD_STAGE_NOT_DUE, /* not in the visit's scope */
  TD_STAGE_WAITING, /* in scope, nothing done */
  TD_STAGE_FILLING, /* chemical sent in, not seen at the end */
  TD_STAGE_CONTACT, /* the clock runs */
  TD_STAGE_RINSING, /* contact ended, rinse not yet passed */
  TD_STAGE_RINSED,  /* rinse passed, no clear beer yet */
  TD_STAGE_POURS,   /* beer drawn clear after the rinse */
  TD_STAGE_LEFT_OUT,
  TD_STAGE_OUT_OF_SERVICE,
  TD_N_STAGES
} TdStage;

typedef enum
{
  TD_TAG_HANGS,
  TD_TAG_LIFTED,
  TD_TAG_GONE /* removed for good; shown only where the picture tells how the visit ran */
} TdTagState;

/* One outlet of the site. */
typedef struct
{
  TdRunWay way;
  gboolean reversal; /* its beer pump's lever is set inwards */
  TdStage stage;
  int circuit; /* number, 0 where none */
} TdRunOutlet;

typedef struct
{
  guint outlet;
  TdDirection direction;
} TdRunLeg;

typedef struct
{
  int number;
  int tower;      /* where the cleaning pump stands: tower index, or -1 */
  int cooler;     /* or cooler index, or -1 */
  TdRunLeg *legs; /* in order of flow */
  guint n_legs;
} TdRunCircuit;

typedef struct
{
  guint outlet;
  int fed_by; /* circuit, 0 where it is set up on its own */
} TdRunStatic;

typedef struct
{
  char *id;
  int outlet;  /* -1 where it does not hang on an outlet */
  char *place; /* in words, where it does not */
  TdTagState state;
} TdRunTag;

typedef struct _TdRunSheet
{
  TdSite *site;
  TdRunOutlet *outlets; /* one for each outlet of the site */
  TdRunCircuit *circuits;
  guint n_circuits;
  TdRunStatic *statics;
  guint n_statics;
  TdRunTag *tags;
  guint n_tags;
} TdRunSheet;

/* Which moment of a visit is shown. */
typedef enum
{
  TD_SHOW_NOW,   /* as it stands: removed tags are gone */
  TD_SHOW_AS_RUN /* how it was done: every tag that hung is drawn on its outlet */
} TdShow;

/* The site alone: nothing runs, nothing is said of stages. */
TdRunSheet *td_run_sheet_new (TdSite *site);
/* Returns: (transfer full): a visit as it stands or as it ran. Outlets beyond the visit's lines
 * stay idle. */
TdRunSheet *td_run_sheet_new_visit (const TdVisit *visit, TdShow show);
/* Returns: (transfer full): a proposed plan. What it names and the site does not have is left out.
 */
TdRunSheet *td_run_sheet_new_plan (TdSite *site, const TdPlan *plan);
void td_run_sheet_free (TdRunSheet *sheet);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdRunSheet, td_run_sheet_free)

/* The makers below are for plans: they build a sheet act by act. @station: a tower's or a cooler's
 * id; an unknown one leaves the pump undrawn. Legs set the way and circuit of their outlets. */
void td_run_sheet_add_circuit (TdRunSheet *sheet,
                               int number,
                               const char *station,
                               const TdRunLeg *legs,
                               guint n_legs);
void td_run_sheet_add_static (TdRunSheet *sheet, guint outlet, int fed_by);
void td_run_sheet_add_tag (TdRunSheet *sheet,
                           const char *id,
                           int outlet,
                           const char *place,
                           TdTagState state);

/* How far a line of a visit has come. */
TdStage td_stage_of_line (const TdVisitLine *line);
/* "waiting": for files and tests. */
const char *td_stage_to_text (TdStage stage);
/* The short word under the pattern, in the reader's language. */
const char *td_stage_get_word (TdStage stage);
const char *td_run_way_to_text (TdRunWay way);

G_END_DECLS
