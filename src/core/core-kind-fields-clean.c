#include "core-kind-private.h"

/* Fields of the acts around the chemical: mix, contact, rinse, put back. */

#define END { NULL }
#define LINES { "lines", TD_FIELD_LINES, TRUE, .text = N_("The lines (outlets) it was done to.") }
/* Exactly one of the two, see core-kind-conditions.c. */
#define CIRCUIT_OR_LINES \
  { "circuit", TD_FIELD_CIRCUIT, FALSE, .text = N_("The circuit, if done to a whole one.") }, \
  { "lines", TD_FIELD_LINES, FALSE, .text = N_("The lines, if done to single ones.") }
#define CIRCUIT { "circuit", TD_FIELD_CIRCUIT, TRUE, .text = N_("The circuit.") }
#define BATCH { "batch", TD_FIELD_BATCH, TRUE, .text = N_("The name of the mix within the visit.") }
#define BASIS "w/w|w/v|v/v"
#define KNOWN \
  { "known", TD_FIELD_CHOICE, TRUE, "measured|accepted|estimated", \
    .text = N_("How the figure is known.") }
#define INSTRUMENT \
  { "instrument", TD_FIELD_INSTRUMENT, FALSE, .text = N_("What it was measured with.") }

/* clang-format off */
static const TdField lines_only[] = { LINES, END };
static const TdField circuit_only[] = { CIRCUIT, END };
static const TdField circuit_or_lines[] = { CIRCUIT_OR_LINES, END };

static const TdField solution_mixed[] = {
  BATCH,
  { "product", TD_FIELD_PRODUCT, TRUE, .text = N_("The concentrate.") },
  { "lot", TD_FIELD_LOT, FALSE, .text = N_("Its lot.") },
  { "concentrate_ml", TD_FIELD_INTEGER, FALSE, NULL, 0, 200000, N_("Concentrate taken.") },
  { "water_ml", TD_FIELD_INTEGER, FALSE, NULL, 0, 2000000, N_("Water it was put into.") },
  { "percent_milli", TD_FIELD_INTEGER, FALSE, NULL, 1, 100000, N_("Strength as mixed.") },
  { "basis", TD_FIELD_CHOICE, FALSE, BASIS,
    .text = N_("What the strength is a share of; the product's where left out.") },
  { "temperature_c_milli", TD_FIELD_INTEGER, FALSE, NULL, 0, 100000,
    N_("Temperature of the solution.") },
  KNOWN,
  INSTRUMENT,
  END
};

static const TdField strength_measured[] = {
  BATCH,
  { "percent_milli", TD_FIELD_INTEGER, TRUE, NULL, 0, 100000, N_("Strength.") },
  { "basis", TD_FIELD_CHOICE, TRUE, BASIS, .text = N_("What it is a share of.") },
  { "method", TD_FIELD_CHOICE, TRUE, "titration|drops|strip|hydrometer|refractometer",
    .text = N_("How it was measured.") },
  INSTRUMENT,
  KNOWN,
  END
};

static const TdField cleaning_pump_on[] = {
  CIRCUIT,
  { "flow_ml_min", TD_FIELD_INTEGER, FALSE, NULL, 0, 100000, N_("Flow, by bucket and watch.") },
  END
};

static const TdField beer_pushed_out[] = {
  CIRCUIT_OR_LINES,
  { "lost_ml", TD_FIELD_INTEGER, TRUE, NULL, 0, 1000000, N_("Beer lost.") },
  { "by", TD_FIELD_CHOICE, TRUE, "water|solution", .text = N_("What pushed it out.") },
  KNOWN,
  END
};

static const TdField chemical_in[] = { CIRCUIT_OR_LINES, BATCH, END };

static const TdField flow_seen[] = {
  LINES,
  { "direction", TD_FIELD_CHOICE, TRUE, "in|out",
    .text = N_("in: from faucet to keg; out: from keg to faucet.") },
  END
};

static const TdField chemical_seen[] = {
  CIRCUIT_OR_LINES,
  BATCH,
  { "shut", TD_FIELD_CHOICE, FALSE, "yes",
    .text = N_("The faucet is shut: a static line's clock starts.") },
  END
};

static const TdField ph_read[] = {
  { "of", TD_FIELD_CHOICE, TRUE, "tap|outlet",
    .text = N_("Tap water, or what comes out of lines.") },
  { "lines", TD_FIELD_LINES, FALSE, .text = N_("The lines.") },
  { "ph_milli", TD_FIELD_INTEGER, TRUE, NULL, 0, 14000, N_("The reading.") },
  INSTRUMENT,
  KNOWN,
  END
};

static const TdField debris_seen[] = {
  LINES,
  { "debris", TD_FIELD_CHOICE, TRUE, "none|some|heavy",
    .text = N_("What the rinse water carries.") },
  END
};

static const TdField rinse_water[] = {
  CIRCUIT_OR_LINES,
  { "water_ml", TD_FIELD_INTEGER, TRUE, NULL, 0, 2000000, N_("Water used.") },
  KNOWN,
  END
};

static const TdField solution_disposed[] = {
  { "batch", TD_FIELD_BATCH, FALSE, .text = N_("The mix that was left over.") },
  { "volume_ml", TD_FIELD_INTEGER, TRUE, NULL, 0, 2200000, N_("How much.") },
  { "ph_milli", TD_FIELD_INTEGER, FALSE, NULL, 0, 14000, N_("Its pH when it went.") },
  { "drain", TD_FIELD_CHOICE, TRUE, "sewer|neutralised|carried-away",
    .text = N_("Where it went.") },
  KNOWN,
  END
};

static const TdField ends_parted[] = {
  { "ends", TD_FIELD_CHOICE, TRUE, "keg|faucet", .text = N_("Which ends.") },
  { "by", TD_FIELD_CHOICE, TRUE, "manifold|jumper", .text = N_("What had joined them.") },
  LINES,
  END
};

static const TdField keg_coupled[] = {
  LINES,
  { "product", TD_FIELD_TEXT, FALSE, .text = N_("The beer, where it is another than before.") },
  { "keg", TD_FIELD_CHOICE, FALSE, "full|part|nearly-empty|empty",
    .text = N_("What is in the keg.") },
  END
};

static const TdField product_now[] = {
  LINES,
  { "product", TD_FIELD_TEXT, TRUE, .text = N_("The beer.") },
  END
};
/* clang-format on */

static const TdField *const table[TD_N_KINDS] = {
  [TD_KIND_SOLUTION_MIXED] = solution_mixed,
  [TD_KIND_STRENGTH_MEASURED] = strength_measured,
  [TD_KIND_CLEANING_PUMP_ON] = cleaning_pump_on,
  [TD_KIND_CLEANING_PUMP_OFF] = circuit_only,
  [TD_KIND_BEER_PUSHED_OUT] = beer_pushed_out,
  [TD_KIND_CHEMICAL_IN] = chemical_in,
  [TD_KIND_FLOW_SEEN] = flow_seen,
  [TD_KIND_RETURN_IN_BUCKET] = circuit_only,
  [TD_KIND_CHEMICAL_SEEN] = chemical_seen,
  [TD_KIND_FOB_FLOODED] = lines_only,
  [TD_KIND_FAUCET_STRIPPED] = lines_only,
  [TD_KIND_COUPLER_BRUSHED] = lines_only,
  [TD_KIND_FOB_STRIPPED] = lines_only,
  [TD_KIND_COUPLER_STRIPPED] = lines_only,
  [TD_KIND_CONTACT_ENDED] = circuit_or_lines,
  [TD_KIND_RINSE_STARTED] = circuit_or_lines,
  [TD_KIND_RINSE_CIRCULATED] = circuit_only,
  [TD_KIND_FOB_RINSED] = lines_only,
  [TD_KIND_PH_READ] = ph_read,
  [TD_KIND_DEBRIS_SEEN] = debris_seen,
  [TD_KIND_RINSE_WATER] = rinse_water,
  [TD_KIND_SOLUTION_DISPOSED] = solution_disposed,
  [TD_KIND_FAUCET_REBUILT] = lines_only,
  [TD_KIND_LEVER_SET_BACK] = lines_only,
  [TD_KIND_CHECK_BALL_IN] = lines_only,
  [TD_KIND_ENDS_PARTED] = ends_parted,
  [TD_KIND_ADAPTER_REMOVED] = lines_only,
  [TD_KIND_VALVE_WELL_DRIED] = lines_only,
  [TD_KIND_KEG_COUPLED] = keg_coupled,
  [TD_KIND_FOB_VENTED] = lines_only,
  [TD_KIND_BEER_CLEAR] = lines_only,
  [TD_KIND_PRODUCT_NOW] = product_now,
};

const TdField *
td_kind_fields_clean (TdKind kind)
{
  g_return_val_if_fail ((guint) kind < TD_N_KINDS, NULL);

  return table[kind];
}
