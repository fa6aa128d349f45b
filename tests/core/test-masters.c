/* The company file: products, lots, people, instruments. */
#include <string.h>

#include "core-error.h"
#include "core-json-build.h"
#include "core-masters.h"

/* Invented, like every name in these tests. */
static const char full[]
    = "{\"format\": \"tundish-company/1\",\n"
      " \"company\": {\"name\": \"Weir Line Care\", \"address\": \"2 Mill Road\", \"phone\": \"555 0101\", "
      "\"emergency_phone\": \"555 0199\"},\n"
      " \"products\": [\n"
      "  {\"id\": \"lye\", \"name\": \"Line cleaner\", \"kind\": \"caustic\", \"substance\": \"naoh\", "
      "\"basis\": \"w/w\", \"percent_milli\": 30000, \"target_percent_milli\": 2000, \"density_kg_m3\": 1328, "
      "\"caution\": \"Causes severe burns.\", \"classes\": [\"skin-corr-1a\"], \"hazards\": [\"H290\", \"H314\"], "
      "\"protection\": [\"gloves\"]},\n"
      "  {\"id\": \"acid\", \"name\": \"Stone remover\", \"kind\": \"acid\", \"substance\": \"h3po4\", "
      "\"basis\": \"w/v\", \"percent_milli\": 143600, \"target_percent_milli\": 1000}],\n"
      " \"lots\": [\n"
      "  {\"id\": \"lye-7\", \"product\": \"lye\", \"code\": \"24-118\", \"received\": \"2026-01-12\", "
      "\"expiry\": \"2027-06-30\"},\n"
      "  {\"id\": \"lye-6\", \"product\": \"lye\", \"code\": \"24-090\", \"received\": \"2025-11-03\", "
      "\"recalled\": true}],\n"
      " \"technicians\": [\n"
      "  {\"id\": \"t1\", \"name\": \"R. Fuller\", \"certificate\": \"C-12\", \"certificate_expiry\": "
      "\"2028-01-31\"},\n"
      "  {\"id\": \"t0\", \"name\": \"J. Marsh\"}],\n"
      " \"instruments\": [\n"
      "  {\"id\": \"ph1\", \"name\": \"Meter 1\", \"kind\": \"ph-meter\", \"calibrated\": \"2026-02-20\", "
      "\"calibration_due\": \"2026-08-20\"},\n"
      "  {\"id\": \"jug\", \"name\": \"Jug\", \"kind\": \"measuring-jug\"}]}\n";

static TdMasters *
parse (const char *text, GError **error)
{
  g_autoptr (TdJson) json = td_json_parse (text, -1, error);

  return json != NULL ? td_masters_from_json (json, error) : NULL;
}

static void
test_full (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (TdMasters) masters = parse (full, &error);
  const TdProduct *product;

  g_assert_no_error (error);
  g_assert_cmpstr (masters->company, ==, "Weir Line Care");
  g_assert_cmpstr (masters->company_address, ==, "2 Mill Road");
  g_assert_cmpstr (masters->company_phone, ==, "555 0101");
  g_assert_cmpstr (masters->emergency_phone, ==, "555 0199");
  g_assert_cmpuint (masters->n_products, ==, 2);
  g_assert_cmpstr (masters->products[0].id, ==, "acid"); /* by id, not as read */
  product = td_masters_find_product (masters, "lye");
  g_assert_cmpstr (product->name, ==, "Line cleaner");
  g_assert_cmpint (product->kind, ==, TD_PRODUCT_CAUSTIC);
  g_assert_cmpstr (product->substance, ==, "naoh");
  g_assert_cmpint (product->basis, ==, TD_BASIS_W_W);
  g_assert_cmpint (product->percent_milli, ==, 30000);
  g_assert_cmpint (product->target_percent_milli, ==, 2000);
  g_assert_cmpint (product->density_kg_m3, ==, 1328);
  g_assert_cmpstr (product->caution, ==, "Causes severe burns.");
  g_assert_cmpuint (g_strv_length (product->safety[TD_SAFETY_HAZARD]), ==, 2);
  g_assert_cmpstr (product->safety[TD_SAFETY_HAZARD][1], ==, "H314");
  g_assert_null (product->safety[TD_SAFETY_NEVER_WITH]);
  g_assert_cmpint (product->sds_revised, ==, TD_DATE_NONE);
  product = td_masters_find_product (masters, "acid");
  g_assert_cmpint (product->basis, ==, TD_BASIS_W_V);
  g_assert_cmpint (product->density_kg_m3, ==, 0);
  g_assert_null (product->caution);
}

static void
test_rows (void)
{
  g_autoptr (TdMasters) first = parse (full, NULL);
  g_autoptr (TdMasters) masters = td_masters_ref (first);
  const TdLot *lot = td_masters_find_lot (masters, "lye-6");
  const TdTechnician *technician = td_masters_find_technician (masters, "t1");
  const TdInstrument *instrument = td_masters_find_instrument (masters, "ph1");

  g_assert_cmpstr (lot->code, ==, "24-090");
  g_assert_cmpstr (lot->product, ==, "lye");
  g_assert_cmpint (lot->received, ==, td_date_make (2025, 11, 3));
  g_assert_cmpint (lot->expiry, ==, TD_DATE_NONE);
  g_assert_true (lot->recalled);
  g_assert_false (td_masters_find_lot (masters, "lye-7")->recalled);
  g_assert_cmpstr (technician->certificate, ==, "C-12");
  g_assert_cmpint (technician->certificate_expiry, ==, td_date_make (2028, 1, 31));
  g_assert_null (td_masters_find_technician (masters, "t0")->certificate);
  g_assert_cmpint (instrument->kind, ==, TD_INSTRUMENT_PH_METER);
  g_assert_cmpint (instrument->calibration_due, ==, td_date_make (2026, 8, 20));
  g_assert_cmpint (td_masters_find_instrument (masters, "jug")->calibrated, ==, TD_DATE_NONE);
  g_assert_null (td_masters_find_lot (masters, NULL));
  g_assert_null (td_masters_find_lot (masters, "lye"));
  g_assert_null (td_masters_find_product (masters, ""));
  g_assert_null (td_masters_find_technician (masters, "t2"));
  g_assert_null (td_masters_find_instrument (masters, "zzz"));
}

static void
test_empty (void)
{
  g_autoptr (TdMasters) empty = td_masters_new ();
  g_autoptr (TdJson) json = td_masters_to_json (empty);
  g_autofree char *text = td_json_to_text (json, FALSE);
  g_autoptr (GError) error = NULL;
  g_autoptr (TdMasters) again = parse (text, &error);

  g_assert_no_error (error);
  g_assert_cmpstr (text, ==, "{\"format\":\"tundish-company/1\"}");
  g_assert_null (again->company);
  g_assert_null (td_masters_find_product (again, "lye"));
  g_assert_true (td_masters_check_references (again, NULL));
}

static void
test_fixpoint (void)
{
  g_autoptr (TdMasters) masters = parse (full, NULL);
  g_autoptr (TdJson) first = td_masters_to_json (masters);
  g_autofree char *first_text = td_json_to_text (first, TRUE);
  g_autoptr (TdMasters) again = parse (first_text, NULL);
  g_autoptr (TdJson) second = td_masters_to_json (again);
  g_autofree char *second_text = td_json_to_text (second, TRUE);

  g_assert_cmpstr (first_text, ==, second_text);
  /* Nothing of the file is lost: each of its texts stands in what was written. */
  g_assert_nonnull (strstr (first_text, "Causes severe burns."));
  g_assert_nonnull (strstr (first_text, "\"recalled\": true"));
  g_assert_nonnull (strstr (first_text, "\"certificate_expiry\": \"2028-01-31\""));
  g_assert_nonnull (strstr (first_text, "\"percent_milli\": 143600"));
  g_assert_nonnull (strstr (first_text, "\"kind\": \"measuring-jug\""));
  g_assert_nonnull (strstr (first_text, "\"H290\""));
  g_assert_cmpuint (again->n_products, ==, masters->n_products);
  g_assert_cmpuint (again->n_lots, ==, masters->n_lots);
}

static const struct
{
  const char *was;
  const char *is;
  int code;
  const char *message;
} spoiled[] = {
  { "tundish-company/1", "tundish-site/1", TD_ERROR_SHAPE, "not \"tundish-company/1\"" },
  { "\"phone\"", "\"telephone\"", TD_ERROR_SHAPE, "line 2, column 66: unknown key \"telephone\" in a company" },
  { "\"products\"", "\"product\"", TD_ERROR_SHAPE, "unknown key \"product\" in a company file" },
  { "\"basis\": \"w/w\", ", "", TD_ERROR_SHAPE, "line 4, column 3: a product lacks the key \"basis\"" },
  { "\"w/w\"", "\"percent\"", TD_ERROR_SHAPE, "must be one of: w/w, w/v, v/v" },
  { "\"caustic\"", "\"soap\"", TD_ERROR_SHAPE, "must be one of: caustic, caustic-chlorinated, acid, other" },
  { "\"H290\"", "\"H777\"", TD_ERROR_SHAPE, "\"H777\" is none of the hazards that are known: H226, H242" },
  { "\"H290\"", "\"H314\"", TD_ERROR_SHAPE, "\"H314\" stands twice" },
  { "\"H290\"", "290", TD_ERROR_SHAPE, "is none of the hazards" },
  { "\"gloves\"", "\"H314\"", TD_ERROR_SHAPE, "\"H314\" is none of the protection that are known" },
  { "30000", "30.0", TD_ERROR_SHAPE, "\"percent_milli\" must be a whole number" },
  { "30000", "100001", TD_ERROR_RANGE, "not from 1 to 100000" },
  { "143600", "200001", TD_ERROR_RANGE, "not from 1 to 200000" },
  { "2000,", "0,", TD_ERROR_RANGE, "\"target_percent_milli\" is 0" },
  { "2000,", "30001,", TD_ERROR_RANGE, "the product \"lye\" is to be used stronger" },
  { "1328", "1", TD_ERROR_RANGE, "\"density_kg_m3\" is 1, which is not from 500 to 2500" },
  { "\"id\": \"acid\"", "\"id\": \"lye\"", TD_ERROR_SHAPE,
    "line 5, column 10: the id \"lye\" is given to two products" },
  { "\"id\": \"lye-6\"", "\"id\": \"lye-7\"", TD_ERROR_SHAPE, "the id \"lye-7\" is given to two lots" },
  { "\"received\": \"2026-01-12\", ", "", TD_ERROR_SHAPE, "a lot lacks the key \"received\"" },
  { "2026-01-12", "2026-02-30", TD_ERROR_PARSE, "line 7, column 67: \"received\": there is no day 2026-02-30" },
  { "2026-01-12", "12.1.2026", TD_ERROR_PARSE, "is not a date like 2026-03-02" },
  { "\"recalled\": true", "\"recalled\": \"yes\"", TD_ERROR_SHAPE, "must be true or false" },
  { "\"name\": \"J. Marsh\"", "\"name\": \"\"", TD_ERROR_SHAPE, "\"name\" is empty" },
  { "\"ph-meter\"", "\"nose\"", TD_ERROR_SHAPE, "must be one of: ph-meter, ph-strip, thermometer" },
  { "[\n  {\"id\": \"ph1\"", "[5,\n  {\"id\": \"ph1\"", TD_ERROR_SHAPE,
    "an instrument must be an object in { }, not a whole number" },
};

static void
test_spoiled (void)
{
  for (gsize i = 0; i < G_N_ELEMENTS (spoiled); i++)
    {
      const char *place = strstr (full, spoiled[i].was);
      g_autoptr (GString) text = g_string_new (NULL);
      g_autoptr (GError) error = NULL;

      g_assert_nonnull (place);
      g_string_append_len (text, full, place - full);
      g_string_append (text, spoiled[i].is);
      g_string_append (text, place + strlen (spoiled[i].was));
      g_assert_null (parse (text->str, &error));
      g_assert_error (error, TD_ERROR, spoiled[i].code);
      g_assert_true (g_str_has_prefix (error->message, "line "));
      if (strstr (error->message, spoiled[i].message) == NULL)
        g_error ("\"%s\" lacks \"%s\"", error->message, spoiled[i].message);
    }
}

/* A lot of a product that stands elsewhere is read; whoever has all products asks for the check. */
static void
test_references (void)
{
  g_autoptr (TdMasters) whole = parse (full, NULL);
  g_autoptr (GError) error = NULL;
  g_autoptr (TdMasters) lots
      = parse ("{\"format\": \"tundish-company/1\", \"lots\": [{\"id\": \"a\", \"product\": \"lye\", "
               "\"code\": \"1\", \"received\": \"2026-01-01\"}]}",
               &error);

  g_assert_no_error (error);
  g_assert_true (td_masters_check_references (whole, NULL));
  g_assert_false (td_masters_check_references (lots, &error));
  g_assert_error (error, TD_ERROR, TD_ERROR_REFERENCE);
}

static void
test_names (void)
{
  TdBasis basis = TD_BASIS_W_W;

  for (int i = TD_BASIS_W_W; i <= TD_BASIS_V_V; i++)
    {
      g_assert_true (td_basis_from_text (td_basis_to_text ((TdBasis) i), &basis));
      g_assert_cmpint (basis, ==, i);
    }
  g_assert_false (td_basis_from_text ("W/W", &basis));
  g_assert_cmpstr (td_basis_to_text (TD_BASIS_W_V), ==, "w/v");
  g_assert_cmpstr (td_product_kind_to_text (TD_PRODUCT_CAUSTIC_CHLORINATED), ==, "caustic-chlorinated");
  g_assert_cmpstr (td_product_kind_to_text (TD_PRODUCT_OTHER), ==, "other");
  g_assert_cmpstr (td_instrument_kind_to_text (TD_INSTRUMENT_TITRATION_KIT), ==, "titration-kit");
  g_assert_cmpstr (td_instrument_kind_to_text (TD_INSTRUMENT_OTHER), ==, "other");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/masters/full", test_full);
  g_test_add_func ("/masters/rows", test_rows);
  g_test_add_func ("/masters/empty", test_empty);
  g_test_add_func ("/masters/fixpoint", test_fixpoint);
  g_test_add_func ("/masters/spoiled", test_spoiled);
  g_test_add_func ("/masters/references", test_references);
  g_test_add_func ("/masters/names", test_names);
  return g_test_run ();
}
