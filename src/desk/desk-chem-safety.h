/* desk-chem-safety.h: a lot called back by its maker, and the safety data sheet of a product, asked for in a form and
 * written to the book. */
#pragma once

#include "desk-ask-form.h"
#include "desk-chem-job.h"
#include "desk-context.h"

G_BEGIN_DECLS

/* Asks whether the lot was called back, or, where it is marked so, whether the mark goes. "answered" tells "recall"
 * or "restore". @product: its name. */
void td_chem_safety_ask_recall (TdAskForm *form, const TdLot *lot, const char *product);
/* @callback ends with td_queue_run_finish(), without an answer. */
void td_chem_safety_recall (TdContext *context, const char *lot, gboolean recalled, GAsyncReadyCallback callback,
                            gpointer user_data);

/* Asks for the date of the sheet at @path. "answered" tells "sheet". @product: its name. */
void td_chem_safety_ask_sheet (TdAskForm *form, const char *product, const char *path);
/* Keeps the sheet. @product: its id. FALSE where the date is wrong, which is then said in the form; @callback is not
 * called then. */
gboolean td_chem_safety_keep_sheet (TdAskForm *form, TdContext *context, const char *product, const char *path,
                                    GAsyncReadyCallback callback, gpointer user_data);

G_END_DECLS
