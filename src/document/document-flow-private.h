/* document-flow-private.h: the inside of a flow, for the module that cuts it into pages. */
#pragma once

#include "document-flow.h"

G_BEGIN_DECLS

struct _TdFlow
{
  TdPaper paper;
  TdFonts *fonts;
  GPtrArray *strips; /* TdStrip */
  GPtrArray *heads;  /* TdStrip */
  GArray *breaks;    /* guint: strips that begin a page */
  double space;      /* above the next strip */
};

G_END_DECLS
