/* What every page looks like, at two sizes, light and dark, against pictures that somebody has looked at.
 *
 * Compared at a quarter of the size with a generous tolerance: letters may be drawn a shade differently,
 * but what moves, vanishes or changes its colour is found. What differs lies in the build folder in full size.
 * TUNDISH_UPDATE_PICTURES=1 takes the pictures anew, all of them in full size too: look at each before you keep it. */
#include "desk-tour.h"

#include <math.h>

#define SHRINK 4
/* Of 255, on average over the picture; and the share of points that may be off by more than OFF. */
#define MEAN_MAX 3.0
#define OFF 40
#define OFF_SHARE_MAX 0.012

typedef struct
{
  int width, height;
  guchar *pixels; /* RGB */
} Picture;

static void
picture_clear (Picture *picture)
{
  g_clear_pointer (&picture->pixels, g_free);
}

G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Picture, picture_clear)

/* A quarter of the size, each point the mean of 4 x 4. */
static Picture
shrink (GdkTexture *texture)
{
  int width = gdk_texture_get_width (texture), height = gdk_texture_get_height (texture);
  gsize stride = (gsize) width * 4;
  g_autofree guchar *data = g_malloc (stride * (gsize) height);
  Picture small = { width / SHRINK, height / SHRINK, NULL };

  gdk_texture_download (texture, data, stride);
  small.pixels = g_malloc0 ((gsize) small.width * (gsize) small.height * 3);
  for (int y = 0; y < small.height; y++)
    for (int x = 0; x < small.width; x++)
      for (int channel = 0; channel < 3; channel++)
        {
          guint sum = 0;

          for (int i = 0; i < SHRINK * SHRINK; i++)
            {
              const guchar *point = data + (gsize) (y * SHRINK + i / SHRINK) * stride + (x * SHRINK + i % SHRINK) * 4;

              sum += point[G_BYTE_ORDER == G_LITTLE_ENDIAN ? 2 - channel : 1 + channel];
            }
          small.pixels[(y * small.width + x) * 3 + channel] = (guchar) (sum / (SHRINK * SHRINK));
        }
  return small;
}

static GdkPixbuf *
to_pixbuf (const Picture *picture)
{
  return gdk_pixbuf_new_from_data (picture->pixels, GDK_COLORSPACE_RGB, FALSE, 8, picture->width, picture->height,
                                   picture->width * 3, NULL, NULL);
}

/* Mean difference and share of points that are off; FALSE where the sizes differ. */
static gboolean
compare (const Picture *a, GdkPixbuf *b, double *mean_out, double *share_out)
{
  gsize off = 0;
  double sum = 0;

  if (gdk_pixbuf_get_width (b) != a->width || gdk_pixbuf_get_height (b) != a->height)
    return FALSE;
  for (int y = 0; y < a->height; y++)
    for (int x = 0; x < a->width; x++)
      {
        const guchar *p = a->pixels + (y * a->width + x) * 3;
        const guchar *q = gdk_pixbuf_read_pixels (b) + y * gdk_pixbuf_get_rowstride (b)
                          + x * gdk_pixbuf_get_n_channels (b);
        int worst = 0;

        for (int channel = 0; channel < 3; channel++)
          {
            int difference = abs (p[channel] - q[channel]);

            sum += difference;
            worst = MAX (worst, difference);
          }
        off += worst > OFF;
      }
  *mean_out = sum / (3.0 * a->width * a->height);
  *share_out = (double) off / ((double) a->width * a->height);
  return TRUE;
}

typedef struct
{
  const char *variant;
  guint failures;
  guint pictures;
} Shots;

static void
save_full (GdkTexture *texture, const char *name)
{
  g_autofree char *folder = g_test_build_filename (G_TEST_BUILT, "pictures", NULL);
  g_autofree char *path = g_build_filename (folder, name, NULL);

  g_mkdir_with_parents (folder, 0755);
  g_assert_true (gdk_texture_save_to_png (texture, path));
}

/* @again: the page had more time to come to rest; a difference counts then. */
static void
take_once (TdDrive *drive, const char *page, GtkWidget *root, Shots *shots, gboolean again)
{
  g_autofree char *name = g_strdup_printf ("%s-%s.png", page, shots->variant);
  g_autofree char *path = g_test_build_filename (G_TEST_DIST, "desk", "pictures", name, NULL);
  g_autoptr (GdkTexture) texture = td_drive_picture (drive, root);
  g_auto (Picture) picture = shrink (texture);
  g_autoptr (GError) error = NULL;
  g_autoptr (GdkPixbuf) reference = NULL;
  double mean = 0, share = 0;

  if (g_getenv ("TUNDISH_UPDATE_PICTURES") != NULL)
    {
      g_autoptr (GdkPixbuf) pixbuf = to_pixbuf (&picture);

      save_full (texture, name);
      gdk_pixbuf_save (pixbuf, path, "png", &error, "compression", "9", NULL);
      g_assert_no_error (error);
      return;
    }
  reference = gdk_pixbuf_new_from_file (path, &error);
  g_assert_no_error (error);
  if (compare (&picture, reference, &mean, &share) && mean <= MEAN_MAX && share <= OFF_SHARE_MAX)
    return;
  if (!again)
    {
      td_drive_settle (drive, 600);
      take_once (drive, page, root, shots, TRUE);
      return;
    }
  save_full (texture, name);
  shots->failures++;
  g_test_message ("%s: %d x %d, mean difference %.2f, %.2f %% of the points off; the picture is in the build folder",
                  name, picture.width, picture.height, mean, share * 100);
}

static void
take (TdDrive *drive, const char *page, GtkWidget *root, gpointer data)
{
  Shots *shots = data;

  shots->pictures++;
  take_once (drive, page, root, shots, FALSE);
}

static const struct
{
  const char *variant;
  int width, height;
  gboolean dark;
} variants[] = {
  { "1024-light", 1024, 600, FALSE },
  { "1024-dark", 1024, 600, TRUE },
  { "1920-light", 1920, 1080, FALSE },
  { "1920-dark", 1920, 1080, TRUE },
};

static void
test_variant (gconstpointer data)
{
  const gsize i = GPOINTER_TO_SIZE (data);
  TdDrive *drive = td_drive_new (variants[i].width, variants[i].height, variants[i].dark);
  Shots shots = { .variant = variants[i].variant };

  td_tour (drive, take, &shots);
  g_assert_cmpuint (shots.pictures, >=, 12 + TD_TOUR_STEPS);
  g_assert_cmpuint (shots.failures, ==, 0);
  td_drive_free (drive);
}

/* The comparison tells a moved button from a smoother letter. */
static void
test_compare (void)
{
  const int width = 256, height = 150;
  g_autofree guchar *pixels = g_malloc (width * height * 3);
  Picture picture = { width, height, pixels };
  g_autoptr (GdkPixbuf) same = NULL;
  g_autoptr (GdkPixbuf) shade = NULL;
  g_autoptr (GdkPixbuf) moved = NULL;
  double mean = 0, share = 0;

  for (int i = 0; i < width * height * 3; i++)
    pixels[i] = (guchar) (i % 200);
  {
    g_autoptr (GdkPixbuf) view = to_pixbuf (&picture);

    same = gdk_pixbuf_copy (view);
    shade = gdk_pixbuf_copy (view);
    moved = gdk_pixbuf_copy (view);
  }
  for (int i = 0; i < width * height * 3; i += 2)
    gdk_pixbuf_get_pixels (shade)[i] += 4;
  for (int y = 20; y < 44; y++)
    for (int x = 0; x < 25 * 3; x++)
      gdk_pixbuf_get_pixels (moved)[y * gdk_pixbuf_get_rowstride (moved) + x] ^= 0x80;
  g_assert_true (compare (&picture, same, &mean, &share) && mean == 0 && share == 0);
  g_assert_true (compare (&picture, shade, &mean, &share) && mean <= MEAN_MAX && share <= OFF_SHARE_MAX);
  g_assert_true (compare (&picture, moved, &mean, &share) && share > OFF_SHARE_MAX);
}

int
main (int argc, char **argv)
{
  td_drive_init (&argc, &argv);
  g_test_add_func ("/pictures/compare", test_compare);
  for (gsize i = 0; i < G_N_ELEMENTS (variants); i++)
    {
      g_autofree char *path = g_strconcat ("/pictures/", variants[i].variant, NULL);

      g_test_add_data_func (path, GSIZE_TO_POINTER (i), test_variant);
    }
  return g_test_run ();
}
