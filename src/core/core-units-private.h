/* core-units-private.h: the table of units. */
#pragma once

#include "core-units.h"

G_BEGIN_DECLS

typedef struct
{
  TdQuantity quantity;
  const char *symbol;
  const char *spellings; /* lower case, apart by '|', besides the symbol */
  double factor;         /* units of computing in one of these */
  double zero;           /* what this unit calls the zero of the unit of computing's scale */
} TdUnitInfo;

const TdUnitInfo *td_unit_get_info (TdUnit unit);
/* "a volume", for messages. */
const char *td_quantity_get_name (TdQuantity quantity);

G_END_DECLS
