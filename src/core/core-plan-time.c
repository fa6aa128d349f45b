#include "core-plan-time.h"

#include "core-plan-work.h"

#define N_(text) text
#define NOT_YET G_MAXINT64
#define MAX_TECHNICIANS 2

typedef struct
{
  gint64 free_s;
  int place; /* -1 before the first work */
} Technician;

typedef struct
{
  const TdSite *site;
  const TdPlanTasks *list;
  Technician technicians[MAX_TECHNICIANS];
  guint n_technicians;
  gint64 walk_s;
  gint64 *to_s; /* by task: when it ends; NOT_YET before it begins */
  guint n_done;
  GArray *bars; /* TdPlanBar */
} Run;

const char *
td_plan_work_get_text (TdPlanWork work)
{
  static const char *const texts[] = {
    [TD_PLAN_WORK_WALK] = N_ ("walk"),         [TD_PLAN_WORK_WAIT] = N_ ("wait"),
    [TD_PLAN_WORK_SET_UP] = N_ ("set up"),     [TD_PLAN_WORK_PUMP] = N_ ("place the pump"),
    [TD_PLAN_WORK_PUSH_OUT] = N_ ("push out"), [TD_PLAN_WORK_FILL] = N_ ("chemical in"),
    [TD_PLAN_WORK_CONTACT] = N_ ("contact"),   [TD_PLAN_WORK_HOLD] = N_ ("hold"),
    [TD_PLAN_WORK_RINSE] = N_ ("rinse"),       [TD_PLAN_WORK_FAUCET] = N_ ("faucet"),
    [TD_PLAN_WORK_PUT_BACK] = N_ ("put back"),
  };
  g_return_val_if_fail ((guint)work < G_N_ELEMENTS (texts), NULL);
  return texts[work];
}

void
td_plan_time_free (TdPlanTime *time)
{
  g_return_if_fail (time != NULL);
  g_free (time->bars);
  g_free (time->chemical_s);
  g_free (time->done_s);
  g_free (time->latest_s);
  g_free (time);
}

static const char *
get_place_id (const TdSite *site, int place)
{
  if (place < 0)
    return NULL;
  return place < (int)site->n_towers ? site->towers[place].id
                                     : site->coolers[place - (int)site->n_towers].id;
}

/* ---- the run ---- */

/* When what comes before the task has ended; NOT_YET where it has not begun. */
static gint64
get_ready_s (const Run *run, const TdPlanTask *task)
{
  gint64 ready_s = 0;
  for (guint i = 0; i < task->after->len; i++)
    ready_s = MAX (ready_s, run->to_s[g_array_index (task->after, guint, i)]);
  return ready_s;
}

static void
add_bar (Run *run,
         const TdPlanTask *task,
         TdPlanWork work,
         guint technician,
         gint64 from_s,
         gint64 to_s)
{
  TdPlanBar bar = { work,       task->circuit, task->line, get_place_id (run->site, task->place),
                    technician, from_s,        to_s };
  if (to_s > from_s)
    g_array_append_val (run->bars, bar);
}

/* What needs nobody begins as soon as it can. */
static void
start_unattended (Run *run)
{
  for (guint i = 0; i < run->list->tasks->len; i++)
    {
      const TdPlanTask *task = td_plan_tasks_get (run->list, i);
      gint64 ready_s = get_ready_s (run, task);
      if (task->place >= 0 || run->to_s[i] != NOT_YET || ready_s == NOT_YET)
        continue;
      run->to_s[i] = ready_s + task->duration_s;
      run->n_done++;
      add_bar (run, task, task->work, 0, ready_s, run->to_s[i]);
    }
}

/* The most urgent task that is ready for the technician; of equal ones what lies at hand.  Where
 * none is, @next_out takes the one that will be ready first. */
static int
choose (const Run *run, const Technician *who, int *next_out, gint64 *next_s_out)
{
  int best = -1;
  *next_out = -1;
  *next_s_out = NOT_YET;
  for (guint i = 0; i < run->list->tasks->len; i++)
    {
      const TdPlanTask *task = td_plan_tasks_get (run->list, i);
      if (task->place < 0 || run->to_s[i] != NOT_YET)
        continue;
      gint64 ready_s = get_ready_s (run, task);
      if (ready_s > who->free_s)
        {
          if (ready_s < *next_s_out)
            {
              *next_s_out = ready_s;
              *next_out = (int)i;
            }
          continue;
        }
      const TdPlanTask *other = best >= 0 ? td_plan_tasks_get (run->list, (guint)best) : NULL;
      if (other == NULL || task->urgency < other->urgency
          || (task->urgency == other->urgency && task->place == who->place
              && other->place != who->place))
        best = (int)i;
    }
  return best;
}

static void
start (Run *run, guint technician, guint at)
{
  Technician *who = &run->technicians[technician];
  const TdPlanTask *task = td_plan_tasks_get (run->list, at);
  if (who->place >= 0 && who->place != task->place)
    {
      add_bar (run, task, TD_PLAN_WORK_WALK, technician + 1, who->free_s,
               who->free_s + run->walk_s);
      who->free_s += run->walk_s;
    }
  run->to_s[at] = who->free_s + task->duration_s;
  add_bar (run, task, task->work, technician + 1, who->free_s, run->to_s[at]);
  who->free_s = run->to_s[at];
  who->place = task->place;
  run->n_done++;
}

/* The first end of a task after the moment, which may make others ready. */
static gint64
find_next_end (const Run *run, gint64 after_s)
{
  gint64 next_s = NOT_YET;
  for (guint i = 0; i < run->list->tasks->len; i++)
    if (run->to_s[i] != NOT_YET && run->to_s[i] > after_s)
      next_s = MIN (next_s, run->to_s[i]);
  return next_s;
}

/* What a technician who cannot even tell a next task waits for: the first that is not begun. */
static guint
find_open_task (const Run *run)
{
  guint at = 0;
  while (td_plan_tasks_get (run->list, at)->place < 0 || run->to_s[at] != NOT_YET)
    at++;
  return at;
}

/* Nothing to do: to the moment when something may be. */
static void
wait (Run *run, guint technician, int next, gint64 next_s)
{
  Technician *who = &run->technicians[technician];
  gint64 until_s = MIN (next_s, find_next_end (run, who->free_s));
  /* All that is left waits for what the other technician has yet to begin. */
  if (until_s == NOT_YET)
    until_s = MAX (run->technicians[1 - technician].free_s, who->free_s + 1);
  guint task = next >= 0 ? (guint)next : find_open_task (run);
  TdPlanBar *last
      = run->bars->len > 0 ? &g_array_index (run->bars, TdPlanBar, run->bars->len - 1) : NULL;
  if (last != NULL && last->work == TD_PLAN_WORK_WAIT && last->technician == technician + 1
      && last->to_s == who->free_s)
    last->to_s = until_s;
  else
    add_bar (run, td_plan_tasks_get (run->list, task), TD_PLAN_WORK_WAIT, technician + 1,
             who->free_s, until_s);
  who->free_s = until_s;
}

static void
run_through (Run *run)
{
  start_unattended (run);
  while (run->n_done < run->list->tasks->len)
    {
      guint technician
          = run->n_technicians > 1 && run->technicians[1].free_s < run->technicians[0].free_s ? 1
                                                                                              : 0;
      int next;
      gint64 next_s;
      int best = choose (run, &run->technicians[technician], &next, &next_s);
      if (best >= 0)
        start (run, technician, (guint)best);
      else
        wait (run, technician, next, next_s);
      start_unattended (run);
    }
}

/* ---- bounds ---- */

/* Seconds of a circuit's tasks of one kind, or of all that need somebody for TD_PLAN_WORK_WALK. */
static gint64
sum_tasks (const TdPlanTasks *list, guint circuit, TdPlanWork work)
{
  gint64 sum_s = 0;
  for (guint i = 0; i < list->tasks->len; i++)
    {
      const TdPlanTask *task = td_plan_tasks_get (list, i);
      gboolean counts
          = work == TD_PLAN_WORK_WALK ? task->place >= 0 : task->work == work && task->line == NULL;
      if (counts && (circuit == 0 || task->circuit == circuit))
        sum_s += task->duration_s;
    }
  return sum_s;
}

/* The longest run of tasks of which each has to wait for the one before, the order of the circuits
 * left free: whoever is at hand, it takes so long. */
static gint64
find_longest_chain (const TdPlanTasks *list)
{
  g_autofree gint64 *to_s = g_new0 (gint64, list->tasks->len + 1);
  gint64 longest_s = 0;
  for (guint i = 0; i < list->tasks->len; i++)
    {
      const TdPlanTask *task = td_plan_tasks_get (list, i);
      for (guint k = 0; k < task->after->len; k++)
        if (task->work != TD_PLAN_WORK_PUMP)
          to_s[i] = MAX (to_s[i], to_s[g_array_index (task->after, guint, k)]);
      to_s[i] += task->duration_s;
      longest_s = MAX (longest_s, to_s[i]);
    }
  return longest_s;
}

/* The pump serves one circuit after another, and the last one has to be put back. */
static gint64
sum_pump (const TdPlanTasks *list, guint n_technicians)
{
  static const TdPlanWork serves[] = { TD_PLAN_WORK_PUMP, TD_PLAN_WORK_PUSH_OUT, TD_PLAN_WORK_FILL,
                                       TD_PLAN_WORK_CONTACT, TD_PLAN_WORK_RINSE };
  gint64 sum_s = 0, least_back_s = NOT_YET;
  for (guint circuit = 1; circuit <= list->n_circuits; circuit++)
    {
      for (guint i = 0; i < G_N_ELEMENTS (serves); i++)
        sum_s += sum_tasks (list, circuit, serves[i]);
      gint64 back_s = sum_tasks (list, circuit, TD_PLAN_WORK_PUT_BACK) / n_technicians;
      least_back_s = MIN (least_back_s, back_s);
    }
  return list->n_circuits > 0 ? sum_s + least_back_s : 0;
}

/* ---- the result ---- */

static int
compare_bars (gconstpointer a, gconstpointer b)
{
  const TdPlanBar *x = a, *y = b;
  if (x->from_s != y->from_s)
    return x->from_s < y->from_s ? -1 : 1;
  if (x->technician != y->technician)
    return x->technician < y->technician ? -1 : 1;
  return 0;
}

static void
collect_circuits (const Run *run, TdPlanTime *time, gint64 margin_s)
{
  const TdPlanTasks *list = run->list;
  time->n_circuits = list->n_circuits;
  time->chemical_s = g_new0 (gint64, list->n_circuits + 1);
  time->done_s = g_new0 (gint64, list->n_circuits + 1);
  time->latest_s = g_new0 (gint64, list->n_circuits + 1);
  for (guint i = 0; i < list->tasks->len; i++)
    {
      guint circuit = td_plan_tasks_get (list, i)->circuit;
      time->total_s = MAX (time->total_s, run->to_s[i]);
      if (circuit > 0)
        time->done_s[circuit - 1] = MAX (time->done_s[circuit - 1], run->to_s[i]);
    }
  for (guint c = 0; c < list->n_circuits; c++)
    {
      guint fill = list->fill[c];
      time->chemical_s[c] = run->to_s[fill] - td_plan_tasks_get (list, fill)->duration_s;
      time->latest_s[c] = time->done_s[c] - time->chemical_s[c] + margin_s;
    }
}

TdPlanTime *
td_plan_time_new (const TdSite *site,
                  const TdPlan *plan,
                  const TdSettings *settings,
                  guint technicians)
{
  g_return_val_if_fail (site != NULL && plan != NULL, NULL);
  g_return_val_if_fail (technicians >= 1 && technicians <= MAX_TECHNICIANS, NULL);
  g_autoptr (TdSettings) standard = settings == NULL ? td_settings_new () : NULL;
  const TdSettings *use = settings != NULL ? settings : standard;
  g_autoptr (TdPlanTasks) list = td_plan_tasks_new (site, plan, use);
  TdPlanTime *time = g_new0 (TdPlanTime, 1);
  Run run = { .site = site,
              .list = list,
              .technicians = { { 0, -1 }, { 0, -1 } },
              .n_technicians = technicians,
              .walk_s = td_settings_get (use, TD_SETTING_WORK_WALK) };

  run.to_s = g_new (gint64, list->tasks->len + 1);
  for (guint i = 0; i < list->tasks->len; i++)
    run.to_s[i] = NOT_YET;
  run.bars = g_array_new (FALSE, FALSE, sizeof (TdPlanBar));
  run_through (&run);
  collect_circuits (&run, time, td_settings_get (use, TD_SETTING_OPENING_MARGIN));
  time->bound_s = MAX (sum_tasks (list, 0, TD_PLAN_WORK_WALK) / technicians,
                       MAX (sum_pump (list, technicians), find_longest_chain (list)));
  g_array_sort (run.bars, compare_bars);
  time->n_bars = run.bars->len;
  time->bars = (TdPlanBar *)g_array_free (run.bars, FALSE);
  g_free (run.to_s);
  return time;
}
