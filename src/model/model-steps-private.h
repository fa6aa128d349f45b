/* model-steps-private.h: what the makers of the steps' lists share. */
#pragma once

#include "model-steps.h"

G_BEGIN_DECLS

typedef struct
{
  const TdStepView *view;
  const TdVisit *visit;
  GPtrArray *stands;
  TdStand *stand; /* the one being filled */
  const char *step;
} TdStepMaker;

/* Tells of a line: belongs to an act, is still open for it. */
typedef gboolean (*TdLineIs) (const TdVisit *visit, guint outlet);

/* An act done to every line of a place for which @due holds. */
typedef struct
{
  TdKind kind;
  const char *title;   /* N_() */
  const char *confirm; /* N_() or NULL */
  TdLineIs due;
  TdLineIs open;
  const char *key, *value; /* of a field known beforehand, or NULL */
  gboolean wanted;
} TdLineAct;

/* Begins a stand; one that stays empty is dropped by td_maker_end(). @id: of the place or circuit. */
void td_maker_begin (TdStepMaker *maker, const char *id, const char *title, TdStandManner manner);
void td_maker_end (TdStepMaker *maker);
/* Takes @act into the stand. (transfer full) */
void td_maker_take (TdStepMaker *maker, TdAct *act);
/* An act of the stand with one part. @confirm: (nullable). (transfer none) */
TdAct *td_maker_add (TdStepMaker *maker, const char *name, TdKind kind, const char *title, const char *confirm,
                     gboolean wanted, int circuit, TdJson *fields);
/* An act that is made of several entries: begun empty, taken into the stand where it got any. @confirm:
 * (nullable). (transfer full) */
TdAct *td_maker_begin_act (TdStepMaker *maker, const char *name, const char *title, const char *confirm, gboolean wanted);
/* Takes @act (transfer full) into the stand, or drops it where it has no parts. FALSE where it was dropped. */
gboolean td_maker_take_act (TdStepMaker *maker, TdAct *act);
/* Adds an entry for @lines. (transfer full): @fields. */
void td_act_add_lines (TdAct *act, TdKind kind, int circuit, const GArray *lines, TdJson *fields);
/* Adds @row for the lines of a tower (or, with @tower -1, of a cooler). */
void td_maker_add_lines (TdStepMaker *maker, const TdLineAct *row, int tower, int cooler);
/* Adds @row for @lines (guint) alone. */
void td_maker_add_row (TdStepMaker *maker, const TdLineAct *row, const GArray *lines);
/* Adds the joining of the keg ends of a cooler (with @tower -1) or of the faucet ends of a tower. */
void td_maker_add_joints (TdStepMaker *maker, int tower, int cooler);
/* Writes an act's detail from its lines. */
void td_act_say_lines (TdAct *act, const TdVisit *visit);

/* In scope, neither left out nor out of service. */
gboolean td_line_is_wanted (const TdVisit *visit, guint outlet);
/* Wanted and in the plan. */
gboolean td_line_is_planned (const TdVisit *visit, guint outlet);
/* Planned, has a keg end, and no chemical was in it yet. */
gboolean td_line_is_before (const TdVisit *visit, guint outlet);
/* Chemical was in it in this visit, and it is not out of service. */
gboolean td_line_was_run (const TdVisit *visit, guint outlet);
gboolean td_line_has_keg_end (const TdVisit *visit, guint outlet);
const TdLine *td_line_get_sheet (const TdVisit *visit, guint outlet);
/* The clean that it still has to get. FALSE: none. */
gboolean td_line_get_clean (const TdVisit *visit, guint outlet, TdClean *clean_out);
/* The pass of the clean that it has to get, NULL where that has not begun. */
const TdPass *td_line_get_work (const TdVisit *visit, guint outlet);
/* A clean is due that has not begun. */
gboolean td_line_awaits_chemical (const TdVisit *visit, guint outlet);
/* Tag on the outlet that hangs or is lifted, or NULL. */
const TdTag *td_line_find_tag (const TdVisit *visit, guint outlet);
gboolean td_tag_is_lifted (const TdTag *tag);
/* TRUE where an entry of @kind that holds names the circuit or the outlet (-1: any), not earlier than
 * @since. */
gboolean td_visit_has_entry (const TdVisit *visit, TdKind kind, int circuit, int outlet, TdStamp since);
/* Lines of a circuit that are wanted. (transfer full): guint */
GArray *td_circuit_get_lines (const TdVisit *visit, const TdVisitCircuit *circuit);
gboolean td_circuit_is_pumping (const TdVisitCircuit *circuit);
/* Static lines of a tower that are wanted. (transfer full): guint */
GArray *td_tower_get_statics (const TdVisit *visit, guint tower);

/* Hanging the lifted tags of @lines again: last at the outlet. */
void td_maker_add_again (TdStepMaker *maker, const GArray *lines, gboolean wanted);
/* Tags as entries of an act: those that hang are lifted, those that are @lifted are hung again. */
void td_act_add_tags (TdAct *act, const TdVisit *visit, const GArray *lines, gboolean lifted);

void td_make_arrive (TdStepMaker *maker);
void td_make_plan (TdStepMaker *maker);
void td_make_safe (TdStepMaker *maker);
void td_make_mix (TdStepMaker *maker);
void td_make_contact (TdStepMaker *maker);
void td_make_rinse (TdStepMaker *maker);
void td_make_back (TdStepMaker *maker);
void td_make_check (TdStepMaker *maker);
void td_make_sign (TdStepMaker *maker);

G_END_DECLS
