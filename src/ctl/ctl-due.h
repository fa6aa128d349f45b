/* ctl-due.h: what the parts of the command due share. */
#pragma once

#include "ctl-book.h"

G_BEGIN_DECLS

typedef struct
{
  TdCtlBookOptions book;
  char *calendar;
  char *day, *to, *technician, *reason, *person, *out;
  gboolean json, theirs;
} TdCtlDue;

/* Writes what is due as a calendar. @rows: TdDueRow. */
gboolean td_ctl_due_calendar (TdBook *book, const GPtrArray *rows, const char *path, GError **error);
/* The sheet of --technician on --day. */
TdCtlStatus td_ctl_due_day (const TdCtlInfo *info, TdBook *book, const TdCtlDue *options);
/* @words: "miss" or "move", and the site. */
TdCtlStatus td_ctl_due_note (const TdCtlInfo *info, TdBook *book, const TdCtlDue *options, const char *const *words);

G_END_DECLS
