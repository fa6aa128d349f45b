/* document-flow.h: what a document is made of, from top to bottom, before it is cut into pages.
 *
 * A flow is a list of strips as wide as the text: each is drawn whole on one page.  Paragraphs and
 * table rows come apart into strips, so that they can be cut; a strip may ask to stay with the next
 * one, and a table's strips bring their head along onto a new page. */
#pragma once

#include "document-fonts.h"
#include "document-paper.h"

G_BEGIN_DECLS

/* Draws a strip with its upper left corner at (@x, @y); the current source is black. */
typedef void (*TdStripDraw) (cairo_t *cr, double x, double y, double width, gconstpointer data);

typedef struct _TdStrip
{
  double height;
  double space;                /* above; left out at the top of a page */
  gboolean sink;               /* goes down to the lower edge of its page */
  gboolean keep;               /* stays on one page with the next strip, if a page can hold them */
  const struct _TdStrip *head; /* repeated above it at the top of a page; NULL where none */
  TdStripDraw draw;            /* NULL: empty */
  gpointer data;
  GDestroyNotify destroy;
} TdStrip;

typedef struct _TdFlow TdFlow;

TdFlow *td_flow_new (const TdPaper *paper, TdFonts *fonts);
void td_flow_free (TdFlow *flow);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdFlow, td_flow_free)

const TdPaper *td_flow_get_paper (const TdFlow *flow);
TdFonts *td_flow_get_fonts (const TdFlow *flow);
double td_flow_get_width (const TdFlow *flow);

/* Appends a strip as it is; takes @data over. Returns: (transfer none): the strip, to be adjusted
 * until the next call. */
TdStrip *
td_flow_add (TdFlow *flow, double height, TdStripDraw draw, gpointer data, GDestroyNotify destroy);
/* A strip that is no part of the flow itself: a table's head. Takes @data over. */
const TdStrip *td_flow_add_head (TdFlow *flow,
                                 double height,
                                 TdStripDraw draw,
                                 gpointer data,
                                 GDestroyNotify destroy);

/* White space; more of it next to each other adds up; none at the top of a page. */
void td_flow_add_space (TdFlow *flow, double points);
/* The next strip begins a page. */
void td_flow_break_page (TdFlow *flow);

/* A heading with a rule above it; it stays with what follows. @level: 1 or 2. */
void td_flow_add_heading (TdFlow *flow, int level, const char *text);
/* A paragraph; its first two lines stay together, and its last two. */
void td_flow_add_paragraph (TdFlow *flow, const char *text, const TdStyle *style);
/* The same with a sign or number hanging left of it. */
void td_flow_add_item (TdFlow *flow, const char *sign, const char *text, const TdStyle *style);
/* Everything that has been added since @first (a count of strips) stays together, as far as a page
 * can hold it. */
guint td_flow_count (const TdFlow *flow);
void td_flow_keep_from (TdFlow *flow, guint first);

/* The styles of running text. */
extern const TdStyle td_style_text;
extern const TdStyle td_style_small;
extern const TdStyle td_style_strong;

G_END_DECLS
