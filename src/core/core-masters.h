/* core-masters.h: what a book knows apart from sites and visits: products, lots, people, instruments.
 *
 * Immutable and reference counted; read by the checks of a journal entry and by the fold, so that core
 * needs no book.  Arrays are in the order of their ids by byte; the finders rely on it. */
#pragma once

#include "core-json.h"
#include "core-party.h"
#include "core-time.h"

G_BEGIN_DECLS

typedef enum
{
  TD_PRODUCT_CAUSTIC,
  TD_PRODUCT_CAUSTIC_CHLORINATED, /* never with acid: EUH031 */
  TD_PRODUCT_ACID,
  TD_PRODUCT_OTHER
} TdProductKind;

/* What a percentage is a share of. */
typedef enum
{
  TD_BASIS_W_W, /* g of active substance in 100 g of solution */
  TD_BASIS_W_V, /* g of active substance in 100 mL of solution */
  TD_BASIS_V_V  /* mL of concentrate in 100 mL of solution */
} TdBasis;

/* What a label says of a product, by code (core-safety.h). */
typedef enum
{
  TD_SAFETY_CLASS,      /* "skin-corr-1a" */
  TD_SAFETY_HAZARD,     /* "H314" */
  TD_SAFETY_PRECAUTION, /* "P280" */
  TD_SAFETY_PROTECTION, /* what to wear: "gloves" */
  TD_SAFETY_NEVER_WITH, /* what it must never meet: "acid" */
  TD_N_SAFETY
} TdSafetyPart;

typedef struct
{
  char *id;
  char *name;
  TdProductKind kind;
  char *substance;       /* "naoh", "koh", "h3po4", ... */
  gint64 percent_milli;  /* strength of the concentrate, 0.001 % in its basis */
  gint64 density_kg_m3;  /* of the concentrate at 20 C; 0 where the label does not say */
  TdBasis basis;
  gint64 target_percent_milli; /* the label's working strength */
  gboolean retired;      /* kept for old entries, not offered any more; never in a file */
  char *caution;         /* the label's own words for the people at the site, NULL where none */
  char **safety[TD_N_SAFETY]; /* codes, NULL-terminated; NULL where the book has none */
  TdDate sds_revised;    /* date of the newest safety data sheet that the book holds, TD_DATE_NONE without one */
  char *sds_sha256;      /* its hash, NULL without one; filled in by the book, not by a company file */
} TdProduct;

typedef struct
{
  char *id;
  char *product;    /* id */
  char *code;       /* as printed on the container */
  TdDate received;
  TdDate expiry;    /* TD_DATE_NONE where not said */
  gboolean recalled;
  gboolean retired; /* as TdProduct has it */
} TdLot;

typedef struct
{
  char *id;
  char *name;
  char *certificate;   /* NULL where none */
  TdDate certificate_expiry; /* TD_DATE_NONE where none */
  gboolean retired;          /* as TdProduct has it */
} TdTechnician;

typedef enum
{
  TD_INSTRUMENT_PH_METER,
  TD_INSTRUMENT_PH_STRIP,
  TD_INSTRUMENT_THERMOMETER,
  TD_INSTRUMENT_PRESSURE_GAUGE,
  TD_INSTRUMENT_TITRATION_KIT,
  TD_INSTRUMENT_MEASURING_JUG,
  TD_INSTRUMENT_OTHER
} TdInstrumentKind;

typedef struct
{
  char *id;
  char *name;
  TdInstrumentKind kind;
  TdDate calibrated;      /* TD_DATE_NONE where not said */
  TdDate calibration_due; /* TD_DATE_NONE where it needs none */
  gboolean retired;       /* as TdProduct has it */
} TdInstrument;

/* By which code an accounting program knows what the book calls by @id (core-ledger.h). */
typedef struct
{
  char *id; /* "receivable", "revenue-part", "tax-13.5", ... */
  char *code;
} TdLedgerAccount;

typedef struct _TdMasters
{
  char *company; /* NULL until it is named */
  char *company_address;
  char *company_phone;
  char *emergency_phone; /* printed beside the cautions */
  char *company_tax_id;  /* as the seller on invoices */
  char *company_payment; /* where and how to pay, as printed on invoices */
  char *company_city;    /* what an electronic invoice tells of the seller, from here on */
  char *company_postcode;
  char *company_region;
  char *company_country;
  char *company_email;
  char *company_contact;
  char *company_registration; /* in the register of companies */
  char *company_endpoint;     /* electronic address, TD_PARTY_ENDPOINT */
  char *company_iban;
  char *company_bic;
  TdProduct *products;
  guint n_products;
  TdLot *lots;
  guint n_lots;
  TdTechnician *technicians;
  guint n_technicians;
  TdInstrument *instruments;
  guint n_instruments;
  TdLedgerAccount *ledger; /* what is not among them has its standard code */
  guint n_ledger;
} TdMasters;

/* All texts of the company, of TdMasters; keys as in the company file and columns as in the book. */
extern const TdPartyField td_company_fields[];

#define TD_COMPANY_FORMAT "tundish-company/1"

/* Reads a company file; every section may be missing, and of its keys those marked *:
 *   {"format": "tundish-company/1",
 *    "company": {"name"*, "address"*, "phone"*, "emergency_phone"*, "tax_id"*, "payment"*,
 *                "city"*, "postcode"*, "region"*, "country"*: "IE", "email"*, "contact"*, "registration"*,
 *                "endpoint"*: "EM:bills@example.org", "iban"*, "bic"*},
 *    "products": [{"id": "lye", "name": "Line cleaner", "kind": "caustic", "substance": "naoh",
 *                  "basis": "w/w", "percent_milli": 30000, "target_percent_milli": 2000,
 *                  "density_kg_m3"*: 1328, "caution"*: "...",
 *                  "classes"*: ["skin-corr-1a"], "hazards"*: ["H290", "H314"], "precautions"*: ["P280"],
 *                  "protection"*: ["goggles", "gloves"], "never_with"*: ["acid"]}],
 *    "lots": [{"id": "lye-7", "product": "lye", "code": "24-118", "received": "2026-01-12",
 *              "expiry"*: "2027-06-30", "recalled"*: true}],
 *    "technicians": [{"id": "t1", "name": "...", "certificate"*: "...", "certificate_expiry"*: "2028-01-31"}],
 *    "instruments": [{"id": "ph1", "name": "...", "kind": "ph-meter", "calibrated"*: "2026-02-20",
 *                     "calibration_due"*: "2026-08-20"}],
 *    "ledger": [{"id": "receivable", "code": "1400"}]}
 * kind of a product: caustic, caustic-chlorinated, acid, other; of an instrument: ph-meter, ph-strip,
 * thermometer, pressure-gauge, titration-kit, measuring-jug, other; an id of the ledger is one that
 * td_ledger_is_id() takes.  A percentage is of its basis (w/w,
 * w/v, v/v) in 0.001 %, the target not above the strength; density 500..2500.  Codes of classes,
 * statements, protection and what must never meet are those of core-safety.def.  Strict as the site sheet:
 * unknown keys, doubled ids, wrong types, dates that do not exist are errors with line and column.  The
 * product of a lot may stand elsewhere: td_masters_check_references().
 * Returns: (transfer full): the masters or NULL. */
TdMasters *td_masters_from_json (const TdJson *json, GError **error);
/* Returns: (transfer full): the same file back, rows by id, what is not known left out. */
TdJson *td_masters_to_json (const TdMasters *masters);
/* An empty one. */
TdMasters *td_masters_new (void);
TdMasters *td_masters_ref (TdMasters *masters);
void td_masters_unref (TdMasters *masters);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdMasters, td_masters_unref)

/* Returns: (transfer none) (nullable): the row with that id; @id may be NULL. */
const TdProduct *td_masters_find_product (const TdMasters *masters, const char *id);
const TdLot *td_masters_find_lot (const TdMasters *masters, const char *id);
const TdTechnician *td_masters_find_technician (const TdMasters *masters, const char *id);
const TdInstrument *td_masters_find_instrument (const TdMasters *masters, const char *id);
const TdLedgerAccount *td_masters_find_ledger (const TdMasters *masters, const char *id);

/* FALSE with TD_ERROR_REFERENCE where a lot's product is not among the products. */
gboolean td_masters_check_references (const TdMasters *masters, GError **error);

/* Each kind and basis as the company file spells it. */
const char *td_product_kind_to_text (TdProductKind kind);
const char *td_basis_to_text (TdBasis basis); /* "w/w", "w/v", "v/v" */
gboolean td_basis_from_text (const char *text, TdBasis *basis_out);
const char *td_instrument_kind_to_text (TdInstrumentKind kind);

G_END_DECLS
