#include "document-paper.h"

/* 16 mm beside the text leave 178 mm on A4, in which the drawing takes 24 lines side by side; above
 * and below there is room for head and foot. */
#define SIDE_MM 16.0
#define TOP_MM 20.0
#define BOTTOM_MM 18.0

TdPaper
td_paper_get (TdPaperKind kind)
{
  TdPaper paper = { .kind = kind };

  g_assert (kind == TD_PAPER_A4 || kind == TD_PAPER_LETTER);
  /* Rounded as PDF writers everywhere do. */
  paper.width = kind == TD_PAPER_A4 ? 595.28 : 612.0;
  paper.height = kind == TD_PAPER_A4 ? 841.89 : 792.0;
  paper.left = SIDE_MM * TD_POINTS_PER_MM;
  paper.right = paper.width - paper.left;
  paper.top = TOP_MM * TD_POINTS_PER_MM;
  paper.bottom = paper.height - BOTTOM_MM * TD_POINTS_PER_MM;
  return paper;
}

gboolean
td_paper_kind_from_text (const char *text, TdPaperKind *kind_out)
{
  if (g_ascii_strcasecmp (text, "a4") == 0)
    *kind_out = TD_PAPER_A4;
  else if (g_ascii_strcasecmp (text, "letter") == 0)
    *kind_out = TD_PAPER_LETTER;
  else
    return FALSE;
  return TRUE;
}

double
td_paper_get_text_width (const TdPaper *paper)
{
  return paper->right - paper->left;
}

double
td_paper_get_text_height (const TdPaper *paper)
{
  return paper->bottom - paper->top;
}
