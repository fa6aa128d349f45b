#include "core-plan-work.h"

#include <math.h>
#include <string.h>

/* How urgent work is. Set-up is the more urgent the sooner its circuit runs. */
enum
{
  URGENT_PUMP = 0,
  URGENT_RINSE = 1,
  URGENT_STATIC_RINSE = 2,
  URGENT_STATIC_FILL = 3,
  URGENT_FAUCET = 4,
  URGENT_SET_UP = 5,
  URGENT_PUT_BACK = G_MAXUINT
};

/* Least time to draw a line full or to rinse it where its volume is not known. */
#define LEAST_DRAW_S 10.0

typedef struct
{
  const TdSite *site;
  const TdPlan *plan;
  const TdSettings *settings;
  TdPlanTasks *list;
  guint n_nodes;
  guint *nodes; /* towers, then coolers, each in the byte order of their ids */
} Writer;

static void
free_task (gpointer data)
{
  TdPlanTask *task = data;
  g_array_unref (task->after);
  g_free (task);
}

void
td_plan_tasks_free (TdPlanTasks *list)
{
  g_return_if_fail (list != NULL);
  g_ptr_array_unref (list->tasks);
  g_free (list->pump);
  g_free (list->fill);
  g_free (list->rinse);
  g_free (list);
}

static inline gint64
get (const Writer *writer, TdSettingId id)
{
  return td_settings_get (writer->settings, id);
}

static guint
add (Writer *writer,
     TdPlanWork work,
     guint circuit,
     const char *line,
     int place,
     gint64 duration_s,
     guint urgency)
{
  TdPlanTask *task = g_new0 (TdPlanTask, 1);
  *task = (TdPlanTask){
    work, circuit, line, place, duration_s, urgency, g_array_new (FALSE, FALSE, sizeof (guint))
  };
  g_ptr_array_add (writer->list->tasks, task);
  return writer->list->tasks->len - 1;
}

static void
put_after (Writer *writer, guint task, guint before)
{
  TdPlanTask *later = g_ptr_array_index (writer->list->tasks, task);
  g_assert (before < task);
  g_array_append_val (later->after, before);
}

/* Seconds for so much of a volume at a flow, rounded up. */
static gint64
flow_through (double volume_l, double flow_l_min, gint64 percent)
{
  return (gint64)ceil (fmax (volume_l / flow_l_min * 60.0, LEAST_DRAW_S) * (double)percent / 100.0);
}

/* ---- circuits ---- */

/* What the legs of a circuit mean at each place. */
typedef struct
{
  guint lines;
  guint levers;
} Ends;

static Ends *
count_ends (const Writer *writer, const TdPlanCircuit *circuit, double *volume_l_out)
{
  Ends *ends = g_new0 (Ends, writer->n_nodes + 1);
  *volume_l_out = 0.0;
  for (guint i = 0; i < circuit->n_legs; i++)
    {
      int line = td_site_find_line (writer->site, circuit->legs[i].line);
      g_return_val_if_fail (line >= 0, ends);
      const TdLine *is = &writer->site->lines[line];
      ends[is->tower].lines++;
      ends[writer->site->n_towers + is->cooler].lines++;
      /* Beer pumps hang by the kegs. */
      ends[writer->site->n_towers + is->cooler].levers += circuit->legs[i].reversal ? 1 : 0;
      *volume_l_out += td_line_get_volume_ml (is) * 1e-3;
    }
  if (!isnan (circuit->volume_l))
    *volume_l_out = circuit->volume_l;
  return ends;
}

static int
find_station (const Writer *writer, const TdPlanCircuit *circuit)
{
  int tower = td_site_find_tower (writer->site, circuit->station);
  return tower >= 0 ? tower
                    : (int)writer->site->n_towers
                          + MAX (0, td_site_find_cooler (writer->site, circuit->station));
}

/* Set-up at every place of the circuit; @push has to wait for it. */
static void
add_set_up (Writer *writer, guint circuit, const Ends *ends, GArray *set_up)
{
  for (guint i = 0; i < writer->n_nodes; i++)
    {
      guint node = writer->nodes[i];
      gboolean tower = node < writer->site->n_towers;
      gint64 each = get (writer, tower ? TD_SETTING_WORK_FAUCET_ON : TD_SETTING_WORK_KEG_ON);
      if (ends[node].lines == 0)
        continue;
      guint task
          = add (writer, TD_PLAN_WORK_SET_UP, circuit, NULL, (int)node,
                 ends[node].lines * each + ends[node].levers * get (writer, TD_SETTING_WORK_LEVER),
                 URGENT_SET_UP + circuit);
      g_array_append_val (set_up, task);
    }
}

/* Faucets of the circuit's lines, once contact has begun; by outlet: the task. */
static void
add_faucets (Writer *writer, const TdPlanCircuit *circuit, guint fill, GArray *faucets)
{
  for (guint i = 0; i < circuit->n_legs; i++)
    {
      int line = td_site_find_line (writer->site, circuit->legs[i].line);
      guint task = add (writer, TD_PLAN_WORK_FAUCET, circuit->number, circuit->legs[i].line,
                        (int)writer->site->lines[MAX (line, 0)].tower,
                        get (writer, TD_SETTING_WORK_FAUCET), URGENT_FAUCET);
      put_after (writer, task, fill);
      g_array_append_val (faucets, task);
    }
}

static void
add_put_back (Writer *writer, guint circuit, const Ends *ends, guint rinse, const GArray *faucets)
{
  for (guint i = 0; i < writer->n_nodes; i++)
    {
      guint node = writer->nodes[i];
      gboolean tower = node < writer->site->n_towers;
      gint64 each = get (writer, tower ? TD_SETTING_WORK_FAUCET_OFF : TD_SETTING_WORK_KEG_OFF);
      if (ends[node].lines == 0)
        continue;
      guint task
          = add (writer, TD_PLAN_WORK_PUT_BACK, circuit, NULL, (int)node,
                 ends[node].lines * each + ends[node].levers * get (writer, TD_SETTING_WORK_LEVER),
                 URGENT_PUT_BACK);
      put_after (writer, task, rinse);
      for (guint k = 0; k < faucets->len; k++)
        {
          guint faucet = g_array_index (faucets, guint, k);
          if (td_plan_tasks_get (writer->list, faucet)->place == (int)node)
            put_after (writer, task, faucet);
        }
    }
}

/* ---- static lines ---- */

/* The tasks of a static line that its circuit has to wait for. */
typedef struct
{
  guint set_up[2];
  guint n_set_up;
  guint fill;
} Still;

static double
get_volume_l (const Writer *writer, guint outlet)
{
  double volume_ml = td_outlet_get_volume_ml (writer->site, outlet);
  return isnan (volume_ml) ? 0.0 : volume_ml * 1e-3;
}

/* Tag at the faucet, and the keg end for a line of its own. */
static void
add_static_set_up (Writer *writer, const TdPlanStatic *still, guint outlet, Still *tasks)
{
  const TdOutlet *is = &writer->site->outlets[outlet];
  guint urgency
      = URGENT_SET_UP + (still->fed_by > 0 ? still->fed_by : writer->plan->n_circuits + 1);
  tasks->n_set_up = 0;
  tasks->set_up[tasks->n_set_up++]
      = add (writer, TD_PLAN_WORK_SET_UP, still->fed_by, still->line, (int)is->tower,
             get (writer, TD_SETTING_WORK_TAG), urgency);
  if (is->side < 0)
    tasks->set_up[tasks->n_set_up++] = add (writer, TD_PLAN_WORK_SET_UP, still->fed_by, still->line,
                                            (int)(writer->site->n_towers + is->cooler),
                                            get (writer, TD_SETTING_WORK_KEG_ON), urgency);
}

/* Drawn full at its own faucet, shut, held. */
static void
add_static_fill (Writer *writer,
                 const TdPlanStatic *still,
                 guint outlet,
                 guint source,
                 Still *tasks)
{
  double flow = writer->site->min_flow_l_min, volume_l = get_volume_l (writer, outlet);
  tasks->fill = add (writer, TD_PLAN_WORK_FILL, still->fed_by, still->line,
                     (int)writer->site->outlets[outlet].tower, flow_through (volume_l, flow, 100),
                     URGENT_STATIC_FILL);
  put_after (writer, tasks->fill, source);
  for (guint i = 0; i < tasks->n_set_up; i++)
    put_after (writer, tasks->fill, tasks->set_up[i]);
}

/* Hold, rinse, faucet, put back. */
static void
add_static_rest (Writer *writer,
                 const TdPlanStatic *still,
                 guint outlet,
                 int rinsed,
                 const Still *tasks)
{
  const TdOutlet *is = &writer->site->outlets[outlet];
  gint64 rinse_s = flow_through (get_volume_l (writer, outlet), writer->site->min_flow_l_min,
                                 get (writer, TD_SETTING_RINSE_VOLUMES));
  guint hold = add (writer, TD_PLAN_WORK_HOLD, still->fed_by, still->line, -1,
                    get (writer, TD_SETTING_CONTACT_STATIC), 0);
  put_after (writer, hold, tasks->fill);
  guint rinse = add (writer, TD_PLAN_WORK_RINSE, still->fed_by, still->line, (int)is->tower,
                     rinse_s + get (writer, TD_SETTING_WORK_PH), URGENT_STATIC_RINSE);
  put_after (writer, rinse, hold);
  if (rinsed >= 0)
    put_after (writer, rinse, (guint)rinsed);
  guint faucet = add (writer, TD_PLAN_WORK_FAUCET, still->fed_by, still->line, (int)is->tower,
                      get (writer, TD_SETTING_WORK_FAUCET), URGENT_FAUCET);
  put_after (writer, faucet, rinse);
  guint back = add (writer, TD_PLAN_WORK_PUT_BACK, still->fed_by, still->line, (int)is->tower,
                    get (writer, TD_SETTING_WORK_FAUCET_OFF) + get (writer, TD_SETTING_WORK_TAG),
                    URGENT_PUT_BACK);
  put_after (writer, back, faucet);
  if (is->side >= 0)
    return;
  guint keg = add (writer, TD_PLAN_WORK_PUT_BACK, still->fed_by, still->line,
                   (int)(writer->site->n_towers + is->cooler),
                   get (writer, TD_SETTING_WORK_KEG_OFF), URGENT_PUT_BACK);
  put_after (writer, keg, rinse);
}

/* ---- the whole ---- */

static guint *
find_outlets (const Writer *writer)
{
  guint *outlets = g_new0 (guint, writer->plan->n_statics + 1);
  for (guint i = 0; i < writer->plan->n_statics; i++)
    {
      int outlet = td_site_find_outlet (writer->site, writer->plan->statics[i].line);
      g_return_val_if_fail (outlet >= 0, outlets);
      outlets[i] = (guint)outlet;
    }
  return outlets;
}

/* @free: the task after which the pump is free, or -1. */
static int
add_circuit (Writer *writer,
             const TdPlanCircuit *circuit,
             const guint *outlets,
             Still *stills,
             int free)
{
  const TdPlan *plan = writer->plan;
  guint number = circuit->number, at = number - 1;
  double volume_l,
      flow = isnan (circuit->flow_l_min) ? writer->site->min_flow_l_min : circuit->flow_l_min;
  int station = find_station (writer, circuit);
  g_autofree Ends *ends = count_ends (writer, circuit, &volume_l);
  g_autoptr (GArray) set_up = g_array_new (FALSE, FALSE, sizeof (guint));
  g_autoptr (GArray) faucets = g_array_new (FALSE, FALSE, sizeof (guint));

  add_set_up (writer, number, ends, set_up);
  for (guint i = 0; i < plan->n_statics; i++)
    if (plan->statics[i].fed_by == number)
      add_static_set_up (writer, &plan->statics[i], outlets[i], &stills[i]);
  guint pump = add (writer, TD_PLAN_WORK_PUMP, number, NULL, station,
                    get (writer, TD_SETTING_WORK_PUMP), URGENT_SET_UP + number);
  if (free >= 0)
    put_after (writer, pump, (guint)free);
  guint push
      = add (writer, TD_PLAN_WORK_PUSH_OUT, number, NULL, station,
             flow_through (volume_l, flow, get (writer, TD_SETTING_PUSH_OUT_VOLUMES)), URGENT_PUMP);
  put_after (writer, push, pump);
  for (guint i = 0; i < set_up->len; i++)
    put_after (writer, push, g_array_index (set_up, guint, i));
  guint fill = add (writer, TD_PLAN_WORK_FILL, number, NULL, station,
                    flow_through (volume_l, flow, 100), URGENT_PUMP);
  put_after (writer, fill, push);
  /* Outlets are tagged before chemical is in the lines that lead to them. */
  for (guint i = 0; i < plan->n_statics; i++)
    for (guint k = 0; plan->statics[i].fed_by == number && k < stills[i].n_set_up; k++)
      put_after (writer, fill, stills[i].set_up[k]);
  guint contact = add (writer, TD_PLAN_WORK_CONTACT, number, NULL, -1,
                       get (writer, TD_SETTING_CONTACT_CIRCULATING), 0);
  put_after (writer, contact, fill);
  add_faucets (writer, circuit, fill, faucets);
  for (guint i = 0; i < plan->n_statics; i++)
    if (plan->statics[i].fed_by == number)
      add_static_fill (writer, &plan->statics[i], outlets[i], fill, &stills[i]);
  guint rinse = add (writer, TD_PLAN_WORK_RINSE, number, NULL, station,
                     flow_through (volume_l, flow, get (writer, TD_SETTING_RINSE_VOLUMES))
                         + get (writer, TD_SETTING_WORK_PH),
                     URGENT_RINSE);
  put_after (writer, rinse, contact);
  for (guint i = 0; i < plan->n_statics; i++)
    if (plan->statics[i].fed_by == number)
      put_after (writer, rinse, stills[i].fill);
  add_put_back (writer, number, ends, rinse, faucets);
  for (guint i = 0; i < plan->n_statics; i++)
    if (plan->statics[i].fed_by == number)
      add_static_rest (writer, &plan->statics[i], outlets[i], (int)rinse, &stills[i]);
  writer->list->pump[at] = pump;
  writer->list->fill[at] = fill;
  writer->list->rinse[at] = rinse;
  return (int)rinse;
}

/* Static lines that no circuit feeds: the pump is set up in their cooler for all of them. */
static int
add_own_feed (Writer *writer, guint cooler, const guint *outlets, Still *stills, int free)
{
  const TdPlan *plan = writer->plan;
  int pump = -1;
  for (guint i = 0; i < plan->n_statics; i++)
    {
      if (plan->statics[i].fed_by > 0 || writer->site->outlets[outlets[i]].cooler != cooler)
        continue;
      if (pump < 0)
        {
          pump = (int)add (
              writer, TD_PLAN_WORK_PUMP, 0, NULL, (int)(writer->site->n_towers + cooler),
              get (writer, TD_SETTING_WORK_PUMP), URGENT_SET_UP + writer->plan->n_circuits + 1);
          if (free >= 0)
            put_after (writer, (guint)pump, (guint)free);
          free = pump;
        }
      add_static_set_up (writer, &plan->statics[i], outlets[i], &stills[i]);
      add_static_fill (writer, &plan->statics[i], outlets[i], (guint)pump, &stills[i]);
      free = (int)stills[i].fill;
      add_static_rest (writer, &plan->statics[i], outlets[i], -1, &stills[i]);
    }
  return free;
}

static int
compare_nodes (gconstpointer a, gconstpointer b, gpointer data)
{
  const TdSite *site = data;
  guint i = *(const guint *)a, j = *(const guint *)b;
  if ((i < site->n_towers) != (j < site->n_towers))
    return i < site->n_towers ? -1 : 1;
  return i < site->n_towers
             ? strcmp (site->towers[i].id, site->towers[j].id)
             : strcmp (site->coolers[i - site->n_towers].id, site->coolers[j - site->n_towers].id);
}

TdPlanTasks *
td_plan_tasks_new (const TdSite *site, const TdPlan *plan, const TdSettings *settings)
{
  g_return_val_if_fail (site != NULL && plan != NULL && settings != NULL, NULL);
  TdPlanTasks *list = g_new0 (TdPlanTasks, 1);
  guint n_nodes = site->n_towers + site->n_coolers;
  g_autofree guint *nodes = g_new (guint, n_nodes + 1);
  Writer writer = { site, plan, settings, list, n_nodes, nodes };
  int free = -1;

  for (guint i = 0; i < n_nodes; i++)
    nodes[i] = i;
  g_qsort_with_data (nodes, (int)n_nodes, sizeof (guint), compare_nodes, (gpointer)site);
  list->tasks = g_ptr_array_new_with_free_func (free_task);
  list->n_circuits = plan->n_circuits;
  list->pump = g_new0 (guint, plan->n_circuits + 1);
  list->fill = g_new0 (guint, plan->n_circuits + 1);
  list->rinse = g_new0 (guint, plan->n_circuits + 1);
  g_autofree guint *outlets = find_outlets (&writer);
  g_autofree Still *stills = g_new0 (Still, plan->n_statics + 1);
  for (guint i = 0; i < plan->n_circuits; i++)
    free = add_circuit (&writer, &plan->circuits[i], outlets, stills, free);
  for (guint i = site->n_towers; i < n_nodes; i++)
    free = add_own_feed (&writer, nodes[i] - site->n_towers, outlets, stills, free);
  return list;
}
