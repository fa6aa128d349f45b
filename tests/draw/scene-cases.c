#include "scene-cases.h"

#include <stdio.h>
#include <string.h>

/* Lines are "C" (cooler) "x" and "/" features: "1" one-way pump, "r" reversible pump, "f" FOB, "c"
 * check, "s" a side faucet at the next tower. "*n" repeats. */
#define FOUR "Bar:C1f*4"
#define TWO "Tower A:C1rf*4 Tower B:C1rf,C11f,C1rf"
#define LONG                                                                                       \
  "Front bar:C1f*6 Back bar:C2rf*3,C1rf*3 Terrace:C2f*6 Upstairs lounge and function room:C1rf*3,C2rf*3"

const SceneCase scene_cases[] = {
  { "site-only", TWO, "" },
  { "four", FOUR, "circuit 1 T1 1in 2out 3in 4out" },
  { "two-towers-plan", TWO,
    "circuit 1 T1 4in 2out; lever 4; static 6 1; circuit 2 T1 1in 3out; lever 1; circuit 3 T2 5in 7out; lever 5" },
  { "two-towers-work", TWO,
    "circuit 1 T1 4in 2out; lever 4; static 6 1; tag 6 lifted; tag 5 hangs; tag 7 hangs; stage 4 contact;"
    " stage 2 contact; stage 6 rinsing; stage 1 pours; stage 3 waiting; stage 5 not-due; stage 7 out-of-service" },
  { "side", "Bar:C1f,C1fs Snug:C1cf,C1f*2",
    "circuit 1 T1 1in 2out; static 6 1; tag 6 gone; stage 1 rinsed; stage 2 filling; stage 6 contact" },
  { "cooler-station", "Bar:C1f*4 Terrace:C1f*2",
    "circuit 1 C1 1out 2in 6out 5in; static 3 1; static 4 0" },
  { "long-draw", LONG,
    "circuit 1 T1 1in 2out 3in 4out; circuit 2 T1 5in 6out; circuit 3 T2 7in 8out; static 9 3; circuit 4 T2 10in 11out;"
    " static 12 4; circuit 5 T3 13in 14out 15in 16out 17in 18out; circuit 6 T4 19in 20out; static 21 6;"
    " circuit 7 T4 22in 23out; static 24 7; tag 9 hangs; tag 12 hangs; tag 13 hangs; tag 24 hangs" },
  { "long-draw-work", LONG,
    "circuit 1 T1 1in 2out 3in 4out; static 5 1; circuit 2 T2 7in 8out; static 9 2; stage 1 contact; stage 2 contact;"
    " stage 3 rinsing; stage 4 rinsed; stage 5 out-of-service; stage 6 not-due; stage 7 filling; stage 8 pours;"
    " stage 9 left-out; stage 10 waiting; stage 11 waiting; stage 12 out-of-service; stage 13 out-of-service; tag 5 hangs;"
    " tag 9 lifted" },
  { "sixty",
    "Hall one:C1f*14 Hall two:C1f*12 Gallery:C2rf*10 Garden:C2f*8 Roof:C1f*4,C2f*4 Cellar bar:C1f*8",
    "circuit 1 T1 1in 2out 3in 4out 5in 6out 7in 8out; circuit 2 T2 15in 16out 17in 18out; static 19 2; circuit 3 T3 27in 28out;"
    " circuit 4 T4 37in 38out; static 39 4; circuit 5 T5 45in 49out 50in 46out; tag 19 hangs" },
  { "wide-tower", "Long counter:C1f*30,C2f*6",
    "circuit 1 T1 1in 2out; circuit 2 T1 18in 19out; static 36 2" },
  { "long-names",
    "The very long name of a bar that nobody would ever put on a sign:C1f "
    "Ουζερί της παλιάς αγοράς:C1f Пивная на углу старой площади:C1f 老街角的啤酒吧:C1f",
    "circuit 1 T1 1in 2out" },
};
const guint n_scene_cases = G_N_ELEMENTS (scene_cases);

typedef struct
{
  GString *lines, *towers, *coolers;
  guint number, tower, n_towers;
} Sheet;

static void
add_line (Sheet *sheet, const char *word)
{
  const char *features = word + 2;

  if (g_strstr_len (sheet->coolers->str, -1, (char[]){ '"', 'C', word[1], '"', '\0' }) == NULL)
    g_string_append_printf (sheet->coolers, "%s{\"id\":\"C%c\",\"name\":\"Cold room %c\"}",
                            sheet->coolers->len > 0 ? "," : "", word[1], word[1]);
  sheet->number++;
  g_string_append_printf (
      sheet->lines,
      "%s{\"id\":\"L%u\",\"number\":%u,\"tower\":\"T%u\",\"cooler\":\"C%c\",\"beer_pump\":\"%s\","
      "\"check_valve\":%s,\"fob\":%s,\"head_loss_m\":5,\"volume_ml\":900",
      sheet->lines->len > 0 ? "," : "", sheet->number, sheet->number, sheet->tower, word[1],
      strchr (features, '1')   ? "one-way"
      : strchr (features, 'r') ? "reversible"
                               : "none",
      strchr (features, 'c') ? "true" : "false", strchr (features, 'f') ? "true" : "false");
  if (strchr (features, 's') != NULL)
    g_string_append_printf (
        sheet->lines,
        ",\"side_faucets\":[{\"id\":\"S\",\"number\":6,\"tower\":\"T%u\",\"segments\":[]}]",
        sheet->tower + 1);
  g_string_append_c (sheet->lines, '}');
}

static void
add_tower (Sheet *sheet, const char *name, const char *words)
{
  g_auto (GStrv) parts = g_strsplit (words, ",", -1);

  sheet->tower++;
  g_string_append_printf (sheet->towers, "%s{\"id\":\"T%u\",\"name\":\"%s\"}",
                          sheet->tower > 1 ? "," : "", sheet->tower, name);
  for (guint i = 0; parts[i] != NULL; i++)
    {
      char *star = strchr (parts[i], '*');
      guint times = star != NULL ? (guint)g_ascii_strtoull (star + 1, NULL, 10) : 1;

      if (star != NULL)
        *star = '\0';
      for (guint j = 0; j < times; j++)
        add_line (sheet, parts[i]);
    }
}

/* "Name:lines Name:lines": a name may hold spaces, lines may not. */
static TdSite *
make_site (const char *text)
{
  Sheet sheet = { g_string_new (NULL), g_string_new (NULL), g_string_new (NULL), 0, 0, 0 };
  g_autofree char *json = NULL;
  g_autoptr (GError) error = NULL;
  TdSite *site;

  while (*text != '\0')
    {
      const char *colon = strchr (text, ':');
      gsize length = strcspn (colon, " ");
      g_autofree char *name = g_strndup (text, (gsize)(colon - text));
      g_autofree char *lines = g_strndup (colon + 1, length - 1);

      add_tower (&sheet, name, lines);
      text = colon + length;
      text += *text == ' ';
    }
  json = g_strdup_printf (
      "{\"format\":\"tundish-site/1\",\"site\":{\"name\":\"x\"},\"coolers\":[%s],\"towers\":[%s],"
      "\"lines\":[%s]}",
      sheet.coolers->str, sheet.towers->str, sheet.lines->str);
  site = td_site_parse (json, -1, &error);
  g_assert_no_error (error);
  g_string_free (sheet.lines, TRUE);
  g_string_free (sheet.towers, TRUE);
  g_string_free (sheet.coolers, TRUE);
  return site;
}

static guint
outlet_of_number (const TdSite *site, int number)
{
  for (guint i = 0; i < site->n_outlets; i++)
    /* The side faucet shares number 6 with a line that the case then must not name. */
    if (site->outlets[i].number == number)
      return i;
  g_assert_not_reached ();
}

static void
act_circuit (TdRunSheet *sheet, char **words)
{
  TdRunLeg legs[16];
  guint n = 0;

  for (guint i = 3; words[i] != NULL; i++)
    {
      char *rest;
      int number = (int)g_ascii_strtoll (words[i], &rest, 10);

      legs[n].outlet = outlet_of_number (sheet->site, number);
      legs[n].direction = strcmp (rest, "in") == 0 ? TD_DIRECTION_IN : TD_DIRECTION_OUT;
      n++;
    }
  td_run_sheet_add_circuit (sheet, (int)g_ascii_strtoll (words[1], NULL, 10), words[2], legs, n);
}

static void
act_stage (TdRunSheet *sheet, guint outlet, const char *word)
{
  for (int i = 0; i < TD_N_STAGES; i++)
    if (strcmp (td_stage_to_text ((TdStage)i), word) == 0)
      {
        sheet->outlets[outlet].stage = (TdStage)i;
        return;
      }
  g_assert_not_reached ();
}

static void
act (TdRunSheet *sheet, const char *text)
{
  g_auto (GStrv) words = g_strsplit (text, " ", -1);
  guint outlet;

  if (words[0] == NULL)
    return;
  if (strcmp (words[0], "circuit") == 0)
    {
      act_circuit (sheet, words);
      return;
    }
  outlet = outlet_of_number (sheet->site, (int)g_ascii_strtoll (words[1], NULL, 10));
  if (strcmp (words[0], "static") == 0)
    td_run_sheet_add_static (sheet, outlet, (int)g_ascii_strtoll (words[2], NULL, 10));
  else if (strcmp (words[0], "tag") == 0)
    td_run_sheet_add_tag (sheet, words[1], (int)outlet, NULL,
                          words[2][0] == 'h'   ? TD_TAG_HANGS
                          : words[2][0] == 'l' ? TD_TAG_LIFTED
                                               : TD_TAG_GONE);
  else if (strcmp (words[0], "stage") == 0)
    act_stage (sheet, outlet, words[2]);
  else if (strcmp (words[0], "lever") == 0)
    sheet->outlets[outlet].reversal = TRUE;
  else
    g_assert_not_reached ();
}

TdRunSheet *
scene_case_make (const SceneCase *scene)
{
  g_autoptr (TdSite) site = make_site (scene->site);
  g_auto (GStrv) acts = g_strsplit (scene->run, "; ", -1);
  TdRunSheet *sheet = td_run_sheet_new (site);

  for (guint i = 0; acts[i] != NULL; i++)
    act (sheet, g_strstrip (acts[i]));
  return sheet;
}

const SceneCase *
scene_case_find (const char *name)
{
  for (guint i = 0; i < n_scene_cases; i++)
    if (strcmp (scene_cases[i].name, name) == 0)
      return &scene_cases[i];
  g_error ("there is no case %s", name);
}
