/* core-network-read.h: a network as JSON, "tundish-network/1", and its answer. */
#pragma once

#include "core-json.h"
#include "core-network.h"

G_BEGIN_DECLS

#define TD_NETWORK_FORMAT "tundish-network/1"

/* Reads {"format", "name"?, "fluid": {"density_kg_m3", "viscosity_pa_s"},
 * "pump": {"height_m"?, "curve" | "curve_kpa"}, "bucket"?: {"height_m"?}, "return": "submerged" | "open",
 * "chain": [member, ...]}.  A member is {"type": "tube", "id", "length_m", "bore_mm",
 * "roughness_mm"? (0.0015, drawn plastic), "k"? (0), "rise_m"? (0)} or {"type": "parallel" | "open",
 * "branches": [[member, ...], ...]}.  Heights are 0 where left out; "return" may be left out where the
 * chain ends in an open group.  Strict: unknown and missing keys, empty chains and whatever
 * core-network.h refuses are errors that name line and column.
 * Returns: (transfer full): the network or NULL. */
TdNetwork *td_network_from_json (const TdJson *json, GError **error);

/* td_json_parse() and td_network_from_json() in one. */
TdNetwork *td_network_parse (const char *text, gssize length, GError **error);

/* {"pump_flow_l_min", "pump_head_m", "max_pressure_kpa", "min_pressure_kpa", "shut_off_kpa", "uncertain",
 * "tubes": [{"id", "flow_l_min", "velocity_m_s", "reynolds", "head_loss_m", "regime"}],
 * "warnings": [sentence, ...]}.  Returns: (transfer full). */
TdJson *td_network_answer_to_json (const TdNetworkAnswer *answer);

G_END_DECLS
