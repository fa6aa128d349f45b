/* core-plan-work.h: the work that a plan asks for: tasks, how long they take, what has to come before. */
#pragma once

#include "core-plan-time.h"

G_BEGIN_DECLS

typedef struct
{
  TdWork work;
  guint circuit;    /* number; of a static line, of the circuit that feeds it */
  const char *line; /* outlet, where the task concerns one */
  int place;        /* tower, or the number of towers plus a cooler; -1 where nobody is needed */
  gint64 duration_s;
  guint urgency;    /* 0 the most urgent */
  GArray *after;    /* guint, tasks that have to be finished before */
} TdTask;

/* The tasks of a plan. */
typedef struct
{
  GPtrArray *tasks; /* TdTask; what comes before stands before */
  guint n_circuits;
  guint *pump;      /* by circuit: the task that places the pump for it */
  guint *fill;      /* by circuit: the task that brings the chemical in */
  guint *rinse;     /* by circuit: the task that rinses it */
} TdWorkList;

TdWorkList *td_work_list_new (const TdSite *site, const TdPlan *plan, const TdSettings *settings);
void td_work_list_free (TdWorkList *list);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdWorkList, td_work_list_free)

static inline const TdTask *
td_work_list_get (const TdWorkList *list, guint at)
{
  return g_ptr_array_index (list->tasks, at);
}

G_END_DECLS
