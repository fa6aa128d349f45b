#include "model-leave.h"

#include "model-i18n.h"
#include "model-steps-private.h"

static gboolean
look_at_line (const TdVisit *visit, guint outlet, TdLeave *leave)
{
  const TdVisitLine *line = &visit->lines[outlet];
  const TdPass *pass = td_visit_line_get_pass (line);
  const TdTag *tag = td_line_find_tag (visit, outlet);
  gboolean lifted = tag != NULL && td_tag_is_lifted (tag);
  gboolean holds = td_visit_line_holds_chemical (line) && pass != NULL && pass->circuit == 0
                   && !td_visit_is_out_of_service (visit, outlet);

  if (lifted)
    leave->tagged = FALSE;
  if (!holds)
    return lifted;
  leave->tagged &= tag != NULL && !lifted;
  leave->shut &= pass->shut;
  leave->running &= pass->clock_start.seq != 0 || pass->contact_end.seq != 0;
  return TRUE;
}

GArray *
td_visit_get_leaves (const TdVisit *visit)
{
  GArray *leaves = g_array_new (FALSE, FALSE, sizeof (TdLeave));

  g_return_val_if_fail (visit != NULL, leaves);
  for (guint tower = 0; tower < visit->site->n_towers; tower++)
    {
      TdLeave leave = { tower, TRUE, TRUE, TRUE };
      gboolean concerned = FALSE;

      for (guint i = 0; i < visit->n_lines; i++)
        if (visit->site->outlets[i].tower == tower)
          concerned |= look_at_line (visit, i, &leave);
      if (concerned && !visit->closed)
        g_array_append_val (leaves, leave);
    }
  return leaves;
}

gboolean
td_leave_is_safe (const TdLeave *leave)
{
  g_return_val_if_fail (leave != NULL, FALSE);
  return leave->tagged && leave->shut && leave->running;
}

char *
td_leave_to_words (const TdLeave *leave, const TdVisit *visit)
{
  const char *yes = "✓", *no = "✗";

  g_return_val_if_fail (leave != NULL && visit != NULL, NULL);
  return g_strdup_printf (_ ("%s: %s tagged  %s shut  %s clock runs"), visit->site->towers[leave->tower].name,
                          leave->tagged ? yes : no, leave->shut ? yes : no, leave->running ? yes : no);
}
