#include "core-guard.h"

#include "core-guard-private.h"

void
td_missing_free (TdMissing *missing)
{
  if (missing == NULL)
    return;
  g_free (missing->text);
  g_free (missing);
}

void
td_guard_add (TdGuard *guard, TdKind remedy, int outlet, int circuit, const char *format, ...)
{
  TdMissing *missing = g_new0 (TdMissing, 1);
  va_list args;

  va_start (args, format);
  missing->text = g_strdup_vprintf (format, args);
  va_end (args);
  missing->remedy = remedy;
  missing->outlet = outlet;
  missing->circuit = circuit;
  g_ptr_array_add (guard->missing, missing);
}

void
td_guard_add_line (TdGuard *guard, TdKind remedy, guint outlet, const char *text)
{
  g_autofree char *title = td_outlet_get_title (guard->visit->site, outlet);

  td_guard_add (guard, remedy, (int) outlet, 0, "%s: %s", title, text);
}

void
td_guard_make_advice (TdGuard *guard)
{
  TdMissing *last;

  g_return_if_fail (guard->missing->len > 0);

  last = g_ptr_array_index (guard->missing, guard->missing->len - 1);
  last->advice = TRUE;
}

const TdLine *
td_guard_get_line (const TdVisit *visit, guint outlet)
{
  g_return_val_if_fail (outlet < visit->n_lines, NULL);

  return &visit->site->lines[visit->site->outlets[outlet].line];
}

const TdVisitLine *
td_guard_get_keg_end (const TdVisit *visit, guint outlet)
{
  int side;

  g_return_val_if_fail (outlet < visit->n_lines, NULL);

  /* A line's side faucets follow its own. */
  side = visit->site->outlets[outlet].side;
  return &visit->lines[side < 0 ? outlet : outlet - (guint) side - 1];
}

const TdTag *
td_guard_find_tag (const TdVisit *visit, guint outlet)
{
  for (guint i = visit->tags->len; i > 0; i--)
    {
      const TdTag *tag = &g_array_index (visit->tags, TdTag, i - 1);

      if (tag->outlet == (int) outlet && tag->removed.seq == 0)
        return tag;
    }
  return NULL;
}

gboolean
td_guard_tag_is_lifted (const TdTag *tag)
{
  g_return_val_if_fail (tag != NULL, FALSE);

  return tag->lifts->len > 0
         && g_array_index (tag->lifts, TdTagLift, tag->lifts->len - 1).again.seq == 0;
}

gboolean
td_guard_is_unrinsed (const TdVisit *visit, guint outlet)
{
  const TdPass *pass;

  g_return_val_if_fail (outlet < visit->n_lines, FALSE);

  pass = td_visit_line_get_pass (&visit->lines[outlet]);
  return pass != NULL && !pass->rinse_passed;
}

static const TdCheck *
find_last_check (const GArray *checks, guint place)
{
  for (guint i = checks->len; i > 0; i--)
    if (g_array_index (checks, TdCheck, i - 1).place == place)
      return &g_array_index (checks, TdCheck, i - 1);
  return NULL;
}

void
td_guard_ask_cold_rooms (TdGuard *guard)
{
  const TdSite *site = guard->visit->site;
  gint64 limit = td_settings_get (guard->visit->settings, TD_SETTING_COLD_ROOM_CO2);

  for (guint cooler = 0; cooler < site->n_coolers; cooler++)
    {
      const TdCheck *check = find_last_check (guard->visit->rooms, cooler);
      gboolean asked = FALSE;

      for (guint i = 0; i < guard->targets->len; i++)
        asked |= site->outlets[g_array_index (guard->targets, guint, i)].cooler == cooler;
      if (!asked)
        continue;
      if (check == NULL)
        td_guard_add (guard, TD_KIND_COLD_ROOM_CHECKED, -1, 0,
                      "%s was not checked for carbon dioxide and access",
                      site->coolers[cooler].name);
      else if (g_strcmp0 (check->co2, "high") == 0 || check->co2_ppm > limit)
        td_guard_add (guard, TD_KIND_COLD_ROOM_CHECKED, -1, 0,
                      "%s had too much carbon dioxide in its air: stay out, air it, check again",
                      site->coolers[cooler].name);
    }
}

void
td_guard_ask_protection (TdGuard *guard)
{
  for (guint i = 0; i < guard->visit->protection->len; i++)
    {
      const TdProtection *on = &g_array_index (guard->visit->protection, TdProtection, i);

      if (on->eyes && on->gloves)
        return;
    }
  td_guard_add (guard, TD_KIND_PROTECTION_ON, -1, 0, "Eye protection and gloves are not on");
}

static void
add_target (GArray *targets, guint outlet)
{
  for (guint i = 0; i < targets->len; i++)
    if (g_array_index (targets, guint, i) == outlet)
      return;
  g_array_append_val (targets, outlet);
}

static GArray *
find_targets (const TdVisit *visit, const TdGuardQuestion *question)
{
  GArray *targets = g_array_new (FALSE, FALSE, sizeof (guint));
  const TdVisitCircuit *circuit;

  if (question->circuit == 0)
    {
      for (gsize i = 0; i < question->n_outlets; i++)
        if (question->outlets[i] < visit->n_lines)
          add_target (targets, question->outlets[i]);
      return targets;
    }
  circuit = td_visit_find_circuit (visit, question->circuit);
  for (guint i = 0; circuit != NULL && i < circuit->legs->len; i++)
    add_target (targets, g_array_index (circuit->legs, TdLeg, i).outlet);
  return targets;
}

GPtrArray *
td_guard_ask (const TdVisit *visit, const TdGuardQuestion *question)
{
  g_autoptr (GArray) targets = NULL;
  TdGuard guard = { visit, question, NULL, NULL };

  g_return_val_if_fail (visit != NULL, NULL);
  g_return_val_if_fail (question != NULL && (guint) question->kind < TD_N_KINDS, NULL);
  g_return_val_if_fail (question->outlets != NULL || question->n_outlets == 0, NULL);

  targets = find_targets (visit, question);
  guard.targets = targets;
  guard.missing = g_ptr_array_new_with_free_func ((GDestroyNotify) td_missing_free);
  td_guard_ask_safe (&guard);
  td_guard_ask_chemical (&guard);
  td_guard_ask_clean (&guard);
  td_guard_ask_back (&guard);
  td_guard_ask_end (&guard);
  return guard.missing;
}
