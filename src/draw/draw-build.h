/* draw-build.h: putting items into a scene. Private to draw. */
#pragma once

#include "draw-scene.h"

G_BEGIN_DECLS

/* Appends an item whose links to the site are all "none". */
TdItem *td_scene_add (TdScene *scene, TdItemKind kind, int row, TdBox box);
/* Appends a path; its box is worked out. */
TdItem *
td_scene_add_path (TdScene *scene, TdItemKind kind, int row, const TdPoint *points, guint n_points);
/* Appends a text. */
TdItem *td_scene_add_label (TdScene *scene,
                            int row,
                            TdBox box,
                            const char *text,
                            double size_mm,
                            TdAlign align);
/* Explains every sign that occurs, from @y on; sets scene->legend. */
void td_scene_add_legend (TdScene *scene, double y);

G_END_DECLS
