/* strength: of a solution, from a titration or a drop test, and what to add where it is too weak. */
#include "ctl-commands.h"

#include "core-json-build.h"
#include "core-mix.h"
#include "core-titration.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

typedef struct
{
  char *p_ml, *m_ml, *sample_ml, *acid, *per_drop, *have_l, *target, *concentrate, *density;
  int drops;
  gboolean json;
} Options;

static void
clear (Options *options)
{
  g_free (options->p_ml);
  g_free (options->m_ml);
  g_free (options->sample_ml);
  g_free (options->acid);
  g_free (options->per_drop);
  g_free (options->have_l);
  g_free (options->target);
  g_free (options->concentrate);
  g_free (options->density);
}

G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Options, clear)

typedef struct
{
  double percent; /* of caustic */
  double soda_percent;
  gboolean titrated, spent, topped_up;
  TdMix mix; /* what to add */
} Answer;

static gboolean
take (const char *name, const char *text, double standard, double *value_out, GError **error)
{
  *value_out = standard;
  if (text == NULL || td_ctl_read_number (text, value_out))
    return TRUE;
  g_set_error (error, G_OPTION_ERROR, G_OPTION_ERROR_BAD_VALUE, "%s: '%s' is not a number with a decimal point", name, text);
  return FALSE;
}

static gboolean
titrate (const Options *options, Answer *answer, GError **error)
{
  double p, m, sample, acid;
  TdTitration titration;

  /* 50 mL and 0.5 N are what the usual rule of 0.04 % a mL is made for. */
  if (!take ("--p-ml", options->p_ml, NAN, &p, error) || !take ("--m-ml", options->m_ml, NAN, &m, error)
      || !take ("--sample-ml", options->sample_ml, 50.0, &sample, error) || !take ("--acid-n", options->acid, 0.5, &acid, error)
      || !td_titration_read (p, m, sample, acid, &titration, error))
    return FALSE;
  answer->titrated = TRUE;
  answer->percent = titration.naoh_percent;
  answer->soda_percent = titration.na2co3_percent;
  answer->spent = titration.spent;
  return TRUE;
}

static gboolean
count_drops (const Options *options, Answer *answer, GError **error)
{
  double per_drop;

  if (!take ("--percent-per-drop", options->per_drop, NAN, &per_drop, error))
    return FALSE;
  answer->percent = options->drops > 0 ? td_titration_count_drops ((guint) options->drops, per_drop) : NAN;
  if (!isnan (answer->percent))
    return TRUE;
  g_set_error_literal (error, G_OPTION_ERROR, G_OPTION_ERROR_BAD_VALUE,
                       "--drops and --percent-per-drop are both above zero; the kit says what one drop stands for");
  return FALSE;
}

/* What brings a bucket that was found too weak to its target. */
static gboolean
top_up (const Options *options, Answer *answer, GError **error)
{
  TdMixQuestion question = { .substance = "naoh", .basis = TD_BASIS_W_W, .water_l = NAN, .total_l = NAN, .temperature_c = 20 };
  double have, density;

  if (options->have_l == NULL)
    return TRUE;
  if (!take ("--have", options->have_l, NAN, &have, error) || !take ("--target", options->target, NAN, &question.target_percent, error)
      || !take ("--concentrate", options->concentrate, NAN, &question.concentrate_percent, error)
      || !take ("--density", options->density, NAN, &density, error))
    return FALSE;
  question.density_kg_m3 = density * 1000.0;
  answer->topped_up = td_mix_strengthen (&question, have, answer->percent, &answer->mix, error);
  return answer->topped_up;
}

static void
print_words (const Answer *answer)
{
  if (answer->titrated)
    printf ("%.3f %% caustic, %.3f %% soda%s\n", answer->percent, answer->soda_percent,
            answer->spent ? ": the caustic is spent, make a new solution" : "");
  else
    printf ("%.2f %%, at most one drop too much\n", answer->percent);
  if (answer->topped_up)
    printf ("Add %.0f mL of the concentrate to it: %.2f L of %.2f %%.\n"
            "The label and the SDS decide. Eye protection and gloves on before you open the container.\n",
            answer->mix.concentrate_ml, answer->mix.total_l, answer->mix.question.target_percent);
}

static gboolean
print_json (const Answer *answer, GError **error)
{
  g_autoptr (TdJsonBuilder) b = td_json_builder_new ();
  g_autoptr (TdJson) json = NULL;
  g_autofree char *text = NULL;

  td_json_builder_begin_object (b);
  td_json_builder_member_string (b, "method", answer->titrated ? "titration" : "drops");
  td_json_builder_member_real (b, "percent", answer->percent, 6);
  td_json_builder_member_real (b, "soda_percent", answer->titrated ? answer->soda_percent : NAN, 6);
  td_json_builder_member_boolean (b, "spent", answer->spent);
  td_json_builder_member_real (b, "add_concentrate_ml", answer->topped_up ? answer->mix.concentrate_ml : NAN, 3);
  td_json_builder_member_real (b, "total_l", answer->topped_up ? answer->mix.total_l : NAN, 4);
  td_json_builder_end (b);
  json = td_json_builder_finish (b);
  text = td_json_to_text (json, TRUE);
  return td_ctl_print (text, strlen (text), error);
}

TdCtlStatus
td_ctl_strength (const TdCtlInfo *info, int argc, char **argv)
{
  g_auto (Options) options = { NULL };
  const GOptionEntry entries[] = {
    { "p-ml", 0, 0, G_OPTION_ARG_STRING, &options.p_ml, "Acid to the end of phenolphthalein's colour", "ML" },
    { "m-ml", 0, 0, G_OPTION_ARG_STRING, &options.m_ml, "Acid in all, to methyl orange", "ML" },
    { "sample-ml", 0, 0, G_OPTION_ARG_STRING, &options.sample_ml, "Solution titrated (default 50)", "ML" },
    { "acid-n", 0, 0, G_OPTION_ARG_STRING, &options.acid, "Normality of the acid (default 0.5)", "N" },
    { "drops", 0, 0, G_OPTION_ARG_INT, &options.drops, "Drops to the change of colour", "COUNT" },
    { "percent-per-drop", 0, 0, G_OPTION_ARG_STRING, &options.per_drop, "What the kit says a drop stands for", "PERCENT" },
    { "have", 0, 0, G_OPTION_ARG_STRING, &options.have_l, "Solution at hand, to be brought to --target", "L" },
    { "target", 0, 0, G_OPTION_ARG_STRING, &options.target, "Strength wanted, w/w", "PERCENT" },
    { "concentrate", 0, 0, G_OPTION_ARG_STRING, &options.concentrate, "Strength of the concentrate, w/w", "PERCENT" },
    { "density", 0, 0, G_OPTION_ARG_STRING, &options.density, "Its density (default: from the tables)", "G_ML" },
    { "json", 0, 0, G_OPTION_ARG_NONE, &options.json, "Print JSON", NULL },
    { NULL }
  };
  g_auto (GStrv) words = NULL;
  Answer answer = { 0 };
  GError *error = NULL;
  gboolean found;
  TdCtlStatus status;

  if (!td_ctl_parse (info, entries, argc, argv, 0, 0, &words, &status))
    return status;
  if ((options.p_ml != NULL && options.m_ml != NULL) == (options.drops != 0))
    return td_ctl_misuse (info, "give either --p-ml and --m-ml, or --drops and --percent-per-drop");
  if (options.have_l != NULL && (options.target == NULL || options.concentrate == NULL))
    return td_ctl_misuse (info, "--have goes with --target and --concentrate");
  found = options.drops != 0 ? count_drops (&options, &answer, &error) : titrate (&options, &answer, &error);
  if (!found || !top_up (&options, &answer, &error) || (options.json && !print_json (&answer, &error)))
    return td_ctl_refuse (info, error);
  if (!options.json)
    print_words (&answer);
  return TD_CTL_DONE;
}
