#include "model-stops.h"

#include "model-act.h"
#include "model-i18n.h"

void
td_stop_group_free (TdStopGroup *group)
{
  if (group == NULL)
    return;
  g_array_unref (group->outlets);
  g_free (group->text);
  g_free (group->lines);
  g_free (group);
}

static TdStopGroup *
find_group (GPtrArray *groups, TdRuleId rule)
{
  for (guint i = 0; i < groups->len; i++)
    if (((TdStopGroup *) g_ptr_array_index (groups, i))->rule == rule)
      return g_ptr_array_index (groups, i);
  return NULL;
}

static void
add_outlet (TdStopGroup *group, int found)
{
  guint outlet = (guint) found;

  for (guint i = 0; i < group->outlets->len; i++)
    if (g_array_index (group->outlets, guint, i) == outlet)
      return;
  if (found >= 0)
    g_array_append_val (group->outlets, outlet);
}

static TdStopGroup *
begin_group (const TdFinding *finding)
{
  TdStopGroup *group = g_new0 (TdStopGroup, 1);

  group->rule = finding->rule;
  group->outlet = finding->outlet;
  group->circuit = finding->circuit;
  group->outlets = g_array_new (FALSE, FALSE, sizeof (guint));
  group->text = g_strdup (finding->text);
  group->remedy = td_guard_find_remedy (finding->rule);
  return group;
}

GPtrArray *
td_stop_groups_new (const TdVisit *visit, const GPtrArray *findings, TdSeverity severity)
{
  GPtrArray *groups = g_ptr_array_new_with_free_func ((GDestroyNotify) td_stop_group_free);

  g_return_val_if_fail (visit != NULL && findings != NULL, groups);
  for (guint i = 0; i < findings->len; i++)
    {
      const TdFinding *finding = g_ptr_array_index (findings, i);
      TdStopGroup *group;

      if (td_rule_get_info (finding->rule)->severity != severity || finding->reason != NULL)
        continue;
      group = find_group (groups, finding->rule);
      if (group == NULL)
        {
          group = begin_group (finding);
          g_ptr_array_add (groups, group);
        }
      group->n++;
      add_outlet (group, finding->outlet);
    }
  for (guint i = 0; i < groups->len; i++)
    {
      TdStopGroup *group = g_ptr_array_index (groups, i);

      if (group->n < 2)
        continue;
      g_free (group->text);
      group->text = g_strdup (_ (td_rule_get_info (group->rule)->text));
      group->lines = group->outlets->len > 0 ? td_outlets_to_title (visit->site, group->outlets) : NULL;
    }
  return groups;
}
