#include "model-steps.h"

#include "model-steps-private.h"

#include "model-i18n.h"

#include <string.h>

static const struct
{
  const char *text;
  const char *title;
  void (*make) (TdStepMaker *maker);
} steps[TD_N_STEPS] = {
  [TD_STEP_ARRIVE] = { "arrive", N_ ("Arrive"), td_make_arrive },
  [TD_STEP_PLAN] = { "plan", N_ ("Plan"), td_make_plan },
  [TD_STEP_SAFE] = { "safe", N_ ("Make safe"), td_make_safe },
  [TD_STEP_MIX] = { "mix", N_ ("Mix"), td_make_mix },
  [TD_STEP_CONTACT] = { "contact", N_ ("Contact"), td_make_contact },
  [TD_STEP_RINSE] = { "rinse", N_ ("Rinse"), td_make_rinse },
  [TD_STEP_BACK] = { "back", N_ ("Put back"), td_make_back },
  [TD_STEP_CHECK] = { "check", N_ ("Check"), td_make_check },
  [TD_STEP_SIGN] = { "sign", N_ ("Sign"), td_make_sign },
};

/* First and last kind of each step in the table of kinds, and those that stand elsewhere than they are
 * used. */
static const struct
{
  TdKind last;
  TdStep step;
} spans[] = {
  { TD_KIND_SCOPE, TD_STEP_ARRIVE },          { TD_KIND_LINE_PROVED, TD_STEP_PLAN },
  { TD_KIND_LEVER_SET, TD_STEP_SAFE },        { TD_KIND_STRENGTH_MEASURED, TD_STEP_MIX },
  { TD_KIND_CONTACT_ENDED, TD_STEP_CONTACT }, { TD_KIND_SOLUTION_DISPOSED, TD_STEP_RINSE },
  { TD_KIND_PRODUCT_NOW, TD_STEP_BACK },      { TD_KIND_CORRECTION, TD_STEP_CHECK },
  { TD_KIND_CLOSING, TD_STEP_SIGN },
};

const char *
td_step_get_title (TdStep step)
{
  g_return_val_if_fail ((guint) step < TD_N_STEPS, "");
  return _ (steps[step].title);
}

const char *
td_step_to_text (TdStep step)
{
  g_return_val_if_fail ((guint) step < TD_N_STEPS, "");
  return steps[step].text;
}

TdStep
td_kind_get_step (TdKind kind)
{
  switch (kind)
    {
    case TD_KIND_PROTECTION_ON:
      return TD_STEP_MIX;
    case TD_KIND_GAS_ON:
    case TD_KIND_COOLING_ON:
    case TD_KIND_TAG_REMOVED:
      return TD_STEP_BACK;
    case TD_KIND_LINE_LEFT_OUT:
      return TD_STEP_PLAN;
    case TD_KIND_FINDING_REASON:
      return TD_STEP_SIGN;
    default:
      break;
    }
  for (gsize i = 0; i < G_N_ELEMENTS (spans); i++)
    if (kind <= spans[i].last)
      return spans[i].step;
  return TD_STEP_SIGN;
}

GArray *
td_step_get_kinds (TdStep step)
{
  /* Used in more steps than their own. */
  static const struct
  {
    TdStep step;
    TdKind kind;
  } guests[] = {
    { TD_STEP_ARRIVE, TD_KIND_TEMPERATURE_READ }, { TD_STEP_ARRIVE, TD_KIND_LINE_LEFT_OUT },
    { TD_STEP_MIX, TD_KIND_TEMPERATURE_READ },    { TD_STEP_MIX, TD_KIND_PH_READ },
    { TD_STEP_CONTACT, TD_KIND_GAS_ON },          { TD_STEP_CONTACT, TD_KIND_GAS_OFF },
    { TD_STEP_CONTACT, TD_KIND_TAG_LIFTED },      { TD_STEP_CONTACT, TD_KIND_TAG_HUNG_AGAIN },
    { TD_STEP_CONTACT, TD_KIND_TEMPERATURE_READ },
    { TD_STEP_RINSE, TD_KIND_TAG_LIFTED },        { TD_STEP_RINSE, TD_KIND_TAG_HUNG_AGAIN },
    { TD_STEP_RINSE, TD_KIND_CLEANING_PUMP_OFF }, { TD_STEP_BACK, TD_KIND_FLOW_SEEN },
    { TD_STEP_BACK, TD_KIND_FAUCET_STRIPPED },    { TD_STEP_BACK, TD_KIND_COUPLER_BRUSHED },
    { TD_STEP_SIGN, TD_KIND_HAND_OVER },
  };
  GArray *kinds = g_array_new (FALSE, FALSE, sizeof (TdKind));

  for (TdKind kind = 0; kind < TD_N_KINDS; kind++)
    {
      gboolean offered = td_kind_get_step (kind) == step;

      for (gsize i = 0; i < G_N_ELEMENTS (guests) && !offered; i++)
        offered = guests[i].step == step && guests[i].kind == kind;
      /* The first is there already, a correction has its own way in, the last closes. */
      if (offered && kind != TD_KIND_ARRIVAL && kind != TD_KIND_CORRECTION && kind != TD_KIND_CLOSING
          && kind != TD_KIND_PLAN_ADOPTED)
        g_array_append_val (kinds, kind);
    }
  return kinds;
}

static void
free_stand (gpointer data)
{
  TdStand *stand = data;

  g_free (stand->key);
  g_free (stand->title);
  g_free (stand->note);
  g_ptr_array_unref (stand->acts);
  g_free (stand);
}

TdStepSheet *
td_step_sheet_new (TdStep step, const TdStepView *view)
{
  TdStepSheet *sheet = g_new0 (TdStepSheet, 1);
  TdStepMaker maker = { .view = view };

  g_assert ((guint) step < TD_N_STEPS && view != NULL && view->visit != NULL);
  sheet->step = step;
  sheet->stands = g_ptr_array_new_with_free_func (free_stand);
  maker.visit = view->visit;
  maker.stands = sheet->stands;
  maker.step = steps[step].text;
  if (!view->visit->closed)
    steps[step].make (&maker);
  return sheet;
}

void
td_step_sheet_free (TdStepSheet *sheet)
{
  if (sheet == NULL)
    return;
  g_ptr_array_unref (sheet->stands);
  g_free (sheet);
}

void
td_maker_begin (TdStepMaker *maker, const char *id, const char *title, TdStandManner manner)
{
  g_assert (maker->stand == NULL);
  maker->stand = g_new0 (TdStand, 1);
  maker->stand->key = g_strdup_printf ("%s/%s", maker->step, id);
  maker->stand->title = g_strdup (title);
  maker->stand->manner = manner;
  maker->stand->acts = g_ptr_array_new_with_free_func ((GDestroyNotify) td_act_unref);
}

void
td_maker_end (TdStepMaker *maker)
{
  g_assert (maker->stand != NULL);
  if (maker->stand->acts->len > 0)
    g_ptr_array_add (maker->stands, maker->stand);
  else
    free_stand (maker->stand);
  maker->stand = NULL;
}

void
td_maker_take (TdStepMaker *maker, TdAct *act)
{
  g_assert (maker->stand != NULL);
  g_ptr_array_add (maker->stand->acts, act);
}

TdAct *
td_maker_begin_act (TdStepMaker *maker, const char *name, const char *title, const char *confirm, gboolean wanted)
{
  g_autofree char *key = g_strdup_printf ("%s/%s", maker->stand->key, name);

  return td_act_new (key, title, confirm, wanted);
}

gboolean
td_maker_take_act (TdStepMaker *maker, TdAct *act)
{
  if (act->parts->len == 0)
    {
      td_act_unref (act);
      return FALSE;
    }
  td_maker_take (maker, act);
  return TRUE;
}

void
td_act_add_lines (TdAct *act, TdKind kind, int circuit, const GArray *lines, TdJson *fields)
{
  TdActPart *part = td_act_add_part (act, kind, circuit, fields);

  g_array_append_vals (part->outlets, lines->data, lines->len);
}

TdAct *
td_maker_add (TdStepMaker *maker, const char *name, TdKind kind, const char *title, const char *confirm,
              gboolean wanted, int circuit, TdJson *fields)
{
  g_autofree char *key = g_strdup_printf ("%s/%s", maker->stand->key, name != NULL ? name : td_kind_get_code (kind));
  TdAct *act = td_act_new (key, title, confirm, wanted);

  td_act_add_part (act, kind, circuit, fields);
  td_maker_take (maker, act);
  return act;
}

void
td_act_say_lines (TdAct *act, const TdVisit *visit)
{
  g_autoptr (GArray) outlets = td_act_get_outlets (act);

  g_free (act->detail);
  act->detail = outlets->len > 0 ? td_outlets_to_title (visit->site, outlets) : NULL;
}

void
td_maker_add_row (TdStepMaker *maker, const TdLineAct *row, const GArray *lines)
{
  g_autoptr (GArray) open = g_array_new (FALSE, FALSE, sizeof (guint));
  g_autoptr (GArray) due = g_array_new (FALSE, FALSE, sizeof (guint));
  g_autofree char *name
    = row->value != NULL ? g_strconcat (td_kind_get_code (row->kind), "-", row->value, NULL) : NULL;
  TdAct *act;
  TdActPart *part;

  for (guint i = 0; i < lines->len; i++)
    {
      guint outlet = g_array_index (lines, guint, i);

      if (!row->due (maker->visit, outlet))
        continue;
      g_array_append_val (due, outlet);
      if (row->open (maker->visit, outlet))
        g_array_append_val (open, outlet);
    }
  if (due->len == 0)
    return;
  act = td_maker_add (maker, name, row->kind, _ (row->title), row->confirm != NULL ? _ (row->confirm) : NULL,
                      row->wanted, 0, row->key != NULL ? td_fields_new (row->key, row->value, NULL) : NULL);
  act->done = open->len == 0;
  part = g_ptr_array_index (act->parts, 0);
  g_array_append_vals (part->outlets, act->done ? due->data : open->data, act->done ? due->len : open->len);
  td_act_say_lines (act, maker->visit);
}

void
td_maker_add_lines (TdStepMaker *maker, const TdLineAct *row, int tower, int cooler)
{
  g_autoptr (GArray) lines = g_array_new (FALSE, FALSE, sizeof (guint));

  for (guint i = 0; i < maker->visit->n_lines; i++)
    {
      const TdOutlet *outlet = &maker->visit->site->outlets[i];

      if (tower >= 0 ? outlet->tower == (guint) tower : outlet->cooler == (guint) cooler)
        g_array_append_val (lines, i);
    }
  td_maker_add_row (maker, row, lines);
}

guint
td_step_sheet_count_open (const TdStepSheet *sheet)
{
  guint n = 0;

  g_return_val_if_fail (sheet != NULL, 0);
  for (guint i = 0; i < sheet->stands->len; i++)
    {
      const TdStand *stand = g_ptr_array_index (sheet->stands, i);

      for (guint j = 0; j < stand->acts->len; j++)
        {
          const TdAct *act = g_ptr_array_index (stand->acts, j);

          n += act->wanted && !act->done;
        }
    }
  return n;
}
