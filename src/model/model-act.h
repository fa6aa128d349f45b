/* model-act.h: an act that a person may do next: what it says, which lines it is done to, what stands in
 * its way, and the journal's bodies that it becomes.
 *
 * An act is one row with one big target, however many lines it is done to.  It may become several entries
 * (a tag for each outlet, a direction for each way that lines run): its parts.  Values are reference
 * counted and not written after they were made. */
#pragma once

#include "core-guard.h"
#include "core-units.h"
#include "core-visit.h"

G_BEGIN_DECLS

/* One entry of an act. */
typedef struct
{
  TdKind kind;
  int circuit;     /* whole circuit, 0 where none */
  GArray *outlets; /* guint: lines it is done to; may be empty */
  TdJson *fields;  /* object: what is known beforehand, without lines and circuit */
} TdActPart;

typedef struct _TdAct
{
  char *key;        /* the same act keeps it while it is open: "safe/C1/fob-opened" */
  char *title;      /* what to do: "Open the FOBs" */
  char *detail;     /* lines or figures: "Tower A 2, 4"; NULL where there is nothing to add */
  char *confirm;    /* what one tap says: "Done", "None seen"; NULL: a form asks for more */
  gboolean wanted;  /* keeps its step open; others are offered only */
  gboolean done;    /* was done; nothing of it is open */
  gboolean whole;   /* its lines are done together: no exceptions */
  gboolean table;   /* readings line by line: a TdReadings asks for them */
  GPtrArray *parts; /* TdActPart, at least one */
} TdAct;

/* @title, @confirm: copied; @confirm may be NULL. Returns: (transfer full). */
TdAct *td_act_new (const char *key, const char *title, const char *confirm, gboolean wanted);
TdAct *td_act_ref (TdAct *act);
void td_act_unref (TdAct *act);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdAct, td_act_unref)

/* Adds an entry to an act that is being made. @fields: (transfer full) (nullable): NULL is nothing.
 * Returns: (transfer none): the part, for its outlets. */
TdActPart *td_act_add_part (TdAct *act, TdKind kind, int circuit, TdJson *fields);

/* The kind of its first part. */
TdKind td_act_get_kind (const TdAct *act);
/* Every line of every part, once, in order. Returns: (transfer full): guint. */
GArray *td_act_get_outlets (const TdAct *act);
/* TRUE where single lines may be taken out of it. */
gboolean td_act_has_exceptions (const TdAct *act);

/* What stands in the way of the act, done by @person at @now_ms; what its own earlier entries mend does
 * not. @chosen: (nullable): its lines; NULL is all of them.  Returns: (transfer full) (element-type TdMissing): advice last, no text twice. */
GPtrArray *td_act_ask_guard (const TdAct *act,
                             const TdVisit *visit,
                             const GArray *chosen,
                             const char *person,
                             gint64 now_ms);
/* TRUE where one of them holds the act back. */
gboolean td_missing_holds (const GPtrArray *missing);

/* The bodies of its parts' entries for @chosen lines (guint; nullable: all); a part that loses all its
 * lines falls away, one that loses some of a circuit's names lines in place of the circuit.
 * @kinds_out: (transfer full): GArray of TdKind beside them.
 * Returns: (transfer full) (element-type TdJson): with free func. */
GPtrArray *td_act_make_bodies (const TdAct *act, const TdVisit *visit, const GArray *chosen, GArray **kinds_out);

/* A body of @fields (nullable) with the lines' ids, or the circuit, as the kind has them. (transfer full) */
TdJson *td_body_make (TdKind kind, const TdVisit *visit, int circuit, const GArray *outlets, const TdJson *fields);
/* An object of texts: pairs of key and value, ending with NULL; a pair with a value of NULL is left out.
 * (transfer full) */
TdJson *td_fields_new (const char *key, ...) G_GNUC_NULL_TERMINATED;
/* A copy of @fields (nullable) with one integer more. @fields: (transfer full). (transfer full) */
TdJson *td_fields_with_integer (TdJson *fields, const char *key, gint64 value);

/* The field of a kind, or NULL. */
const TdField *td_kind_find_field (TdKind kind, const char *key);
/* "535 mL": an integer of the kind's field with its unit. (transfer full) */
char *td_act_say_figure (TdKind kind, const char *key, gint64 value, const TdUnitStyle *style);
/* "Tower A 2, 4 · Tower B 6": tower by tower in the order given. (transfer full) */
char *td_outlets_to_title (const TdSite *site, const GArray *outlets);

G_END_DECLS
