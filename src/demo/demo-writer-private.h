/* demo-writer-private.h: the pen of an invented visit: it keeps the time and makes the entries. */
#pragma once

#include "core-json-build.h"
#include "core-plan-make.h"
#include "demo-visit.h"

G_BEGIN_DECLS

typedef struct
{
  const TdDemoVisit *visit;
  TdPlan *plan;
  GRand *chance;
  gint64 now_ms; /* the technician's clock, UTC ms */
  TdDemoScript *script;
  GPtrArray *scope; /* const char *: ids of every outlet that is cleaned */
  const char *batch; /* the mix in use */
  const char *product;
} TdDemoWriter;

/* Lets the technician's clock go on. */
void td_demo_wait (TdDemoWriter *writer, int seconds);
/* Whole numbers in a closed range. */
int td_demo_pick (TdDemoWriter *writer, int low, int high);
/* One entry, @seconds after the one before. @fields: a JSON object as a printf format; texts that may
 * hold quotes go through td_demo_quote(). */
void td_demo_act (TdDemoWriter *writer, TdKind kind, int seconds, const char *fields, ...)
  G_GNUC_PRINTF (4, 5);
/* Returns: (transfer full): a JSON string. */
char *td_demo_quote (const char *text);
/* Returns: (transfer full): a JSON array of strings. @ids: (element-type utf8). */
char *td_demo_list (const GPtrArray *ids);
/* Returns: (transfer full): the ids of the plan's circuit, in order of flow. */
GPtrArray *td_demo_circuit_lines (const TdPlanCircuit *circuit);

/* The outlets in scope for which @test holds. Returns: (transfer full) (element-type utf8). */
typedef gboolean (*TdDemoTest) (const TdDemoWriter *writer, guint outlet);
GPtrArray *td_demo_filter (const TdDemoWriter *writer, TdDemoTest test);

/* The stages, in the order in which they happen. */
void td_demo_arrive (TdDemoWriter *writer);
void td_demo_make_safe (TdDemoWriter *writer);
void td_demo_chemical (TdDemoWriter *writer, gboolean acid);
void td_demo_put_back (TdDemoWriter *writer);
void td_demo_check (TdDemoWriter *writer);
void td_demo_sign (TdDemoWriter *writer);

G_END_DECLS
