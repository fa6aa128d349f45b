/* core-money.h: money as whole minor units, rounded once.
 *
 * Amounts are gint64 minor units (cents) of one currency.  A product is computed exactly and rounded
 * once, half away from zero (commercial rounding; EN 16931 asks for two decimals after computing). */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

/* Decimals of a currency (ISO 4217:2015 list one, "minor unit"); -1 where @code is no currency that money
 * is counted in.  Case matters: "EUR". */
int td_currency_get_decimals (const char *code);

/* @factor / @divisor of @amount, exact in between, rounded half away from zero. @divisor > 0.
 * Returns FALSE with TD_ERROR_RANGE where the result does not fit. */
gboolean td_money_scale (gint64 amount, gint64 factor, gint64 divisor, gint64 *result_out, GError **error);

/* @percent_milli: thousandths of a percent, 19000 is 19 %. */
gboolean td_money_get_percent (gint64 amount, gint64 percent_milli, gint64 *result_out, GError **error);

/* Adds with overflow told (TD_ERROR_RANGE). */
gboolean td_money_add (gint64 *sum, gint64 amount, GError **error);

/* Returns: (transfer full): "-1234.50" with the currency's decimals, a point, no grouping: for files. */
char *td_money_to_plain_text (gint64 amount, const char *currency);
/* Returns: (transfer full): "1,234.50 EUR" for people: grouped by three, no-break spaces. */
char *td_money_to_text (gint64 amount, const char *currency);
/* Reads "1234.50" or "-3", a point, at most the currency's decimals. TD_ERROR_PARSE otherwise. */
gboolean td_money_parse (const char *text, const char *currency, gint64 *amount_out, GError **error);

/* A count of thousandths as a decimal number, without zeros at its end: 13500 is "13.5".  (transfer full) */
char *td_milli_to_text (gint64 milli);
/* Reads what td_milli_to_text() writes, with at most three decimals; FALSE for anything else. */
gboolean td_milli_parse (const char *text, gint64 *milli_out);

G_END_DECLS
