#include "model-steps-private.h"

#include "core-json-build.h"
#include "model-i18n.h"

/* Arrive and Plan. */

static gboolean
is_told (const TdVisit *visit, guint tower)
{
  for (guint i = 0; i < visit->staff->len; i++)
    if (g_array_index (visit->staff, TdCheck, i).place == tower)
      return TRUE;
  return FALSE;
}

/* Each bar hears of it by name, also one whose lines are not cleaned: it shares the cold room. */
static void
add_staff (TdStepMaker *maker)
{
  const TdSite *site = maker->visit->site;

  for (guint i = 0; i < site->n_towers; i++)
    {
      const char *name = td_habits_find_name (maker->view->habits, site->towers[i].id);
      g_autofree char *title = g_strdup_printf (_ ("Tell the staff at %s"), site->towers[i].name);
      g_autofree char *confirm = name != NULL ? g_strdup_printf (_ ("Told %s"), name) : NULL;
      TdAct *act = td_maker_add (maker, site->towers[i].id, TD_KIND_STAFF_TOLD, title, confirm, TRUE, 0,
                                 td_fields_new ("tower", site->towers[i].id, "name", name, NULL));

      act->done = is_told (maker->visit, i);
    }
}

static gboolean
is_checked (const TdVisit *visit, guint cooler)
{
  for (guint i = visit->rooms->len; i > 0; i--)
    {
      const TdCheck *check = &g_array_index (visit->rooms, TdCheck, i - 1);

      if (check->place == cooler)
        return g_strcmp0 (check->co2, "high") != 0
               && check->co2_ppm <= td_settings_get (visit->settings, TD_SETTING_COLD_ROOM_CO2);
    }
  return FALSE;
}

static gboolean
any (const TdVisit *visit, guint outlet)
{
  return td_line_has_keg_end (visit, outlet);
}

static gboolean
levers_any (const TdVisit *visit, guint outlet)
{
  return any (visit, outlet) && td_line_get_sheet (visit, outlet)->beer_pump == TD_BEER_PUMP_REVERSIBLE;
}

static gboolean
levers_none (const TdVisit *visit, guint outlet)
{
  return any (visit, outlet) && !levers_any (visit, outlet);
}

static gboolean
is_unseen (const TdVisit *visit, guint outlet)
{
  return visit->lines[outlet].found.seq == 0 && visit->lines[outlet].passes->len == 0;
}

static const TdLineAct as_found[] = {
  { TD_KIND_AS_FOUND, N_ ("As found: beer pumps with a lever"), N_ ("Gas on, levers out"), levers_any, is_unseen,
    "lever", "out", TRUE },
  { TD_KIND_AS_FOUND, N_ ("As found: lines without a lever"), N_ ("Gas on"), levers_none, is_unseen, "lever", "none",
    TRUE },
};

static void
add_room (TdStepMaker *maker, guint cooler)
{
  const TdVisit *visit = maker->visit;
  const TdPlace *place = &visit->site->coolers[cooler];
  TdAct *act;

  td_maker_begin (maker, place->id, place->name, TD_STAND_READ_DO);
  act = td_maker_add (maker, NULL, TD_KIND_COLD_ROOM_CHECKED, _ ("Check the air and the way in and out"),
                      _ ("Air normal, way clear"), TRUE, 0,
                      td_fields_new ("cooler", place->id, "co2", "normal", "access", "clear", NULL));
  act->done = is_checked (visit, cooler);
  for (gsize i = 0; i < G_N_ELEMENTS (as_found); i++)
    {
      guint n = maker->stand->acts->len;

      td_maker_add_lines (maker, &as_found[i], -1, (int) cooler);
      if (maker->stand->acts->len > n)
        {
          TdActPart *part;

          act = g_ptr_array_index (maker->stand->acts, n);
          part = g_ptr_array_index (act->parts, 0);
          td_json_unref (part->fields);
          part->fields = td_fields_new (as_found[i].key, as_found[i].value, "gas", "on", NULL);
        }
    }
  td_maker_end (maker);
}

static gboolean
has_scope (const TdVisit *visit)
{
  for (guint i = 0; i < visit->n_lines; i++)
    if (visit->lines[i].in_scope[TD_CLEAN_CAUSTIC] || visit->lines[i].in_scope[TD_CLEAN_ACID])
      return TRUE;
  return FALSE;
}

static void
add_scope (TdStepMaker *maker)
{
  static const char *const titles[TD_N_CLEANS]
    = { N_ ("Agree the scope: caustic clean"), N_ ("Agree the scope: acid clean") };
  static const char *const names[TD_N_CLEANS] = { "scope-caustic", "scope-acid" };
  gboolean agreed = has_scope (maker->visit);

  for (TdClean clean = 0; clean < TD_N_CLEANS; clean++)
    {
      TdAct *act = td_maker_add (maker, names[clean], TD_KIND_SCOPE, _ (titles[clean]), _ ("Agreed"),
                                 clean == TD_CLEAN_CAUSTIC && !agreed, 0,
                                 td_fields_new ("clean", td_clean_to_text (clean), NULL));
      TdActPart *part = g_ptr_array_index (act->parts, 0);
      GArray *in = g_array_new (FALSE, FALSE, sizeof (guint));
      GArray *out = part->outlets;

      for (guint i = 0; i < maker->visit->n_lines; i++)
        g_array_append_val (maker->visit->lines[i].in_scope[clean] ? in : out, i);
      act->done = in->len > 0;
      if (act->done)
        {
          g_array_set_size (out, 0);
          g_array_append_vals (out, in->data, in->len);
        }
      g_array_unref (in);
      td_act_say_lines (act, maker->visit);
    }
}

void
td_make_arrive (TdStepMaker *maker)
{
  td_maker_begin (maker, "staff", _ ("At the bars"), TD_STAND_DO_CONFIRM);
  add_staff (maker);
  td_maker_end (maker);
  for (guint i = 0; i < maker->visit->site->n_coolers; i++)
    add_room (maker, i);
  td_maker_begin (maker, "scope", _ ("What is done today"), TD_STAND_DO_CONFIRM);
  add_scope (maker);
  td_maker_end (maker);
}

static gboolean
is_unproved (const TdVisit *visit, guint outlet)
{
  return visit->lines[outlet].proved.seq == 0 && visit->lines[outlet].passes->len == 0;
}

static const TdLineAct proved = { TD_KIND_LINE_PROVED,
                                  N_ ("Prove each line's number at both ends"),
                                  N_ ("Proved"),
                                  td_line_is_planned,
                                  is_unproved,
                                  NULL,
                                  NULL,
                                  TRUE };

/* TRUE where every line that is to be cleaned has its place in the plan. */
static gboolean
is_planned (const TdVisit *visit)
{
  for (guint i = 0; i < visit->n_lines; i++)
    if (td_line_is_wanted (visit, i) && visit->lines[i].method == TD_METHOD_NONE)
      return FALSE;
  return visit->plan_adopted.seq != 0;
}

void
td_make_plan (TdStepMaker *maker)
{
  g_autoptr (GArray) lines = g_array_new (FALSE, FALSE, sizeof (guint));
  TdAct *act;

  for (guint i = 0; i < maker->visit->n_lines; i++)
    g_array_append_val (lines, i);
  td_maker_begin (maker, "plan", _ ("Circuits and static lines"), TD_STAND_DO_CONFIRM);
  act = td_maker_add (maker, "adopt", TD_KIND_PLAN_ADOPTED, _ ("Adopt a plan"), NULL, TRUE, 0, NULL);
  act->done = is_planned (maker->visit);
  td_maker_add_row (maker, &proved, lines);
  td_maker_end (maker);
}
