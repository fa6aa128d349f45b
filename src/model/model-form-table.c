/* The forms of the company file: company, people, instruments, products, lots; and of accounts. */
#include "model-form-type.h"

#include "core-account.h"
#include "core-masters.h"
#include "model-i18n.h"

#define FIELDS(array) .fields = (array), .n_fields = G_N_ELEMENTS (array)

static gboolean
check_company_file (const TdJson *file, GError **error)
{
  g_autoptr (TdMasters) masters = td_masters_from_json (file, error);

  return masters != NULL;
}

static gboolean
check_account (const TdJson *file, GError **error)
{
  g_autoptr (TdAccount) account = td_account_from_json (file, error);

  return account != NULL;
}

#define FILE_HEAD(key) "{\"format\": \"" TD_COMPANY_FORMAT "\", \"" key "\": "

static const char *const name_keys[] = { "name", NULL };

static const TdFormField company_fields[] = {
  { .key = "name", .label = N_ ("Name of the company"), .required = TRUE },
  { .key = "address", .label = N_ ("Address"), .kind = TD_FORM_PROSE },
  { .key = "phone", .label = N_ ("Telephone") },
  { .key = "emergency_phone", .label = N_ ("Emergency telephone"), .hint = N_ ("Printed beside the cautions.") },
  { .key = "tax_id", .label = N_ ("Tax number"), .hint = N_ ("As the seller on invoices.") },
  { .key = "payment", .label = N_ ("How to pay"), .kind = TD_FORM_PROSE, .hint = N_ ("Printed on invoices.") },
  { .key = "city", .label = N_ ("Town"), .hint = N_ ("From here on: for electronic invoices.") },
  { .key = "postcode", .label = N_ ("Postcode") },
  { .key = "region", .label = N_ ("Region") },
  { .key = "country", .label = N_ ("Country"), .hint = N_ ("Two capitals, such as IE.") },
  { .key = "email", .label = N_ ("Mail") },
  { .key = "contact", .label = N_ ("Whom to ask for") },
  { .key = "registration", .label = N_ ("Number in the register of companies") },
  { .key = "endpoint", .label = N_ ("Electronic address"), .hint = N_ ("Scheme and address, such as EM:bills@example.org.") },
  { .key = "iban", .label = N_ ("IBAN") },
  { .key = "bic", .label = N_ ("BIC") },
};

const TdFormType td_form_company = {
  .title = N_ ("Company"), .plural = N_ ("Company"), .new_title = N_ ("Company"), FIELDS (company_fields), .title_keys = name_keys,
  .head = FILE_HEAD ("company"), .tail = "}", .check = check_company_file,
};

static const TdFormField account_fields[] = {
  { .key = "name", .label = N_ ("Name"), .required = TRUE },
  { .key = "address", .label = N_ ("Address"), .kind = TD_FORM_PROSE },
  { .key = "contact", .label = N_ ("Whom to ask for") },
  { .key = "email", .label = N_ ("Mail"), .hint = N_ ("One address, such as name@example.com.") },
  { .key = "phone", .label = N_ ("Telephone") },
  { .key = "note", .label = N_ ("Note"), .kind = TD_FORM_PROSE },
};

static const char *const account_summary[] = { "contact", "phone", NULL };

const TdFormType td_form_account = {
  .title = N_ ("Account"), .plural = N_ ("Accounts"), .new_title = N_ ("New account"), FIELDS (account_fields),
  .title_keys = name_keys, .summary_keys = account_summary, .head = "", .tail = "", .check = check_account,
};

static const TdFormField technician_fields[] = {
  { .key = "id", .kind = TD_FORM_KEY },
  { .key = "name", .label = N_ ("Name"), .required = TRUE },
  { .key = "certificate", .label = N_ ("Certificate"), .hint = N_ ("Of training, with its number.") },
  { .key = "certificate_expiry", .label = N_ ("Certificate runs out on"), .kind = TD_FORM_DATE },
};

static const char *const technician_summary[] = { "certificate", "certificate_expiry", NULL };

const TdFormType td_form_technician = {
  .title = N_ ("Technician"), .plural = N_ ("Technicians"), .new_title = N_ ("New technician"),
  FIELDS (technician_fields), .title_keys = name_keys, .summary_keys = technician_summary, .head = FILE_HEAD ("technicians") "[", .tail = "]}",
  .check = check_company_file,
};

static const char *const instrument_codes[] = { "ph-meter", "ph-strip", "thermometer", "pressure-gauge",
                                                "titration-kit", "measuring-jug", "other", NULL };
static const char *const instrument_words[]
  = { N_ ("pH meter"),      N_ ("pH strips"),     N_ ("Thermometer"), N_ ("Pressure gauge"),
      N_ ("Titration kit"), N_ ("Measuring jug"), N_ ("Another"),     NULL };

static const TdFormField instrument_fields[] = {
  { .key = "id", .kind = TD_FORM_KEY },
  { .key = "name", .label = N_ ("Name"), .required = TRUE },
  { .key = "kind", .label = N_ ("Kind"), .kind = TD_FORM_CHOICE, .required = TRUE, .codes = instrument_codes,
    .words = instrument_words },
  { .key = "calibrated", .label = N_ ("Calibrated on"), .kind = TD_FORM_DATE },
  { .key = "calibration_due", .label = N_ ("Calibration runs out on"), .kind = TD_FORM_DATE,
    .hint = N_ ("Empty where it needs none.") },
};

static const char *const instrument_summary[] = { "kind", "calibration_due", NULL };

const TdFormType td_form_instrument = {
  .title = N_ ("Instrument"), .plural = N_ ("Instruments"), .new_title = N_ ("New instrument"),
  FIELDS (instrument_fields), .title_keys = name_keys, .summary_keys = instrument_summary, .head = FILE_HEAD ("instruments") "[", .tail = "]}",
  .check = check_company_file,
};

static const char *const product_codes[] = { "caustic", "caustic-chlorinated", "acid", "other", NULL };
static const char *const product_words[]
  = { N_ ("Caustic"), N_ ("Caustic with chlorine: never with acid"), N_ ("Acid"), N_ ("Another"), NULL };
static const char *const substance_codes[] = { "naoh", "koh", "h3po4", "other", NULL };
static const char *const substance_words[]
  = { N_ ("Sodium hydroxide"), N_ ("Potassium hydroxide"), N_ ("Phosphoric acid"), N_ ("Another"), NULL };
static const char *const basis_codes[] = { "w/w", "w/v", "v/v", NULL };
static const char *const basis_words[] = { N_ ("w/w: weight in weight"), N_ ("w/v: weight in volume"),
                                           N_ ("v/v: concentrate in volume"), NULL };

static const TdFormField product_fields[] = {
  { .key = "id", .kind = TD_FORM_KEY },
  { .key = "name", .label = N_ ("Name on the label"), .required = TRUE },
  { .key = "kind", .label = N_ ("Kind"), .kind = TD_FORM_CHOICE, .required = TRUE, .codes = product_codes,
    .words = product_words },
  { .key = "substance", .label = N_ ("Active substance"), .kind = TD_FORM_CHOICE, .required = TRUE,
    .codes = substance_codes, .words = substance_words },
  { .key = "basis", .label = N_ ("Percentages are"), .kind = TD_FORM_CHOICE, .required = TRUE, .codes = basis_codes,
    .words = basis_words },
  { .key = "percent_milli", .label = N_ ("Strength of the concentrate"), .kind = TD_FORM_STORED, .required = TRUE,
    .quantity = TD_QUANTITY_PERCENT },
  { .key = "target_percent_milli", .label = N_ ("Working strength of the label"), .kind = TD_FORM_STORED,
    .required = TRUE, .quantity = TD_QUANTITY_PERCENT },
  { .key = "density_kg_m3", .label = N_ ("Density at 20 °C"), .kind = TD_FORM_WHOLE, .unit = "kg/m³",
    .hint = N_ ("Empty where the label does not say.") },
  { .key = "caution", .label = N_ ("Cautions"), .kind = TD_FORM_PROSE,
    .hint = N_ ("In the label's own words; label and SDS come first.") },
  { .key = "classes", .label = N_ ("Hazard classes"), .kind = TD_FORM_CODES, .hint = N_ ("Codes such as skin-corr-1a.") },
  { .key = "hazards", .label = N_ ("Hazard statements"), .kind = TD_FORM_CODES, .hint = N_ ("Such as H290, H314.") },
  { .key = "precautions", .label = N_ ("Precautionary statements"), .kind = TD_FORM_CODES,
    .hint = N_ ("Such as P280.") },
  { .key = "protection", .label = N_ ("What to wear"), .kind = TD_FORM_CODES, .hint = N_ ("Such as goggles, gloves.") },
  { .key = "never_with", .label = N_ ("Never together with"), .kind = TD_FORM_CODES, .hint = N_ ("Such as acid.") },
};

static const char *const product_summary[] = { "kind", "percent_milli", "basis", NULL };

const TdFormType td_form_product = {
  .title = N_ ("Product"), .plural = N_ ("Products"), .new_title = N_ ("New product"), FIELDS (product_fields),
  .title_keys = name_keys, .summary_keys = product_summary, .head = FILE_HEAD ("products") "[", .tail = "]}", .check = check_company_file,
};

static const TdFormField lot_fields[] = {
  { .key = "id", .kind = TD_FORM_KEY },
  { .key = "product", .label = N_ ("Product"), .kind = TD_FORM_REFERENCE, .required = TRUE, .refers = "products" },
  { .key = "code", .label = N_ ("Lot"), .required = TRUE, .hint = N_ ("As printed on the container.") },
  { .key = "received", .label = N_ ("Received on"), .kind = TD_FORM_DATE, .required = TRUE },
  { .key = "expiry", .label = N_ ("Use before"), .kind = TD_FORM_DATE },
  { .key = "recalled", .label = N_ ("Called back by the maker"), .kind = TD_FORM_SWITCH },
};

static const char *const lot_titles[] = { "code", NULL };
static const char *const lot_summary[] = { "product", "expiry", NULL };

const TdFormType td_form_lot = {
  .title = N_ ("Lot"), .plural = N_ ("Lots"), .new_title = N_ ("New lot"), FIELDS (lot_fields), .title_keys = lot_titles, .summary_keys = lot_summary,
  .head = FILE_HEAD ("lots") "[", .tail = "]}", .check = check_company_file,
};
