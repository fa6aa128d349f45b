/* The texts of seller and payer: their forms, and that every row of a table is carried everywhere. */
#include "core-error.h"
#include "core-invoice-json.h"
#include "core-masters.h"

#include <string.h>

/* The IBANs are examples that ISO 13616's registry publishes; the wrong ones differ in one place. */
static const struct
{
  TdPartyForm form;
  const char *text;
  gboolean good;
} forms[] = {
  { TD_PARTY_TEXT, "anything", TRUE },
  { TD_PARTY_COUNTRY, "IE", TRUE },
  { TD_PARTY_COUNTRY, "ie", FALSE },
  { TD_PARTY_COUNTRY, "IRL", FALSE },
  { TD_PARTY_COUNTRY, "I1", FALSE },
  { TD_PARTY_IBAN, "GB29NWBK60161331926819", TRUE },
  { TD_PARTY_IBAN, "GB29 NWBK 6016 1331 9268 19", TRUE },
  { TD_PARTY_IBAN, "NO9386011117947", TRUE },
  { TD_PARTY_IBAN, "MT84MALT011000012345MTLCAST001S", TRUE },
  { TD_PARTY_IBAN, "GB29NWBK60161331926810", FALSE },
  { TD_PARTY_IBAN, "GB29NWBK60163131926819", FALSE },
  { TD_PARTY_IBAN, "gb29nwbk60161331926819", FALSE },
  { TD_PARTY_IBAN, "NO938601111794", FALSE },
  { TD_PARTY_IBAN, "MT84MALT011000012345MTLCAST001SMTLCAST001S", FALSE },
  { TD_PARTY_IBAN, "9386011117947NO", FALSE },
  { TD_PARTY_BIC, "PLARIE2L", TRUE },
  { TD_PARTY_BIC, "PLARIE2LXXX", TRUE },
  { TD_PARTY_BIC, "PLARIE2", FALSE },
  { TD_PARTY_BIC, "PLAR1E2L", FALSE },
  { TD_PARTY_BIC, "plarie2l", FALSE },
  { TD_PARTY_ENDPOINT, "EM:bills@weir.example", TRUE },
  { TD_PARTY_ENDPOINT, "0088:7300010000001", TRUE },
  { TD_PARTY_ENDPOINT, "9930:IE9:9", TRUE },
  { TD_PARTY_ENDPOINT, "bills@weir.example", FALSE },
  { TD_PARTY_ENDPOINT, "EM:", FALSE },
  { TD_PARTY_ENDPOINT, "EM:two words", FALSE },
  { TD_PARTY_ENDPOINT, "008:1", FALSE },
  { TD_PARTY_ENDPOINT, "00AB:1", FALSE },
  { TD_PARTY_ENDPOINT, "em:a@b.example", FALSE },
};

static void
test_forms (void)
{
  for (gsize i = 0; i < G_N_ELEMENTS (forms); i++)
    {
      g_autoptr (GError) error = NULL;

      if (td_party_check (forms[i].form, forms[i].text, &error) != forms[i].good)
        g_error ("\"%s\" is taken for %s", forms[i].text, forms[i].good ? "wrong" : "right");
      g_assert_true (forms[i].good == (error == NULL));
      g_assert_true (error == NULL || g_error_matches (error, TD_ERROR, TD_ERROR_SHAPE));
    }
}

/* A text of its own for every row, right by its form. */
static void
fill (const TdPartyField *fields, gpointer party)
{
  static const char *const samples[] = { NULL, "IE", "GB29NWBK60161331926819", "PLARIE2L", "EM:bills@weir.example" };

  for (; fields->key != NULL; fields++)
    *td_party_at (party, fields) = g_strdup (fields->form == TD_PARTY_TEXT ? fields->key : samples[fields->form]);
}

static void
assert_equal (const TdPartyField *fields, gconstpointer a, gconstpointer b)
{
  for (; fields->key != NULL; fields++)
    g_assert_cmpstr (td_party_get (a, fields), ==, td_party_get (b, fields));
}

/* The body of an invoice carries every text of seller and payer. */
static void
test_body (void)
{
  TdSeller seller = { 0 };
  TdPayer payer = { .id = g_strdup ("owner") };
  g_autoptr (GError) error = NULL;

  fill (td_seller_fields, &seller);
  fill (td_payer_fields, &payer);
  g_autoptr (TdInvoice) invoice = td_invoice_new (TD_INVOICE_INVOICE, "a", "A", &payer, "EUR");
  td_invoice_issue (invoice, "N-1", 20600, &seller);
  g_autofree char *body = td_invoice_to_body (invoice);
  g_autoptr (TdInvoice) back = td_invoice_from_body (body, &error);
  g_assert_no_error (error);
  assert_equal (td_seller_fields, &seller, &back->seller);
  assert_equal (td_payer_fields, &payer, &back->payer);
  td_seller_clear (&seller);
  td_payer_clear (&payer);
}

/* So does the company file, and what a seller is follows from it. */
static void
test_company (void)
{
  g_autoptr (TdMasters) masters = td_masters_new ();
  TdSeller seller = { .city = g_strdup ("elsewhere") };
  g_autoptr (GError) error = NULL;

  fill (td_company_fields, masters);
  g_autoptr (TdJson) json = td_masters_to_json (masters);
  g_autoptr (TdMasters) again = td_masters_from_json (json, &error);
  g_assert_no_error (error);
  assert_equal (td_company_fields, masters, again);
  td_party_fill (td_seller_fields, &seller, td_company_fields, masters);
  g_assert_cmpstr (seller.city, ==, "elsewhere"); /* what is known stays */
  for (const TdPartyField *field = td_seller_fields; field->key != NULL; field++)
    {
      const TdPartyField *from = td_party_find (td_company_fields, field->key);

      g_assert_nonnull (from); /* everything that a seller has can be entered */
      g_assert_cmpint (from->form, ==, field->form);
      if (strcmp (field->key, "city") != 0)
        g_assert_cmpstr (td_party_get (&seller, field), ==, td_party_get (masters, from));
    }
  td_seller_clear (&seller);
}

static const struct
{
  const char *member;
  const char *message;
} spoiled[] = {
  { "\"country\": \"Ireland\"", "line 1, column 56: \"Ireland\" is no country code" },
  { "\"iban\": \"IE00 1234\"", "is no IBAN" },
  { "\"bic\": \"X\"", "is no BIC" },
  { "\"endpoint\": \"bills\"", "is no electronic address" },
  { "\"city\": \"\"", "\"city\" is empty" },
};

static void
test_spoiled (void)
{
  for (gsize i = 0; i < G_N_ELEMENTS (spoiled); i++)
    {
      g_autofree char *text
        = g_strdup_printf ("{\"format\": \"tundish-company/1\", \"company\": {%s}}", spoiled[i].member);
      g_autoptr (TdJson) json = td_json_parse (text, -1, NULL);
      g_autoptr (GError) error = NULL;

      g_assert_null (td_masters_from_json (json, &error));
      g_assert_error (error, TD_ERROR, TD_ERROR_SHAPE);
      if (strstr (error->message, spoiled[i].message) == NULL)
        g_error ("\"%s\" lacks \"%s\"", error->message, spoiled[i].message);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/party/forms", test_forms);
  g_test_add_func ("/party/body", test_body);
  g_test_add_func ("/party/company", test_company);
  g_test_add_func ("/party/spoiled", test_spoiled);
  return g_test_run ();
}
