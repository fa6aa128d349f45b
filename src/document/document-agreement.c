#include "document-agreement.h"

#include "document-i18n.h"

#include "core-money.h"

static const char *const items[TD_N_ITEMS] = {
  [TD_ITEM_VISIT] = N_ ("visits"),
  [TD_ITEM_CALL_OUT] = N_ ("call-outs"),
  [TD_ITEM_TOWER] = N_ ("towers"),
  [TD_ITEM_LINE] = N_ ("lines"),
  [TD_ITEM_MINUTES] = N_ ("further minutes"),
  [TD_ITEM_OUT_OF_HOURS] = N_ ("out-of-hours work"),
  [TD_ITEM_MINIMUM] = N_ ("the minimum"),
  [TD_ITEM_CHEMICAL] = N_ ("chemicals"),
  [TD_ITEM_PART] = N_ ("parts"),
  [TD_ITEM_CONTRACT] = N_ ("the flat contract"),
};

static const char *const categories[TD_N_TAXES] = {
  [TD_TAX_S] = N_ ("standard rate"),
  [TD_TAX_Z] = N_ ("zero rated"),
  [TD_TAX_E] = N_ ("exempt"),
  [TD_TAX_AE] = N_ ("reverse charge"),
  [TD_TAX_O] = N_ ("outside the scope of the tax"),
};

typedef struct
{
  const TdAgreement *agreement;
  GPtrArray *words;
} Telling;

static void tell (Telling *telling, const char *format, ...) G_GNUC_PRINTF (2, 3);

static void
tell (Telling *telling, const char *format, ...)
{
  va_list arguments;

  va_start (arguments, format);
  g_ptr_array_add (telling->words, g_strdup_vprintf (format, arguments));
  va_end (arguments);
}

static char *
money (const Telling *telling, gint64 minor)
{
  return td_money_to_text (minor, telling->agreement->currency);
}

/* "12.5" of 12500 thousandths. */
static char *
percent (gint64 milli)
{
  GString *text = g_string_new (NULL);

  g_string_printf (text, "%" G_GINT64_FORMAT ".%03d", milli / 1000, (int) (milli % 1000));
  while (text->str[text->len - 1] == '0')
    g_string_truncate (text, text->len - 1);
  if (text->str[text->len - 1] == '.')
    g_string_truncate (text, text->len - 1);
  return g_string_free (text, FALSE);
}

static char *
list_items (guint bits)
{
  GString *list = g_string_new (NULL);

  if ((bits & TD_ITEMS_ALL) == TD_ITEMS_ALL)
    {
      g_string_assign (list, _ ("everything"));
      return g_string_free (list, FALSE);
    }
  for (int item = 0; item <= TD_ITEM_CONTRACT; item++)
    if (bits & TD_ITEM_BIT (item))
      g_string_append_printf (list, "%s%s", list->len > 0 ? ", " : "", _ (items[item]));
  return g_string_free (list, FALSE);
}

/* @pattern with its one %s replaced: a pattern that is chosen by the caller is no format for the compiler.
 * (transfer full) */
static char *
splice (const char *pattern, const char *part)
{
  g_auto (GStrv) around = g_strsplit (pattern, "%s", 2);

  return around[1] != NULL ? g_strconcat (around[0], part, around[1], NULL) : g_strdup (pattern);
}

static void
append_part (GString *text, const char *pattern, const char *part)
{
  g_autofree char *spliced = part != NULL ? splice (pattern, part) : NULL;

  if (spliced != NULL)
    g_string_append_printf (text, ", %s", spliced);
}

static void
append_list (GString *text, const char *pattern, char **list)
{
  g_autofree char *joined = list != NULL ? g_strjoinv (", ", list) : NULL;

  append_part (text, pattern, joined);
}

/* Where and when a rule holds: ", at the-tin-heron, acid clean". (transfer full) */
static char *
say_where (char **sites, char **lines, int clean, int method, const char *work)
{
  GString *text = g_string_new (NULL);

  append_list (text, _ ("at %s"), sites);
  append_list (text, _ ("lines %s"), lines);
  append_part (text, _ ("%s clean"), clean >= 0 ? td_clean_to_text ((TdClean) clean) : NULL);
  append_part (text, _ ("method %s"), method >= 0 ? td_method_to_text ((TdMethod) method) : NULL);
  append_part (text, _ ("%s visits"), work);
  return g_string_free (text, FALSE);
}

static void
tell_frame (Telling *telling)
{
  const TdAgreement *agreement = telling->agreement;
  g_autofree char *from = td_date_to_text (agreement->from);
  g_autofree char *to = agreement->to != TD_DATE_NONE ? td_date_to_text (agreement->to) : NULL;

  if (to != NULL)
    tell (telling, _ ("It holds from %s to %s."), from, to);
  else
    tell (telling, _ ("It holds from %s until another begins."), from);
  tell (telling,
        agreement->collect == TD_COLLECT_MONTH ? _ ("One invoice a month, in %s, due %d days after its issue.")
                                               : _ ("One invoice a visit, in %s, due %d days after its issue."),
        agreement->currency, agreement->terms_days);
  if (agreement->place != NULL)
    tell (telling, _ ("Place of supply: %s."), agreement->place);
}

static void
tell_price (Telling *telling, const char *pattern, gint64 minor)
{
  g_autofree char *sum = money (telling, minor);

  if (minor != 0)
    g_ptr_array_add (telling->words, splice (pattern, sum));
}

static void
tell_services (Telling *telling)
{
  const TdAgreement *agreement = telling->agreement;
  g_autofree char *minute = money (telling, agreement->minute_minor);

  tell_price (telling, _ ("A visit costs %s."), agreement->visit_minor);
  tell_price (telling, _ ("A call-out costs %s."), agreement->call_out_minor);
  tell_price (telling, _ ("Each tower costs %s."), agreement->tower_minor);
  for (guint i = 0; i < agreement->lines->len; i++)
    {
      const TdLinePrice *line = &g_array_index (agreement->lines, TdLinePrice, i);
      g_autofree char *sum = money (telling, line->unit_minor);
      g_autofree char *where = say_where (line->sites, line->lines, line->clean, line->method, NULL);

      if (*where != '\0')
        tell (telling, _ ("Each line%s: %s."), where, sum);
      else
        tell (telling, i > 0 ? _ ("Every other line: %s.") : _ ("Each line: %s."), sum);
    }
  if (agreement->minute_minor != 0)
    tell (telling, _ ("Each minute beyond %d: %s."), (int) agreement->included_minutes, minute);
}

static void
tell_changes (Telling *telling)
{
  const TdAgreement *agreement = telling->agreement;
  g_autofree char *hours = percent (agreement->out_of_hours_percent_milli);
  g_autofree char *discount = percent (agreement->discount_percent_milli);

  tell_price (telling, _ ("Out of hours, %s more."), agreement->out_of_hours_minor);
  if (agreement->out_of_hours_percent_milli != 0)
    tell (telling, _ ("Out of hours, %s %% of the services more."), hours);
  if (agreement->discount_percent_milli != 0)
    tell (telling, _ ("A discount of %s %% on services and out-of-hours work."), discount);
  tell_price (telling, _ ("A visit costs %s at least."), agreement->minimum_minor);
}

static void
tell_goods (Telling *telling)
{
  const TdAgreement *agreement = telling->agreement;
  g_autofree char *markup = percent (agreement->chemical_markup_percent_milli);

  for (guint i = 0; i < agreement->chemicals->len; i++)
    {
      const TdItemPrice *price = &g_array_index (agreement->chemicals, TdItemPrice, i);
      g_autofree char *sum = money (telling, price->minor);

      tell (telling, _ ("Chemical %s: %s a litre of concentrate and %s %% on top."), price->name, sum, markup);
    }
  for (guint i = 0; i < agreement->parts->len; i++)
    {
      const TdItemPrice *price = &g_array_index (agreement->parts, TdItemPrice, i);
      g_autofree char *sum = money (telling, price->minor);

      tell (telling, _ ("Part “%s”: %s."), price->name, sum);
    }
  for (guint i = 0; i < agreement->no_charge->len; i++)
    {
      const TdNoCharge *free_work = &g_array_index (agreement->no_charge, TdNoCharge, i);
      g_autofree char *what = list_items (free_work->items);

      tell (telling, _ ("Nothing is charged for %s of %s visits: %s."), what, free_work->work, free_work->reason);
    }
}

static void
tell_contract (Telling *telling)
{
  const TdAgreement *agreement = telling->agreement;
  g_autofree char *monthly = agreement->monthly_minor >= 0 ? money (telling, agreement->monthly_minor) : NULL;
  g_autofree char *covers = list_items (agreement->covers);

  if (monthly == NULL)
    return;
  tell (telling, _ ("Flat contract: %s a month for %d routine visits; it covers %s."), monthly,
        (int) agreement->month_visits, covers);
  tell_price (telling, _ ("For each of these visits that is not made, %s is taken off."), agreement->missed_minor);
}

static void
tell_payer (Telling *telling, const TdPayer *payer)
{
  GString *text = g_string_new (NULL);

  g_string_printf (text, _ ("Bill to %s"), payer->name);
  append_part (text, "%s", payer->address);
  append_part (text, "%s", payer->country);
  append_part (text, _ ("tax number %s"), payer->tax_id);
  append_part (text, _ ("order %s"), payer->purchase_order);
  append_part (text, "%s", payer->email);
  append_part (text, _ ("in one invoice for every account, under %s"), payer->account);
  g_string_append_c (text, '.');
  g_ptr_array_add (telling->words, g_string_free (text, FALSE));
}

static const char *
name_payer (const Telling *telling, int payer)
{
  return g_array_index (telling->agreement->payers, TdPayer, payer).name;
}

static void
tell_payers (Telling *telling)
{
  const TdAgreement *agreement = telling->agreement;

  for (guint i = 0; i < agreement->payers->len; i++)
    tell_payer (telling, &g_array_index (agreement->payers, TdPayer, i));
  for (guint i = 0; i < agreement->payer_rules->len; i++)
    {
      const TdPayerRule *rule = &g_array_index (agreement->payer_rules, TdPayerRule, i);
      g_autofree char *what = list_items (rule->items);
      g_autofree char *where = say_where (rule->sites, rule->lines, rule->clean, -1, rule->work);

      tell (telling, _ ("%s pays for %s%s."), name_payer (telling, rule->payer), what, where);
    }
  if (agreement->payers->len > 1)
    tell (telling, _ ("%s pays for all else."), name_payer (telling, 0));
}

static void
tell_taxes (Telling *telling)
{
  const TdAgreement *agreement = telling->agreement;

  for (guint i = 0; i < agreement->taxes->len; i++)
    {
      const TdTaxRule *rule = &g_array_index (agreement->taxes, TdTaxRule, i);
      g_autofree char *what = list_items (rule->items);
      g_autofree char *where = say_where (rule->sites, NULL, -1, -1, NULL);
      g_autofree char *rate = percent (rule->percent_milli);
      GString *text = g_string_new (NULL);

      g_string_printf (text, _ ("Tax on %s%s: %s, %s %%"), what, where, _ (categories[rule->category]), rate);
      append_part (text, _ ("where %s pays"), rule->payer >= 0 ? name_payer (telling, rule->payer) : NULL);
      append_part (text, "“%s”", rule->text);
      g_string_append_c (text, '.');
      g_ptr_array_add (telling->words, g_string_free (text, FALSE));
    }
}

GPtrArray *
td_agreement_to_words (const TdAgreement *agreement)
{
  Telling telling = { agreement, g_ptr_array_new_with_free_func (g_free) };

  g_return_val_if_fail (agreement != NULL, NULL);
  tell_frame (&telling);
  tell_services (&telling);
  tell_changes (&telling);
  tell_goods (&telling);
  tell_contract (&telling);
  tell_payers (&telling);
  tell_taxes (&telling);
  return telling.words;
}
