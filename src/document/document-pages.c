#include "document-pages.h"

#include "document-flow-private.h"
#include "document-i18n.h"

/* A strip at its place on a page. */
typedef struct
{
  const TdStrip *strip;
  double y;
} Placed;

struct _TdPages
{
  TdFlow *flow;
  GPtrArray *pages; /* GArray of Placed */
  char *head_left, *head_right, *foot_left, *stamp, *page;
};

typedef struct
{
  TdPages *pages;
  GArray *page; /* the one that is being filled */
  double y;     /* below the last strip */
} Cutter;

static const TdStyle furniture_style = { .size = 7.2, .grey = 0.25 };

static void
begin_page (Cutter *cutter)
{
  cutter->page = g_array_new (FALSE, FALSE, sizeof (Placed));
  g_ptr_array_add (cutter->pages->pages, cutter->page);
  cutter->y = cutter->pages->flow->paper.top;
}

static void
place (Cutter *cutter, const TdStrip *strip)
{
  Placed placed = { strip, cutter->y };

  if (cutter->page->len > 0)
    placed.y += strip->space;
  if (strip->sink)
    placed.y = MAX (placed.y, cutter->pages->flow->paper.bottom - strip->height);
  g_array_append_val (cutter->page, placed);
  cutter->y = placed.y + strip->height;
}

static gboolean
must_break (const TdFlow *flow, guint index)
{
  for (guint i = 0; i < flow->breaks->len; i++)
    if (g_array_index (flow->breaks, guint, i) == index)
      return TRUE;
  return FALSE;
}

/* Height of the strips from @index on that want to stay together. */
static double
chain_height (const TdFlow *flow, guint index)
{
  double height = 0;

  for (guint i = index; i < flow->strips->len; i++)
    {
      const TdStrip *strip = g_ptr_array_index (flow->strips, i);

      height += strip->height + (i > index ? strip->space : 0);
      if (!strip->keep)
        break;
    }
  return height;
}

static void
cut (Cutter *cutter, const TdFlow *flow)
{
  const double bottom = flow->paper.bottom;
  const double room = td_paper_get_text_height (&flow->paper);
  gboolean chained = FALSE;

  begin_page (cutter);
  for (guint i = 0; i < flow->strips->len; i++)
    {
      const TdStrip *strip = g_ptr_array_index (flow->strips, i);
      double need = chained ? strip->height : chain_height (flow, i);

      /* Whoever cannot stay together on any page comes apart where the page ends. */
      if (need > room)
        need = strip->height;
      if (must_break (flow, i) && cutter->page->len > 0)
        begin_page (cutter);
      else if (cutter->page->len > 0 && cutter->y + strip->space + need > bottom + 0.01)
        begin_page (cutter);
      if (cutter->page->len == 0 && strip->head != NULL)
        place (cutter, strip->head);
      place (cutter, strip);
      chained = strip->keep && need >= strip->height && chain_height (flow, i) <= room;
    }
}

TdPages *
td_pages_new (TdFlow *flow, const TdFurniture *furniture, GError **error)
{
  TdPages *pages = g_new0 (TdPages, 1);
  Cutter cutter = { pages, NULL, 0 };

  pages->flow = flow;
  pages->pages = g_ptr_array_new_with_free_func ((GDestroyNotify)g_array_unref);
  pages->head_left = g_strdup (furniture->head_left);
  pages->head_right = g_strdup (furniture->head_right);
  pages->foot_left = g_strdup (furniture->foot_left);
  pages->stamp = g_strdup (furniture->stamp);
  pages->page = g_strdup (furniture->page);
  if (!td_fonts_check (flow->fonts, error))
    {
      td_pages_free (pages);
      return NULL;
    }
  cut (&cutter, flow);
  return pages;
}

void
td_pages_free (TdPages *pages)
{
  td_flow_free (pages->flow);
  g_ptr_array_unref (pages->pages);
  g_free (pages->head_left);
  g_free (pages->head_right);
  g_free (pages->foot_left);
  g_free (pages->stamp);
  g_free (pages->page);
  g_free (pages);
}

const TdPaper *
td_pages_get_paper (const TdPages *pages)
{
  return &pages->flow->paper;
}

guint
td_pages_get_count (const TdPages *pages)
{
  return pages->pages->len;
}

static void
show (const TdPages *pages, cairo_t *cr, const char *text, double y, PangoAlignment align)
{
  const TdPaper *paper = &pages->flow->paper;
  TdStyle style = furniture_style;
  g_autoptr (PangoLayout) layout = NULL;

  if (text == NULL)
    return;
  style.align = align;
  layout = td_fonts_layout (pages->flow->fonts, text, &style, td_paper_get_text_width (paper));
  /* Head and foot have one line; a long name gives way. */
  pango_layout_set_height (layout, -1);
  pango_layout_set_ellipsize (layout, PANGO_ELLIPSIZE_END);
  cairo_set_source_rgb (cr, style.grey, style.grey, style.grey);
  cairo_move_to (cr, paper->left, y);
  pango_cairo_show_layout (cr, layout);
}

/* Large, light and behind the text, so that it disturbs no figure and no photocopy loses it. */
static void
draw_stamp (const TdPages *pages, cairo_t *cr)
{
  const TdPaper *paper = &pages->flow->paper;
  const TdStyle style = { .size = 110, .bold = TRUE };
  g_autoptr (PangoLayout) layout = td_fonts_layout (pages->flow->fonts, pages->stamp, &style, -1);
  double width, height;

  td_layout_get_points (layout, &width, &height);
  cairo_save (cr);
  cairo_translate (cr, paper->width / 2, paper->height / 2);
  cairo_rotate (cr, -G_PI / 4);
  cairo_set_source_rgb (cr, 0.88, 0.88, 0.88);
  cairo_move_to (cr, -width / 2, -height / 2);
  pango_cairo_show_layout (cr, layout);
  cairo_restore (cr);
}

/* The words may come from another language than the program's, so no format is made of them. */
static char *
make_number (const TdPages *pages, guint index)
{
  /* TRANSLATORS: page number and number of pages, at the foot of every page. */
  g_auto (GStrv) parts = g_strsplit (pages->page != NULL ? pages->page : _ ("Page %u of %u"), "%u", 3);

  if (g_strv_length (parts) != 3)
    return g_strdup_printf ("%u/%u", index + 1, pages->pages->len);
  return g_strdup_printf ("%s%u%s%u%s", parts[0], index + 1, parts[1], pages->pages->len, parts[2]);
}

void
td_pages_draw (const TdPages *pages, guint index, cairo_t *cr)
{
  const TdPaper *paper = &pages->flow->paper;
  const GArray *page;
  const double head = paper->top - 20.0, foot = paper->bottom + 14.0;
  g_autofree char *number = NULL;

  g_return_if_fail (index < pages->pages->len);
  page = g_ptr_array_index (pages->pages, index);
  cairo_save (cr);
  if (pages->stamp != NULL)
    draw_stamp (pages, cr);
  if (index > 0)
    {
      show (pages, cr, pages->head_left, head, PANGO_ALIGN_LEFT);
      show (pages, cr, pages->head_right, head, PANGO_ALIGN_RIGHT);
    }
  show (pages, cr, pages->foot_left, foot, PANGO_ALIGN_LEFT);
  number = make_number (pages, index);
  show (pages, cr, number, foot, PANGO_ALIGN_RIGHT);
  for (guint i = 0; i < page->len; i++)
    {
      const Placed *placed = &g_array_index (page, Placed, i);

      if (placed->strip->draw == NULL)
        continue;
      cairo_save (cr);
      cairo_set_source_rgb (cr, 0, 0, 0);
      placed->strip->draw (cr, paper->left, placed->y, td_paper_get_text_width (paper),
                           placed->strip->data);
      cairo_restore (cr);
    }
  cairo_restore (cr);
}
