#include "document-invoice-private.h"

#include "document-i18n.h"

#include "core-money.h"

#include <string.h>

static const TdStyle company_style = { .size = 11.0, .bold = TRUE };
static const TdStyle label_style = { .size = 6.8, .grey = 0.3 };
static const TdStyle value_style = { .size = 8.6 };

char *
td_invoice_amount (gint64 minor, const char *currency)
{
  char *text = td_money_to_text (minor, currency);
  /* The currency follows after a no-break space; columns name it once above. */
  char *space = g_strrstr (text, "\xc2\xa0");

  if (space != NULL)
    *space = '\0';
  return text;
}

static char *
milli (gint64 value)
{
  guint64 rest = value < 0 ? -(guint64)value : (guint64)value;
  g_autoptr (GString) text = g_string_new (value < 0 ? "-" : "");

  g_string_append_printf (text, "%" G_GUINT64_FORMAT, rest / 1000);
  if (rest % 1000 != 0)
    {
      g_string_append_printf (text, ".%03d", (int)(rest % 1000));
      while (text->str[text->len - 1] == '0')
        g_string_truncate (text, text->len - 1);
    }
  return g_string_free (g_steal_pointer (&text), FALSE);
}

char *
td_invoice_percent (gint64 percent_milli)
{
  g_autofree char *figure = milli (percent_milli);

  return g_strdup_printf ("%s\xc2\xa0%%", figure);
}

char *
td_invoice_quantity (gint64 quantity_milli)
{
  return milli (quantity_milli);
}

double
td_invoice_paint_field (TdCanvas *canvas,
                        double x,
                        double y,
                        double width,
                        const char *label,
                        const char *value)
{
  if (value == NULL || *value == '\0')
    return y;
  y += td_canvas_text (canvas, x, y, width, label, &label_style);
  return y + td_canvas_text (canvas, x, y, width, value, &value_style) + 3;
}

static double
paint_seller (TdCanvas *canvas, double width, const TdSeller *seller)
{
  g_autofree char *phone = NULL, *tax_id = NULL;
  double y = 0;

  y += td_canvas_text (canvas, 0, y, width,
                       seller->name != NULL ? seller->name : _ ("(the company has not been named)"),
                       &company_style);
  y += td_canvas_text (canvas, 0, y + 1, width, seller->address, &label_style);
  if (seller->phone != NULL)
    phone = g_strdup_printf (_ ("Telephone %s"), seller->phone);
  if (seller->tax_id != NULL)
    tax_id = g_strdup_printf (_ ("Tax number %s"), seller->tax_id);
  y += td_canvas_text (canvas, 0, y + 1, width, phone, &label_style);
  y += td_canvas_text (canvas, 0, y + 1, width, tax_id, &label_style);
  return y + 2;
}

double
td_invoice_paint_letterhead (TdCanvas *canvas,
                             double width,
                             const TdSeller *seller,
                             const char *what,
                             const char *number)
{
  const TdStyle small = { .size = 8.6, .grey = 0.2, .align = PANGO_ALIGN_RIGHT };
  const TdStyle big = { .size = 17.0, .bold = TRUE, .align = PANGO_ALIGN_RIGHT };
  double left = paint_seller (canvas, width * 0.55, seller), right = 0;

  right += td_canvas_text (canvas, width * 0.45, right, width * 0.55, what, &small);
  right += td_canvas_text (canvas, width * 0.45, right, width * 0.55, number, &big);
  left = MAX (left, right) + 4;
  td_canvas_rule (canvas, 0, left, width, left, 1.4, 0);
  return left + 7;
}
