/* Network solves per second of the processor, file by file: a machine that does other things as well does
 * not count.  usage: bench-network FILE.network.json... */
#include "core-network-read.h"

#include <time.h>

/* Solves in batches for this long a file. */
#define SECONDS 1.0
#define BATCH 200

static double
time_file (const char *path, guint *tubes_out, guint *steps_out)
{
  g_autofree char *text = NULL;
  g_autoptr (GError) error = NULL;
  g_autoptr (TdNetwork) network = NULL;
  clock_t start, now;
  guint solves = 0;

  if (!g_file_get_contents (path, &text, NULL, &error)
      || (network = td_network_parse (text, -1, &error)) == NULL)
    g_error ("%s: %s", path, error->message);
  *tubes_out = td_network_get_n_tubes (network);
  start = clock ();
  do
    {
      for (guint i = 0; i < BATCH; i++)
        {
          g_autoptr (TdNetworkAnswer) answer = td_network_solve (network, &error);

          g_assert_no_error (error);
          *steps_out = answer->iterations;
        }
      solves += BATCH;
      now = clock ();
    }
  while (now - start < SECONDS * CLOCKS_PER_SEC);

  return solves * (double)CLOCKS_PER_SEC / (double)(now - start);
}

int
main (int argc, char **argv)
{
  double seconds = 0;

  for (int i = 1; i < argc; i++)
    {
      g_autofree char *name = g_path_get_basename (argv[i]);
      guint tubes, steps = 0;
      double rate = time_file (argv[i], &tubes, &steps);

      seconds += 1 / rate;
      g_print ("%-36s %2u tubes %2u steps %9.0f solves/s\n", name, tubes, steps, rate);
    }
  g_print ("tundish: %.0f solves/s over all files\n", (argc - 1) / seconds);

  return 0;
}
