/* draw-compose.h: a scene while it is put together. Private to draw. */
#pragma once

#include "draw-bands.h"
#include "draw-build.h"

G_BEGIN_DECLS

typedef struct
{
  TdScene *scene;
  const TdRunSheet *sheet;
  const TdLayout *layout;
  const TdJoints *joints;
  TdBands *bands; /* by row */
  gboolean ways;  /* something runs: what does not stands back */
} TdComposer;

/* The paths of the lines, of the hoses, and every sign and word on an outlet's way. */
void td_compose_lines (TdComposer *composer);
void td_compose_joints (TdComposer *composer);
void td_compose_outlet (TdComposer *composer, guint outlet);

G_END_DECLS
