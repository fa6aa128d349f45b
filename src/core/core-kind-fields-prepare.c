#include "core-kind-private.h"

/* Fields of the acts before any chemical: arrive, plan, make safe. */

#define LINES { "lines", TD_FIELD_LINES, TRUE, .text = "The lines (outlets) it was done to." }
#define END { NULL }
#define KEG "full|part|nearly-empty|empty"

/* clang-format off */
static const TdField lines_only[] = { LINES, END };

static const TdField arrival[] = {
  { "site", TD_FIELD_TEXT, TRUE, .text = "The site's id in the book." },
  { "amends", TD_FIELD_UUID, FALSE, .text = "The closed visit that this one amends." },
  { "work", TD_FIELD_CHOICE, TRUE, "routine|call-out|re-clean|amendment",
    .text = "Why the visit is made." },
  { "out_of_hours", TD_FIELD_CHOICE, FALSE, "no|yes", .text = "Outside the agreed hours." },
  { "crew", TD_FIELD_TEXTS, FALSE,
    .text = "Ids of the technicians besides the person of the entry." },
  { "sds_at_hand", TD_FIELD_CHOICE, FALSE, "yes|no",
    .text = "Safety data sheets and emergency numbers are at hand." },
  { "text", TD_FIELD_PROSE, FALSE, .text = "Anything else." },
  END
};

static const TdField as_found[] = {
  LINES,
  { "pressure_pa", TD_FIELD_INTEGER, FALSE, NULL, 0, 1000000, "Gauge pressure on the keg." },
  { "temperature_c_milli", TD_FIELD_INTEGER, FALSE, NULL, -20000, 60000,
    "Temperature of the beer." },
  { "lever", TD_FIELD_CHOICE, FALSE, "out|in|none",
    .text = "Where the beer pump's direction lever stands." },
  { "keg", TD_FIELD_CHOICE, FALSE, KEG "|none", .text = "What is left in the keg." },
  { "gas", TD_FIELD_CHOICE, FALSE, "on|off", .text = "Whether the gas is on." },
  { "text", TD_FIELD_PROSE, FALSE, .text = "Anything else." },
  END
};

static const TdField staff_told[] = {
  { "tower", TD_FIELD_TOWER, TRUE, .text = "The bar whose staff was told." },
  { "name", TD_FIELD_TEXT, TRUE, .text = "Who was told." },
  END
};

static const TdField cold_room_checked[] = {
  { "cooler", TD_FIELD_COOLER, TRUE, .text = "The cold room." },
  { "co2", TD_FIELD_CHOICE, TRUE, "normal|high|no-instrument",
    .text = "Carbon dioxide in its air." },
  { "co2_ppm", TD_FIELD_INTEGER, FALSE, NULL, 0, 100000, "The reading." },
  { "access", TD_FIELD_CHOICE, TRUE, "clear|blocked", .text = "Whether one gets in and out." },
  { "text", TD_FIELD_PROSE, FALSE, .text = "Anything else." },
  END
};

static const TdField scope[] = {
  { "clean", TD_FIELD_CHOICE, TRUE, "caustic|acid", .text = "Which clean was agreed." },
  { "lines", TD_FIELD_LINES, TRUE, .text = "The lines that get it." },
  END
};

static const TdField plan_adopted[] = {
  { "plan", TD_FIELD_PLAN, TRUE,
    .text = "Circuits with their legs in order of flow, and static lines." },
  { "source", TD_FIELD_CHOICE, TRUE, "hand|planner", .text = "Who made it." },
  { "certificate_sha256", TD_FIELD_HASH, FALSE, .text = "Hash of the planner's certificate." },
  { "minutes", TD_FIELD_INTEGER, FALSE, NULL, 0, 1440, "Minutes that it is expected to take." },
  { "predicted", TD_FIELD_OBJECT, FALSE,
    .text = "What is expected of each circuit: circuits, a list of number, flow_ml_min, fill_s." },
  END
};

static const TdField tag_hung[] = {
  { "tag", TD_FIELD_TAG, TRUE, .text = "The name of the tag within the visit." },
  { "tag_kind", TD_FIELD_CHOICE, TRUE, "tag|lock|handle-removed|faucet-removed",
    .text = "What holds the outlet." },
  { "at", TD_FIELD_CHOICE, TRUE, "outlet|gas|power|cooling", .text = "What it holds." },
  { "line", TD_FIELD_LINE, FALSE, .text = "The outlet." },
  { "place", TD_FIELD_TEXT, FALSE, .text = "Where it hangs, in words." },
  { "legend", TD_FIELD_TEXT, FALSE, .text = "What it says." },
  END
};

static const TdField tag_only[] = {
  { "tag", TD_FIELD_TAG, TRUE, .text = "The tag." },
  END
};

static const TdField tag_removed[] = {
  { "tag", TD_FIELD_TAG, TRUE, .text = "The tag." },
  { "absent_verified", TD_FIELD_CHOICE, FALSE, "yes",
    .text = "Its owner was verified to be away (employer procedure)." },
  { "contact_tried", TD_FIELD_CHOICE, FALSE, "yes",
    .text = "Its owner was tried to be reached (employer procedure)." },
  { "told_before_return", TD_FIELD_CHOICE, FALSE, "yes",
    .text = "Its owner is told before coming back to work (employer procedure)." },
  END
};

static const TdField hand_over[] = {
  { "to", TD_FIELD_TEXT, TRUE, .text = "The technician who owns the tags from now on." },
  { "tags", TD_FIELD_TEXTS, FALSE, .text = "Which; all of the person's where left out." },
  END
};

static const TdField gas[] = {
  { "gas", TD_FIELD_CHOICE, TRUE, "beer-pump|keg",
    .text = "Drive gas of the beer pumps, or gas on the kegs." },
  LINES,
  END
};

static const TdField cooling[] = {
  { "place", TD_FIELD_TEXT, TRUE,
    .text = "Id of the cooler, or of the tower whose line cooling it is." },
  END
};

static const TdField protection_on[] = {
  { "eyes", TD_FIELD_CHOICE, TRUE, "yes|no", .text = "Eye protection." },
  { "gloves", TD_FIELD_CHOICE, TRUE, "yes|no", .text = "Gloves." },
  { "apron", TD_FIELD_CHOICE, FALSE, "yes|no", .text = "Apron." },
  END
};

static const TdField keg_uncoupled[] = {
  LINES,
  { "keg", TD_FIELD_CHOICE, FALSE, KEG, .text = "What is left in the keg." },
  END
};

static const TdField ends_joined[] = {
  { "ends", TD_FIELD_CHOICE, TRUE, "keg|faucet", .text = "Which ends." },
  { "by", TD_FIELD_CHOICE, TRUE, "manifold|jumper", .text = "With what." },
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
