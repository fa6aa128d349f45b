/* Electronic invoices: for every rule one invoice that keeps it and one that breaks it.
 *
 * Meaning of the rules: EN 16931-1:2017 as its published validation artefacts state them (repository
 * ConnectingEurope/eInvoicing-EN16931, ubl/schematron).  Order of elements, other programs: tests/ctl. */
#include "core-error.h"
#include "exchange-ubl.h"

#include <stdlib.h>
#include <string.h>

static void
set_text (char **place, const char *text)
{
  g_free (*place);
  *place = strcmp (text, "none") == 0 ? NULL : g_strdup (text);
}

static void
fill_parties (TdSeller *seller, TdPayer *payer)
{
  seller->name = g_strdup ("Weir Line Care");
  seller->address = g_strdup ("Unit 4\n2 Mill Road\nBack gate\nPort Weir");
  seller->city = g_strdup ("Port Weir");
  seller->country = g_strdup ("IE");
  seller->tax_id = g_strdup ("IE 9900042 F");
  seller->endpoint = g_strdup ("EM:bills@weir.example");
  seller->iban = g_strdup ("GB29 NWBK 6016 1331 9268 19");
  payer->id = g_strdup ("owner");
  payer->name = g_strdup ("Heron & <Sons>");
  payer->address = g_strdup ("1 Quay, Port Weir");
  payer->city = g_strdup ("Port Weir");
  payer->country = g_strdup ("NL");
  payer->tax_id = g_strdup ("NL 990001234 B01");
}

/* Two lines of one category, and for "mixed" one of another rate.  "credit": a credit note of S. */
static TdInvoice *
make_base (const char *base)
{
  TdSeller seller = { 0 };
  TdPayer payer = { 0 };
  TdTaxCategory category = TD_TAX_S;
  gboolean credit = strcmp (base, "credit") == 0;
  TdInvoice *invoice;

  td_tax_from_text (base, &category);
  fill_parties (&seller, &payer);
  if (category == TD_TAX_O)
    {
      set_text (&seller.tax_id, "none");
      set_text (&seller.registration, "R 12");
      set_text (&payer.tax_id, "none");
    }
  invoice = td_invoice_new (credit ? TD_INVOICE_CREDIT : TD_INVOICE_INVOICE, "weir", "Weir", &payer, "EUR");
  for (int i = 0; i < 2; i++)
    {
      TdInvoiceLine line = { .item = TD_ITEM_LINE, .text = g_strdup ("Line cleaned"), .quantity_milli = i == 0 ? 3000 : -1000,
                             .unit = TD_UNIT_ONE, .unit_price_minor = i == 0 ? 333 : 125, .category = category,
                             .percent_milli = category == TD_TAX_S ? 23000 : 0, .date = td_date_make (2026, 3, 2 + i),
                             .of = -1 };

      if (category == TD_TAX_E || category == TD_TAX_AE || category == TD_TAX_O)
        line.tax_text = g_strdup ("The reason");
      g_assert_true (td_invoice_take_line (invoice, &line, NULL));
    }
  if (strcmp (base, "mixed") == 0)
    g_array_index (invoice->lines, TdInvoiceLine, 1).percent_milli = 13500;
  if (credit)
    {
      invoice->credits = g_strdup ("N-0");
      invoice->reason = g_strdup ("One line too many");
    }
  invoice->terms_days = 14;
  g_assert_true (td_invoice_sum (invoice, NULL));
  td_invoice_issue (invoice, "N-1", td_date_make (2026, 3, 31), &seller);
  td_seller_clear (&seller);
  td_payer_clear (&payer);
  return invoice;
}

typedef struct
{
  const char *key;
  gint64 *place;
} Figure;

/* What is neither a text of a party nor a figure. */
static void
change_other (TdInvoice *invoice, TdInvoiceLine *line, TdInvoiceTax *tax, const char *key, const char *value)
{
  const struct
  {
    const char *key;
    char **place;
  } texts[] = { { "number", &invoice->number },   { "currency", &invoice->currency }, { "credits", &invoice->credits },
                { "line.text", &line->text },     { "tax.text", &tax->text } };

  for (gsize i = 0; i < G_N_ELEMENTS (texts); i++)
    if (strcmp (texts[i].key, key) == 0)
      return set_text (texts[i].place, value);
  if (strcmp (key, "line.unit") == 0)
    line->unit = strcmp (value, "none") == 0 ? NULL : g_intern_string (value);
  else if (strcmp (key, "line.category") == 0)
    g_assert_true (td_tax_from_text (value, &line->category));
  else if (strcmp (key, "tax.category") == 0)
    g_assert_true (td_tax_from_text (value, &tax->category));
  else if (strcmp (key, "issued") == 0)
    invoice->issued = TD_DATE_NONE;
  else if (strcmp (key, "due") == 0)
    invoice->due = TD_DATE_NONE;
  else if (strcmp (key, "first") == 0)
    invoice->first = invoice->last + 1;
  else if (strcmp (key, "lines") == 0)
    g_array_set_size (invoice->lines, 0);
  else if (strcmp (key, "taxes") == 0)
    g_array_set_size (invoice->taxes, 0);
  else
    g_error ("no change \"%s\"", key);
}

/* One change, "KEY=VALUE"; "line" is the first line, "tax" the first of the breakdown. */
static void
change (TdInvoice *invoice, const char *word)
{
  g_auto (GStrv) pair = g_strsplit (word, "=", 2);
  TdInvoiceLine *line = &g_array_index (invoice->lines, TdInvoiceLine, 0);
  TdInvoiceTax *tax = &g_array_index (invoice->taxes, TdInvoiceTax, 0);
  const Figure figures[] = {
    { "net", &invoice->net_minor },          { "tax", &invoice->tax_minor },         { "total", &invoice->total_minor },
    { "line.price", &line->unit_price_minor }, { "line.percent", &line->percent_milli }, { "line.net", &line->net_minor },
    { "tax.base", &tax->base_minor },        { "tax.amount", &tax->tax_minor },      { "tax.percent", &tax->percent_milli },
  };
  const TdPartyField *field = NULL;

  if (g_str_has_prefix (pair[0], "seller.") && (field = td_party_find (td_seller_fields, pair[0] + 7)) != NULL)
    return set_text (td_party_at (&invoice->seller, field), pair[1]);
  if (g_str_has_prefix (pair[0], "payer.") && (field = td_party_find (td_payer_fields, pair[0] + 6)) != NULL)
    return set_text (td_party_at (&invoice->payer, field), pair[1]);
  for (gsize i = 0; i < G_N_ELEMENTS (figures); i++)
    if (strcmp (figures[i].key, pair[0]) == 0)
      {
        *figures[i].place = g_ascii_strtoll (pair[1], NULL, 10);
        return;
      }
  change_other (invoice, line, tax, pair[0], pair[1]);
}

/* 3 x 3.33 - 1.25 = 8.74; 23 % of it 2.0102, so 2.01. */
static const struct
{
  const char *base;
  const char *changes; /* words */
  const char *rules;   /* all that are broken, in order; "" where none is */
} cases[] = {
  /* What keeps the rules, also at their edges. */
  { "S", "", "" },
  { "Z", "", "" },
  { "E", "", "" },
  { "AE", "", "" },
  { "O", "", "" },
  { "mixed", "", "" },
  { "credit", "", "" },
  { "credit", "due=none", "" },
  { "credit", "credits=none", "" },
  { "S", "seller.endpoint=none seller.iban=none payer.tax_id=none", "" },
  { "S", "seller.tax_id=12/345/67890 seller.registration=R12", "" },
  { "S", "seller.tax_id=EL123456789 payer.endpoint=0088:7300010000001", "" },
  { "S", "seller.address=none payer.address=none", "" }, /* the town is an address */
  { "AE", "payer.tax_id=none payer.registration=R77", "" },
  { "S", "seller.country=XI", "" },
  { "S", "currency=JPY", "" }, /* no decimals at all */
  /* One for each rule that breaks it. */
  { "S", "number=none", "BR-02" },
  { "S", "issued=none", "BR-03" },
  { "S", "currency=", "BR-05" },
  { "S", "currency=EUX", "BR-CL-04" },
  { "S", "seller.name=none", "BR-06" },
  { "S", "payer.name= ", "BR-07" },
  { "S", "seller.address=none seller.city=none", "BR-08" },
  { "S", "seller.country=none", "BR-09" },
  { "S", "payer.address= payer.city=none", "BR-10" },
  { "S", "payer.country=none", "BR-11" },
  { "S", "payer.country=QQ", "BR-CL-14" },
  { "S", "lines=0", "BR-16 BR-S-01 BR-CO-10" },
  { "S", "line.unit=none", "BR-23" },
  { "S", "line.unit=pint", "BR-CL-23" },
  { "S", "line.text= ", "BR-25" },
  { "S", "line.price=-333", "BR-27" },
  { "S", "first=later", "BR-29" },
  { "credit", "credits=", "BR-55" },
  { "S", "seller.endpoint=bills@weir.example", "BR-62" },
  { "S", "payer.endpoint=EM:", "BR-63" },
  { "S", "payer.endpoint=9999:1", "BR-CL-25" },
  { "S", "payer.tax_id=990001234B01", "BR-CO-09" },
  { "S", "payer.tax_id=NL", "BR-CO-09" },
  { "S", "net=875 total=1076", "BR-CO-10" },
  { "S", "tax=202 total=1076", "BR-CO-14" },
  { "S", "total=1076", "BR-CO-15" },
  { "S", "tax.amount=202 tax=202 total=1076", "BR-CO-17 BR-S-09" },
  { "S", "taxes=0", "BR-CO-18 BR-S-01 BR-S-01 BR-CO-14" },
  { "S", "due=none", "BR-CO-25" },
  { "S", "seller.tax_id=12/345/67890", "BR-CO-26" },
  { "S", "line.percent=13500", "BR-S-01 BR-S-08" },
  { "S", "seller.tax_id=none seller.registration=R12", "BR-S-02" },
  { "S", "line.percent=0", "BR-S-05 BR-S-01 BR-S-08" },
  { "S", "tax.base=875", "BR-S-08" },
  { "S", "tax.text=why", "BR-S-10" },
  { "Z", "line.category=E", "BR-E-01 BR-Z-08" },
  { "Z", "tax.percent=1000", "BR-Z-01 BR-Z-01 BR-Z-01 BR-CO-17" },
  { "Z", "seller.tax_id=none seller.registration=R12", "BR-Z-02" },
  { "Z", "line.percent=1000", "BR-Z-05 BR-Z-01 BR-Z-08" },
  { "Z", "tax.base=875", "BR-Z-08" },
  { "Z", "tax.amount=1 tax=1 total=875", "BR-CO-17 BR-Z-09" },
  { "Z", "tax.text=why", "BR-Z-10" },
  { "E", "seller.tax_id=none seller.registration=R12", "BR-E-02" },
  { "E", "line.percent=1000", "BR-E-05 BR-E-01 BR-E-08" },
  { "E", "tax.base=875", "BR-E-08" },
  { "E", "tax.amount=1 tax=1 total=875", "BR-CO-17 BR-E-09" },
  { "E", "tax.text=none", "BR-E-10" },
  { "AE", "tax.category=Z", "BR-AE-01 BR-AE-01 BR-Z-01 BR-Z-10" },
  { "AE", "payer.tax_id=none", "BR-AE-02" },
  { "AE", "seller.tax_id=none seller.registration=R12", "BR-AE-02" },
  { "AE", "line.percent=1000", "BR-AE-05 BR-AE-01 BR-AE-08" },
  { "AE", "tax.base=875", "BR-AE-08" },
  { "AE", "tax.amount=1 tax=1 total=875", "BR-CO-17 BR-AE-09" },
  { "AE", "tax.text=", "BR-AE-10" },
  { "O", "seller.registration=none", "BR-CO-26" },
  { "O", "seller.tax_id=IE9900042F", "BR-O-02" },
  { "O", "payer.tax_id=IE9900042F", "BR-O-02" },
  { "O", "line.percent=1000", "BR-O-05 BR-O-01 BR-O-08" },
  { "O", "tax.base=875", "BR-O-08" },
  { "O", "tax.amount=1 tax=1 total=875", "BR-CO-17 BR-O-09" },
  { "O", "tax.text=none", "BR-O-10" },
  { "O", "line.category=Z", "BR-Z-01 BR-Z-02 BR-O-12 BR-O-08" },
  { "mixed", "tax.category=O", "BR-S-01 BR-O-11 BR-O-12 BR-O-01 BR-O-09 BR-O-10" },
  { "S", "currency=KWD", "BR-DEC-23 BR-DEC-23 BR-DEC-19 BR-DEC-20 BR-DEC-09 BR-DEC-12 BR-DEC-13 BR-DEC-14 BR-DEC-18" },
};

static char *
list_broken (const TdInvoice *invoice)
{
  g_autoptr (GPtrArray) problems = td_ubl_check (invoice);
  GString *text = g_string_new (NULL);

  for (guint i = 0; i < problems->len; i++)
    {
      const TdUblProblem *problem = g_ptr_array_index (problems, i);

      g_string_append_printf (text, "%s%s", i > 0 ? " " : "", problem->rule);
      g_assert_cmpstr (problem->place, !=, "");
      g_assert_cmpstr (problem->text, !=, "");
    }
  return g_string_free (text, FALSE);
}

static void
test_rules (void)
{
  guint wrong = 0;

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (TdInvoice) invoice = make_base (cases[i].base);
      g_auto (GStrv) words = g_strsplit (cases[i].changes, " ", -1);
      g_autofree char *broken = NULL;

      for (gsize w = 0; words[w] != NULL; w++)
        if (*words[w] != '\0')
          change (invoice, words[w]);
      broken = list_broken (invoice);
      if (strcmp (broken, cases[i].rules) == 0)
        continue;
      g_test_message ("%s, %s: \"%s\", not \"%s\"", cases[i].base, cases[i].changes, broken, cases[i].rules);
      wrong++;
    }
  g_assert_cmpuint (wrong, ==, 0);
}

/* Every rule that the check can name is broken by one of the cases. */
static void
test_all_rules (void)
{
  g_autoptr (GPtrArray) rules = td_ubl_list_rules ();

  g_assert_cmpuint (rules->len, >, 50);
  for (guint i = 0; i < rules->len; i++)
    {
      gboolean found = FALSE;

      for (gsize c = 0; c < G_N_ELEMENTS (cases) && !found; c++)
        {
          g_auto (GStrv) words = g_strsplit (cases[c].rules, " ", -1);

          found = g_strv_contains ((const char *const *) words, g_ptr_array_index (rules, i));
        }
      if (!found)
        g_error ("no case breaks %s", (const char *) g_ptr_array_index (rules, i));
    }
}

static void
test_refused (void)
{
  g_autoptr (TdInvoice) invoice = make_base ("S");
  g_autoptr (GError) error = NULL;

  change (invoice, "seller.country=none");
  change (invoice, "due=none");
  g_assert_null (td_ubl_write (invoice, &error));
  g_assert_error (error, TD_ERROR, TD_ERROR_SHAPE);
  g_assert_cmpstr (error->message, ==,
                   "N-1 cannot be written as an electronic invoice: BR-CO-25, the invoice: it is to be paid but has no due "
                   "date\nBR-09, the seller: no country is given; enter the company's \"country\", as IE");
}

/* Pieces that must stand in the file of a base; the whole is looked at by other programs. */
static const struct
{
  const char *base;
  const char *changes;
  const char *piece;
  gboolean there;
} pieces[] = {
  { "S", "", "<cbc:StreetName>Unit 4</cbc:StreetName>", TRUE },
  { "S", "", "<cbc:Line>Back gate</cbc:Line>", TRUE },
  { "S", "", "<cbc:StreetName>1 Quay</cbc:StreetName>", TRUE }, /* parted at the comma, the town left out */
  { "S", "", "<cbc:EndpointID schemeID=\"EM\">bills@weir.example</cbc:EndpointID>", TRUE },
  { "S", "", "<cbc:CompanyID>IE9900042F</cbc:CompanyID>", TRUE },
  { "S", "", "<cbc:RegistrationName>Heron &amp; &lt;Sons&gt;</cbc:RegistrationName>", TRUE },
  { "S", "", "<cbc:PaymentMeansCode>58</cbc:PaymentMeansCode>", TRUE },
  { "S", "currency=GBP", "<cbc:PaymentMeansCode>30</cbc:PaymentMeansCode>", TRUE },
  { "S", "", "<cbc:ID>GB29NWBK60161331926819</cbc:ID>", TRUE },
  { "S", "seller.iban=none", "PaymentMeans", FALSE },
  { "S", "", "<cbc:InvoicedQuantity unitCode=\"C62\">-1</cbc:InvoicedQuantity>", TRUE },
  { "S", "", "<cbc:PriceAmount currencyID=\"EUR\">3.33</cbc:PriceAmount>", TRUE },
  { "S", "", "<cbc:TaxAmount currencyID=\"EUR\">2.01</cbc:TaxAmount>", TRUE },
  { "mixed", "", "<cbc:Percent>13.5</cbc:Percent>", TRUE },
  { "S", "seller.tax_id=12/345/67890 seller.registration=R12", "<cbc:ID>TAX</cbc:ID>", TRUE },
  { "O", "", "<cbc:Percent>", FALSE },
  { "AE", "", "<cbc:TaxExemptionReason>The reason</cbc:TaxExemptionReason>", TRUE },
  { "credit", "", "<cbc:CreditNoteTypeCode>381</cbc:CreditNoteTypeCode>", TRUE },
  { "credit", "", "<cbc:Note>One line too many</cbc:Note>", TRUE },
  { "credit", "", "DueDate", FALSE },
  { "S", "payer.reference=KST-4\001\002", "<cbc:BuyerReference>KST-4  </cbc:BuyerReference>", TRUE },
};

static void
test_pieces (void)
{
  for (gsize i = 0; i < G_N_ELEMENTS (pieces); i++)
    {
      g_autoptr (TdInvoice) invoice = make_base (pieces[i].base);
      g_auto (GStrv) words = g_strsplit (pieces[i].changes, " ", -1);
      g_autoptr (GError) error = NULL;
      g_autofree char *xml = NULL;
      g_autofree char *again = NULL;

      for (gsize w = 0; words[w] != NULL; w++)
        if (*words[w] != '\0')
          change (invoice, words[w]);
      xml = td_ubl_write (invoice, &error);
      g_assert_no_error (error);
      again = td_ubl_write (invoice, &error);
      g_assert_cmpstr (xml, ==, again);
      if ((strstr (xml, pieces[i].piece) != NULL) != pieces[i].there)
        g_error ("%s, %s: %s is %s\n%s", pieces[i].base, pieces[i].changes, pieces[i].piece,
                 pieces[i].there ? "missing" : "there", xml);
    }
}

/* What was not asked for at the issue is filled in; what decides tax is not. */
static void
test_complete (void)
{
  g_autoptr (TdInvoice) invoice = make_base ("S");
  g_autoptr (TdMasters) masters = td_masters_new ();
  TdPayer payer = { .tax_id = (char *) "NL1", .postcode = (char *) "1000 AA", .country = (char *) "BE" };

  change (invoice, "seller.country=none");
  change (invoice, "seller.tax_id=none");
  masters->company_country = g_strdup ("IE");
  masters->company_city = g_strdup ("Elsewhere");
  masters->company_tax_id = g_strdup ("IE1");
  td_invoice_complete (invoice, masters, &payer);
  g_assert_cmpstr (invoice->seller.country, ==, "IE");
  g_assert_cmpstr (invoice->seller.city, ==, "Port Weir");
  g_assert_null (invoice->seller.tax_id);
  g_assert_cmpstr (invoice->payer.postcode, ==, "1000 AA");
  g_assert_cmpstr (invoice->payer.country, ==, "NL");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/ubl/rules", test_rules);
  g_test_add_func ("/ubl/all-rules", test_all_rules);
  g_test_add_func ("/ubl/refused", test_refused);
  g_test_add_func ("/ubl/pieces", test_pieces);
  g_test_add_func ("/ubl/complete", test_complete);
  return g_test_run ();
}
