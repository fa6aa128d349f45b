#include "planner-bench.h"

#include <glib/gstdio.h>
#include <math.h>
#include <sys/resource.h>
#include <unistd.h>

gboolean
bench_has_glpsol (void)
{
  g_autofree char *path = g_find_program_in_path ("glpsol");
  return path != NULL;
}

gint64
bench_get_cpu_us (gboolean children)
{
  struct rusage usage;
  getrusage (children ? RUSAGE_CHILDREN : RUSAGE_SELF, &usage);
  return (gint64)(usage.ru_utime.tv_sec + usage.ru_stime.tv_sec) * 1000000
         + usage.ru_utime.tv_usec + usage.ru_stime.tv_usec;
}

static void
write_set (GString *data, const char *name, const TdPlace *places, guint n)
{
  g_string_append_printf (data, "set %s :=", name);
  for (guint i = 0; i < n; i++)
    g_string_append_printf (data, " '%s'", places[i].id);
  g_string_append (data, ";\n");
}

static char *
write_data (const TdSite *site, gint64 capacity_um)
{
  GString *data = g_string_new ("data;\nset LINES :=");
  for (guint i = 0; i < site->n_lines; i++)
    g_string_append_printf (data, " '%s'", site->lines[i].id);
  g_string_append (data, ";\n");
  write_set (data, "TOWERS", site->towers, site->n_towers);
  write_set (data, "COOLERS", site->coolers, site->n_coolers);
  g_string_append_printf (data, "param capacity := %" G_GINT64_FORMAT ";\n", capacity_um);
  g_string_append (data, "param: tower cooler loss may_run_in lever :=\n");
  for (guint i = 0; i < site->n_lines; i++)
    {
      const TdLine *line = &site->lines[i];
      gboolean one_way = line->check_valve || line->beer_pump == TD_BEER_PUMP_ONE_WAY;
      g_string_append_printf (data, "'%s' '%s' '%s' %" G_GINT64_FORMAT " %d %d\n", line->id,
                              site->towers[line->tower].id, site->coolers[line->cooler].id,
                              (gint64)llround (line->head_loss_m * 1e6), one_way ? 0 : 1,
                              line->beer_pump == TD_BEER_PUMP_REVERSIBLE ? 1 : 0);
    }
  g_string_append (data, ";\nend;\n");
  return g_string_free (data, FALSE);
}

void
bench_run_glpsol (const TdSite *site, gint64 capacity_um, BenchOptimum *optimum_out)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *model = g_test_build_filename (G_TEST_DIST, "planner", "circuits.mod", NULL);
  g_autofree char *text = write_data (site, capacity_um);
  g_autofree char *path = NULL, *output = NULL;
  int status = 0, file = g_file_open_tmp ("circuits-XXXXXX.dat", &path, &error);
  g_assert_no_error (error);
  close (file);
  g_file_set_contents (path, text, -1, &error);
  g_assert_no_error (error);

  char *arguments[] = { (char *)"glpsol", (char *)"-m", model, (char *)"-d", path, NULL };
  gint64 begun_us = bench_get_cpu_us (TRUE);
  g_spawn_sync (NULL, arguments, NULL, G_SPAWN_SEARCH_PATH, NULL, NULL, &output, NULL, &status, &error);
  optimum_out->took_us = MAX (bench_get_cpu_us (TRUE) - begun_us, 1);
  g_assert_no_error (error);
  g_unlink (path);
  /* All lines held static already in the relaxation is an optimum, too. */
  g_assert_true (g_strstr_len (output, -1, "INTEGER OPTIMAL SOLUTION FOUND") != NULL);
  const char *answer = g_strrstr (output, "static ");
  g_assert_nonnull (answer);
  g_assert_cmpint (sscanf (answer, "static %u circuits %u reversals %u", &optimum_out->statics,
                           &optimum_out->circuits, &optimum_out->reversals),
                   ==, 3);
}
