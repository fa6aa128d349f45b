/* core-plan-work.h: the work that a plan asks for: tasks, how long they take, what has to come before. */
#pragma once

#include "core-plan-time.h"

G_BEGIN_DECLS

typedef struct
{
  TdPlanWork work;
  guint circuit;    /* number; of a static line, of the circuit that feeds it */
  const char *line; /* outlet, where the task concerns one */
  int place;        /* tower, or the number of towers plus a cooler; -1 where nobody is needed */
  gint64 duration_s;
  guint urgency;    /* 0 the most urgent */
  GArray *after;    /* guint, tasks that have to be finished before */
} TdPlanTask;

/* The tasks of a plan. */
typedef struct
{
  GPtrArray *tasks; /* TdPlanTask; what comes before stands before */
  guint n_circuits;
  guint *pump;      /* by circuit: the task that places the pump for it */
  guint *fill;      /* by circuit: the task that brings the chemical in */
  guint *rinse;     /* by circuit: the task that rinses it */
} TdPlanTasks;

TdPlanTasks *td_plan_tasks_new (const TdSite *site, const TdPlan *plan, const TdSettings *settings);
void td_plan_tasks_free (TdPlanTasks *list);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdPlanTasks, td_plan_tasks_free)

static inline const TdPlanTask *
td_plan_tasks_get (const TdPlanTasks *list, guint at)
{
  return g_ptr_array_index (list->tasks, at);
}

G_END_DECLS
