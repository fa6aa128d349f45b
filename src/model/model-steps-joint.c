#include "model-steps-private.h"

#include "model-i18n.h"

/* Joining the ends of lines as the plan has them follow each other. */

static gboolean
is_joined (const TdVisitLine *line, gboolean keg)
{
  return keg ? td_stamp_is_open (line->joined_keg, line->parted_keg)
             : td_stamp_is_open (line->joined_faucet, line->parted_faucet);
}

static gboolean
is_at (const TdVisit *visit, guint outlet, int tower, int cooler)
{
  const TdOutlet *place = &visit->site->outlets[outlet];

  return tower >= 0 ? place->tower == (guint) tower : place->cooler == (guint) cooler;
}

/* One joint: the ends of two legs that follow each other, and what hangs on the same manifold. */
static void
add_joint (TdAct *act, TdAct *made, const TdVisit *visit, gboolean keg, const GArray *lines, gboolean manifold)
{
  gboolean open = FALSE;
  TdActPart *part;

  for (guint i = 0; i < lines->len; i++)
    {
      guint outlet = g_array_index (lines, guint, i);

      open |= !is_joined (&visit->lines[outlet], keg) && visit->lines[outlet].passes->len == 0;
    }
  part = td_act_add_part (open ? act : made, TD_KIND_ENDS_JOINED, 0,
                          td_fields_new ("ends", keg ? "keg" : "faucet", "by", manifold ? "manifold" : "jumper", NULL));
  g_array_append_vals (part->outlets, lines->data, lines->len);
}

static void
add_joints_of (TdAct *act, TdAct *made, const TdVisit *visit, const TdVisitCircuit *circuit, int tower, int cooler)
{
  g_autoptr (GArray) all = g_array_new (FALSE, FALSE, sizeof (guint));
  gboolean keg = tower < 0, fed = FALSE;

  for (guint i = 0; keg && i < visit->statics->len; i++)
    {
      const TdVisitStatic *row = &g_array_index (visit->statics, TdVisitStatic, i);

      if (row->fed_by == circuit->number && row->cooler == (guint) cooler && td_line_is_planned (visit, row->outlet) && td_line_has_keg_end (visit, row->outlet))
        {
          g_array_append_val (all, row->outlet);
          fed = TRUE;
        }
    }
  for (guint i = 0; i + 1 < circuit->legs->len; i++)
    {
      const TdLeg *a = &g_array_index (circuit->legs, TdLeg, i);
      const TdLeg *b = &g_array_index (circuit->legs, TdLeg, i + 1);
      guint pair[] = { a->outlet, b->outlet };
      g_autoptr (GArray) lines = g_array_new (FALSE, FALSE, sizeof (guint));

      /* A leg that runs in ends at its keg, and there the next begins. */
      if ((a->direction == TD_DIRECTION_IN) != keg || !is_at (visit, a->outlet, tower, cooler))
        continue;
      g_array_append_vals (lines, pair, 2);
      if (fed)
        g_array_prepend_vals (all, pair, 2);
      else
        add_joint (act, made, visit, keg, lines, FALSE);
    }
  if (fed)
    add_joint (act, made, visit, keg, all, TRUE);
}

void
td_maker_add_joints (TdStepMaker *maker, int tower, int cooler)
{
  gboolean keg = tower < 0;
  g_autofree char *key = g_strdup_printf ("%s/join", maker->stand->key);
  const char *title = keg ? _ ("Join the keg ends") : _ ("Take the faucets off and join the faucet ends");
  TdAct *act = td_act_new (key, title, _ ("Done"), TRUE);
  TdAct *made = td_act_new (key, title, _ ("Done"), TRUE);

  for (guint i = 0; i < maker->visit->circuits->len; i++)
    add_joints_of (act, made, maker->visit, &g_array_index (maker->visit->circuits, TdVisitCircuit, i), tower, cooler);
  if (act->parts->len == 0)
    {
      TdAct *swap = act;

      act = made;
      made = swap;
      act->done = TRUE;
    }
  act->whole = TRUE;
  td_act_unref (made);
  td_act_say_lines (act, maker->visit);
  if (act->parts->len > 0)
    td_maker_take (maker, act);
  else
    td_act_unref (act);
}
