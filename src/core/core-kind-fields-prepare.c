#include "core-kind-private.h"

/* Fields of the acts before any chemical: arrive, plan, make safe. */

#define LINES { "lines", TD_FIELD_LINES, TRUE, .text = N_("The lines (outlets) it was done to.") }
#define END { NULL }
#define KEG "full|part|nearly-empty|empty"

/* clang-format off */
static const TdField lines_only[] = { LINES, END };

static const TdField arrival[] = {
  { "site", TD_FIELD_TEXT, TRUE, .text = N_("The site's id in the book.") },
  { "amends", TD_FIELD_UUID, FALSE, .text = N_("The closed visit that this one amends.") },
  { "work", TD_FIELD_CHOICE, TRUE, "routine|call-out|re-clean|amendment",
    .text = N_("Why the visit is made.") },
  { "out_of_hours", TD_FIELD_CHOICE, FALSE, "no|yes", .text = N_("Outside the agreed hours.") },
  { "crew", TD_FIELD_TEXTS, FALSE,
    .text = N_("Ids of the technicians besides the person of the entry.") },
  { "sds_at_hand", TD_FIELD_CHOICE, FALSE, "yes|no",
    .text = N_("Safety data sheets and emergency numbers are at hand.") },
  { "text", TD_FIELD_PROSE, FALSE, .text = N_("Anything else.") },
  END
};

static const TdField as_found[] = {
  LINES,
  { "pressure_pa", TD_FIELD_INTEGER, FALSE, NULL, 0, 1000000, N_("Gauge pressure on the keg.") },
  { "temperature_c_milli", TD_FIELD_INTEGER, FALSE, NULL, -20000, 60000,
    N_("Temperature of the beer.") },
  { "lever", TD_FIELD_CHOICE, FALSE, "out|in|none",
    .text = N_("Where the beer pump's direction lever stands.") },
  { "keg", TD_FIELD_CHOICE, FALSE, KEG "|none", .text = N_("What is left in the keg.") },
  { "gas", TD_FIELD_CHOICE, FALSE, "on|off", .text = N_("Whether the gas is on.") },
  { "text", TD_FIELD_PROSE, FALSE, .text = N_("Anything else.") },
  END
};

static const TdField staff_told[] = {
  { "tower", TD_FIELD_TOWER, TRUE, .text = N_("The bar whose staff was told.") },
  { "name", TD_FIELD_TEXT, TRUE, .text = N_("Who was told.") },
  END
};

static const TdField cold_room_checked[] = {
  { "cooler", TD_FIELD_COOLER, TRUE, .text = N_("The cold room.") },
  { "co2", TD_FIELD_CHOICE, TRUE, "normal|high|no-instrument",
    .text = N_("Carbon dioxide in its air.") },
  { "co2_ppm", TD_FIELD_INTEGER, FALSE, NULL, 0, 100000, N_("The reading.") },
  { "access", TD_FIELD_CHOICE, TRUE, "clear|blocked", .text = N_("Whether one gets in and out.") },
  { "text", TD_FIELD_PROSE, FALSE, .text = N_("Anything else.") },
  END
};

static const TdField scope[] = {
  { "clean", TD_FIELD_CHOICE, TRUE, "caustic|acid", .text = N_("Which clean was agreed.") },
  { "lines", TD_FIELD_LINES, TRUE, .text = N_("The lines that get it.") },
  END
};

static const TdField plan_adopted[] = {
  { "plan", TD_FIELD_PLAN, TRUE,
    .text = N_("Circuits with their legs in order of flow, and static lines.") },
  { "source", TD_FIELD_CHOICE, TRUE, "hand|planner", .text = N_("Who made it.") },
  { "certificate", TD_FIELD_OBJECT, FALSE,
    .text = N_("What shows that no plan is better, as tundish-certificate/1.") },
  { "certificate_sha256", TD_FIELD_HASH, FALSE,
    .text = N_("Hash of the certificate's canonical bytes, also where it is too long to be kept.") },
  { "minutes", TD_FIELD_INTEGER, FALSE, NULL, 0, 1440, N_("Minutes that it is expected to take.") },
  { "predicted", TD_FIELD_OBJECT, FALSE,
    .text = N_("What is expected of each circuit: circuits, a list of number, flow_ml_min, "
               "fill_s, volume_ml, velocity_mm_s, rinse_s, rinse_ml.") },
  END
};

static const TdField tag_hung[] = {
  { "tag", TD_FIELD_TAG, TRUE, .text = N_("The name of the tag within the visit.") },
  { "tag_kind", TD_FIELD_CHOICE, TRUE, "tag|lock|handle-removed|faucet-removed",
    .text = N_("What holds the outlet.") },
  { "at", TD_FIELD_CHOICE, TRUE, "outlet|gas|power|cooling", .text = N_("What it holds.") },
  { "line", TD_FIELD_LINE, FALSE, .text = N_("The outlet.") },
  { "place", TD_FIELD_TEXT, FALSE, .text = N_("Where it hangs, in words.") },
  { "legend", TD_FIELD_TEXT, FALSE, .text = N_("What it says.") },
  END
};

static const TdField tag_only[] = {
  { "tag", TD_FIELD_TAG, TRUE, .text = N_("The tag.") },
  END
};

static const TdField tag_removed[] = {
  { "tag", TD_FIELD_TAG, TRUE, .text = N_("The tag.") },
  { "absent_verified", TD_FIELD_CHOICE, FALSE, "yes",
    .text = N_("Its owner was verified to be away (employer procedure).") },
  { "contact_tried", TD_FIELD_CHOICE, FALSE, "yes",
    .text = N_("Its owner was tried to be reached (employer procedure).") },
  { "told_before_return", TD_FIELD_CHOICE, FALSE, "yes",
    .text = N_("Its owner is told before coming back to work (employer procedure).") },
  END
};

static const TdField hand_over[] = {
  { "to", TD_FIELD_TEXT, TRUE, .text = N_("The technician who owns the tags from now on.") },
  { "tags", TD_FIELD_TEXTS, FALSE, .text = N_("Which; all of the person's where left out.") },
  END
};

static const TdField gas[] = {
  { "gas", TD_FIELD_CHOICE, TRUE, "beer-pump|keg",
    .text = N_("Drive gas of the beer pumps, or gas on the kegs.") },
  LINES,
  END
};

static const TdField cooling[] = {
  { "place", TD_FIELD_TEXT, TRUE,
    .text = N_("Id of the cooler, or of the tower whose line cooling it is.") },
  END
};

static const TdField protection_on[] = {
  { "eyes", TD_FIELD_CHOICE, TRUE, "yes|no", .text = N_("Eye protection.") },
  { "gloves", TD_FIELD_CHOICE, TRUE, "yes|no", .text = N_("Gloves.") },
  { "apron", TD_FIELD_CHOICE, FALSE, "yes|no", .text = N_("Apron.") },
  END
};

static const TdField keg_uncoupled[] = {
  LINES,
  { "keg", TD_FIELD_CHOICE, FALSE, KEG, .text = N_("What is left in the keg.") },
  END
};

static const TdField ends_joined[] = {
  { "ends", TD_FIELD_CHOICE, TRUE, "keg|faucet", .text = N_("Which ends.") },
  { "by", TD_FIELD_CHOICE, TRUE, "manifold|jumper", .text = N_("With what.") },
  LINES,
  END
};
/* clang-format on */

static const TdField *const table[TD_N_KINDS] = {
  [TD_KIND_ARRIVAL] = arrival,
  [TD_KIND_AS_FOUND] = as_found,
  [TD_KIND_STAFF_TOLD] = staff_told,
  [TD_KIND_COLD_ROOM_CHECKED] = cold_room_checked,
  [TD_KIND_SCOPE] = scope,
  [TD_KIND_PLAN_ADOPTED] = plan_adopted,
  [TD_KIND_LINE_PROVED] = lines_only,
  [TD_KIND_TAG_HUNG] = tag_hung,
  [TD_KIND_TAG_LIFTED] = tag_only,
  [TD_KIND_TAG_HUNG_AGAIN] = tag_only,
  [TD_KIND_TAG_REMOVED] = tag_removed,
  [TD_KIND_HAND_OVER] = hand_over,
  [TD_KIND_GAS_OFF] = gas,
  [TD_KIND_GAS_ON] = gas,
  [TD_KIND_COOLING_OFF] = cooling,
  [TD_KIND_COOLING_ON] = cooling,
  [TD_KIND_PROTECTION_ON] = protection_on,
  [TD_KIND_KEG_UNCOUPLED] = keg_uncoupled,
  [TD_KIND_ADAPTER_FITTED] = lines_only,
  [TD_KIND_CHECK_BALL_OUT] = lines_only,
  [TD_KIND_ENDS_JOINED] = ends_joined,
  [TD_KIND_FOB_OPENED] = lines_only,
  [TD_KIND_LEVER_SET] = lines_only,
};

const TdField *
td_kind_fields_prepare (TdKind kind)
{
  g_return_val_if_fail ((guint) kind < TD_N_KINDS, NULL);

  return table[kind];
}
