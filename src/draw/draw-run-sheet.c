#include "draw-run-sheet.h"

#include "draw-i18n.h"

static const struct
{
  const char *code;
  const char *word;
} stages[TD_N_STAGES] = {
  [TD_STAGE_UNSAID] = { "unsaid", "" },
  [TD_STAGE_NOT_DUE] = { "not-due", N_ ("not today") },
  [TD_STAGE_WAITING] = { "waiting", N_ ("waiting") },
  [TD_STAGE_FILLING] = { "filling", N_ ("filling") },
  [TD_STAGE_CONTACT] = { "contact", N_ ("contact") },
  [TD_STAGE_RINSING] = { "rinsing", N_ ("rinsing") },
  [TD_STAGE_RINSED] = { "rinsed", N_ ("rinsed") },
  [TD_STAGE_POURS] = { "pours", N_ ("pours") },
  [TD_STAGE_LEFT_OUT] = { "left-out", N_ ("left out") },
  [TD_STAGE_OUT_OF_SERVICE] = { "out-of-service", N_ ("out of use") },
};

const char *
td_stage_to_text (TdStage stage)
{
  g_assert (stage < TD_N_STAGES);
  return stages[stage].code;
}

const char *
td_stage_get_word (TdStage stage)
{
  g_assert (stage < TD_N_STAGES);
  return stages[stage].word[0] == '\0' ? "" : _ (stages[stage].word);
}

const char *
td_run_way_to_text (TdRunWay way)
{
  static const char *const words[] = { "idle", "out", "in", "static" };

  g_assert ((guint)way < G_N_ELEMENTS (words));
  return words[way];
}

TdRunSheet *
td_run_sheet_new (TdSite *site)
{
  TdRunSheet *sheet = g_new0 (TdRunSheet, 1);

  g_assert (site != NULL);
  sheet->site = td_site_ref (site);
  sheet->outlets = g_new0 (TdRunOutlet, site->n_outlets);
  return sheet;
}

void
td_run_sheet_free (TdRunSheet *sheet)
{
  if (sheet == NULL)
    return;
  for (guint i = 0; i < sheet->n_circuits; i++)
    g_free (sheet->circuits[i].legs);
  for (guint i = 0; i < sheet->n_tags; i++)
    {
      g_free (sheet->tags[i].id);
      g_free (sheet->tags[i].place);
    }
  g_free (sheet->outlets);
  g_free (sheet->circuits);
  g_free (sheet->statics);
  g_free (sheet->tags);
  td_site_unref (sheet->site);
  g_free (sheet);
}

void
td_run_sheet_add_circuit (TdRunSheet *sheet,
                          int number,
                          const char *station,
                          const TdRunLeg *legs,
                          guint n_legs)
{
  TdRunCircuit *circuit;

  g_assert (number > 0);
  sheet->circuits = g_renew (TdRunCircuit, sheet->circuits, sheet->n_circuits + 1);
  circuit = &sheet->circuits[sheet->n_circuits++];
  circuit->number = number;
  circuit->tower = station != NULL ? td_site_find_tower (sheet->site, station) : -1;
  circuit->cooler = station != NULL ? td_site_find_cooler (sheet->site, station) : -1;
  circuit->legs = g_memdup2 (legs, n_legs * sizeof *legs);
  circuit->n_legs = n_legs;
  for (guint i = 0; i < n_legs; i++)
    {
      TdRunOutlet *outlet = &sheet->outlets[legs[i].outlet];

      g_assert (legs[i].outlet < sheet->site->n_outlets);
      outlet->circuit = number;
      outlet->way = legs[i].direction == TD_DIRECTION_IN ? TD_RUN_IN : TD_RUN_OUT;
    }
}

void
td_run_sheet_add_static (TdRunSheet *sheet, guint outlet, int fed_by)
{
  g_assert (outlet < sheet->site->n_outlets);
  sheet->statics = g_renew (TdRunStatic, sheet->statics, sheet->n_statics + 1);
  sheet->statics[sheet->n_statics++] = (TdRunStatic){ outlet, fed_by };
  sheet->outlets[outlet].way = TD_RUN_STATIC;
}

void
td_run_sheet_add_tag (TdRunSheet *sheet,
                      const char *id,
                      int outlet,
                      const char *place,
                      TdTagState state)
{
  g_assert (id != NULL && outlet < (int)sheet->site->n_outlets);
  sheet->tags = g_renew (TdRunTag, sheet->tags, sheet->n_tags + 1);
  sheet->tags[sheet->n_tags++] = (TdRunTag){ g_strdup (id), outlet, g_strdup (place), state };
}
