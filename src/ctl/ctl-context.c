#include "ctl-context.h"

#include <errno.h>
#include <gio/gio.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

static gboolean
count_words (const TdCtlInfo *info, char **words, int minimum, int maximum)
{
  int n = (int) g_strv_length (words);

  if (n < minimum)
    {
      /* What a usage asks for stands first in it, in order. */
      g_auto (GStrv) wanted = g_strsplit (info->usage, " ", -1);

      td_ctl_misuse (info, "%s is missing", wanted[n]);
    }
  else if (n > maximum)
    td_ctl_misuse (info, "'%s' is one word too many", words[maximum]);
  return n >= minimum && n <= maximum;
}

/* Stands before a word that is a negative number while options are read: "-5" is no option of ours. */
#define NUMBER_MARK '\x01'

static gboolean
is_negative_number (const char *word)
{
  return word[0] == '-' && (g_ascii_isdigit (word[1]) || (word[1] == '.' && g_ascii_isdigit (word[2])));
}

/* A copy of the words of the call in which a negative number that stands by itself is marked; what follows
 * an option may be its value and is left alone. */
static char **
copy_words (int argc, char **argv)
{
  char **copy = g_new0 (char *, (gsize) argc + 1);

  for (int i = 0; i < argc; i++)
    if (i > 0 && is_negative_number (argv[i]) && (argv[i - 1][0] != '-' || is_negative_number (argv[i - 1])))
      copy[i] = g_strdup_printf ("%c%s", NUMBER_MARK, argv[i]);
    else
      copy[i] = g_strdup (argv[i]);
  return copy;
}

static void
unmark_words (char **words)
{
  for (; *words != NULL; words++)
    if (**words == NUMBER_MARK)
      memmove (*words, *words + 1, strlen (*words));
}

gboolean
td_ctl_parse (const TdCtlInfo *info, const GOptionEntry *entries, int argc, char **argv, int minimum,
              int maximum, char ***words_out, TdCtlStatus *status_out)
{
  g_autoptr (GOptionContext) context = NULL;
  g_autoptr (GError) error = NULL;
  g_auto (GStrv) words = NULL;
  gboolean help = FALSE;
  const GOptionEntry standard[] = {
    { "help", 'h', 0, G_OPTION_ARG_NONE, &help, "Show this help", NULL },
    { G_OPTION_REMAINING, 0, 0, G_OPTION_ARG_FILENAME_ARRAY, &words, NULL, NULL },
    { NULL }
  };
  g_auto (GStrv) copy = copy_words (argc, argv);

  context = g_option_context_new (info->usage);
  g_option_context_set_help_enabled (context, FALSE);
  g_option_context_set_summary (context, info->summary);
  g_option_context_set_description (context, info->details);
  g_option_context_add_main_entries (context, entries, NULL);
  g_option_context_add_main_entries (context, standard, NULL);
  *status_out = TD_CTL_WRONG_USE;
  if (!g_option_context_parse_strv (context, &copy, &error))
    {
      td_ctl_misuse (info, "%s", error->message);
      return FALSE;
    }
  if (help)
    {
      g_autofree char *name = g_strdup_printf ("tundishctl %s", info->command);
      g_autofree char *text = NULL;

      g_set_prgname (name);
      text = g_option_context_get_help (context, TRUE, NULL);
      *status_out = td_ctl_print (text, strlen (text), NULL) ? TD_CTL_DONE : TD_CTL_REFUSED;
      return FALSE;
    }
  if (words == NULL)
    words = g_new0 (char *, 1);
  unmark_words (words);
  if (!count_words (info, words, minimum, maximum))
    return FALSE;
  *words_out = g_steal_pointer (&words);
  return TRUE;
}

TdCtlStatus
td_ctl_refuse (const TdCtlInfo *info, GError *error)
{
  gboolean wrong_use = error != NULL && error->domain == G_OPTION_ERROR;

  fprintf (stderr, "tundishctl %s: %s\n", info->command, error != NULL ? error->message : "failed");
  g_clear_error (&error);
  return wrong_use ? TD_CTL_WRONG_USE : TD_CTL_REFUSED;
}

TdCtlStatus
td_ctl_misuse (const TdCtlInfo *info, const char *format, ...)
{
  g_autofree char *message = NULL;
  va_list arguments;

  va_start (arguments, format);
  message = g_strdup_vprintf (format, arguments);
  va_end (arguments);
  fprintf (stderr, "tundishctl %s: %s\nUsage: tundishctl %s %s\n", info->command, message, info->command,
           info->usage);
  return TD_CTL_WRONG_USE;
}

gboolean
td_ctl_read_number (const char *text, double *value_out)
{
  char *end = NULL;
  double value;

  if (text == NULL || *text == '\0' || strspn (text, "+-.0123456789eE") != strlen (text))
    return FALSE;
  errno = 0;
  value = g_ascii_strtod (text, &end);
  if (*end != '\0' || errno == ERANGE || value != value || value > G_MAXDOUBLE || value < -G_MAXDOUBLE)
    return FALSE;
  *value_out = value;
  return TRUE;
}

gboolean
td_ctl_read_file (const char *path, char **text_out, gsize *length_out, GError **error)
{
  g_autoptr (GString) all = NULL;
  char buffer[65536];
  gssize n;

  if (strcmp (path, "-") != 0)
    return g_file_get_contents (path, text_out, length_out, error);
  all = g_string_new (NULL);
  while ((n = read (STDIN_FILENO, buffer, sizeof buffer)) > 0)
    g_string_append_len (all, buffer, n);
  if (n < 0)
    {
      g_set_error (error, G_IO_ERROR, g_io_error_from_errno (errno), "Standard input could not be read: %s",
                   g_strerror (errno));
      return FALSE;
    }
  *length_out = all->len;
  *text_out = g_string_free (g_steal_pointer (&all), FALSE);
  return TRUE;
}

gboolean
td_ctl_is_stdout (const char *path)
{
  return path != NULL && strcmp (path, "-") == 0;
}

gboolean
td_ctl_print (const char *text, gsize length, GError **error)
{
  if (fwrite (text, 1, length, stdout) == length && fflush (stdout) == 0)
    return TRUE;
  g_set_error (error, G_IO_ERROR, g_io_error_from_errno (errno), "Standard output could not be written: %s",
               g_strerror (errno));
  return FALSE;
}
