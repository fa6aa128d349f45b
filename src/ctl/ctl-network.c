/* network: the steady flow of a cleaning network. */
#include "ctl-commands.h"

#include "core-json-build.h"
#include "core-network-read.h"

#include <string.h>

TdCtlStatus
td_ctl_network (const TdCtlInfo *info, int argc, char **argv)
{
  gboolean json = FALSE;
  const GOptionEntry entries[] = {
    { "json", 0, 0, G_OPTION_ARG_NONE, &json, "Print JSON (as without it)", NULL },
    { NULL }
  };
  g_auto (GStrv) words = NULL;
  g_autofree char *text = NULL;
  g_autofree char *out = NULL;
  g_autoptr (TdNetwork) network = NULL;
  g_autoptr (TdNetworkAnswer) answer = NULL;
  g_autoptr (TdJson) value = NULL;
  gsize length = 0;
  GError *error = NULL;
  TdCtlStatus status;

  if (!td_ctl_parse (info, entries, argc, argv, 1, 1, &words, &status))
    return status;
  if (!td_ctl_read_file (words[0], &text, &length, &error))
    return td_ctl_refuse (info, error);
  network = td_network_parse (text, (gssize) length, &error);
  answer = network != NULL ? td_network_solve (network, &error) : NULL;
  if (answer == NULL)
    {
      g_prefix_error (&error, "%s: ", words[0]);
      return td_ctl_refuse (info, error);
    }
  value = td_network_answer_to_json (answer);
  out = td_json_to_text (value, TRUE);
  return td_ctl_print (out, strlen (out), &error) ? TD_CTL_DONE : td_ctl_refuse (info, error);
}
