/* Scenes as text against golden files, and what must hold of every scene. TUNDISH_UPDATE=1 writes
 * the golden files anew. */
#include "draw-scene.h"
#include "scene-cases.h"

#include <stdlib.h>
#include <string.h>

static TdScene *
make_scene (const SceneCase *one)
{
  g_autoptr (TdRunSheet) sheet = scene_case_make (one);
  TdSceneOptions options = { .width_mm = 178, .legend = TRUE };

  return td_scene_new (sheet, &options);
}

static void
test_golden (gconstpointer data)
{
  const SceneCase *one = data;
  g_autoptr (TdScene) scene = make_scene (one);
  g_autofree char *text = td_scene_to_text (scene);
  g_autofree char *name = g_strdup_printf ("%s.scene", one->name);
  g_autofree char *path = g_test_build_filename (G_TEST_DIST, "draw", "golden", name, NULL);
  g_autofree char *expected = NULL;
  g_autoptr (GError) error = NULL;

  if (g_getenv ("TUNDISH_UPDATE") != NULL)
    g_file_set_contents (path, text, -1, &error);
  g_assert_no_error (error);
  g_file_get_contents (path, &expected, NULL, &error);
  g_assert_no_error (error);
  g_assert_cmpstr (text, ==, expected);
}

static gboolean
overlap (const TdBox *a, const TdBox *b, double slack)
{
  return a->x + slack < b->x + b->width && b->x + slack < a->x + a->width
         && a->y + slack < b->y + b->height && b->y + slack < a->y + a->height;
}

/* The signs that must stay apart from each other. Labels are as wide as the room they are given, so
 * that theirs is an upper bound. */
static gboolean
stands_alone (const TdItem *item)
{
  return item->row >= 0
         && (item->kind == TD_ITEM_FAUCET || item->kind == TD_ITEM_KEG || item->kind == TD_ITEM_FOB
             || item->kind == TD_ITEM_BEER_PUMP || item->kind == TD_ITEM_STAGE
             || item->kind == TD_ITEM_LABEL || item->kind == TD_ITEM_CLEANING_PUMP
             || item->kind == TD_ITEM_CHECK);
}

static void
test_nothing_overlaps (gconstpointer data)
{
  g_autoptr (TdScene) scene = make_scene (data);

  for (guint i = 0; i < scene->items->len; i++)
    {
      const TdItem *a = g_ptr_array_index (scene->items, i);

      for (guint j = i + 1; j < scene->items->len && stands_alone (a); j++)
        {
          const TdItem *b = g_ptr_array_index (scene->items, j);

          if (stands_alone (b) && overlap (&a->box, &b->box, 0.7))
            g_error ("%s at %.1f %.1f lies over %s at %.1f %.1f", td_item_kind_to_text (a->kind),
                     a->box.x, a->box.y, td_item_kind_to_text (b->kind), b->box.x, b->box.y);
        }
    }
}

static void
test_all_inside (gconstpointer data)
{
  g_autoptr (TdScene) scene = make_scene (data);

  for (guint i = 0; i < scene->items->len; i++)
    {
      const TdItem *item = g_ptr_array_index (scene->items, i);

      g_assert_cmpfloat (item->box.x, >=, -0.6);
      g_assert_cmpfloat (item->box.y, >=, -0.6);
      g_assert_cmpfloat (item->box.x + item->box.width, <=, scene->width + 0.6);
      g_assert_cmpfloat (item->box.y + item->box.height, <=, scene->height + 1.0);
    }
}

/* Every outlet has one faucet, every line one keg end; the way of the sheet stands in the picture;
 * the word REVERSED stands beside exactly the lines that run in. */
static void
test_tells_the_sheet (gconstpointer data)
{
  g_autoptr (TdRunSheet) sheet = scene_case_make (data);
  TdSceneOptions options = { .width_mm = 178 };
  g_autoptr (TdScene) scene = td_scene_new (sheet, &options);

  for (guint outlet = 0; outlet < sheet->site->n_outlets; outlet++)
    {
      guint faucets = 0, kegs = 0, lines = 0, words = 0, shuts = 0;

      for (guint i = 0; i < scene->items->len; i++)
        {
          const TdItem *item = g_ptr_array_index (scene->items, i);

          if (item->outlet != (int)outlet)
            continue;
          faucets += item->kind == TD_ITEM_FAUCET;
          kegs += item->kind == TD_ITEM_KEG;
          lines += item->kind == TD_ITEM_LINE && item->way == sheet->outlets[outlet].way;
          words += item->kind == TD_ITEM_LABEL && g_strcmp0 (item->text, "REVERSED") == 0;
          shuts += item->kind == TD_ITEM_SHUT;
        }
      g_assert_cmpuint (faucets, ==, 1);
      g_assert_cmpuint (kegs, ==, sheet->site->outlets[outlet].side < 0 ? 1 : 0);
      g_assert_cmpuint (lines, ==, 1);
      g_assert_cmpuint (words, ==, sheet->outlets[outlet].way == TD_RUN_IN ? 1 : 0);
      g_assert_cmpuint (shuts, ==, sheet->outlets[outlet].way == TD_RUN_STATIC ? 1 : 0);
    }
}

static guint
count (const TdScene *scene, TdItemKind kind)
{
  guint n = 0;

  for (guint i = 0; i < scene->items->len; i++)
    {
      const TdItem *item = g_ptr_array_index (scene->items, i);
      n += item->kind == kind && item->row >= 0;
    }
  return n;
}

/* 24 lines of four towers in one row on a page; 60 in several rows, never closer than is legible.
 */
static void
test_rows (void)
{
  g_autoptr (TdScene) long_draw = make_scene (scene_case_find ("long-draw"));
  g_autoptr (TdScene) sixty = make_scene (scene_case_find ("sixty"));

  g_assert_cmpuint (long_draw->n_rows, ==, 1);
  g_assert_cmpuint (sixty->n_rows, >, 1);
  g_assert_cmpuint (sixty->n_rows, <=, 4);
  g_assert_cmpfloat (sixty->pitch, >=, TD_SCENE_MIN_PITCH_MM);
  g_assert_cmpuint (count (sixty, TD_ITEM_FAUCET), ==, 60);
}

/* A jumper joins ends of one panel only; what is torn apart by rows or by a bad plan is linked by
 * letters, each on exactly two rings. */
static void
test_links_pair (gconstpointer data)
{
  g_autoptr (TdScene) scene = make_scene (data);
  guint letters[26] = { 0 };

  for (guint i = 0; i < scene->items->len; i++)
    {
      const TdItem *item = g_ptr_array_index (scene->items, i);

      if (item->kind == TD_ITEM_LINK && item->row >= 0)
        letters[item->text[0] - 'A']++;
    }
  for (guint i = 0; i < 26; i++)
    g_assert_true (letters[i] == 0 || letters[i] == 2);
}

static void
test_manifold (void)
{
  g_autoptr (TdScene) scene = make_scene (scene_case_find ("two-towers-work"));

  /* Lines 2 and 4 in one circuit, 6 static off the same bar: one manifold, three stubs, two hoses.
   */
  g_assert_cmpuint (count (scene, TD_ITEM_MANIFOLD), ==, 1);
  g_assert_cmpuint (count (scene, TD_ITEM_JUMPER), ==, 3);
  g_assert_cmpuint (count (scene, TD_ITEM_HOSE), ==, 2);
  g_assert_cmpuint (count (scene, TD_ITEM_CLEANING_PUMP), ==, 1);
  g_assert_cmpuint (count (scene, TD_ITEM_TAG), ==, 3);
}

static const TdItem *
find (const TdScene *scene, TdItemKind kind, int outlet)
{
  for (guint i = 0; i < scene->items->len; i++)
    {
      const TdItem *item = g_ptr_array_index (scene->items, i);

      if (item->kind == kind && item->outlet == outlet && item->row >= 0)
        return item;
    }
  g_assert_not_reached ();
}

static TdHit
hit_middle (const TdScene *scene, const TdItem *item)
{
  return td_scene_hit (scene, item->box.x + item->box.width / 2, item->box.y + item->box.height / 2,
                       2.0);
}

static void
test_hit (void)
{
  g_autoptr (TdScene) scene = make_scene (scene_case_find ("two-towers-work"));
  const TdItem *line = find (scene, TD_ITEM_LINE, 3);
  TdHit hit;

  for (int outlet = 0; outlet < 7; outlet++)
    {
      hit = hit_middle (scene, find (scene, TD_ITEM_FAUCET, outlet));
      g_assert_cmpint (hit.kind, ==, TD_HIT_OUTLET);
      g_assert_cmpint (hit.index, ==, outlet);
      hit = hit_middle (scene, find (scene, TD_ITEM_BEER_PUMP, outlet));
      g_assert_cmpint (hit.kind, ==, TD_HIT_BEER_PUMP);
      g_assert_cmpint (hit.index, ==, outlet);
    }
  hit = hit_middle (scene, find (scene, TD_ITEM_TAG, 5));
  g_assert_cmpint (hit.kind, ==, TD_HIT_TAG);
  g_assert_cmpint (hit.index, ==, 0);
  hit = td_scene_hit (scene, line->points[2].x + 1.5, (line->points[1].y + line->points[2].y) / 2,
                      2.0);
  g_assert_cmpint (hit.kind, ==, TD_HIT_OUTLET);
  g_assert_cmpint (hit.index, ==, 3);
  for (guint i = 0; i < scene->items->len; i++)
    {
      const TdItem *item = g_ptr_array_index (scene->items, i);

      if (item->kind != TD_ITEM_CLEANING_PUMP || item->row < 0)
        continue;
      hit = hit_middle (scene, item);
      g_assert_cmpint (hit.kind, ==, TD_HIT_CLEANING_PUMP);
      g_assert_cmpint (hit.index, ==, 1);
    }
  hit = td_scene_hit (scene, 0.2, 0.2, 0.1);
  g_assert_cmpint (hit.kind, ==, TD_HIT_NOTHING);
}

/* The legend explains what occurs and nothing else. */
static void
test_legend (void)
{
  g_autoptr (TdScene) four = make_scene (scene_case_find ("four"));
  g_autofree char *text = td_scene_to_text (four);

  g_assert_nonnull (strstr (text, "REVERSED: runs in"));
  g_assert_nonnull (strstr (text, "\"FOB\""));
  g_assert_null (strstr (text, "static:"));
  g_assert_null (strstr (text, "lockout tag"));
  g_assert_cmpfloat (four->legend.height, >, 0);
}

static void
add_for_each (const char *name, GTestDataFunc function)
{
  for (guint i = 0; i < n_scene_cases; i++)
    {
      g_autofree char *path = g_strdup_printf ("/scene/%s/%s", name, scene_cases[i].name);

      g_test_add_data_func (path, &scene_cases[i], function);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  add_for_each ("golden", test_golden);
  add_for_each ("nothing-overlaps", test_nothing_overlaps);
  add_for_each ("all-inside", test_all_inside);
  add_for_each ("tells-the-sheet", test_tells_the_sheet);
  add_for_each ("links-pair", test_links_pair);
  g_test_add_func ("/scene/rows", test_rows);
  g_test_add_func ("/scene/manifold", test_manifold);
  g_test_add_func ("/scene/hit", test_hit);
  g_test_add_func ("/scene/legend", test_legend);
  return g_test_run ();
}
