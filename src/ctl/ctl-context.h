/* ctl-context.h: what every command of tundishctl gets, and how it ends. */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

/* How a command ends; the numbers are a contract. */
typedef enum
{
  TD_CTL_DONE = 0,
  TD_CTL_REFUSED = 1,  /* refused or found wanting; the reason is on stderr */
  TD_CTL_WRONG_USE = 2 /* the words of the call are off */
} TdCtlStatus;

typedef struct
{
  const char *command; /* its name, for messages */
  const char *usage;   /* "VISIT -o FILE.pdf | --json", after the name */
  const char *summary; /* one line */
  const char *details; /* (nullable): more, for --help */
} TdCtlInfo;

typedef TdCtlStatus (*TdCtlRun) (const TdCtlInfo *info, int argc, char **argv);

typedef struct
{
  TdCtlInfo info;
  TdCtlRun run;
} TdCtlCommand;

/* Reads the options of one command out of @argv (whose first word is the command's name). Prints its help
 * for --help. @entries: ends with an empty row; @minimum and @maximum: of the words that are left
 * (@maximum G_MAXINT for any number). Returns TRUE with the words in @words_out (transfer full,
 * NULL-terminated), or FALSE with the status to end with in @status_out. */
gboolean td_ctl_parse (const TdCtlInfo *info, const GOptionEntry *entries, int argc, char **argv,
                       int minimum, int maximum, char ***words_out, TdCtlStatus *status_out);

/* Prints "tundishctl COMMAND: MESSAGE" on stderr. @error is freed.
 * Returns what the command is to return: TD_CTL_WRONG_USE for a G_OPTION_ERROR, else TD_CTL_REFUSED. */
TdCtlStatus td_ctl_refuse (const TdCtlInfo *info, GError *error);
/* The same for wrong use, with a hint to --help; returns TD_CTL_WRONG_USE. */
TdCtlStatus td_ctl_misuse (const TdCtlInfo *info, const char *format, ...) G_GNUC_PRINTF (2, 3);

/* Reads a decimal number with a point, whatever the locale. FALSE where @text is not one, whole. */
gboolean td_ctl_read_number (const char *text, double *value_out);
/* The whole of a file, or of standard input for "-". */
gboolean td_ctl_read_file (const char *path, char **text_out, gsize *length_out, GError **error);
/* TRUE for "-", which stands for standard output wherever a file is to be written. */
gboolean td_ctl_is_stdout (const char *path);
/* Writes to standard output and checks that it went out. */
gboolean td_ctl_print (const char *text, gsize length, GError **error);

G_END_DECLS
