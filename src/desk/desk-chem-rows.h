/* desk-chem-rows.h: the chemical account as rows of tables and bars of charts. */
#pragma once

#include "desk-chem-job.h"
#include "desk-listing-view.h"
#include "draw-chart.h"

G_BEGIN_DECLS

/* By what the account is shown. */
typedef enum
{
  TD_CHEM_BY_PRODUCT,
  TD_CHEM_BY_LOT,
  TD_CHEM_BY_PLACE,
  TD_CHEM_BY_SITE,
  TD_CHEM_BY_TECHNICIAN,
  TD_CHEM_BY_METHOD,
  TD_CHEM_BY_MONTH,
  TD_N_CHEM_BY
} TdChemBy;

const char *td_chem_by_get_name (TdChemBy by); /* translated */
/* Columns for the rows below. Returns: (transfer none): static. */
const TdListingColumn *td_chem_get_columns (TdChemBy by, guint *n_out);
/* (transfer full) (element-type TdListing) */
GPtrArray *td_chem_make_rows (const TdChemLoaded *loaded, TdChemBy by);
/* Used against expected, row by row; months of the product that was used most. @shape_out: what they are
 * drawn as. (transfer full) (element-type TdChartGroup) */
GPtrArray *td_chem_make_bars (const TdChemLoaded *loaded, TdChemBy by, TdChartShape *shape_out);

/* What is where at the end of the period; the key is the place in loaded->cells. @place: (nullable): only there. */
const TdListingColumn *td_chem_get_stock_columns (guint *n_out);
GPtrArray *td_chem_make_stock (const TdChemLoaded *loaded, const char *place);
/* What came, went and was counted, the newest first. */
const TdListingColumn *td_chem_get_ledger_columns (guint *n_out);
GPtrArray *td_chem_make_ledger (const TdChemLoaded *loaded, const char *place);

/* Exceptions; the key is the place in audit->exceptions. @only: those of one kind, TD_N_EXCEPTIONS: all.
 * @open: only those that nobody has looked into. */
const TdListingColumn *td_chem_get_exception_columns (guint *n_out);
GPtrArray *td_chem_make_exceptions (const TdChemLoaded *loaded, TdExceptionId only, gboolean open);
/* How many of each kind there are, those that are; @ids_out: (out) (transfer full) (element-type guint):
 * which. (transfer full) (element-type TdChartGroup) */
GPtrArray *td_chem_make_rule_bars (const TdChemLoaded *loaded, GArray **ids_out);

/* The way of a lot or the past of a line; the key is the place in @rows. */
const TdListingColumn *td_chem_get_trace_columns (guint *n_out);
GPtrArray *td_chem_make_trace (const GPtrArray *rows);
/* "In Front bar 4 stood ... Tag 1 of Nora Quill held its outlet." @zone: (nullable): whose clocks tell. */
char *td_chem_say_moment (const TdMomentRow *moment, const TdChemLoaded *loaded, const char *line, TdZone *zone);

G_END_DECLS
