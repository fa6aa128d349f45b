/* demo-company.h: the invented company's file, moved in time to where a demonstration stands. */
#pragma once

#include "core-time.h"

G_BEGIN_DECLS

/* @text: a company file whose dates were written for a demonstration that stands at TD_DEMO_NOW.
 * Every date in it is moved by @shift_days, and older lots of each product are put before its first,
 * so that every visit since @oldest finds one in date.
 * Returns: (transfer full): the file, or NULL with TD_ERROR. */
char *td_demo_company_move (const char *text, gssize length, int shift_days, TdDate oldest, GError **error);

G_END_DECLS
