/* Labels of lockout tags: one for each faucet, folded over the cord or the handle, both sides to be read.
 *
 * What a tag has to tell is 29 CFR 1910.147(c)(5) (a warning such as "do not operate", who applied it) and
 * 1910.145(f) (signal word and message to be read at five feet, which these letters are). */
#include "document-bar-private.h"
#include "document-i18n.h"

#include <math.h>

/* A label opened out, points; two stand beside each other, the fold in the middle of the height. */
#define HALF_HEIGHT 165.0
#define GAP 14.0
#define INSET 10.0
#define BAND 46.0
#define RULE 0.8

static const TdStyle signal_style = { 25, TRUE, 1, PANGO_ALIGN_CENTER };
static const TdStyle message_style = { 13, TRUE, 0, PANGO_ALIGN_CENTER };
static const TdStyle line_style = { 17, TRUE, 0, PANGO_ALIGN_CENTER };
static const TdStyle beer_style = { 10, FALSE, 0, PANGO_ALIGN_CENTER };
static const TdStyle field_style = { 8, FALSE, 0.25, PANGO_ALIGN_LEFT };
static const TdStyle small_style = { 9, FALSE, 0, PANGO_ALIGN_CENTER };

typedef struct
{
  PangoLayout *signal, *message, *line, *beer, *keep; /* front */
  PangoLayout *fields[3];                             /* signature, date, time */
  PangoLayout *danger, *help;                         /* back */
} Label;

/* A strip of two labels; the second may be missing. */
typedef struct
{
  Label labels[2];
  guint n;
  double width; /* of a label */
} Pair;

static void
free_pair (gpointer data)
{
  Pair *pair = data;

  for (guint i = 0; i < pair->n; i++)
    {
      Label *label = &pair->labels[i];

      g_clear_object (&label->signal);
      g_clear_object (&label->message);
      g_clear_object (&label->line);
      g_clear_object (&label->beer);
      g_clear_object (&label->keep);
      for (guint j = 0; j < 3; j++)
        g_clear_object (&label->fields[j]);
      g_clear_object (&label->danger);
      g_clear_object (&label->help);
    }
  g_free (pair);
}

/* Draws a text and returns where the next may begin. */
static double
put_text (cairo_t *cr, PangoLayout *layout, double x, double y)
{
  double height = 0;

  if (layout == NULL)
    return y;
  td_layout_get_points (layout, NULL, &height);
  cairo_move_to (cr, x, y);
  pango_cairo_show_layout (cr, layout);
  return y + height;
}

/* The black band with the signal word, white on black: it stands out in any print. */
static void
draw_band (cairo_t *cr, PangoLayout *signal, double width)
{
  double height = 0;

  td_layout_get_points (signal, NULL, &height);
  cairo_rectangle (cr, 0, 0, width, BAND);
  cairo_set_source_rgb (cr, 0, 0, 0);
  cairo_fill (cr);
  cairo_set_source_rgb (cr, 1, 1, 1);
  put_text (cr, signal, INSET, (BAND - height) / 2);
  cairo_set_source_rgb (cr, 0, 0, 0);
}

static void
draw_front (cairo_t *cr, const Label *label, double width)
{
  const double inner = width - 2 * INSET;
  double y;

  draw_band (cr, label->signal, width);
  y = put_text (cr, label->message, INSET, BAND + 4);
  y = put_text (cr, label->line, INSET, y + 1);
  put_text (cr, label->beer, INSET, y);
  for (guint i = 0; i < 3; i++)
    {
      /* Signature over the whole width, date and time below beside each other. */
      double x = i < 2 ? INSET : INSET + inner * 0.55;
      double to = i == 1 ? INSET + inner * 0.5 : INSET + inner;
      double base = HALF_HEIGHT - (i == 0 ? 42 : 20);

      cairo_set_line_width (cr, RULE);
      cairo_move_to (cr, x, base);
      cairo_line_to (cr, to, base);
      cairo_stroke (cr);
      put_text (cr, label->fields[i], x, base + 1);
    }
}

static void
draw_back (cairo_t *cr, const Label *label, double width)
{
  double y;

  draw_band (cr, label->signal, width);
  y = put_text (cr, label->danger, INSET, BAND + 6);
  y = put_text (cr, label->keep, INSET, y + 6);
  put_text (cr, label->help, INSET, y + 6);
}

static void
draw_label (cairo_t *cr, const Label *label, double width)
{
  static const double dashes[] = { 3, 3 };

  cairo_save (cr);
  /* Upside down: folded over, it stands upright behind. */
  cairo_save (cr);
  cairo_translate (cr, width, HALF_HEIGHT);
  cairo_rotate (cr, G_PI);
  draw_back (cr, label, width);
  cairo_restore (cr);
  cairo_save (cr);
  cairo_translate (cr, 0, HALF_HEIGHT);
  draw_front (cr, label, width);
  cairo_restore (cr);
  cairo_set_line_width (cr, RULE);
  cairo_rectangle (cr, 0, 0, width, 2 * HALF_HEIGHT);
  cairo_stroke (cr);
  /* The fold lies in the black of both bands. */
  cairo_set_source_rgb (cr, 1, 1, 1);
  cairo_set_dash (cr, dashes, G_N_ELEMENTS (dashes), 0);
  cairo_move_to (cr, 0, HALF_HEIGHT);
  cairo_line_to (cr, width, HALF_HEIGHT);
  cairo_stroke (cr);
  cairo_restore (cr);
}

static void
draw_pair (cairo_t *cr, double x, double y, double width, gconstpointer data)
{
  const Pair *pair = data;

  (void) width;
  for (guint i = 0; i < pair->n; i++)
    {
      cairo_save (cr);
      cairo_translate (cr, x + i * (pair->width + GAP), y);
      draw_label (cr, &pair->labels[i], pair->width);
      cairo_restore (cr);
    }
}

static char *
make_help (const TdMasters *masters, const TdLanguage *language)
{
  const char *phone = masters != NULL ? masters->emergency_phone : NULL;

  if (phone == NULL)
    phone = masters != NULL ? masters->company_phone : NULL;
  if (phone == NULL)
    return g_strdup (td_language_say (language, N_ ("Swallowed or on the skin: rinse with water and call the "
                                                    "emergency number at once.")));
  return g_strdup_printf ("%s %s", td_language_say (language, N_ ("Swallowed or on the skin: rinse with water and call "
                                                                  "at once:")),
                          phone);
}

static void
fill_label (Label *label, TdFonts *fonts, const TdSite *site, guint outlet, const TdMasters *masters,
            const TdLanguage *language, double width)
{
  static const char *const names[] = { N_ ("Name and signature"), N_ ("Date"), N_ ("Time") };
  const TdLine *line = &site->lines[site->outlets[outlet].line];
  g_autofree char *title = td_outlet_get_title (site, outlet);
  g_autofree char *help = make_help (masters, language);

  label->signal = td_fonts_layout (fonts, td_language_say (language, N_ ("DO NOT POUR")), &signal_style, width);
  label->message
      = td_fonts_layout (fonts, td_language_say (language, N_ ("CLEANING IN PROGRESS")), &message_style, width);
  label->line = td_fonts_layout (fonts, title, &line_style, width);
  if (line->product != NULL)
    label->beer = td_fonts_layout (fonts, line->product, &beer_style, width);
  label->danger = td_fonts_layout (
      fonts, td_language_say (language, N_ ("There is a cleaning chemical in this line. It burns.")), &message_style,
      width);
  label->keep = td_fonts_layout (
      fonts,
      td_language_say (language, N_ ("Only the person who signed takes this tag off, once the line is rinsed and its "
                                     "pH is that of the tap water.")),
      &small_style, width);
  label->help = td_fonts_layout (fonts, help, &small_style, width);
  for (guint i = 0; i < G_N_ELEMENTS (names); i++)
    label->fields[i] = td_fonts_layout (fonts, td_language_say (language, names[i]), &field_style, -1);
}

void
td_bar_paint_labels (TdFlow *flow, const TdSite *site, const TdMasters *masters, const TdLanguage *language)
{
  const double width = (td_flow_get_width (flow) - GAP) / 2;

  for (guint i = 0; i < site->n_outlets; i += 2)
    {
      Pair *pair = g_new0 (Pair, 1);

      pair->width = width;
      for (guint j = i; j < MIN (i + 2, site->n_outlets); j++)
        fill_label (&pair->labels[pair->n++], td_flow_get_fonts (flow), site, j, masters, language,
                    width - 2 * INSET);
      td_flow_add (flow, 2 * HALF_HEIGHT, draw_pair, pair, free_pair)->space = i > 0 ? GAP : 0;
    }
  if (site->n_outlets == 0)
    td_flow_add_paragraph (flow, td_language_say (language, N_ ("The site has no lines yet.")), &td_style_text);
}
