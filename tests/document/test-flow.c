/* Pages: what stays together, what comes apart, what comes back, and that nothing is lost. */
#include "document-canvas.h"
#include "document-pages.h"
#include "document-table.h"

typedef struct
{
  guint page;
  int id;
  double y;
} Seen;

static GArray *seen; /* what was drawn, in order */
static guint drawing_page;

static void
note (cairo_t *cr, double x, double y, double width, gconstpointer data)
{
  Seen one = { drawing_page, GPOINTER_TO_INT (data), y };

  g_array_append_val (seen, one);
}

static TdFlow *
make_flow (void)
{
  const TdPaper paper = td_paper_get (TD_PAPER_A4);
  g_autoptr (GError) error = NULL;
  g_autoptr (TdFonts) fonts = td_fonts_new ("en", &error);

  g_assert_no_error (error);
  return td_flow_new (&paper, fonts);
}

static TdStrip *
add (TdFlow *flow, double height, int id)
{
  return td_flow_add (flow, height, note, GINT_TO_POINTER (id), NULL);
}

/* Cuts and draws; returns the number of pages. */
static guint
draw_all (TdFlow *flow)
{
  const TdFurniture furniture = { .foot_left = "foot" };
  g_autoptr (GError) error = NULL;
  g_autoptr (TdPages) pages = td_pages_new (flow, &furniture, &error);
  cairo_surface_t *surface = cairo_recording_surface_create (CAIRO_CONTENT_COLOR, NULL);
  cairo_t *cr = cairo_create (surface);
  guint n;

  g_assert_no_error (error);
  n = td_pages_get_count (pages);
  g_clear_pointer (&seen, g_array_unref);
  seen = g_array_new (FALSE, FALSE, sizeof (Seen));
  for (drawing_page = 0; drawing_page < n; drawing_page++)
    td_pages_draw (pages, drawing_page, cr);
  g_assert_cmpint (cairo_status (cr), ==, CAIRO_STATUS_SUCCESS);
  cairo_destroy (cr);
  cairo_surface_destroy (surface);
  return n;
}

static const Seen *
find (int id)
{
  for (guint i = 0; i < seen->len; i++)
    if (g_array_index (seen, Seen, i).id == id)
      return &g_array_index (seen, Seen, i);
  g_assert_not_reached ();
}

/* 100 strips of 50 points: every one drawn once, in order, none over the edge. */
static void
test_fill (void)
{
  const TdPaper paper = td_paper_get (TD_PAPER_A4);
  TdFlow *flow = make_flow ();
  guint per_page = (guint)(td_paper_get_text_height (&paper) / 50.0);

  for (int i = 0; i < 100; i++)
    add (flow, 50, i);
  g_assert_cmpuint (draw_all (flow), ==, (100 + per_page - 1) / per_page);
  g_assert_cmpuint (seen->len, ==, 100);
  for (int i = 0; i < 100; i++)
    {
      const Seen *one = &g_array_index (seen, Seen, i);

      g_assert_cmpint (one->id, ==, i);
      g_assert_cmpfloat (one->y + 50, <=, paper.bottom + 0.1);
      g_assert_cmpfloat (one->y, >=, paper.top - 0.1);
    }
}

static void
test_keep (void)
{
  TdFlow *flow = make_flow ();

  add (flow, 600, 1);
  /* 727 points of text: a heading of 20 would fit, its paragraph of 120 would not. */
  add (flow, 20, 2)->keep = TRUE;
  add (flow, 120, 3);
  g_assert_cmpuint (draw_all (flow), ==, 2);
  g_assert_cmpuint (find (1)->page, ==, 0);
  g_assert_cmpuint (find (2)->page, ==, 1);
  g_assert_cmpuint (find (3)->page, ==, 1);
}

/* What wants to stay together and is higher than a page is cut all the same and loses nothing. */
static void
test_keep_too_much (void)
{
  TdFlow *flow = make_flow ();

  for (int i = 0; i < 40; i++)
    add (flow, 50, i)->keep = TRUE;
  g_assert_cmpuint (draw_all (flow), >, 2);
  g_assert_cmpuint (seen->len, ==, 40);
}

static void
test_space_and_break (void)
{
  const TdPaper paper = td_paper_get (TD_PAPER_A4);
  TdFlow *flow = make_flow ();

  td_flow_add_space (flow, 30);
  add (flow, 10, 1);
  td_flow_add_space (flow, 7);
  td_flow_add_space (flow, 5);
  add (flow, 10, 2);
  td_flow_break_page (flow);
  td_flow_add_space (flow, 30);
  add (flow, 10, 3);
  g_assert_cmpuint (draw_all (flow), ==, 2);
  /* No space at the top of a page; spaces in a row add up. */
  g_assert_cmpfloat_with_epsilon (find (1)->y, paper.top, 0.01);
  g_assert_cmpfloat_with_epsilon (find (2)->y, paper.top + 22, 0.01);
  g_assert_cmpuint (find (3)->page, ==, 1);
  g_assert_cmpfloat_with_epsilon (find (3)->y, paper.top, 0.01);
}

/* A strip that sinks stands at the foot of its page, and of the next one where it does not fit. */
static void
test_sink (void)
{
  const TdPaper paper = td_paper_get (TD_PAPER_A4);
  TdFlow *flow = make_flow ();

  add (flow, 100, 1);
  add (flow, 60, 2)->sink = TRUE;
  td_flow_break_page (flow);
  add (flow, 700, 3);
  add (flow, 60, 4)->sink = TRUE;
  g_assert_cmpuint (draw_all (flow), ==, 3);
  g_assert_cmpfloat_with_epsilon (find (2)->y, paper.bottom - 60, 0.01);
  g_assert_cmpuint (find (2)->page, ==, 0);
  g_assert_cmpuint (find (4)->page, ==, 2);
  g_assert_cmpfloat_with_epsilon (find (4)->y, paper.bottom - 60, 0.01);
}

/* A head comes back on every page that its rows reach, and never without a row. */
static void
test_head (void)
{
  const TdPaper paper = td_paper_get (TD_PAPER_A4);
  TdFlow *flow = make_flow ();
  const TdStrip *head;
  guint pages, heads = 0;

  add (flow, 20, -1)->keep = TRUE;
  head = td_flow_add_head (flow, 20, note, GINT_TO_POINTER (-1), NULL);
  for (int i = 0; i < 60; i++)
    add (flow, 40, i)->head = head;
  pages = draw_all (flow);
  g_assert_cmpuint (pages, >, 2);
  for (guint i = 0; i < seen->len; i++)
    {
      const Seen *one = &g_array_index (seen, Seen, i);

      if (one->id != -1)
        continue;
      heads++;
      g_assert_cmpfloat_with_epsilon (one->y, paper.top, 0.01);
      g_assert_cmpuint (g_array_index (seen, Seen, i + 1).page, ==, one->page);
    }
  g_assert_cmpuint (heads, ==, pages);
  g_assert_cmpuint (seen->len, ==, 60 + pages);
}

static guint
strips_of_table (const char *cell)
{
  const TdColumn columns[] = { { "One", PANGO_ALIGN_LEFT, 0 }, { "Two", PANGO_ALIGN_LEFT, 60 } };
  g_autoptr (TdTable) table = td_table_new (columns, 2, 8);
  g_autoptr (TdFlow) flow = make_flow ();

  td_table_add (table, "x", cell);
  td_flow_add_table (flow, table);
  return td_flow_count (flow);
}

/* A short row is one strip; a row that is too high comes apart into its lines. */
static void
test_table_rows (void)
{
  g_autofree char *word = g_strnfill (2000, 'm');

  g_assert_cmpuint (strips_of_table ("y"), ==, 2);
  g_assert_cmpuint (strips_of_table (word), >, 10);
}

/* An empty table leaves nothing behind, not even its head. */
static void
test_table_empty (void)
{
  const TdColumn columns[] = { { "One", PANGO_ALIGN_LEFT, 0 } };
  g_autoptr (TdTable) table = td_table_new (columns, 1, 8);
  g_autoptr (TdFlow) flow = make_flow ();

  td_flow_add_table (flow, table);
  g_assert_cmpuint (td_flow_count (flow), ==, 0);
}

/* Neither the first nor the last line of a paragraph stands alone. */
static void
test_paragraph (void)
{
  g_autofree char *text = g_strnfill (900, 'i');
  TdFlow *flow = make_flow ();
  guint lines;

  for (guint i = 20; i < 900; i += 20)
    text[i] = ' ';
  add (flow, 700, 1);
  td_flow_add_paragraph (flow, text, &td_style_text);
  lines = td_flow_count (flow) - 1;
  g_assert_cmpuint (lines, >, 3);
  add (flow, 5, 2);
  g_assert_cmpuint (draw_all (flow), ==, 2);
  g_assert_cmpuint (find (2)->page, ==, 1);
}

static void
test_measure (void)
{
  g_autoptr (TdFlow) flow = make_flow ();
  g_autoptr (TdCanvas) canvas = td_canvas_new (flow);
  const TdStyle style = { .size = 10 };
  double one = td_canvas_text (canvas, 0, 0, 100, "one line", &style);
  double several = td_canvas_text (canvas, 0, 0, 30, "one two three four five six", &style);

  g_assert_cmpfloat (one, >, 10.0);
  g_assert_cmpfloat (one, <, 16.0);
  g_assert_cmpfloat (several, >, 3 * one - 0.1);
  g_assert_cmpfloat (td_canvas_text (canvas, 0, 0, 30, NULL, &style), ==, 0.0);
  g_assert_cmpfloat (td_canvas_measure (canvas, "WWWW", &style), >,
                     td_canvas_measure (canvas, "iiii", &style));
}

static void
test_paper (void)
{
  TdPaperKind kind;
  TdPaper paper = td_paper_get (TD_PAPER_LETTER);

  g_assert_true (td_paper_kind_from_text ("Letter", &kind));
  g_assert_cmpint (kind, ==, TD_PAPER_LETTER);
  g_assert_false (td_paper_kind_from_text ("legal", &kind));
  g_assert_cmpfloat (paper.width, ==, 612.0);
  g_assert_cmpfloat (paper.height, ==, 792.0);
  paper = td_paper_get (TD_PAPER_A4);
  /* 210 mm x 297 mm */
  g_assert_cmpfloat_with_epsilon (paper.width / TD_POINTS_PER_MM, 210.0, 0.01);
  g_assert_cmpfloat_with_epsilon (paper.height / TD_POINTS_PER_MM, 297.0, 0.01);
}

int
main (int argc, char **argv)
{
  int result;

  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/flow/fill", test_fill);
  g_test_add_func ("/flow/keep", test_keep);
  g_test_add_func ("/flow/keep-too-much", test_keep_too_much);
  g_test_add_func ("/flow/space-and-break", test_space_and_break);
  g_test_add_func ("/flow/sink", test_sink);
  g_test_add_func ("/flow/head", test_head);
  g_test_add_func ("/flow/table-rows", test_table_rows);
  g_test_add_func ("/flow/table-empty", test_table_empty);
  g_test_add_func ("/flow/paragraph", test_paragraph);
  g_test_add_func ("/flow/measure", test_measure);
  g_test_add_func ("/flow/paper", test_paper);
  result = g_test_run ();
  g_clear_pointer (&seen, g_array_unref);
  return result;
}
