#include "core-work.h"

#include <string.h>

#define MS_A_MINUTE 60000

static void
clear_line (gpointer data)
{
  TdWorkLine *line = data;

  g_free (line->id);
  g_free (line->title);
  g_free (line->tower);
  g_free (line->tower_name);
}

static void
clear_part (gpointer data)
{
  TdWorkPart *part = data;

  g_free (part->part);
  g_free (part->line);
  g_free (part->title);
}

static void
clear_chemical (gpointer data)
{
  TdWorkChemical *chemical = data;

  g_free (chemical->product);
  g_free (chemical->name);
}

static GArray *
new_array (gsize size, GDestroyNotify clear)
{
  GArray *array = g_array_new (FALSE, TRUE, (guint) size);

  g_array_set_clear_func (array, clear);
  return array;
}

TdWork *
td_work_new_empty (const TdUuid *visit, const char *number, const char *site_id, const char *site, TdDate date,
                   const char *kind)
{
  TdWork *work;

  g_return_val_if_fail (visit != NULL && number != NULL && site_id != NULL && kind != NULL, NULL);
  g_return_val_if_fail (date != TD_DATE_NONE, NULL);
  work = g_atomic_rc_box_new0 (TdWork);
  work->visit = *visit;
  work->number = g_strdup (number);
  work->site_id = g_strdup (site_id);
  work->site = g_strdup (site != NULL ? site : site_id);
  work->date = date;
  work->kind = g_strdup (kind);
  work->lines = new_array (sizeof (TdWorkLine), clear_line);
  work->parts = new_array (sizeof (TdWorkPart), clear_part);
  work->chemicals = new_array (sizeof (TdWorkChemical), clear_chemical);
  return work;
}

TdWork *
td_work_ref (TdWork *work)
{
  g_return_val_if_fail (work != NULL, NULL);
  return g_atomic_rc_box_acquire (work);
}

static void
clear_work (gpointer data)
{
  TdWork *work = data;

  g_free (work->number);
  g_free (work->site_id);
  g_free (work->site);
  g_free (work->kind);
  g_array_unref (work->lines);
  g_array_unref (work->parts);
  g_array_unref (work->chemicals);
}

void
td_work_unref (TdWork *work)
{
  g_return_if_fail (work != NULL);
  g_atomic_rc_box_release_full (work, clear_work);
}

void
td_work_add_line (TdWork *work, const char *id, const char *title, const char *tower, const char *tower_name,
                  TdClean clean, TdMethod method)
{
  TdWorkLine line = { g_strdup (id), g_strdup (title), g_strdup (tower), g_strdup (tower_name), clean, method };

  g_return_if_fail (work != NULL && id != NULL && title != NULL && tower != NULL && clean < TD_N_CLEANS);
  g_array_append_val (work->lines, line);
}

void
td_work_add_part (TdWork *work, const char *part, const char *line, const char *title, gint64 quantity)
{
  TdWorkPart row = { g_strdup (part), g_strdup (line), g_strdup (title), quantity };

  g_return_if_fail (work != NULL && part != NULL && quantity > 0);
  g_array_append_val (work->parts, row);
}

void
td_work_add_chemical (TdWork *work, const char *product, const char *name, gint64 concentrate_ml)
{
  TdWorkChemical row = { NULL, NULL, concentrate_ml };

  g_return_if_fail (work != NULL && product != NULL && concentrate_ml >= -1);
  for (guint i = 0; i < work->chemicals->len; i++)
    {
      TdWorkChemical *there = &g_array_index (work->chemicals, TdWorkChemical, i);

      if (strcmp (there->product, product) != 0)
        continue;
      if (there->concentrate_ml < 0 || concentrate_ml < 0)
        there->concentrate_ml = -1;
      else
        there->concentrate_ml += concentrate_ml;
      return;
    }
  row.product = g_strdup (product);
  row.name = g_strdup (name != NULL ? name : product);
  g_array_append_val (work->chemicals, row);
}

static gboolean
may_be_charged (const TdVisitLine *line)
{
  if (line->left_out.seq != 0)
    return FALSE;
  return line->out_of_service.seq == 0 || g_strcmp0 (line->service_condition, "rinsed") == 0;
}

static void
add_line (TdWork *work, const TdVisit *visit, const TdVisitLine *line, TdClean clean)
{
  const TdOutlet *outlet = &visit->site->outlets[line->outlet];
  const TdPlace *tower = &visit->site->towers[outlet->tower];
  g_autofree char *title = NULL;
  const TdPass *last = NULL;

  for (guint i = 0; i < line->passes->len; i++)
    {
      const TdPass *pass = &g_array_index (line->passes, TdPass, i);

      if (pass->clean == clean && pass->contact_end.seq != 0)
        last = pass;
    }
  if (last == NULL || !may_be_charged (line))
    return;
  title = td_outlet_get_title (visit->site, line->outlet);
  td_work_add_line (work, outlet->id, title, tower->id, tower->name, clean, last->method);
}

static void
add_parts (TdWork *work, const TdVisit *visit)
{
  for (guint i = 0; i < visit->parts->len; i++)
    {
      const TdPart *part = &g_array_index (visit->parts, TdPart, i);
      g_autofree char *title = part->outlet >= 0 ? td_outlet_get_title (visit->site, (guint) part->outlet) : NULL;

      td_work_add_part (work, part->part, part->outlet >= 0 ? visit->site->outlets[part->outlet].id : NULL, title,
                        part->quantity);
    }
}

static void
add_chemicals (TdWork *work, const TdVisit *visit)
{
  for (guint i = 0; i < visit->batches->len; i++)
    {
      const TdBatch *batch = &g_array_index (visit->batches, TdBatch, i);

      if (batch->product != NULL)
        td_work_add_chemical (work, batch->product->id, batch->product->name, batch->concentrate_ml);
    }
}

TdWork *
td_work_new (const TdVisit *visit, const char *number, TdDate date, const TdWork *first)
{
  TdWork *work;
  gint64 ms;

  g_return_val_if_fail (visit != NULL && visit->closed && number != NULL, NULL);
  work = td_work_new_empty (&visit->id, number, visit->site_id, visit->site->name, first != NULL ? first->date : date,
                            first != NULL ? first->kind : visit->work);
  ms = visit->closed_at.utc_ms - visit->arrived.utc_ms;
  work->minutes = first != NULL ? first->minutes : MAX (ms, 0) / MS_A_MINUTE;
  if (visit->out_of_hours != NULL || first == NULL)
    work->out_of_hours = g_strcmp0 (visit->out_of_hours, "yes") == 0;
  else
    work->out_of_hours = first->out_of_hours;
  for (guint i = 0; i < visit->n_lines; i++)
    for (int clean = 0; clean < TD_N_CLEANS; clean++)
      add_line (work, visit, &visit->lines[i], (TdClean) clean);
  add_parts (work, visit);
  add_chemicals (work, visit);
  return work;
}
