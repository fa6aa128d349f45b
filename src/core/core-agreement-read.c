/* core-agreement-read.c: the price agreement, read strictly. */
#include "core-agreement.h"

#include "core-agreement-private.h"
#include "core-error.h"
#include "core-json-read-text.h"
#include "core-money.h"

#include <string.h>

/* A price beyond this is a slip of the hand: ten thousand million minor units. */
#define MAX_MINOR G_GINT64_CONSTANT (10000000000)
#define MAX_PERCENT_MILLI 100000
#define MAX_MARKUP_MILLI 1000000
#define MAX_MINUTES 1440
#define MAX_TERMS_DAYS 366
#define STANDARD_TERMS_DAYS 14

static const char *const COLLECTS[] = { "month", "visit", NULL };
static const char *const CLEANS[] = { "caustic", "acid", NULL };
static const char *const METHODS[] = { "none", "circulating", "static", NULL };
static const char *const WORKS[] = { "routine", "call-out", "re-clean", NULL };

typedef gboolean (*ReadElement) (TdAgreement *agreement, const TdJson *json, GError **error);

static gint64
read_minor (TdJsonReader *reader, const char *key)
{
  return td_json_reader_optional_integer (reader, key, 0, MAX_MINOR, 0);
}

/* Ids; NULL where the key is missing. An empty list would fit nothing. */
static char **
read_texts (TdJsonReader *reader, const char *key)
{
  const TdJson *array = td_json_reader_optional_array (reader, key);
  g_autoptr (GPtrArray) texts = NULL;

  if (array == NULL)
    return NULL;
  if (td_json_get_length (array) == 0)
    td_json_reader_fail (reader, array, TD_ERROR_SHAPE, "\"%s\" is empty; leave the key out to mean all", key);
  texts = g_ptr_array_new_with_free_func (g_free);
  for (guint i = 0; i < td_json_get_length (array); i++)
    {
      const TdJson *element = td_json_get_element (array, i);

      if (td_json_get_kind (element) != TD_JSON_STRING)
        td_json_reader_fail (reader, element, TD_ERROR_SHAPE, "\"%s\" holds texts only", key);
      else
        g_ptr_array_add (texts, g_strdup (td_json_get_string (element)));
    }
  g_ptr_array_add (texts, NULL);
  return (char **) g_ptr_array_free (g_steal_pointer (&texts), FALSE);
}

/* Bits of the items that "for" names; @fallback where it is missing. */
static guint
read_items (TdJsonReader *reader, const char *key, guint fallback)
{
  g_auto (GStrv) texts = read_texts (reader, key);
  guint items = 0;

  if (texts == NULL)
    return fallback;
  for (guint i = 0; texts[i] != NULL; i++)
    {
      guint item = 0;

      while (item <= TD_ITEM_CONTRACT && strcmp (td_item_names[item], texts[i]) != 0)
        item++;
      if (item > TD_ITEM_CONTRACT)
        td_json_reader_fail (reader, NULL, TD_ERROR_REFERENCE,
                             "\"%s\" in \"%s\" is nothing that is charged; there are visit, call-out, tower, line, "
                             "minutes, out-of-hours, minimum, chemical, part, contract",
                             texts[i], key);
      else
        items |= TD_ITEM_BIT (item);
    }
  return items;
}

/* Index of the payer that @key names; -1 where an optional key is missing. */
static int
read_payer_name (TdJsonReader *reader, const TdAgreement *agreement, const char *key, gboolean optional)
{
  const char *id = optional ? td_json_reader_optional_id (reader, key) : td_json_reader_id (reader, key);

  if (id == NULL)
    return -1;
  for (guint i = 0; i < agreement->payers->len; i++)
    if (strcmp (g_array_index (agreement->payers, TdPayer, i).id, id) == 0)
      return (int) i;
  td_json_reader_fail (reader, NULL, TD_ERROR_REFERENCE, "\"%s\" is not the id of a payer", id);
  return -1;
}

static gboolean
read_payer (TdAgreement *agreement, const TdJson *json, GError **error)
{
  g_autoptr (TdJsonReader) reader = td_json_reader_new (json, "a payer");
  TdPayer payer = { .id = g_strdup (td_json_reader_id (reader, "id")) };

  payer.account = g_strdup (td_json_reader_optional_string (reader, "account"));
  td_party_read (td_payer_fields, reader, &payer, TRUE);
  for (guint i = 0; i < agreement->payers->len; i++)
    {
      const TdPayer *other = &g_array_index (agreement->payers, TdPayer, i);

      if (strcmp (other->id, payer.id) == 0 || strcmp (other->name, payer.name) == 0)
        td_json_reader_fail (reader, NULL, TD_ERROR_SHAPE, "the payer \"%s\" stands twice, by id or name", payer.id);
    }
  g_array_append_val (agreement->payers, payer);
  return td_json_reader_finish (reader, error);
}

static gboolean
read_payer_rule (TdAgreement *agreement, const TdJson *json, GError **error)
{
  g_autoptr (TdJsonReader) reader = td_json_reader_new (json, "a rule of who pays");
  TdPayerRule rule = { .items = read_items (reader, "for", TD_ITEMS_ALL),
                       .payer = read_payer_name (reader, agreement, "payer", FALSE),
                       .sites = read_texts (reader, "sites"),
                       .lines = read_texts (reader, "lines") };
  int work = td_json_reader_optional_choice (reader, "work", WORKS, -1);

  rule.clean = td_json_reader_optional_choice (reader, "clean", CLEANS, -1);
  rule.work = work >= 0 ? g_strdup (WORKS[work]) : NULL;
  g_array_append_val (agreement->payer_rules, rule);
  return td_json_reader_finish (reader, error);
}

/* EN 16931-1, rules BR-S-5, BR-Z-5, BR-E-5, BR-AE-5, BR-O-5 on rates, BR-E-10, BR-AE-10, BR-O-10 on the text,
 * BR-AE-2 on the buyer's tax id. */
static void
check_tax (TdJsonReader *reader, const TdAgreement *agreement, const TdTaxRule *rule)
{
  gboolean needs_text = rule->category == TD_TAX_E || rule->category == TD_TAX_AE || rule->category == TD_TAX_O;

  if ((rule->category == TD_TAX_S) != (rule->percent_milli > 0))
    td_json_reader_fail (reader, NULL, TD_ERROR_RANGE, "the rate of category S is above 0, that of %s is 0",
                         rule->category == TD_TAX_S ? "Z, E, AE and O" : td_tax_to_text (rule->category));
  if (needs_text != (rule->text != NULL))
    td_json_reader_fail (reader, NULL, TD_ERROR_SHAPE,
                         needs_text ? "category %s needs its \"text\" for the invoice" : "category %s has no \"text\"",
                         td_tax_to_text (rule->category));
  for (guint i = 0; rule->category == TD_TAX_AE && i < agreement->payers->len; i++)
    if ((rule->payer < 0 || (guint) rule->payer == i)
        && g_array_index (agreement->payers, TdPayer, i).tax_id == NULL)
      td_json_reader_fail (reader, NULL, TD_ERROR_REFERENCE,
                           "reverse charge (AE) needs the \"tax_id\" of the payer \"%s\"",
                           g_array_index (agreement->payers, TdPayer, i).id);
}

static gboolean
read_tax (TdAgreement *agreement, const TdJson *json, GError **error)
{
  g_autoptr (TdJsonReader) reader = td_json_reader_new (json, "a tax rule");
  TdTaxRule rule = { .items = read_items (reader, "for", TD_ITEMS_ALL),
                     .payer = read_payer_name (reader, agreement, "payer", TRUE),
                     .sites = read_texts (reader, "sites") };

  rule.category = (TdTaxCategory) td_json_reader_choice (reader, "category", td_tax_names);
  rule.percent_milli = td_json_reader_integer (reader, "percent_milli", 0, MAX_PERCENT_MILLI);
  rule.text = g_strdup (td_json_reader_optional_string (reader, "text"));
  check_tax (reader, agreement, &rule);
  g_array_append_val (agreement->taxes, rule);
  return td_json_reader_finish (reader, error);
}

static gboolean
read_line (TdAgreement *agreement, const TdJson *json, GError **error)
{
  g_autoptr (TdJsonReader) reader = td_json_reader_new (json, "a price of lines");
  TdLinePrice price = { .unit_minor = td_json_reader_integer (reader, "unit_minor", 0, MAX_MINOR),
                        .clean = td_json_reader_optional_choice (reader, "clean", CLEANS, -1),
                        .method = td_json_reader_optional_choice (reader, "method", METHODS, -1) };

  price.sites = read_texts (reader, "sites");
  price.lines = read_texts (reader, "lines");
  g_array_append_val (agreement->lines, price);
  return td_json_reader_finish (reader, error);
}

static void
add_price (TdJsonReader *reader, GArray *prices, const char *name, gint64 minor)
{
  TdItemPrice price = { NULL, minor };
  gint64 other;

  if (td_agreement_find_price (prices, name, &other))
    td_json_reader_fail (reader, NULL, TD_ERROR_SHAPE, "\"%s\" has two prices", name);
  price.name = g_strdup (name);
  g_array_append_val (prices, price);
}

static gboolean
read_part (TdAgreement *agreement, const TdJson *json, GError **error)
{
  g_autoptr (TdJsonReader) reader = td_json_reader_new (json, "a price of a part");
  gint64 minor = td_json_reader_integer (reader, "unit_minor", 0, MAX_MINOR);

  add_price (reader, agreement->parts, td_json_reader_string (reader, "part"), minor);
  return td_json_reader_finish (reader, error);
}

static gboolean
read_chemical (TdAgreement *agreement, const TdJson *json, GError **error)
{
  g_autoptr (TdJsonReader) reader = td_json_reader_new (json, "a cost of a product");
  gint64 minor = td_json_reader_integer (reader, "cost_l_minor", 0, MAX_MINOR);

  add_price (reader, agreement->chemicals, td_json_reader_id (reader, "product"), minor);
  return td_json_reader_finish (reader, error);
}

static gboolean
read_no_charge (TdAgreement *agreement, const TdJson *json, GError **error)
{
  g_autoptr (TdJsonReader) reader = td_json_reader_new (json, "a visit without charge");
  TdNoCharge no_charge = { .work = g_strdup (WORKS[td_json_reader_choice (reader, "work", WORKS)]),
                           .reason = g_strdup (td_json_reader_string (reader, "reason")),
                           .items = read_items (reader, "for", TD_ITEMS_ALL) };

  if (td_agreement_find_no_charge (agreement, no_charge.work) != NULL)
    td_json_reader_fail (reader, NULL, TD_ERROR_SHAPE, "the kind of visit \"%s\" stands twice", no_charge.work);
  g_array_append_val (agreement->no_charge, no_charge);
  return td_json_reader_finish (reader, error);
}

static void
read_array (TdJsonReader *reader, const char *key, TdAgreement *agreement, ReadElement read)
{
  const TdJson *array = td_json_reader_optional_array (reader, key);
  GError *error = NULL;

  for (guint i = 0; array != NULL && td_json_reader_is_good (reader) && i < td_json_get_length (array); i++)
    if (!read (agreement, td_json_get_element (array, i), &error))
      td_json_reader_adopt (reader, g_steal_pointer (&error));
}

static gboolean
read_prices (TdAgreement *agreement, const TdJson *json, GError **error)
{
  g_autoptr (TdJsonReader) reader = td_json_reader_new (json, "the prices");
  gboolean minutes = td_json_reader_has (reader, "minute_minor");

  agreement->visit_minor = read_minor (reader, "visit_minor");
  agreement->call_out_minor = read_minor (reader, "call_out_minor");
  agreement->tower_minor = read_minor (reader, "tower_minor");
  agreement->minute_minor = read_minor (reader, "minute_minor");
  agreement->minimum_minor = read_minor (reader, "minimum_minor");
  agreement->out_of_hours_minor = read_minor (reader, "out_of_hours_minor");
  agreement->out_of_hours_percent_milli
      = td_json_reader_optional_integer (reader, "out_of_hours_percent_milli", 0, MAX_MARKUP_MILLI, 0);
  agreement->discount_percent_milli
      = td_json_reader_optional_integer (reader, "discount_percent_milli", 0, MAX_PERCENT_MILLI, 0);
  agreement->chemical_markup_percent_milli
      = td_json_reader_optional_integer (reader, "chemical_markup_percent_milli", 0, MAX_MARKUP_MILLI, 0);
  agreement->included_minutes = td_json_reader_optional_integer (reader, "included_minutes", 0, MAX_MINUTES, 0);
  if (minutes != td_json_reader_has (reader, "included_minutes"))
    td_json_reader_fail (reader, NULL, TD_ERROR_SHAPE, "\"minute_minor\" and \"included_minutes\" go together");
  return td_json_reader_finish (reader, error);
}

static gboolean
read_contract (TdAgreement *agreement, const TdJson *json, GError **error)
{
  g_autoptr (TdJsonReader) reader = td_json_reader_new (json, "the contract");

  agreement->monthly_minor = td_json_reader_integer (reader, "monthly_minor", 0, MAX_MINOR);
  agreement->month_visits = td_json_reader_integer (reader, "visits", 1, 31);
  agreement->missed_minor = read_minor (reader, "missed_minor");
  agreement->covers = read_items (reader, "covers", TD_ITEMS_SERVICE);
  if (agreement->missed_minor > 0 && agreement->missed_minor > agreement->monthly_minor / agreement->month_visits)
    td_json_reader_fail (reader, NULL, TD_ERROR_RANGE,
                         "\"missed_minor\" for every visit of a month is more than the month costs");
  return td_json_reader_finish (reader, error);
}

static void
read_section (TdJsonReader *reader, const char *key, TdAgreement *agreement, ReadElement read)
{
  const TdJson *object = td_json_reader_optional_object (reader, key);
  GError *error = NULL;

  if (object != NULL && !read (agreement, object, &error))
    td_json_reader_adopt (reader, error);
}

static void
read_head (TdJsonReader *reader, TdAgreement *agreement)
{
  td_json_reader_format (reader, TD_AGREEMENT_FORMAT);
  agreement->account = g_strdup (td_json_reader_string (reader, "account"));
  agreement->from = td_json_reader_date (reader, "from");
  agreement->to = td_json_reader_optional_date (reader, "to");
  agreement->currency = g_strdup (td_json_reader_string (reader, "currency"));
  agreement->terms_days
      = (int) td_json_reader_optional_integer (reader, "terms_days", 0, MAX_TERMS_DAYS, STANDARD_TERMS_DAYS);
  agreement->collect = (TdCollect) td_json_reader_optional_choice (reader, "collect", COLLECTS, TD_COLLECT_MONTH);
  agreement->place = g_strdup (td_json_reader_optional_string (reader, "place"));
  if (agreement->to != TD_DATE_NONE && agreement->to < agreement->from)
    td_json_reader_fail (reader, NULL, TD_ERROR_RANGE, "the agreement ends before it begins");
  if (td_json_reader_is_good (reader) && td_currency_get_decimals (agreement->currency) < 0)
    td_json_reader_fail (reader, NULL, TD_ERROR_RANGE, "\"%s\" is no currency of ISO 4217", agreement->currency);
}

/* What would be left open is told when the agreement comes in, not when an invoice is due. */
static void
check_whole (TdJsonReader *reader, const TdAgreement *agreement)
{
  const TdLinePrice *line = agreement->lines->len == 0
                                ? NULL
                                : &g_array_index (agreement->lines, TdLinePrice, agreement->lines->len - 1);
  const TdTaxRule *tax = agreement->taxes->len == 0
                             ? NULL
                             : &g_array_index (agreement->taxes, TdTaxRule, agreement->taxes->len - 1);

  if (agreement->payers->len == 0)
    td_json_reader_fail (reader, NULL, TD_ERROR_SHAPE, "\"payers\" is empty; name at least the one who pays");
  if (line != NULL && (line->clean >= 0 || line->method >= 0 || line->sites != NULL || line->lines != NULL))
    td_json_reader_fail (reader, NULL, TD_ERROR_SHAPE,
                         "the last of \"lines\" must be without a condition, so that every line has a price");
  if (tax == NULL || tax->items != TD_ITEMS_ALL || tax->payer >= 0 || tax->sites != NULL)
    td_json_reader_fail (reader, NULL, TD_ERROR_SHAPE,
                         "the last of \"taxes\" must be without a condition, so that everything has a tax");
}

TdAgreement *
td_agreement_from_json (const TdJson *json, GError **error)
{
  g_autoptr (TdAgreement) agreement = td_agreement_new ();
  g_autoptr (TdJsonReader) reader = NULL;

  g_return_val_if_fail (json != NULL, NULL);
  reader = td_json_reader_new (json, "an agreement");
  read_head (reader, agreement);
  read_array (reader, "payers", agreement, read_payer);
  read_array (reader, "payer_rules", agreement, read_payer_rule);
  read_array (reader, "taxes", agreement, read_tax);
  read_section (reader, "prices", agreement, read_prices);
  read_array (reader, "lines", agreement, read_line);
  read_array (reader, "parts", agreement, read_part);
  read_array (reader, "chemicals", agreement, read_chemical);
  read_array (reader, "no_charge", agreement, read_no_charge);
  read_section (reader, "contract", agreement, read_contract);
  if (td_json_reader_is_good (reader))
    check_whole (reader, agreement);
  return td_json_reader_finish (reader, error) ? g_steal_pointer (&agreement) : NULL;
}
