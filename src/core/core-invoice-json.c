#include "core-invoice-json.h"

#include "core-agreement-private.h"
#include "core-error.h"
#include "core-json-build.h"
#include "core-json-read-text.h"

#include <string.h>

static const char *const KINDS[] = { "invoice", "credit-note", NULL };
static const char *const UNITS[] = { TD_UNIT_ONE, TD_UNIT_LITRE, TD_UNIT_MINUTE, NULL };

/* What is not known is left out: null has no canonical form. */
static void
add_text (TdJsonBuilder *builder, const char *key, const char *text)
{
  if (text != NULL && *text != '\0')
    td_json_builder_member_string (builder, key, text);
}

static void
add_date (TdJsonBuilder *builder, const char *key, TdDate date)
{
  g_autofree char *text = date != TD_DATE_NONE ? td_date_to_text (date) : NULL;

  add_text (builder, key, text);
}

static void
add_line (TdJsonBuilder *builder, const TdInvoiceLine *line)
{
  td_json_builder_begin_object (builder);
  td_json_builder_member_string (builder, "item", td_item_to_text (line->item));
  td_json_builder_member_string (builder, "text", line->text);
  td_json_builder_member_integer (builder, "quantity_milli", line->quantity_milli);
  td_json_builder_member_string (builder, "unit", line->unit);
  td_json_builder_member_integer (builder, "unit_price_minor", line->unit_price_minor);
  td_json_builder_member_integer (builder, "net_minor", line->net_minor);
  td_json_builder_member_string (builder, "tax_category", td_tax_to_text (line->category));
  td_json_builder_member_integer (builder, "tax_percent_milli", line->percent_milli);
  add_text (builder, "tax_text", line->tax_text);
  add_text (builder, "visit", line->visit);
  add_text (builder, "report", line->report);
  add_text (builder, "site", line->site);
  add_text (builder, "line", line->line);
  add_text (builder, "account", line->account);
  add_date (builder, "date", line->date);
  if (line->of >= 0)
    td_json_builder_member_integer (builder, "of", line->of);
}

static void
add_tax (TdJsonBuilder *builder, const TdInvoiceTax *tax)
{
  td_json_builder_begin_object (builder);
  td_json_builder_member_string (builder, "category", td_tax_to_text (tax->category));
  td_json_builder_member_integer (builder, "percent_milli", tax->percent_milli);
  td_json_builder_member_integer (builder, "base_minor", tax->base_minor);
  td_json_builder_member_integer (builder, "tax_minor", tax->tax_minor);
  add_text (builder, "text", tax->text);
}

static void
add_payer (TdJsonBuilder *builder, const TdPayer *payer)
{
  td_json_builder_begin_object (builder);
  td_json_builder_member_string (builder, "id", payer->id);
  td_party_write (td_payer_fields, builder, payer);
  td_json_builder_end (builder);
}

static void
add_seller (TdJsonBuilder *builder, const TdSeller *seller)
{
  td_json_builder_begin_object (builder);
  td_party_write (td_seller_fields, builder, seller);
  td_json_builder_end (builder);
}

static void
add_head (TdJsonBuilder *builder, const TdInvoice *invoice)
{
  td_json_builder_member_string (builder, "kind", td_invoice_kind_to_text (invoice->kind));
  add_text (builder, "number", invoice->number);
  td_json_builder_member_string (builder, "account", invoice->account);
  td_json_builder_member_string (builder, "account_id", invoice->account_id);
  td_json_builder_member_string (builder, "currency", invoice->currency);
  add_text (builder, "place", invoice->place);
  add_date (builder, "issued", invoice->issued);
  add_date (builder, "due", invoice->due);
  td_json_builder_member_integer (builder, "terms_days", invoice->terms_days);
  add_text (builder, "credits", invoice->credits);
  add_text (builder, "reason", invoice->reason);
  td_json_builder_key (builder, "seller");
  add_seller (builder, &invoice->seller);
}

static void
add_sums (TdJsonBuilder *builder, const TdInvoice *invoice)
{
  td_json_builder_member_integer (builder, "net_minor", invoice->net_minor);
  td_json_builder_member_integer (builder, "tax_minor", invoice->tax_minor);
  td_json_builder_member_integer (builder, "total_minor", invoice->total_minor);
}

char *
td_invoice_to_body (const TdInvoice *invoice)
{
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();
  g_autoptr (TdJson) json = NULL;

  g_return_val_if_fail (invoice != NULL && invoice->number != NULL, NULL);
  td_json_builder_begin_object (builder);
  td_json_builder_member_string (builder, "format", TD_INVOICE_FORMAT);
  add_head (builder, invoice);
  td_json_builder_key (builder, "payer");
  add_payer (builder, &invoice->payer);
  td_json_builder_key (builder, "lines");
  td_json_builder_begin_array (builder);
  for (guint i = 0; i < invoice->lines->len; i++)
    {
      add_line (builder, &g_array_index (invoice->lines, TdInvoiceLine, i));
      td_json_builder_end (builder);
    }
  td_json_builder_end (builder);
  td_json_builder_key (builder, "taxes");
  td_json_builder_begin_array (builder);
  for (guint i = 0; i < invoice->taxes->len; i++)
    {
      add_tax (builder, &g_array_index (invoice->taxes, TdInvoiceTax, i));
      td_json_builder_end (builder);
    }
  td_json_builder_end (builder);
  add_sums (builder, invoice);
  td_json_builder_end (builder);
  json = td_json_builder_finish (builder);
  return td_json_to_canonical (json, NULL);
}

/* What is invoiced and what is taken back are told apart, so that a visit stands once among "visits". */
static void
add_visits (TdJsonBuilder *builder, const TdInvoice *invoice)
{
  g_autoptr (GPtrArray) visits = td_invoice_list_visits (invoice);
  gboolean credit = invoice->kind == TD_INVOICE_CREDIT;

  td_json_builder_key (builder, "visits");
  td_json_builder_begin_array (builder);
  for (guint i = 0; !credit && i < visits->len; i++)
    td_json_builder_string (builder, g_ptr_array_index (visits, i));
  td_json_builder_end (builder);
  td_json_builder_key (builder, "credited_visits");
  td_json_builder_begin_array (builder);
  for (guint i = 0; credit && i < visits->len; i++)
    td_json_builder_string (builder, g_ptr_array_index (visits, i));
  td_json_builder_end (builder);
}

void
td_invoice_build_json (const TdInvoice *invoice, TdJsonBuilder *builder)
{
  g_return_if_fail (invoice != NULL && builder != NULL);
  add_head (builder, invoice);
  td_json_builder_member_string (builder, "bill_to", invoice->payer.name);
  td_json_builder_key (builder, "payer");
  add_payer (builder, &invoice->payer);
  add_visits (builder, invoice);
  td_json_builder_key (builder, "lines");
  td_json_builder_begin_array (builder);
  for (guint i = 0; i < invoice->lines->len; i++)
    {
      const TdInvoiceLine *line = &g_array_index (invoice->lines, TdInvoiceLine, i);

      add_line (builder, line);
      td_json_builder_member_real (builder, "quantity", (double) line->quantity_milli / 1000, 3);
      td_json_builder_member_real (builder, "tax_percent", (double) line->percent_milli / 1000, 3);
      td_json_builder_end (builder);
    }
  td_json_builder_end (builder);
  td_json_builder_key (builder, "taxes");
  td_json_builder_begin_array (builder);
  for (guint i = 0; i < invoice->taxes->len; i++)
    {
      const TdInvoiceTax *tax = &g_array_index (invoice->taxes, TdInvoiceTax, i);

      add_tax (builder, tax);
      td_json_builder_member_real (builder, "percent", (double) tax->percent_milli / 1000, 3);
      td_json_builder_end (builder);
    }
  td_json_builder_end (builder);
  add_sums (builder, invoice);
}

static char *
read_text (TdJsonReader *reader, const char *key)
{
  return g_strdup (td_json_reader_optional_string (reader, key));
}

static gint64
read_sum (TdJsonReader *reader, const char *key)
{
  return td_json_reader_integer (reader, key, G_MININT64 + 1, G_MAXINT64);
}

static gboolean
read_line (TdInvoice *invoice, const TdJson *json, GError **error)
{
  g_autoptr (TdJsonReader) reader = td_json_reader_new (json, "a line");
  TdInvoiceLine line = { .text = g_strdup (td_json_reader_string (reader, "text")) };

  line.item = (TdItem) td_json_reader_choice (reader, "item", td_item_names);
  line.quantity_milli = read_sum (reader, "quantity_milli");
  line.unit = UNITS[td_json_reader_choice (reader, "unit", UNITS)];
  line.unit_price_minor = td_json_reader_integer (reader, "unit_price_minor", 0, G_MAXINT64);
  line.net_minor = read_sum (reader, "net_minor");
  line.category = (TdTaxCategory) td_json_reader_choice (reader, "tax_category", td_tax_names);
  line.percent_milli = td_json_reader_integer (reader, "tax_percent_milli", 0, 100000);
  line.tax_text = read_text (reader, "tax_text");
  line.visit = read_text (reader, "visit");
  line.report = read_text (reader, "report");
  line.site = read_text (reader, "site");
  line.line = read_text (reader, "line");
  line.account = read_text (reader, "account");
  line.date = td_json_reader_optional_date (reader, "date");
  line.of = (int) td_json_reader_optional_integer (reader, "of", 0, G_MAXINT, -1);
  g_array_append_val (invoice->lines, line);
  return td_json_reader_finish (reader, error);
}

static gboolean
read_tax (TdInvoice *invoice, const TdJson *json, GError **error)
{
  g_autoptr (TdJsonReader) reader = td_json_reader_new (json, "a tax");
  TdInvoiceTax tax = { .category = (TdTaxCategory) td_json_reader_choice (reader, "category", td_tax_names) };

  tax.percent_milli = td_json_reader_integer (reader, "percent_milli", 0, 100000);
  tax.base_minor = read_sum (reader, "base_minor");
  tax.tax_minor = read_sum (reader, "tax_minor");
  tax.text = read_text (reader, "text");
  g_array_append_val (invoice->taxes, tax);
  return td_json_reader_finish (reader, error);
}

/* What is frozen is read as it is: forms were looked at when it came in. */
static gboolean
read_seller (TdInvoice *invoice, const TdJson *json, GError **error)
{
  g_autoptr (TdJsonReader) reader = td_json_reader_new (json, "the seller");

  td_party_read (td_seller_fields, reader, &invoice->seller, FALSE);
  return td_json_reader_finish (reader, error);
}

static gboolean
read_payer (const TdJson *json, TdPayer *payer, GError **error)
{
  g_autoptr (TdJsonReader) reader = td_json_reader_new (json, "the payer");

  payer->id = g_strdup (td_json_reader_string (reader, "id"));
  td_party_read (td_payer_fields, reader, payer, FALSE);
  return td_json_reader_finish (reader, error);
}

static void
read_all (TdJsonReader *reader, const char *key, TdInvoice *invoice,
          gboolean (*read) (TdInvoice *invoice, const TdJson *json, GError **error))
{
  const TdJson *array = td_json_reader_array (reader, key);
  GError *error = NULL;

  for (guint i = 0; array != NULL && error == NULL && i < td_json_get_length (array); i++)
    read (invoice, td_json_get_element (array, i), &error);
  td_json_reader_adopt (reader, error);
}

static TdInvoice *
read_head (TdJsonReader *reader)
{
  TdPayer payer = { 0 };
  const TdJson *json = td_json_reader_object (reader, "payer");
  GError *error = NULL;
  TdInvoice *invoice;

  if (json != NULL && !read_payer (json, &payer, &error))
    td_json_reader_adopt (reader, error);
  invoice = td_invoice_new ((TdInvoiceKind) td_json_reader_choice (reader, "kind", KINDS),
                            td_json_reader_string (reader, "account_id"), td_json_reader_string (reader, "account"),
                            &payer, td_json_reader_string (reader, "currency"));
  td_payer_clear (&payer);
  return invoice;
}

TdInvoice *
td_invoice_from_body (const char *body, GError **error)
{
  g_autoptr (TdJson) json = NULL;
  g_autoptr (TdJsonReader) reader = NULL;
  g_autoptr (TdInvoice) invoice = NULL;
  const TdJson *seller;
  GError *why = NULL;

  g_return_val_if_fail (body != NULL, NULL);
  json = td_json_parse (body, -1, error);
  if (json == NULL)
    return NULL;
  reader = td_json_reader_new (json, "an invoice");
  td_json_reader_format (reader, TD_INVOICE_FORMAT);
  invoice = read_head (reader);
  invoice->number = g_strdup (td_json_reader_string (reader, "number"));
  invoice->place = read_text (reader, "place");
  invoice->issued = td_json_reader_date (reader, "issued");
  invoice->due = td_json_reader_date (reader, "due");
  invoice->terms_days = (int) td_json_reader_integer (reader, "terms_days", 0, 366);
  invoice->credits = read_text (reader, "credits");
  invoice->reason = read_text (reader, "reason");
  seller = td_json_reader_object (reader, "seller");
  if (seller != NULL && !read_seller (invoice, seller, &why))
    td_json_reader_adopt (reader, why);
  read_all (reader, "lines", invoice, read_line);
  read_all (reader, "taxes", invoice, read_tax);
  invoice->net_minor = read_sum (reader, "net_minor");
  invoice->tax_minor = read_sum (reader, "tax_minor");
  invoice->total_minor = read_sum (reader, "total_minor");
  td_invoice_find_days (invoice);
  return td_json_reader_finish (reader, error) ? g_steal_pointer (&invoice) : NULL;
}

char *
td_invoice_make_seal (const char *previous, const char *body)
{
  g_autofree char *text = NULL;

  g_return_val_if_fail (body != NULL, NULL);
  text = g_strdup_printf ("tundish-invoice-seal/1\nprevious %s\n%s\n", previous != NULL ? previous : "none", body);
  return g_compute_checksum_for_string (G_CHECKSUM_SHA256, text, -1);
}
