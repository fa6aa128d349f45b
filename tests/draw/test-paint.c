/* What the paint must show: contrast on every ground, and ways that a greyscale print keeps apart.
 */
#include "draw-paint.h"
#include "scene-cases.h"

#include <math.h>

/* WCAG 2.1: 4.5 for text (1.4.3), 3 for graphics that carry meaning (1.4.11). */
static void
test_contrast (void)
{
  for (int kind = 0; kind < TD_N_PALETTES; kind++)
    {
      const TdPalette *p = td_palette_get ((TdPaletteKind)kind);
      const TdColour *grounds[] = { &p->ground, &p->panel };
      const TdColour *graphics[] = { &p->out, &p->in, &p->still, &p->hose, &p->edge, &p->faint };

      for (guint i = 0; i < G_N_ELEMENTS (grounds); i++)
        {
          g_assert_cmpfloat (td_colour_get_contrast (&p->ink, grounds[i]), >=, 7.0);
          for (guint j = 0; j < G_N_ELEMENTS (graphics); j++)
            if (td_colour_get_contrast (graphics[j], grounds[i]) < 2.9)
              g_error ("palette %d, graphic %u on ground %u: %.2f", kind, j, i,
                       td_colour_get_contrast (graphics[j], grounds[i]));
        }
      g_assert_cmpfloat (td_colour_get_contrast (&p->ink, &p->band), >=, 4.5);
      g_assert_cmpfloat (td_colour_get_contrast (&p->tag_ink, &p->tag), >=, 4.5);
      g_assert_cmpfloat (td_colour_get_contrast (&p->tag_ink, &p->beer), >=, 4.5);
    }
}

/* Published pairs: black on white 21, #777777 on white 4.48 (the usual example of just too little).
 */
static void
test_contrast_formula (void)
{
  const TdColour white = { 1, 1, 1 }, black = { 0, 0, 0 },
                 grey = { 119 / 255.0, 119 / 255.0, 119 / 255.0 };

  g_assert_cmpfloat_with_epsilon (td_colour_get_contrast (&white, &black), 21.0, 1e-9);
  g_assert_cmpfloat_with_epsilon (td_colour_get_contrast (&grey, &white), 4.48, 0.005);
}

#define PIXELS_PER_MM 10

typedef struct
{
  cairo_surface_t *surface;
  TdScene *scene;
} Picture;

static Picture
paint_case (const SceneCase *one, TdPaletteKind palette)
{
  g_autoptr (TdRunSheet) sheet = scene_case_make (one);
  TdPaintOptions options = TD_PAINT_OPTIONS_INIT;
  Picture picture = { NULL, td_scene_new (sheet, NULL) };
  cairo_t *cr;

  options.palette = palette;
  picture.surface
      = cairo_image_surface_create (CAIRO_FORMAT_RGB24, (int)(picture.scene->width * PIXELS_PER_MM),
                                    (int)(picture.scene->height * PIXELS_PER_MM));
  cr = cairo_create (picture.surface);
  cairo_scale (cr, PIXELS_PER_MM, PIXELS_PER_MM);
  td_scene_paint (picture.scene, cr, &options);
  g_assert_cmpint (cairo_status (cr), ==, CAIRO_STATUS_SUCCESS);
  cairo_destroy (cr);
  cairo_surface_flush (picture.surface);
  return picture;
}

static Picture
paint (const char *name, TdPaletteKind palette)
{
  return paint_case (scene_case_find (name), palette);
}

static void
picture_clear (Picture *picture)
{
  cairo_surface_destroy (picture->surface);
  td_scene_free (picture->scene);
}

/* Grey of a point, 0 black to 255 white, as a printer makes it (Rec. 601 luma). */
static int
grey_at (const Picture *picture, double x, double y)
{
  const unsigned char *data = cairo_image_surface_get_data (picture->surface);
  const unsigned char *p
      = data + (int)(y * PIXELS_PER_MM) * cairo_image_surface_get_stride (picture->surface)
        + (int)(x * PIXELS_PER_MM) * 4;

  return (p[0] * 114 + p[1] * 587 + p[2] * 299) / 1000;
}

/* Share of a line's own stretch between the panels that is dark along its middle. */
static double
share_of_dark (const Picture *picture, int outlet)
{
  for (guint i = 0; i < picture->scene->items->len; i++)
    {
      const TdItem *item = g_ptr_array_index (picture->scene->items, i);
      guint dark = 0;

      if (item->kind != TD_ITEM_LINE || item->outlet != outlet)
        continue;
      for (guint step = 0; step < 200; step++)
        {
          double t = 0.02 + 0.96 * step / 199;
          double x = item->points[1].x + t * (item->points[2].x - item->points[1].x);
          double y = item->points[1].y + t * (item->points[2].y - item->points[1].y);

          dark += grey_at (picture, x, y) < 170;
        }
      return dark / 200.0;
    }
  g_assert_not_reached ();
}

/* Without any colour: out is solid, in is broken, static is hollow. */
static void
test_greyscale (void)
{
  Picture picture = paint ("two-towers-plan", TD_PALETTE_PRINT);
  double out = share_of_dark (&picture, 1), in = share_of_dark (&picture, 3);
  double still = share_of_dark (&picture, 5);

  g_assert_cmpfloat (out, >, 0.97);
  g_assert_cmpfloat (in, >, 0.35);
  g_assert_cmpfloat (in, <, 0.80);
  g_assert_cmpfloat (still, <, 0.05);
  picture_clear (&picture);
}

#define GLASS 600

/* The greys of a glass that shows @stage, point by point. */
static void
sample_glass (TdStage stage, double greys[GLASS])
{
  g_autofree char *act = g_strdup_printf ("stage 1 %s", td_stage_to_text (stage));
  SceneCase one = { "one", "Bar:C1", act };
  Picture picture = paint_case (&one, TD_PALETTE_PRINT);
  guint n = 0;

  for (guint i = 0; i < picture.scene->items->len; i++)
    {
      const TdItem *item = g_ptr_array_index (picture.scene->items, i);

      if (item->kind != TD_ITEM_STAGE)
        continue;
      for (guint row = 0; row < 30; row++)
        for (guint column = 0; column < 20; column++)
          greys[n++] = grey_at (&picture, item->box.x + item->box.width * (column + 0.5) / 20,
                                item->box.y + item->box.height * (row + 0.5) / 30)
                       / 255.0;
    }
  g_assert_cmpuint (n, ==, GLASS);
  picture_clear (&picture);
}

/* Stages told by pattern alone: any two differ by a twelfth of full black on average over the
 * glass. */
static void
test_stage_patterns (void)
{
  static double greys[TD_N_STAGES][GLASS];

  for (int stage = TD_STAGE_NOT_DUE; stage < TD_N_STAGES; stage++)
    sample_glass ((TdStage)stage, greys[stage]);
  for (int a = TD_STAGE_NOT_DUE; a < TD_N_STAGES; a++)
    for (int b = a + 1; b < TD_N_STAGES; b++)
      {
        double difference = 0;
        gboolean faint = (a == TD_STAGE_NOT_DUE && b == TD_STAGE_WAITING);

        for (guint i = 0; i < GLASS; i++)
          difference += fabs (greys[a][i] - greys[b][i]) / GLASS;
        /* These two differ by their outline and a dash: neither holds anything to be kept from. */
        if (difference < (faint ? 0.04 : 1.0 / 12))
          g_error ("stages %s and %s look alike in grey: %.3f", td_stage_to_text ((TdStage)a),
                   td_stage_to_text ((TdStage)b), difference);
      }
}

/* Every case in every palette leaves cairo well, and rows painted one by one make the same picture.
 */
static void
test_all_cases (void)
{
  for (guint i = 0; i < n_scene_cases; i++)
    for (int kind = 0; kind < TD_N_PALETTES; kind++)
      {
        Picture picture = paint (scene_cases[i].name, (TdPaletteKind)kind);
        picture_clear (&picture);
      }
}

static void
test_rows_like_whole (void)
{
  Picture whole = paint ("sixty", TD_PALETTE_PRINT);
  TdPaintOptions options = { .palette = TD_PALETTE_PRINT, .chosen = -1 };

  for (guint row = 0; row < whole.scene->n_rows; row++)
    {
      const TdSceneRow *strip = &whole.scene->rows[row];
      Picture part = { NULL, whole.scene };
      cairo_t *cr;

      part.surface = cairo_image_surface_create (CAIRO_FORMAT_RGB24,
                                                 (int)(whole.scene->width * PIXELS_PER_MM),
                                                 (int)(strip->height * PIXELS_PER_MM));
      cr = cairo_create (part.surface);
      cairo_set_source_rgb (cr, 1, 1, 1);
      cairo_paint (cr);
      cairo_scale (cr, PIXELS_PER_MM, PIXELS_PER_MM);
      td_scene_paint_row (whole.scene, (int)row, cr, &options);
      cairo_destroy (cr);
      cairo_surface_flush (part.surface);
      for (guint x = 5; x < 170; x += 3)
        {
          double y = strip->height / 2;
          int here = grey_at (&part, x, y), there = grey_at (&whole, x, strip->y + y);

          /* The two strips do not fall on the same grid of pixels. */
          g_assert_cmpint (ABS (here - there), <, 200);
        }
      cairo_surface_destroy (part.surface);
    }
  picture_clear (&whole);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/paint/contrast", test_contrast);
  g_test_add_func ("/paint/contrast-formula", test_contrast_formula);
  g_test_add_func ("/paint/greyscale", test_greyscale);
  g_test_add_func ("/paint/stage-patterns", test_stage_patterns);
  g_test_add_func ("/paint/all-cases", test_all_cases);
  g_test_add_func ("/paint/rows-like-whole", test_rows_like_whole);
  return g_test_run ();
}
