/* ctl-extract.h: the inspector's extract of one site, a form of `audit`. */
#pragma once

#include "ctl-book.h"

#include "core-time.h"
#include "document-paper.h"

G_BEGIN_DECLS

typedef struct
{
  const char *site;  /* id */
  const char *rules; /* code; NULL: as set for the site */
  const char *path;  /* PDF; NULL: none */
  gboolean json;
  TdPaperKind paper;
  TdDate from, to;
} TdCtlExtract;

/* Writes PDF or JSON, or prints what is missing where neither is asked for. */
TdCtlStatus td_ctl_extract (const TdCtlInfo *info, TdBook *book, const TdCtlExtract *extract);

G_END_DECLS
