#include "core-kind-private.h"

/* What a kind asks for beyond its list of fields, as data, so that check and table agree. */
static const TdCondition conditions[] = {
  { TD_KIND_TAG_HUNG, TD_CONDITION_NEEDS, "at", "outlet", "line" },
  { TD_KIND_TAG_HUNG, TD_CONDITION_UNLESS, "at", "outlet", "place" },
  { TD_KIND_BEER_PUSHED_OUT, TD_CONDITION_ONE_OF, "circuit", NULL, "lines" },
  { TD_KIND_CHEMICAL_IN, TD_CONDITION_ONE_OF, "circuit", NULL, "lines" },
  { TD_KIND_CHEMICAL_SEEN, TD_CONDITION_ONE_OF, "circuit", NULL, "lines" },
  { TD_KIND_CONTACT_ENDED, TD_CONDITION_ONE_OF, "circuit", NULL, "lines" },
  { TD_KIND_RINSE_STARTED, TD_CONDITION_ONE_OF, "circuit", NULL, "lines" },
  { TD_KIND_RINSE_WATER, TD_CONDITION_ONE_OF, "circuit", NULL, "lines" },
  { TD_KIND_PH_READ, TD_CONDITION_NEEDS, "of", "outlet", "lines" },
  { TD_KIND_PH_READ, TD_CONDITION_ONLY, "of", "outlet", "lines" },
  { TD_KIND_TEMPERATURE_READ, TD_CONDITION_NEEDS, "of", "beer", "lines" },
  { TD_KIND_TEMPERATURE_READ, TD_CONDITION_ONLY, "of", "beer", "lines" },
  { TD_KIND_TEMPERATURE_READ, TD_CONDITION_NEEDS, "of", "solution", "batch" },
  { TD_KIND_TEMPERATURE_READ, TD_CONDITION_ONLY, "of", "solution", "batch" },
  { TD_KIND_TEMPERATURE_READ, TD_CONDITION_NEEDS, "of", "cold-room", "cooler" },
  { TD_KIND_TEMPERATURE_READ, TD_CONDITION_ONLY, "of", "cold-room", "cooler" },
  { TD_KIND_FAULT, TD_CONDITION_NEEDS, "extent", "one-line", "line" },
  { TD_KIND_PHOTO, TD_CONDITION_ONE_OF, "file", NULL, "sha256" },
  { TD_KIND_CORRECTION, TD_CONDITION_ONE_OF, "set", NULL, "void" },
  { TD_KIND_COUNTERSIGNATURE, TD_CONDITION_NEEDS, "meaning", "informed", "name" },
  { TD_KIND_COUNTERSIGNATURE, TD_CONDITION_NEEDS, "meaning", "refused", "reason" },
};

const TdCondition *
td_kind_get_conditions (gsize *n_out)
{
  g_return_val_if_fail (n_out != NULL, NULL);

  *n_out = G_N_ELEMENTS (conditions);
  return conditions;
}
