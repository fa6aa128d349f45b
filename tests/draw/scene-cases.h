/* scene-cases.h: run sheets of invented sites that scene and paint tests share. */
#pragma once

#include "draw-run-sheet.h"

typedef struct
{
  const char *name;
  /* Towers and their lines: "Front bar:C1*4 Terrace:C1,C2,C1"; see make_site() in scene-cases.c. */
  const char *site;
  /* Acts parted by "; ": "circuit 1 T1 1in 2out", "static 6 1", "tag 6 hangs", "stage 6 contact",
   * "lever 4". Lines are named by their numbers. */
  const char *run;
} SceneCase;

extern const SceneCase scene_cases[];
extern const guint n_scene_cases;

/* Returns: (transfer full): the run sheet of a case. */
TdRunSheet *scene_case_make (const SceneCase *scene);
/* Returns: (transfer none): the case of that name; aborts where there is none. */
const SceneCase *scene_case_find (const char *name);
