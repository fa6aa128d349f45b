#include "draw-layout.h"

#include "draw-i18n.h"
#include "draw-order.h"

#include <math.h>

/* A panel grows to hold its name up to this width; a longer name is wrapped or shortened. */
#define NAME_MAX_MM 30.0
#define NAME_SIZE_MM 2.6

double
td_text_estimate_mm (const char *text, double size_mm)
{
  double em = 0;

  /* Averages of DejaVu Sans, measured on English text; wide scripts take the whole em. */
  for (const char *c = text; *c != '\0'; c = g_utf8_next_char (c))
    {
      gunichar u;

      /* Most names are ASCII, and layouts ask this thousands of times. */
      if ((guchar) *c < 0x80)
        {
          em += g_ascii_isupper (*c) ? 0.72 : g_ascii_isspace (*c) ? 0.33 : 0.61;
          continue;
        }
      u = g_utf8_get_char (c);
      em += g_unichar_iswide (u)    ? 1.0
            : g_unichar_isupper (u) ? 0.72
            : g_unichar_isspace (u) ? 0.33
                                    : 0.61;
    }
  return em * size_mm;
}

static void
panel_clear (gpointer data)
{
  g_free (((TdPanel *)data)->outlets);
}

void
td_layout_free (TdLayout *layout)
{
  g_free (layout->slots);
  g_array_unref (layout->towers);
  g_array_unref (layout->coolers);
  g_free (layout);
}

static double
panel_width (const char *name, guint n, double pitch)
{
  double room = td_text_estimate_mm (name, NAME_SIZE_MM) + 3.0;

  return MAX (n * pitch + 2 * TD_LAYOUT_PAD, MIN (room, NAME_MAX_MM));
}

/* Width that the towers @from to @to - 1 of the layout take side by side. */
static double
row_width (const TdLayout *layout, guint from, guint to, double pitch)
{
  const TdSite *site = layout->sheet->site;
  g_autofree guint *kegs = g_new0 (guint, MAX (site->n_coolers, 1));
  double above = -TD_LAYOUT_GAP, below = -TD_LAYOUT_GAP;

  for (guint i = from; i < to; i++)
    {
      const TdPanel *panel = &g_array_index (layout->towers, TdPanel, i);

      above
          += panel_width (site->towers[panel->place].name, panel->n_outlets, pitch) + TD_LAYOUT_GAP;
      for (guint j = 0; j < panel->n_outlets; j++)
        if (site->outlets[panel->outlets[j]].side < 0)
          kegs[site->outlets[panel->outlets[j]].cooler]++;
    }
  for (guint i = 0; i < site->n_coolers; i++)
    if (kegs[i] > 0)
      below += panel_width (site->coolers[i].name, kegs[i], pitch) + TD_LAYOUT_GAP;
  return MAX (above, below);
}

static void
add_tower_part (TdLayout *layout, guint tower, const guint *outlets, guint n, gboolean continued)
{
  TdPanel panel = { .place = tower, .continued = continued, .n_outlets = n };

  panel.outlets = g_memdup2 (outlets, n * sizeof *outlets);
  g_array_append_val (layout->towers, panel);
}

/* Towers in order; one that no row can hold is cut into parts as even as can be. */
static void
cut_towers (TdLayout *layout, const guint *order)
{
  const TdSite *site = layout->sheet->site;
  guint capacity = (guint)((layout->width - 2 * TD_LAYOUT_PAD) / TD_SCENE_MIN_PITCH_MM);

  capacity = MAX (capacity, 1);
  for (guint i = 0; i < site->n_towers; i++)
    {
      guint n;
      g_autofree guint *outlets = td_order_outlets (site, order[i], &n);
      guint parts = (n + capacity - 1) / capacity, done = 0;

      for (guint part = 0; part < parts; part++)
        {
          guint size = (n - done + (parts - part) - 1) / (parts - part);

          /* An even count keeps pairs of neighbours, which circuits like to join, in one row. */
          if (part + 1 < parts && size % 2 == 1 && size < capacity)
            size++;
          add_tower_part (layout, order[i], outlets + done, size, done > 0);
          done += size;
        }
    }
}

/* Deals the tower parts out to rows in order, as many to a row as fit into @width at the closest
 * pitch. Returns how many rows that takes. */
static guint
deal_rows (TdLayout *layout, double width)
{
  guint first = 0, row = 0;

  for (guint i = 0; i < layout->towers->len; i++)
    {
      if (i > first && row_width (layout, first, i + 1, TD_SCENE_MIN_PITCH_MM) > width)
        {
          first = i;
          row++;
        }
      g_array_index (layout->towers, TdPanel, i).row = row;
    }
  return layout->towers->len > 0 ? row + 1 : 0;
}

/* As few rows as can be, and among those as even as can be. */
static void
choose_rows (TdLayout *layout)
{
  double width = layout->width;

  layout->n_rows = deal_rows (layout, width);
  while (width > 20.0 && deal_rows (layout, width - 2.0) == layout->n_rows)
    width -= 2.0;
  deal_rows (layout, width);
}

static double
room_at (const TdLayout *layout, double pitch)
{
  return pitch >= TD_WORD_PITCH_MM ? layout->width - TD_WORD_ROOM_MM : layout->width;
}

static gboolean
all_rows_fit (const TdLayout *layout, double pitch)
{
  guint first = 0;

  for (guint i = 1; i <= layout->towers->len; i++)
    if (i == layout->towers->len
        || g_array_index (layout->towers, TdPanel, i).row
               != g_array_index (layout->towers, TdPanel, first).row)
      {
        if (row_width (layout, first, i, pitch) > room_at (layout, pitch))
          return FALSE;
        first = i;
      }
  return TRUE;
}

static void
choose_pitch (TdLayout *layout)
{
  double pitch = TD_SCENE_MAX_PITCH_MM;

  while (pitch > TD_SCENE_MIN_PITCH_MM && !all_rows_fit (layout, pitch))
    pitch -= 0.1;
  layout->pitch = MAX (pitch, TD_SCENE_MIN_PITCH_MM);
  layout->room = room_at (layout, layout->pitch);
}

static void
place_towers (TdLayout *layout)
{
  const TdSite *site = layout->sheet->site;
  guint i = 0;

  for (guint row = 0; row < layout->n_rows; row++)
    {
      guint first = i;
      double x = -TD_LAYOUT_GAP;

      for (; i < layout->towers->len && g_array_index (layout->towers, TdPanel, i).row == row; i++)
        {
          TdPanel *panel = &g_array_index (layout->towers, TdPanel, i);

          panel->x = x + TD_LAYOUT_GAP;
          panel->width
              = panel_width (site->towers[panel->place].name, panel->n_outlets, layout->pitch);
          x = panel->x + panel->width;
        }
      for (guint j = first; j < i; j++)
        {
          TdPanel *panel = &g_array_index (layout->towers, TdPanel, j);
          double left;

          panel->x += (layout->room - x) / 2;
          left = panel->x + (panel->width - panel->n_outlets * layout->pitch) / 2;
          for (guint k = 0; k < panel->n_outlets; k++)
            {
              TdSlot *slot = &layout->slots[panel->outlets[k]];

              slot->row = row;
              slot->faucet_x = left + (k + 0.5) * layout->pitch;
              slot->keg_x = NAN;
            }
        }
    }
}

static int
compare_faucets (gconstpointer a, gconstpointer b, gpointer data)
{
  const TdLayout *layout = data;
  double left = layout->slots[*(const guint *)a].faucet_x;
  double right = layout->slots[*(const guint *)b].faucet_x;

  return left < right ? -1 : left > right ? 1 : 0;
}

static void
collect_coolers (TdLayout *layout, const guint *order)
{
  const TdSite *site = layout->sheet->site;
  g_autofree gboolean *seen = g_new0 (gboolean, MAX (site->n_coolers, 1));

  for (guint row = 0; row < layout->n_rows; row++)
    for (guint i = 0; i < site->n_coolers; i++)
      {
        TdPanel panel = { .place = order[i], .row = row, .continued = seen[order[i]] };

        panel.outlets = g_new (guint, MAX (site->n_outlets, 1));
        for (guint j = 0; j < site->n_outlets; j++)
          if (site->outlets[j].side < 0 && site->outlets[j].cooler == order[i]
              && layout->slots[j].row == row)
            panel.outlets[panel.n_outlets++] = j;
        if (panel.n_outlets == 0)
          {
            g_free (panel.outlets);
            continue;
          }
        seen[order[i]] = TRUE;
        g_qsort_with_data (panel.outlets, (int)panel.n_outlets, sizeof *panel.outlets,
                           compare_faucets, layout);
        g_array_append_val (layout->coolers, panel);
      }
}

static double
faucet_x (const TdLayout *layout, const TdPanel *panel, guint index)
{
  return layout->slots[panel->outlets[index]].faucet_x;
}

/* TRUE where every cooler of the row can stand right below its faucets. */
static gboolean
can_hang_straight (const TdLayout *layout, const TdPanel *panels, guint n)
{
  for (guint i = 0; i + 1 < n; i++)
    if (faucet_x (layout, &panels[i], panels[i].n_outlets - 1)
        >= faucet_x (layout, &panels[i + 1], 0))
      return FALSE;
  return TRUE;
}

static void
hang_straight (TdLayout *layout, TdPanel *panels, guint n)
{
  const TdSite *site = layout->sheet->site;
  double edge = 0;

  for (guint i = 0; i < n; i++)
    {
      TdPanel *panel = &panels[i];
      double first = faucet_x (layout, panel, 0),
             last = faucet_x (layout, panel, panel->n_outlets - 1);
      double half = layout->pitch / 2 + TD_LAYOUT_PAD;
      double right = layout->room, left = first - half;
      double want = panel_width (site->coolers[panel->place].name, 0, 0);

      for (guint j = 0; j < panel->n_outlets; j++)
        layout->slots[panel->outlets[j]].keg_x = faucet_x (layout, panel, j);
      if (i + 1 < n)
        right = (last + faucet_x (layout, &panels[i + 1], 0)) / 2 - 0.6;
      panel->x = MAX (edge, left);
      panel->width = MIN (right, last + half) - panel->x;
      if (panel->width < want)
        panel->width = MIN (want, right - panel->x);
      edge = i + 1 < n ? right + 1.2 : right;
    }
}

static int
compare_doubles (gconstpointer a, gconstpointer b)
{
  double left = *(const double *)a, right = *(const double *)b;

  return left < right ? -1 : left > right ? 1 : 0;
}

/* Where the panels @from to @to - 1, pushed together at @offset, want to begin: the median over
 * their kegs, so that most lines stand plumb instead of all of them leaning a little. */
static double
wanted_start (const TdLayout *layout,
              const TdPanel *panels,
              const double *offset,
              guint from,
              guint to)
{
  g_autoptr (GArray) wishes = g_array_new (FALSE, FALSE, sizeof (double));

  for (guint i = from; i < to; i++)
    for (guint j = 0; j < panels[i].n_outlets; j++)
      {
        double left = offset[i] + (panels[i].width - panels[i].n_outlets * layout->pitch) / 2;
        double wish = faucet_x (layout, &panels[i], j) - left - (j + 0.5) * layout->pitch;

        g_array_append_val (wishes, wish);
      }
  g_array_sort (wishes, compare_doubles);
  return g_array_index (wishes, double, wishes->len / 2);
}

/* Panels side by side in order, each as near to its wish as the others let it: those that would
 * overlap are taken together as one (pool adjacent violators). */
static void
push_apart (TdLayout *layout, TdPanel *panels, guint n)
{
  const TdSite *site = layout->sheet->site;
  g_autofree double *wish = g_new (double, n), *offset = g_new (double, n);
  g_autofree guint *start = g_new (guint, n + 1);
  guint blocks = 0;
  double run = 0;

  for (guint i = 0; i < n; i++)
    {
      panels[i].width
          = panel_width (site->coolers[panels[i].place].name, panels[i].n_outlets, layout->pitch);
      offset[i] = run;
      run += panels[i].width + TD_LAYOUT_GAP;
      start[blocks] = i;
      wish[blocks] = wanted_start (layout, panels, offset, i, i + 1);
      for (blocks++; blocks > 1 && wish[blocks - 2] > wish[blocks - 1]; blocks--)
        wish[blocks - 2] = wanted_start (layout, panels, offset, start[blocks - 2], i + 1);
    }
  start[blocks] = n;
  for (guint b = 0; b < blocks; b++)
    for (guint i = start[b]; i < start[b + 1]; i++)
      {
        double highest = layout->room - (run - TD_LAYOUT_GAP);

        panels[i].x = CLAMP (wish[b], 0, MAX (highest, 0)) + offset[i];
      }
}

static void
stand_apart (TdLayout *layout, TdPanel *panels, guint n)
{
  push_apart (layout, panels, n);
  for (guint i = 0; i < n; i++)
    {
      double left = panels[i].x + (panels[i].width - panels[i].n_outlets * layout->pitch) / 2;

      for (guint j = 0; j < panels[i].n_outlets; j++)
        layout->slots[panels[i].outlets[j]].keg_x = left + (j + 0.5) * layout->pitch;
    }
}

static void
place_coolers (TdLayout *layout)
{
  guint i = 0;

  for (guint row = 0; row < layout->n_rows; row++)
    {
      guint first = i;
      TdPanel *panels;

      while (i < layout->coolers->len && g_array_index (layout->coolers, TdPanel, i).row == row)
        i++;
      if (i == first)
        continue;
      panels = &g_array_index (layout->coolers, TdPanel, first);
      if (can_hang_straight (layout, panels, i - first))
        hang_straight (layout, panels, i - first);
      else
        stand_apart (layout, panels, i - first);
    }
}

TdLayout *
td_layout_new (const TdRunSheet *sheet, double width)
{
  TdLayout *layout = g_new0 (TdLayout, 1);
  g_autofree guint *towers = g_new0 (guint, MAX (sheet->site->n_towers, 1));
  g_autofree guint *coolers = g_new0 (guint, MAX (sheet->site->n_coolers, 1));

  g_assert (width > 0);
  layout->sheet = sheet;
  layout->width = width;
  layout->slots = g_new0 (TdSlot, MAX (sheet->site->n_outlets, 1));
  layout->towers = g_array_new (FALSE, TRUE, sizeof (TdPanel));
  layout->coolers = g_array_new (FALSE, TRUE, sizeof (TdPanel));
  g_array_set_clear_func (layout->towers, panel_clear);
  g_array_set_clear_func (layout->coolers, panel_clear);

  td_order_places (sheet->site, towers, coolers);
  cut_towers (layout, towers);
  choose_rows (layout);
  choose_pitch (layout);
  place_towers (layout);
  collect_coolers (layout, coolers);
  place_coolers (layout);
  return layout;
}

char *
td_panel_get_title (const TdLayout *layout, const TdPanel *panel, gboolean top)
{
  const TdSite *site = layout->sheet->site;
  const char *name = top ? site->towers[panel->place].name : site->coolers[panel->place].name;

  /* TRANSLATORS: a tower or cooler of which an earlier row has shown a part. */
  return panel->continued ? g_strdup_printf (_ ("%s (continued)"), name) : g_strdup (name);
}

const TdPanel *
td_layout_find_panel (const TdLayout *layout, guint outlet, gboolean top)
{
  const GArray *panels = top ? layout->towers : layout->coolers;

  for (guint i = 0; i < panels->len; i++)
    {
      const TdPanel *panel = &g_array_index (panels, TdPanel, i);

      for (guint j = 0; j < panel->n_outlets; j++)
        if (panel->outlets[j] == outlet)
          return panel;
    }
  return NULL;
}
