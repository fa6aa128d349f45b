/* core-drafting-price.c: what one visit costs by one agreement. */
#include "core-drafting-private.h"

#include "core-error.h"
#include "core-money.h"

#include <string.h>

#define ONE 1000 /* thousandths */

/* What is being priced. */
typedef struct
{
  GArray *charges;
  const TdAgreement *agreement;
  const TdWork *work;
  guint free;     /* items that cost nothing in this visit */
  guint services; /* index of the first charge of this visit */
} Pricing;

static void
clear_charge (gpointer data)
{
  td_invoice_line_clear (&((TdCharge *) data)->line);
}

GArray *
td_charges_new (void)
{
  GArray *charges = g_array_new (FALSE, TRUE, sizeof (TdCharge));

  g_array_set_clear_func (charges, clear_charge);
  return charges;
}

static gboolean
append (GArray *charges, const TdCharge *charge, GError **error)
{
  TdCharge copy = *charge;

  g_assert (copy.line.unit_price_minor >= 0);
  if (!td_money_scale (copy.line.unit_price_minor, copy.line.quantity_milli, ONE, &copy.line.net_minor, error))
    {
      td_invoice_line_clear (&copy.line);
      return FALSE;
    }
  g_array_append_val (charges, copy);
  return TRUE;
}

gboolean
td_charges_add (GArray *charges, const TdAgreement *agreement, const TdItemAsked *asked, TdDate date, char *text,
                gint64 quantity_milli, const char *unit, gint64 unit_price_minor, GError **error)
{
  TdCharge charge = { 0 };
  const TdTaxRule *tax;

  g_return_val_if_fail (charges != NULL && agreement != NULL && asked != NULL && text != NULL, FALSE);
  charge.payer = td_agreement_find_payer (agreement, asked);
  tax = td_agreement_find_tax (agreement, asked, charge.payer);
  charge.line.item = asked->item;
  charge.line.text = text;
  charge.line.quantity_milli = quantity_milli;
  charge.line.unit = unit;
  charge.line.unit_price_minor = unit_price_minor;
  charge.line.category = tax->category;
  charge.line.percent_milli = tax->percent_milli;
  charge.line.tax_text = g_strdup (tax->text);
  charge.line.line = g_strdup (asked->line);
  charge.line.date = date;
  charge.line.of = -1;
  return append (charges, &charge, error);
}

static TdItemAsked
ask (const Pricing *pricing, TdItem item)
{
  TdItemAsked asked = { item, pricing->work->site_id, NULL, -1, -1, pricing->work->kind };

  return asked;
}

static gboolean
is_charged (const Pricing *pricing, TdItem item)
{
  return (pricing->free & TD_ITEM_BIT (item)) == 0;
}

/* One of an item for the whole visit, where it costs anything. */
static gboolean
add_one (Pricing *pricing, TdItem item, const char *text, gint64 minor, GError **error)
{
  TdItemAsked asked = ask (pricing, item);

  if (minor == 0 || !is_charged (pricing, item))
    return TRUE;
  return td_charges_add (pricing->charges, pricing->agreement, &asked, pricing->work->date, g_strdup (text), ONE,
                         TD_UNIT_ONE, minor, error);
}

static gboolean
add_towers (Pricing *pricing, GError **error)
{
  g_autoptr (GHashTable) seen = g_hash_table_new (g_str_hash, g_str_equal);

  for (guint i = 0; i < pricing->work->lines->len; i++)
    {
      const TdWorkLine *line = &g_array_index (pricing->work->lines, TdWorkLine, i);
      g_autofree char *text = g_strdup_printf ("Tower: %s", line->tower_name != NULL ? line->tower_name : line->tower);

      if (g_hash_table_add (seen, line->tower)
          && !add_one (pricing, TD_ITEM_TOWER, text, pricing->agreement->tower_minor, error))
        return FALSE;
    }
  return TRUE;
}

static gboolean
add_lines (Pricing *pricing, GError **error)
{
  const TdWork *work = pricing->work;

  /* An agreement without prices of lines does not speak of lines. */
  if (pricing->agreement->lines->len == 0 || !is_charged (pricing, TD_ITEM_LINE))
    return TRUE;
  for (guint i = 0; i < work->lines->len; i++)
    {
      const TdWorkLine *line = &g_array_index (work->lines, TdWorkLine, i);
      TdItemAsked asked = ask (pricing, TD_ITEM_LINE);
      const char *method = td_method_to_text (line->method);

      asked.line = line->id;
      asked.clean = (int) line->clean;
      asked.method = (int) line->method;
      if (!td_charges_add (pricing->charges, pricing->agreement, &asked, work->date,
                           g_strdup_printf ("Line %s: %s clean, %s", line->title, td_clean_to_text (line->clean),
                                            method),
                           ONE, TD_UNIT_ONE, td_agreement_get_line_price (pricing->agreement, &asked), error))
        return FALSE;
    }
  return TRUE;
}

static gboolean
add_minutes (Pricing *pricing, GError **error)
{
  const TdAgreement *agreement = pricing->agreement;
  gint64 beyond = pricing->work->minutes - agreement->included_minutes;
  TdItemAsked asked = ask (pricing, TD_ITEM_MINUTES);

  if (agreement->minute_minor == 0 || beyond <= 0 || !is_charged (pricing, TD_ITEM_MINUTES))
    return TRUE;
  return td_charges_add (pricing->charges, agreement, &asked, pricing->work->date,
                         g_strdup_printf ("Minutes beyond the %" G_GINT64_FORMAT " included", agreement->included_minutes),
                         beyond * ONE, TD_UNIT_MINUTE, agreement->minute_minor, error);
}

static gboolean
same_part (const TdCharge *a, const TdCharge *b)
{
  return a->payer == b->payer && a->line.category == b->line.category
         && a->line.percent_milli == b->line.percent_milli && g_strcmp0 (a->line.tax_text, b->line.tax_text) == 0;
}

/* "Discount, 12.5 % of the services": with a point in every locale. */
static char *
describe_percentage (const char *what, gint64 percent_milli)
{
  g_autoptr (GString) text = g_string_new (NULL);

  g_string_append_printf (text, "%s, %" G_GINT64_FORMAT, what, percent_milli / 1000);
  if (percent_milli % 1000 != 0)
    {
      g_string_append_printf (text, ".%03d", (int) (percent_milli % 1000));
      while (text->str[text->len - 1] == '0')
        g_string_truncate (text, text->len - 1);
    }
  g_string_append (text, " % of the services");
  return g_string_free (g_steal_pointer (&text), FALSE);
}

/* A percentage of everything so far of this visit, by payer and tax. @sign: 1 adds, -1 takes off. */
static gboolean
add_percentage (Pricing *pricing, TdItem item, const char *what, gint64 percent_milli, int sign, GError **error)
{
  GArray *charges = pricing->charges;
  guint n = charges->len;

  for (guint i = pricing->services; percent_milli > 0 && i < n; i++)
    {
      TdCharge charge = g_array_index (charges, TdCharge, i);
      gint64 base = 0;
      gboolean first = TRUE;

      for (guint k = pricing->services; k < n; k++)
        {
          const TdCharge *other = &g_array_index (charges, TdCharge, k);

          if (!same_part (other, &charge))
            continue;
          first = first && k >= i;
          if (!td_money_add (&base, other->line.net_minor, error))
            return FALSE;
        }
      if (!first || base == 0)
        continue;
      if (!td_money_get_percent (base, percent_milli, &charge.line.unit_price_minor, error))
        return FALSE;
      charge.line.item = item;
      charge.line.quantity_milli = sign * ONE;
      charge.line.unit = TD_UNIT_ONE;
      charge.line.text = describe_percentage (what, percent_milli);
      charge.line.tax_text = g_strdup (charge.line.tax_text);
      charge.line.line = NULL;
      if (!append (charges, &charge, error))
        return FALSE;
    }
  return TRUE;
}

static gboolean
add_minimum (Pricing *pricing, GError **error)
{
  gint64 sum = 0;

  /* What is partly free has no minimum: it would charge what was just given. */
  if (pricing->agreement->minimum_minor == 0 || (pricing->free & (TD_ITEMS_SERVICE | TD_ITEM_BIT (TD_ITEM_MINIMUM))))
    return TRUE;
  for (guint i = pricing->services; i < pricing->charges->len; i++)
    if (!td_money_add (&sum, g_array_index (pricing->charges, TdCharge, i).line.net_minor, error))
      return FALSE;
  if (sum >= pricing->agreement->minimum_minor)
    return TRUE;
  return add_one (pricing, TD_ITEM_MINIMUM, "Up to the minimum for a visit", pricing->agreement->minimum_minor - sum,
                  error);
}

static gboolean
add_chemicals (Pricing *pricing, GError **error)
{
  const TdAgreement *agreement = pricing->agreement;
  TdItemAsked asked = ask (pricing, TD_ITEM_CHEMICAL);

  for (guint i = 0; is_charged (pricing, TD_ITEM_CHEMICAL) && i < pricing->work->chemicals->len; i++)
    {
      const TdWorkChemical *chemical = &g_array_index (pricing->work->chemicals, TdWorkChemical, i);
      gint64 cost = 0, price = 0;

      if (!td_agreement_find_price (agreement->chemicals, chemical->product, &cost))
        continue;
      if (chemical->concentrate_ml < 0)
        {
          g_set_error (error, TD_ERROR, TD_ERROR_REFERENCE,
                       "report %s does not say how much %s was used, which is charged by the litre; amend the report",
                       pricing->work->number, chemical->name);
          return FALSE;
        }
      if (chemical->concentrate_ml == 0)
        continue;
      /* A litre has a thousand of the quantity's thousandths: millilitres as they are. */
      if (!td_money_scale (cost, 100000 + agreement->chemical_markup_percent_milli, 100000, &price, error)
          || !td_charges_add (pricing->charges, agreement, &asked, pricing->work->date,
                              g_strdup_printf ("%s, concentrate", chemical->name), chemical->concentrate_ml,
                              TD_UNIT_LITRE, price, error))
        return FALSE;
    }
  return TRUE;
}

static gboolean
add_parts (Pricing *pricing, GError **error)
{
  for (guint i = 0; is_charged (pricing, TD_ITEM_PART) && i < pricing->work->parts->len; i++)
    {
      const TdWorkPart *part = &g_array_index (pricing->work->parts, TdWorkPart, i);
      TdItemAsked asked = ask (pricing, TD_ITEM_PART);
      gint64 price = 0;
      char *text;

      if (!td_agreement_find_price (pricing->agreement->parts, part->part, &price))
        {
          g_set_error (error, TD_ERROR, TD_ERROR_REFERENCE,
                       "the agreement has no price for the part \"%s\" of report %s; add it to \"parts\"", part->part,
                       pricing->work->number);
          return FALSE;
        }
      asked.line = part->line;
      text = part->title != NULL ? g_strdup_printf ("Part: %s, for %s", part->part, part->title)
                                 : g_strdup_printf ("Part: %s", part->part);
      if (!td_charges_add (pricing->charges, pricing->agreement, &asked, pricing->work->date, text,
                           part->quantity * ONE, TD_UNIT_ONE, price, error))
        return FALSE;
    }
  return TRUE;
}

/* A line of nothing, so that the visit stands on the invoice. It goes where the visit itself would go. */
static gboolean
add_nothing (Pricing *pricing, const char *why, GError **error)
{
  TdItemAsked asked = ask (pricing, TD_ITEM_VISIT);
  guint n = pricing->charges->len;

  if (!td_charges_add (pricing->charges, pricing->agreement, &asked, pricing->work->date, g_strdup (why), ONE,
                       TD_UNIT_ONE, 0, error))
    return FALSE;
  g_array_index (pricing->charges, TdCharge, n).line.item = TD_ITEM_NO_CHARGE;
  return TRUE;
}

static gboolean
add_services (Pricing *pricing, GError **error)
{
  const TdAgreement *agreement = pricing->agreement;
  gboolean called_out = strcmp (pricing->work->kind, "call-out") == 0;

  return add_one (pricing, TD_ITEM_VISIT, "Visit", agreement->visit_minor, error)
         && add_one (pricing, TD_ITEM_CALL_OUT, "Call-out", called_out ? agreement->call_out_minor : 0, error)
         && add_towers (pricing, error) && add_lines (pricing, error) && add_minutes (pricing, error);
}

static gboolean
add_out_of_hours (Pricing *pricing, GError **error)
{
  const TdAgreement *agreement = pricing->agreement;

  if (!pricing->work->out_of_hours || !is_charged (pricing, TD_ITEM_OUT_OF_HOURS))
    return TRUE;
  /* The percentage first: it is one of the services, not of the fixed sum. */
  return add_percentage (pricing, TD_ITEM_OUT_OF_HOURS, "Out of hours", agreement->out_of_hours_percent_milli, 1, error)
         && add_one (pricing, TD_ITEM_OUT_OF_HOURS, "Out of hours", agreement->out_of_hours_minor, error);
}

static const char *
find_free (Pricing *pricing)
{
  const TdNoCharge *no_charge = td_agreement_find_no_charge (pricing->agreement, pricing->work->kind);

  if (no_charge != NULL)
    {
      pricing->free = no_charge->items;
      return no_charge->reason;
    }
  if (pricing->agreement->monthly_minor >= 0 && strcmp (pricing->work->kind, "routine") == 0)
    {
      pricing->free = pricing->agreement->covers;
      return "Visit, covered by the monthly contract";
    }
  return NULL;
}

gboolean
td_charges_add_work (GArray *charges, const TdAgreement *agreement, const TdWork *work, GError **error)
{
  Pricing pricing = { charges, agreement, work, 0, charges->len };
  const char *why = find_free (&pricing);

  if (why != NULL && !add_nothing (&pricing, why, error))
    return FALSE;
  if (!add_services (&pricing, error) || !add_out_of_hours (&pricing, error)
      || !add_percentage (&pricing, TD_ITEM_DISCOUNT, "Discount", agreement->discount_percent_milli, -1, error)
      || !add_minimum (&pricing, error) || !add_chemicals (&pricing, error) || !add_parts (&pricing, error))
    return FALSE;
  return charges->len > pricing.services || add_nothing (&pricing, "Visit, nothing to charge", error);
}
