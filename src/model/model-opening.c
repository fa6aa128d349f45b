#include "model-opening.h"

#include "model-act.h"
#include "model-i18n.h"
#include "model-steps-private.h"

void
td_flush_free (TdFlush *flush)
{
  if (flush == NULL)
    return;
  g_array_unref (flush->outlets);
  g_free (flush->title);
  g_free (flush->why);
  g_free (flush);
}

static TdFlush *
flush_new (int circuit, const char *why)
{
  TdFlush *flush = g_new0 (TdFlush, 1);

  flush->circuit = circuit;
  flush->outlets = g_array_new (FALSE, FALSE, sizeof (guint));
  flush->why = g_strdup (why);
  return flush;
}

static gboolean
is_open_static (const TdVisit *visit, guint outlet, gboolean *tagged_out)
{
  const TdPass *pass = td_visit_line_get_pass (&visit->lines[outlet]);
  const TdTag *tag = td_line_find_tag (visit, outlet);

  *tagged_out = tag != NULL && !td_tag_is_lifted (tag);
  return td_visit_line_holds_chemical (&visit->lines[outlet]) && pass != NULL && pass->circuit == 0
         && !td_visit_is_out_of_service (visit, outlet);
}

static void
add_statics (GPtrArray *order, const TdVisit *visit, gboolean with_tag)
{
  for (guint i = 0; i < visit->n_lines; i++)
    {
      gboolean tagged = FALSE;
      TdFlush *flush;

      if (!is_open_static (visit, i, &tagged) || tagged != with_tag)
        continue;
      flush = flush_new (0, with_tag ? _ ("Chemical stands behind its faucet; the tag holds it for now.")
                                     : _ ("Chemical stands behind its faucet and no tag hangs: stay at it."));
      g_array_append_val (flush->outlets, i);
      flush->title = td_outlets_to_title (visit->site, flush->outlets);
      g_ptr_array_add (order, flush);
    }
}

static void
add_circuits (GPtrArray *order, const TdVisit *visit)
{
  for (guint i = 0; i < visit->circuits->len; i++)
    {
      int number = g_array_index (visit->circuits, TdVisitCircuit, i).number;
      TdFlush *flush = flush_new (number, _ ("Last: static lines are flushed through its joints, so its pH is read after theirs."));

      for (guint j = 0; j < visit->n_lines; j++)
        {
          const TdPass *pass = td_visit_line_get_pass (&visit->lines[j]);

          if (pass != NULL && pass->circuit == number && td_visit_line_holds_chemical (&visit->lines[j])
              && !td_visit_is_out_of_service (visit, j))
            g_array_append_val (flush->outlets, j);
        }
      if (flush->outlets->len > 0)
        {
          g_autofree char *lines = td_outlets_to_title (visit->site, flush->outlets);

          flush->title = g_strdup_printf (_ ("Circuit %d: %s"), number, lines);
          g_ptr_array_add (order, flush);
        }
      else
        td_flush_free (flush);
    }
}

GPtrArray *
td_visit_get_flush_order (const TdVisit *visit)
{
  GPtrArray *order = g_ptr_array_new_with_free_func ((GDestroyNotify) td_flush_free);

  g_return_val_if_fail (visit != NULL, order);
  add_statics (order, visit, FALSE);
  add_statics (order, visit, TRUE);
  add_circuits (order, visit);
  return order;
}

GArray *
td_visit_get_not_pouring (const TdVisit *visit)
{
  GArray *lines = g_array_new (FALSE, FALSE, sizeof (guint));

  g_return_val_if_fail (visit != NULL, lines);
  for (guint i = 0; i < visit->n_lines; i++)
    {
      const TdVisitLine *line = &visit->lines[i];
      gboolean apart = td_stamp_is_open (line->keg_uncoupled, line->keg_coupled)
                       || td_stamp_is_open (line->faucet_stripped, line->faucet_rebuilt) || line->gas_off_now[0]
                       || line->gas_off_now[1] || (line->passes->len > 0 && line->beer_clear_count == 0);

      if (apart && !td_visit_line_holds_chemical (line) && !td_visit_is_out_of_service (visit, i))
        g_array_append_val (lines, i);
    }
  return lines;
}
