#include "draw-joints.h"

#include <math.h>

static void
joint_clear (gpointer data)
{
  g_clear_pointer (&((TdJoint *)data)->taps, g_array_unref);
}

void
td_joints_free (TdJoints *joints)
{
  g_array_unref (joints->joints);
  g_array_unref (joints->pumps);
  g_free (joints);
}

static double
end_x (const TdLayout *layout, int outlet, gboolean top)
{
  return top ? layout->slots[outlet].faucet_x : layout->slots[outlet].keg_x;
}

static TdJoint *
add_joint (TdJoints *joints, TdJointKind kind, gboolean top, const TdPanel *panel, int circuit)
{
  TdJoint joint
      = { .kind = kind, .top = top, .panel = panel, .circuit = circuit, .from = -1, .to = -1 };

  g_array_append_val (joints->joints, joint);
  return &g_array_index (joints->joints, TdJoint, joints->joints->len - 1);
}

static void
add_link (TdJoints *joints,
          const TdLayout *layout,
          int outlet,
          gboolean top,
          int circuit,
          char letter)
{
  TdJoint *link = add_joint (joints, TD_JOINT_LINK, top,
                             td_layout_find_panel (layout, (guint)outlet, top), circuit);

  link->from = link->to = outlet;
  link->from_x = link->to_x = end_x (layout, outlet, top);
  link->letter = letter;
}

/* The letters of links run through A to Z and begin again; no page shows that many. */
static char
next_letter (const TdJoints *joints)
{
  guint links = 0;

  for (guint i = 0; i < joints->joints->len; i++)
    if (g_array_index (joints->joints, TdJoint, i).kind == TD_JOINT_LINK)
      links++;
  return (char)('A' + (links / 2) % 26);
}

static void
join_ends (TdJoints *joints, const TdLayout *layout, int circuit, int from, int to, gboolean top)
{
  const TdPanel *here = td_layout_find_panel (layout, (guint)from, top);
  const TdPanel *there = td_layout_find_panel (layout, (guint)to, top);
  TdJoint *jumper;

  if (here == NULL || there == NULL)
    return;
  if (here != there)
    {
      char letter = next_letter (joints);

      add_link (joints, layout, from, top, circuit, letter);
      add_link (joints, layout, to, top, circuit, letter);
      return;
    }
  jumper = add_joint (joints, TD_JOINT_JUMPER, top, here, circuit);
  jumper->from = from;
  jumper->to = to;
  jumper->from_x = end_x (layout, from, top);
  jumper->to_x = end_x (layout, to, top);
}

static void
add_pump (TdJoints *joints, const TdLayout *layout, const TdRunCircuit *circuit)
{
  const TdRunLeg *first = &circuit->legs[0], *last = &circuit->legs[circuit->n_legs - 1];
  gboolean top = first->direction == TD_DIRECTION_IN;
  gboolean last_top = last->direction == TD_DIRECTION_OUT;
  const TdPanel *panel = td_layout_find_panel (layout, first->outlet, top);
  double from = end_x (layout, (int)first->outlet, top), to = from;
  TdPumpSpot spot = { .circuit = circuit->number, .top = top, .panel = panel };
  TdJoint *joint;

  if (panel == NULL)
    return;
  joint = add_joint (joints, TD_JOINT_DELIVERY, top, panel, circuit->number);
  joint->to = (int)first->outlet;
  joint->to_x = from;
  if (last_top == top && td_layout_find_panel (layout, last->outlet, top) == panel)
    {
      to = end_x (layout, (int)last->outlet, top);
      joint = add_joint (joints, TD_JOINT_RETURN, top, panel, circuit->number);
      joint->from = (int)last->outlet;
      joint->from_x = to;
    }
  else if (td_layout_find_panel (layout, last->outlet, last_top) != NULL)
    {
      char letter = next_letter (joints);

      add_link (joints, layout, (int)last->outlet, last_top, circuit->number, letter);
      joint = add_joint (joints, TD_JOINT_LINK, top, panel, circuit->number);
      joint->letter = letter;
    }
  spot.x = (from + to) / 2;
  spot.mirrored = from > to;
  g_array_append_val (joints->pumps, spot);
}

static void
add_circuit (TdJoints *joints, const TdLayout *layout, const TdRunCircuit *circuit)
{
  if (circuit->n_legs == 0)
    return;
  for (guint i = 0; i + 1 < circuit->n_legs; i++)
    join_ends (joints, layout, circuit->number, (int)circuit->legs[i].outlet,
               (int)circuit->legs[i + 1].outlet, circuit->legs[i].direction == TD_DIRECTION_OUT);
  add_pump (joints, layout, circuit);
}

/* The joint of a circuit at a cooler that lies nearest to @x; NULL where it has none there. */
static TdJoint *
nearest_joint (TdJoints *joints, int circuit, const TdPanel *panel, double x)
{
  TdJoint *best = NULL;
  double least = INFINITY;

  for (guint i = 0; i < joints->joints->len; i++)
    {
      TdJoint *joint = &g_array_index (joints->joints, TdJoint, i);
      double away;

      if (joint->circuit != circuit || joint->top || joint->panel != panel
          || joint->kind == TD_JOINT_LINK)
        continue;
      if (joint->kind == TD_JOINT_DELIVERY || joint->kind == TD_JOINT_RETURN)
        away = fabs (x - (joint->to >= 0 ? joint->to_x : joint->from_x));
      else
        away = MAX (
            0, MAX (MIN (joint->from_x, joint->to_x) - x, x - MAX (joint->from_x, joint->to_x)));
      if (away < least)
        {
          least = away;
          best = joint;
        }
    }
  return best;
}

static void
tap (TdJoint *manifold, guint outlet)
{
  if (manifold->taps == NULL)
    manifold->taps = g_array_new (FALSE, FALSE, sizeof (guint));
  g_array_append_val (manifold->taps, outlet);
  manifold->kind = TD_JOINT_MANIFOLD;
}

/* A static line without a circuit at its cooler: a pump of its own feeds all of these together. */
static void
feed_alone (TdJoints *joints, const TdPanel *panel, guint outlet, double x)
{
  TdJoint *manifold = nearest_joint (joints, 0, panel, x);
  TdPumpSpot spot = { .panel = panel, .x = x };

  if (manifold != NULL && manifold->kind == TD_JOINT_MANIFOLD)
    {
      tap (manifold, outlet);
      return;
    }
  manifold = add_joint (joints, TD_JOINT_MANIFOLD, FALSE, panel, 0);
  manifold->from = manifold->to = (int)outlet;
  manifold->from_x = manifold->to_x = x;
  tap (manifold, outlet);
  g_array_append_val (joints->pumps, spot);
}

/* The circuit that feeds the line has its joint at the same cooler, but in another row of the
 * picture. */
static gboolean
feed_from_other_row (TdJoints *joints, const TdLayout *layout, const TdRunStatic *line)
{
  const TdPanel *here = td_layout_find_panel (layout, line->outlet, FALSE);

  for (guint i = 0; line->fed_by > 0 && i < joints->joints->len; i++)
    {
      const TdJoint *joint = &g_array_index (joints->joints, TdJoint, i);
      int end = joint->from >= 0 ? joint->from : joint->to;
      char letter = next_letter (joints);

      if (joint->circuit != line->fed_by || joint->top || joint->panel->place != here->place
          || end < 0)
        continue;
      add_link (joints, layout, end, FALSE, line->fed_by, letter);
      add_link (joints, layout, (int)line->outlet, FALSE, line->fed_by, letter);
      return TRUE;
    }
  return FALSE;
}

static void
add_static (TdJoints *joints, const TdLayout *layout, const TdRunStatic *line)
{
  const TdPanel *panel = td_layout_find_panel (layout, line->outlet, FALSE);
  double x = layout->slots[line->outlet].keg_x;
  TdJoint *joint;

  /* A side faucet is drawn through its own line and has no keg end to join. */
  if (panel == NULL)
    return;
  joint = line->fed_by > 0 ? nearest_joint (joints, line->fed_by, panel, x) : NULL;
  if (joint == NULL && !feed_from_other_row (joints, layout, line))
    feed_alone (joints, panel, line->outlet, x);
  else if (joint == NULL)
    return;
  else if (joint->kind == TD_JOINT_DELIVERY || joint->kind == TD_JOINT_RETURN)
    {
      int end = joint->to >= 0 ? joint->to : joint->from;

      joint = add_joint (joints, TD_JOINT_MANIFOLD, FALSE, panel, line->fed_by);
      joint->from = joint->to = end;
      joint->from_x = joint->to_x = end_x (layout, end, FALSE);
      tap (joint, line->outlet);
    }
  else
    tap (joint, line->outlet);
}

static int
compare_spots (gconstpointer a, gconstpointer b)
{
  const TdPumpSpot *left = a, *right = b;

  if (left->top != right->top)
    return left->top ? -1 : 1;
  if (left->panel != right->panel)
    return left->panel < right->panel ? -1 : 1;
  if (left->x != right->x)
    return left->x < right->x ? -1 : 1;
  return left->circuit - right->circuit;
}

static void
spread_pumps (TdJoints *joints)
{
  TdPumpSpot *spots = &g_array_index (joints->pumps, TdPumpSpot, 0);
  const double apart = TD_PUMP_WIDTH_MM + 1.0;
  guint first = 0, n = joints->pumps->len;

  g_array_sort (joints->pumps, compare_spots);
  for (guint i = 0; i < n; i++)
    {
      const TdPanel *panel = spots[i].panel;
      double left = panel->x + TD_PUMP_WIDTH_MM / 2 + 0.4;

      if (i > first && spots[i - 1].panel != panel)
        first = i;
      spots[i].x = MAX (spots[i].x, i > first ? spots[i - 1].x + apart : left);
      if (i + 1 < n && spots[i + 1].panel == panel)
        continue;
      /* The last of its panel: push back what stands over the right edge. */
      left = panel->x + panel->width - TD_PUMP_WIDTH_MM / 2 - 0.4;
      for (guint j = i + 1; j-- > first; left -= apart)
        spots[j].x = MIN (spots[j].x, left);
      first = i + 1;
    }
}

static void
reach_pump (TdJoint *joint, const TdPumpSpot *spot)
{
  double port = spot->mirrored ? TD_PUMP_PORT_MM : -TD_PUMP_PORT_MM;

  switch (joint->kind)
    {
    case TD_JOINT_DELIVERY:
      joint->from_x = spot->x + port;
      break;
    case TD_JOINT_RETURN:
      joint->rim_x = joint->to_x = spot->x - port;
      if (spot->top)
        joint->to_x += spot->mirrored ? -TD_PUMP_RETURN_MM : TD_PUMP_RETURN_MM;
      break;
    case TD_JOINT_MANIFOLD:
      if (joint->circuit != 0)
        break;
      joint->from = joint->to = -1;
      joint->from_x = joint->to_x = spot->x + port;
      break;
    case TD_JOINT_LINK:
      if (joint->from < 0)
        joint->from_x = joint->to_x = spot->x - port;
      break;
    case TD_JOINT_JUMPER:
    default:
      break;
    }
}

static void
reach_pumps (TdJoints *joints)
{
  for (guint i = 0; i < joints->pumps->len; i++)
    for (guint j = 0; j < joints->joints->len; j++)
      {
        const TdPumpSpot *spot = &g_array_index (joints->pumps, TdPumpSpot, i);
        TdJoint *joint = &g_array_index (joints->joints, TdJoint, j);

        if (joint->panel == spot->panel && joint->circuit == spot->circuit
            && joint->top == spot->top)
          reach_pump (joint, spot);
      }
}

static void
joint_extent (const TdJoint *joint, const TdLayout *layout, double *low_out, double *high_out)
{
  *low_out = MIN (joint->from_x, joint->to_x);
  *high_out = MAX (joint->from_x, joint->to_x);
  for (guint i = 0; joint->taps != NULL && i < joint->taps->len; i++)
    {
      double x = layout->slots[g_array_index (joint->taps, guint, i)].keg_x;

      *low_out = MIN (*low_out, x);
      *high_out = MAX (*high_out, x);
    }
}

static gboolean
is_hose (const TdJoint *joint)
{
  return joint->kind == TD_JOINT_DELIVERY || joint->kind == TD_JOINT_RETURN;
}

static int
compare_extents (gconstpointer a, gconstpointer b, gpointer data)
{
  const TdJoint *left = *(TdJoint *const *)a, *right = *(TdJoint *const *)b;
  double low, high, left_length, right_length;

  if (is_hose (left) != is_hose (right))
    return is_hose (left) ? 1 : -1;
  joint_extent (left, data, &low, &high);
  left_length = high - low;
  joint_extent (right, data, &low, &high);
  right_length = high - low;
  if (fabs (left_length - right_length) > 0.01)
    return left_length < right_length ? -1 : 1;
  return left < right ? -1 : 1;
}

/* Short jumpers lie nearest to the ends and longer ones bend around them, so that jumpers that lie
 * within each other never cross; the pump's hoses, which have to get away to the pump, go around
 * them all. */
static void
assign_lanes (TdJoints *joints, const TdLayout *layout)
{
  guint n = joints->joints->len;
  g_autofree TdJoint **sorted = g_new (TdJoint *, MAX (n, 1));

  for (guint i = 0; i < n; i++)
    sorted[i] = &g_array_index (joints->joints, TdJoint, i);
  g_qsort_with_data (sorted, (int)n, sizeof *sorted, compare_extents, (gpointer)layout);
  for (guint i = 0; i < n; i++)
    {
      double low, high;

      joint_extent (sorted[i], layout, &low, &high);
      for (guint j = 0; j < i; j++)
        {
          double other_low, other_high;

          if (sorted[j]->panel != sorted[i]->panel)
            continue;
          joint_extent (sorted[j], layout, &other_low, &other_high);
          if (low - 1.0 < other_high && other_low < high + 1.0)
            sorted[i]->lane = MAX (sorted[i]->lane, sorted[j]->lane + 1);
        }
    }
}

TdJoints *
td_joints_new (const TdLayout *layout)
{
  const TdRunSheet *sheet = layout->sheet;
  TdJoints *joints = g_new0 (TdJoints, 1);

  joints->joints = g_array_new (FALSE, TRUE, sizeof (TdJoint));
  joints->pumps = g_array_new (FALSE, TRUE, sizeof (TdPumpSpot));
  g_array_set_clear_func (joints->joints, joint_clear);
  for (guint i = 0; i < sheet->n_circuits; i++)
    add_circuit (joints, layout, &sheet->circuits[i]);
  for (guint i = 0; i < sheet->n_statics; i++)
    add_static (joints, layout, &sheet->statics[i]);
  if (joints->pumps->len > 0)
    spread_pumps (joints);
  reach_pumps (joints);
  assign_lanes (joints, layout);
  return joints;
}

guint
td_joints_count_lanes (const TdJoints *joints, const TdPanel *panel)
{
  guint lanes = 0;

  for (guint i = 0; i < joints->joints->len; i++)
    {
      const TdJoint *joint = &g_array_index (joints->joints, TdJoint, i);

      /* The ring with a link's letter is as high as two lanes. */
      if (joint->panel == panel && (joint->kind != TD_JOINT_LINK || joint->from >= 0))
        lanes = MAX (lanes, joint->lane + (joint->kind == TD_JOINT_LINK ? 2 : 1));
    }
  return lanes;
}

gboolean
td_joints_has_pump (const TdJoints *joints, const TdPanel *panel)
{
  for (guint i = 0; i < joints->pumps->len; i++)
    if (g_array_index (joints->pumps, TdPumpSpot, i).panel == panel)
      return TRUE;
  return FALSE;
}
