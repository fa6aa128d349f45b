/* desk-chem-view.h: the parts of the place of chemicals.  Each shows one reading of the book (borrowed until
 * the next, or NULL) and asks the page for a new one by the signal "changed". */
#pragma once

#include "desk-chem-job.h"
#include "desk-context.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

/* The sums: by product, lot, place, site, technician, method or month, with bars. */
#define TD_TYPE_CHEM_SUMS (td_chem_sums_get_type ())
/* Action "sums.save" asks where the account is saved as CSV. Property "by" (uint): a TdChemBy. */
G_DECLARE_FINAL_TYPE (TdChemSums, td_chem_sums, TD, CHEM_SUMS, GtkWidget)
void td_chem_sums_show (TdChemSums *self, const TdChemLoaded *loaded);
/* Writes the account as CSV; says in @error what went wrong. */
gboolean td_chem_sums_save (TdChemSums *self, const char *path, GError **error);

/* What is where, the ledger, and the forms that write into it. */
#define TD_TYPE_CHEM_STOCK (td_chem_stock_get_type ())
/* Action "stock.enter" (s: "receipt", "transfer", "disposal", "count") opens a form; "stock.sheet" asks for the safety data
 * sheet of the chosen row's product. */
G_DECLARE_FINAL_TYPE (TdChemStock, td_chem_stock, TD, CHEM_STOCK, GtkWidget)
void td_chem_stock_set_context (TdChemStock *self, TdContext *context);
/* The second half of "stock.sheet": asks for the date of the sheet at @path. @product: its id. */
void td_chem_stock_take_sheet (TdChemStock *self, const char *product, const char *path);
void td_chem_stock_show (TdChemStock *self, const TdChemLoaded *loaded);

/* Exceptions, what was found out about them, and the way to their visits. */
#define TD_TYPE_CHEM_EXCEPTIONS (td_chem_exceptions_get_type ())
/* Actions "exception.acknowledge", "exception.show-visit": of the chosen one. */
G_DECLARE_FINAL_TYPE (TdChemExceptions, td_chem_exceptions, TD, CHEM_EXCEPTIONS, GtkWidget)
void td_chem_exceptions_set_context (TdChemExceptions *self, TdContext *context);
void td_chem_exceptions_show (TdChemExceptions *self, const TdChemLoaded *loaded);

/* Where a lot went, what was in a line, and what stood in it at a moment.  Action "trace.recall": marks the chosen lot as called
 * back, or takes the mark away. */
#define TD_TYPE_CHEM_TRACE (td_chem_trace_get_type ())
G_DECLARE_FINAL_TYPE (TdChemTraceView, td_chem_trace, TD, CHEM_TRACE, GtkWidget)
void td_chem_trace_set_context (TdChemTraceView *self, TdContext *context);
void td_chem_trace_show (TdChemTraceView *self, const TdChemLoaded *loaded);

/* Small things that they share. @label: accessible name, translated. */
GtkWidget *td_chem_bar_new (void);
GtkDropDown *td_chem_choice_new (const char *label);
/* Puts @words (NULL-terminated) into a drop-down and keeps the choice where it can. */
void td_chem_choice_set (GtkDropDown *choice, const char *const *words);

G_END_DECLS
