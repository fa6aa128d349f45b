#include "document-table.h"

#define PAD_X 3.0
#define PAD_Y 2.0
/* A row of this many points or more may be cut between lines. */
#define LONG_ROW 90.0

typedef struct
{
  char **cells; /* NULL-terminated by count, not by NULL */
  gboolean bold, marked, group;
} Row;

struct _TdTable
{
  TdColumn *columns;
  guint n_columns;
  double size;
  GPtrArray *rows; /* Row */
};

/* A row or a piece of one, ready to be drawn. */
typedef struct
{
  PangoLayout **layouts; /* one a column, NULL where empty */
  double *x;             /* of each column's text */
  guint n;
  int first, last; /* lines; last < 0: all */
  gboolean head, marked, opens, closes;
  double height;
} Piece;

static void
row_free (gpointer data)
{
  Row *row = data;

  g_strfreev (row->cells);
  g_free (row);
}

TdTable *
td_table_new (const TdColumn *columns, guint n_columns, double size)
{
  TdTable *table = g_new0 (TdTable, 1);

  g_assert (n_columns > 0);
  table->columns = g_memdup2 (columns, n_columns * sizeof *columns);
  for (guint i = 0; i < n_columns; i++)
    table->columns[i].title = g_strdup (columns[i].title);
  table->n_columns = n_columns;
  table->size = size;
  table->rows = g_ptr_array_new_with_free_func (row_free);
  return table;
}

void
td_table_free (TdTable *table)
{
  for (guint i = 0; i < table->n_columns; i++)
    g_free ((char *)table->columns[i].title);
  g_free (table->columns);
  g_ptr_array_unref (table->rows);
  g_free (table);
}

void
td_table_add_row (TdTable *table, const char *const *cells)
{
  Row *row = g_new0 (Row, 1);

  row->cells = g_new0 (char *, table->n_columns + 1);
  for (guint i = 0; i < table->n_columns; i++)
    row->cells[i] = g_strdup (cells[i] != NULL ? cells[i] : "");
  g_ptr_array_add (table->rows, row);
}

void
td_table_add (TdTable *table, ...)
{
  g_autofree const char **cells = g_new0 (const char *, table->n_columns);
  va_list list;

  va_start (list, table);
  for (guint i = 0; i < table->n_columns; i++)
    cells[i] = va_arg (list, const char *);
  va_end (list);
  td_table_add_row (table, cells);
}

static Row *
last_row (const TdTable *table)
{
  g_assert (table->rows->len > 0);
  return g_ptr_array_index (table->rows, table->rows->len - 1);
}

void
td_table_set_bold (TdTable *table)
{
  last_row (table)->bold = TRUE;
}

void
td_table_set_marked (TdTable *table)
{
  last_row (table)->marked = TRUE;
}

void
td_table_add_group (TdTable *table, const char *text)
{
  g_autofree const char **cells = g_new0 (const char *, table->n_columns);

  cells[0] = text;
  td_table_add_row (table, cells);
  last_row (table)->group = TRUE;
  last_row (table)->bold = TRUE;
}

guint
td_table_get_length (const TdTable *table)
{
  return table->rows->len;
}

/* Widths: what a text needs at least (its longest word) and what it would like (one line). */
typedef struct
{
  double least, wish;
} Width;

static double
longest_word (TdFonts *fonts, const char *text, const TdStyle *style, double limit)
{
  g_auto (GStrv) words = g_strsplit_set (text, " \n\t", -1);
  double longest = 0;

  for (guint i = 0; words[i] != NULL; i++)
    {
      g_autoptr (PangoLayout) layout = td_fonts_layout (fonts, words[i], style, -1);
      double width;

      td_layout_get_points (layout, &width, NULL);
      longest = MAX (longest, width);
    }
  /* A word that is longer than this will be broken: no column may starve the others. */
  return MIN (longest, limit);
}

static void
measure_cell (TdFonts *fonts, const char *text, const TdStyle *style, double limit, Width *width)
{
  g_autoptr (PangoLayout) layout = td_fonts_layout (fonts, text, style, -1);
  double wish;

  td_layout_get_points (layout, &wish, NULL);
  width->wish = MAX (width->wish, wish + 0.5);
  width->least = MAX (width->least, longest_word (fonts, text, style, limit) + 0.5);
}

static void
measure (const TdTable *table, TdFonts *fonts, double room, Width *widths)
{
  const TdStyle plain = { .size = table->size }, bold = { .size = table->size, .bold = TRUE };
  const double limit = MAX (room / table->n_columns * 1.15, 28.0);

  for (guint i = 0; i < table->n_columns; i++)
    {
      if (table->columns[i].title != NULL)
        measure_cell (fonts, table->columns[i].title, &bold, limit, &widths[i]);
      /* A title may be broken into lines: it asks for no more than its longest word. */
      widths[i].wish = widths[i].least;
      for (guint j = 0; j < table->rows->len; j++)
        {
          const Row *row = g_ptr_array_index (table->rows, j);

          if (!row->group)
            measure_cell (fonts, row->cells[i], row->bold ? &bold : &plain, limit, &widths[i]);
        }
      if (table->columns[i].whole)
        widths[i].least = widths[i].wish;
      if (table->columns[i].most > 0)
        widths[i].wish = CLAMP (table->columns[i].most, widths[i].least, widths[i].wish);
    }
}

static double
width_at (const Width *widths, guint n, double level)
{
  double sum = 0;

  for (guint i = 0; i < n; i++)
    sum += CLAMP (level, widths[i].least, MAX (widths[i].wish, widths[i].least));
  return sum;
}

/* Every column gets its least; of what is left, those with small wishes get them whole, and those
 * with great ones share the rest evenly (a level up to which all are filled). */
static double *
share_out (const Width *widths, guint n, double room)
{
  double *shares = g_new (double, n);
  double least = width_at (widths, n, 0), low = 0, high = room, spare;

  for (guint step = 0; step < 60; step++)
    {
      double middle = (low + high) / 2;

      if (width_at (widths, n, middle) <= room)
        low = middle;
      else
        high = middle;
    }
  spare = MAX (0, room - width_at (widths, n, low)) / n;
  for (guint i = 0; i < n; i++)
    if (least >= room)
      shares[i] = widths[i].least * room / least;
    else
      shares[i] = CLAMP (low, widths[i].least, MAX (widths[i].wish, widths[i].least)) + spare;
  return shares;
}

static void
piece_free (gpointer data)
{
  Piece *piece = data;

  for (guint i = 0; i < piece->n; i++)
    g_clear_object (&piece->layouts[i]);
  g_free (piece->layouts);
  g_free (piece->x);
  g_free (piece);
}

static void
draw_cell (cairo_t *cr, const Piece *piece, PangoLayout *layout, double x, double y)
{
  PangoLayoutIter *iter = pango_layout_get_iter (layout);
  double top = -1;
  int line = 0;

  do
    {
      PangoRectangle extent;

      pango_layout_iter_get_line_extents (iter, NULL, &extent);
      if (line >= piece->first && (piece->last < 0 || line < piece->last))
        {
          if (top < 0)
            top = (double)extent.y / PANGO_SCALE;
          cairo_move_to (cr, x + (double)extent.x / PANGO_SCALE,
                         y - top + (double)pango_layout_iter_get_baseline (iter) / PANGO_SCALE);
          pango_cairo_show_layout_line (cr, pango_layout_iter_get_line_readonly (iter));
        }
      line++;
    }
  while (pango_layout_iter_next_line (iter));
  pango_layout_iter_free (iter);
}

static void
draw_piece (cairo_t *cr, double x, double y, double width, gconstpointer data)
{
  const Piece *piece = data;

  if (piece->head)
    {
      cairo_set_source_rgb (cr, 0.9, 0.9, 0.9);
      cairo_rectangle (cr, x, y, width, piece->height);
      cairo_fill (cr);
    }
  cairo_set_source_rgb (cr, 0, 0, 0);
  for (guint i = 0; i < piece->n; i++)
    if (piece->layouts[i] != NULL)
      draw_cell (cr, piece, piece->layouts[i], x + piece->x[i], y + (piece->opens ? PAD_Y : 0.0));
  if (piece->marked)
    {
      cairo_rectangle (cr, x - 3.4, y + (piece->opens ? 0.6 : 0.0), 2.4,
                       piece->height - (piece->opens ? 0.6 : 0.0) - (piece->closes ? 0.6 : 0.0));
      cairo_fill (cr);
    }
  if (piece->closes)
    {
      cairo_set_source_rgb (cr, 0.55, 0.55, 0.55);
      cairo_set_line_width (cr, piece->head ? 0.9 : 0.4);
      cairo_move_to (cr, x, y + piece->height);
      cairo_line_to (cr, x + width, y + piece->height);
      cairo_stroke (cr);
    }
}

typedef struct
{
  TdFlow *flow;
  const TdTable *table;
  double *x;
  double *widths; /* of the text in each column */
  const TdStrip *head;
} Setter;

static Piece *
make_piece (const Setter *setter, const char *const *cells, gboolean bold, gboolean group)
{
  const TdTable *table = setter->table;
  Piece *piece = g_new0 (Piece, 1);

  piece->n = table->n_columns;
  piece->layouts = g_new0 (PangoLayout *, piece->n);
  piece->x = g_memdup2 (setter->x, piece->n * sizeof *setter->x);
  piece->last = -1;
  piece->opens = piece->closes = TRUE;
  for (guint i = 0; i < piece->n; i++)
    {
      TdStyle style = { .size = table->size, .bold = bold, .align = table->columns[i].align };
      double width = setter->widths[i], height;

      if (cells[i] == NULL || *cells[i] == '\0')
        continue;
      if (group)
        {
          width = td_flow_get_width (setter->flow) - 2 * PAD_X;
          style.align = PANGO_ALIGN_LEFT;
        }
      piece->layouts[i]
          = td_fonts_layout (td_flow_get_fonts (setter->flow), cells[i], &style, width);
      td_layout_get_points (piece->layouts[i], NULL, &height);
      piece->height = MAX (piece->height, height);
    }
  piece->height += 2 * PAD_Y;
  return piece;
}

static int
count_lines (const Piece *piece)
{
  int lines = 1;

  for (guint i = 0; i < piece->n; i++)
    if (piece->layouts[i] != NULL)
      lines = MAX (lines, pango_layout_get_line_count (piece->layouts[i]));
  return lines;
}

static Piece *
copy_piece (const Piece *piece, int first, int last, double height)
{
  Piece *copy = g_memdup2 (piece, sizeof *piece);

  copy->layouts = g_memdup2 (piece->layouts, piece->n * sizeof *piece->layouts);
  copy->x = g_memdup2 (piece->x, piece->n * sizeof *piece->x);
  for (guint i = 0; i < copy->n; i++)
    if (copy->layouts[i] != NULL)
      g_object_ref (copy->layouts[i]);
  copy->first = first;
  copy->last = last;
  copy->height = height;
  return copy;
}

static TdStrip *
add_piece (const Setter *setter, Piece *piece)
{
  TdStrip *strip = td_flow_add (setter->flow, piece->height, draw_piece, piece, piece_free);

  strip->head = setter->head;
  return strip;
}

/* Height of the @index-th line, the tallest of all cells: scripts differ. */
static double
line_height (const Piece *piece, int index)
{
  double height = 0;

  for (guint i = 0; i < piece->n; i++)
    {
      PangoRectangle extent;

      if (piece->layouts[i] == NULL || index >= pango_layout_get_line_count (piece->layouts[i]))
        continue;
      pango_layout_line_get_extents (pango_layout_get_line_readonly (piece->layouts[i], index),
                                     NULL, &extent);
      height = MAX (height, (double)extent.height / PANGO_SCALE);
    }
  return height;
}

/* A long row comes apart into its lines, of which two stay together at either end. */
static void
add_long_row (const Setter *setter, Piece *piece)
{
  int lines = count_lines (piece);

  for (int i = 0; i < lines; i++)
    {
      gboolean opens = i == 0, closes = i == lines - 1;
      Piece *part = copy_piece (
          piece, i, i + 1, line_height (piece, i) + (opens ? PAD_Y : 0.0) + (closes ? PAD_Y : 0.0));

      part->opens = opens;
      part->closes = closes;
      add_piece (setter, part)->keep = lines > 1 && (i == 0 || i == lines - 2);
    }
  piece_free (piece);
}

static void
add_rows (Setter *setter)
{
  const GPtrArray *rows = setter->table->rows;

  for (guint i = 0; i < rows->len; i++)
    {
      const Row *row = g_ptr_array_index (rows, i);
      Piece *piece = make_piece (setter, (const char *const *)row->cells, row->bold, row->group);

      piece->marked = row->marked;
      if (piece->height >= LONG_ROW)
        add_long_row (setter, piece);
      else
        /* A group's name stays with its first row. */
        add_piece (setter, piece)->keep = row->group;
    }
}

static void
add_head (Setter *setter)
{
  const TdTable *table = setter->table;
  g_autofree const char **titles = g_new0 (const char *, table->n_columns);
  gboolean any = FALSE;
  Piece *piece;

  for (guint i = 0; i < table->n_columns; i++)
    {
      titles[i] = table->columns[i].title;
      any |= titles[i] != NULL;
    }
  if (!any)
    return;
  piece = make_piece (setter, titles, TRUE, FALSE);
  piece->head = TRUE;
  td_flow_add (setter->flow, piece->height, draw_piece, piece, piece_free)->keep = TRUE;
  piece = copy_piece (piece, 0, -1, piece->height);
  setter->head = td_flow_add_head (setter->flow, piece->height, draw_piece, piece, piece_free);
}

void
td_flow_add_table (TdFlow *flow, const TdTable *table)
{
  const guint n = table->n_columns;
  const double room = td_flow_get_width (flow) - 2 * PAD_X * n;
  g_autofree Width *measured = g_new0 (Width, n);
  g_autofree double *shares = NULL, *x = g_new (double, n);
  Setter setter = { .flow = flow, .table = table };
  double at = 0;

  if (table->rows->len == 0)
    return;
  measure (table, td_flow_get_fonts (flow), room, measured);
  shares = share_out (measured, n, room);
  for (guint i = 0; i < n; i++)
    {
      x[i] = at + PAD_X;
      at += shares[i] + 2 * PAD_X;
    }
  setter.x = x;
  setter.widths = shares;
  add_head (&setter);
  add_rows (&setter);
  td_flow_add_space (flow, 5.0);
}
