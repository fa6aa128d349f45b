/* paint-scene: a case as a PNG, to be looked at.
 * paint-scene CASE light|dark|print FILE.png [WIDTH_MM [grey]] */
#include "draw-paint.h"
#include "scene-cases.h"

#include <stdlib.h>
#include <string.h>

#define PIXELS_PER_MM 7.0

static void
turn_grey (cairo_surface_t *surface)
{
  unsigned char *data = cairo_image_surface_get_data (surface);
  int stride = cairo_image_surface_get_stride (surface);

  for (int y = 0; y < cairo_image_surface_get_height (surface); y++)
    for (int x = 0; x < cairo_image_surface_get_width (surface); x++)
      {
        unsigned char *p = data + y * stride + x * 4;
        int grey = (p[0] * 114 + p[1] * 587 + p[2] * 299) / 1000;

        p[0] = p[1] = p[2] = (unsigned char)grey;
      }
  cairo_surface_mark_dirty (surface);
}

int
main (int argc, char **argv)
{
  g_autoptr (TdRunSheet) sheet = NULL;
  g_autoptr (TdScene) scene = NULL;
  TdSceneOptions options = { .width_mm = 178, .legend = TRUE };
  TdPaintOptions paint = TD_PAINT_OPTIONS_INIT;
  cairo_surface_t *surface;
  cairo_t *cr;

  g_assert (argc >= 4);
  if (argc > 4)
    options.width_mm = g_ascii_strtod (argv[4], NULL);
  sheet = scene_case_make (scene_case_find (argv[1]));
  scene = td_scene_new (sheet, &options);
  paint.palette = argv[2][0] == 'd'   ? TD_PALETTE_DARK
                  : argv[2][0] == 'p' ? TD_PALETTE_PRINT
                                      : TD_PALETTE_LIGHT;
  surface = cairo_image_surface_create (CAIRO_FORMAT_RGB24, (int)(scene->width * PIXELS_PER_MM),
                                        (int)(scene->height * PIXELS_PER_MM));
  cr = cairo_create (surface);
  cairo_scale (cr, PIXELS_PER_MM, PIXELS_PER_MM);
  td_scene_paint (scene, cr, &paint);
  cairo_destroy (cr);
  cairo_surface_flush (surface);
  if (argc > 5)
    turn_grey (surface);
  g_assert (cairo_surface_write_to_png (surface, argv[3]) == CAIRO_STATUS_SUCCESS);
  cairo_surface_destroy (surface);
  return 0;
}
