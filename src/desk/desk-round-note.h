/* desk-round-note.h: a planned visit that was missed or moved: asked for in a form, and written down for good. */
#pragma once

#include "desk-ask-form.h"
#include "desk-context.h"
#include "model-round.h"

G_BEGIN_DECLS

/* Asks for a visit of the site of @round. @move: to another day; else it was missed. The form's "answered" tells
 * "miss" or "move". */
void td_round_note_ask (TdAskForm *form, TdContext *context, const TdRound *round, gboolean move);

/* Writes down what was answered. What is wrong with it is said in the form, and nothing is called then; else
 * @callback ends with td_queue_run_finish(), without an answer. */
void td_round_note_write (TdAskForm *form,
                          TdContext *context,
                          const char *site_id,
                          gboolean move,
                          GCancellable *cancellable,
                          GAsyncReadyCallback callback,
                          gpointer user_data);

G_END_DECLS
