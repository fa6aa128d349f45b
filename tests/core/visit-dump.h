/* visit-dump.h: a folded visit as text, to compare two of them. */
#pragma once

#include "core-visit.h"

/* Every figure of the state by the time it happened and never by seq, so that the same acts under
 * other numbers give the same text; corrections are left out. (transfer full) */
char *visit_dump (const TdVisit *visit);
