/* document-paper.h: sheets of paper, in points (1/72 inch). */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

#define TD_POINTS_PER_MM (72.0 / 25.4)

typedef enum
{
  TD_PAPER_A4,    /* ISO 216: 210 mm x 297 mm */
  TD_PAPER_LETTER /* ANSI A: 8.5 in x 11 in */
} TdPaperKind;

typedef struct
{
  TdPaperKind kind;
  double width, height;
  /* Where text goes; head and foot stand outside of it. */
  double left, top, right, bottom;
} TdPaper;

/* A sheet with the margins of all our documents. */
TdPaper td_paper_get (TdPaperKind kind);
/* "a4", "letter"; FALSE for another word. */
gboolean td_paper_kind_from_text (const char *text, TdPaperKind *kind_out);
double td_paper_get_text_width (const TdPaper *paper);
double td_paper_get_text_height (const TdPaper *paper);

G_END_DECLS
