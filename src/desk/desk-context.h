/* desk-context.h: what the pages of the window share, handed in instead of reached for: the open book, the
 * preferences, the clock on the screen, where the window was. */
#pragma once

#include "desk-session.h"
#include "desk-state.h"

G_BEGIN_DECLS

#define TD_TYPE_CONTEXT (td_context_get_type ())
/* Property "queue" (TdQueue): the open book, NULL where none is.
 * Signals: "book-changed": something was written to it, by whomever; "contact-reached" (TdSession, guint
 * circuit, int outlet): as TdSession has it, of any session that is kept. */
G_DECLARE_FINAL_TYPE (TdContext, td_context, TD, CONTEXT, GObject)

/* @state: (transfer full). @settings: of the schema data/tundish.gschema.xml. @pinned_ms: 0, or UTC ms at
 * which all clocks stand (for demonstrations and tests: the books must be test books). */
TdContext *td_context_new (TdState *state, GSettings *settings, gint64 pinned_ms);

TdQueue *td_context_get_queue (TdContext *self);
TdState *td_context_get_state (TdContext *self);
GSettings *td_context_get_settings (TdContext *self);
/* The clock on the screen, for the main thread. (transfer none) */
TdClock *td_context_get_clock (TdContext *self);
gint64 td_context_get_now_ms (TdContext *self);

/* Opens the book at @path and, when that has worked, lets the one that is open go. */
void td_context_open_async (TdContext *self,
                            const char *path,
                            TdOpenHow how,
                            GAsyncReadyCallback callback,
                            gpointer user_data);
/* Returns FALSE with the error of td_queue_open_finish(); what was open is then still open. */
gboolean td_context_open_finish (TdContext *self, GAsyncResult *result, GError **error);
/* Closes the book after what was handed in; waits for it. */
void td_context_close (TdContext *self);

/* td_queue_run_async() on the open book; the callback's answer is taken with td_queue_run_finish(). Must
 * not be called where no book is open. */
void td_context_run_async (TdContext *self,
                           TdJobKind kind,
                           TdJob job,
                           gpointer data,
                           GDestroyNotify free_data,
                           GDestroyNotify free_result,
                           GCancellable *cancellable,
                           GAsyncReadyCallback callback,
                           gpointer user_data);

/* Sessions of open visits are kept while their book is open, so that their clocks are watched whatever the
 * window shows, and so that whoever shows the same visit again shares the session.  A session is let go
 * when its visit is closed. */
void td_context_keep_session (TdContext *self, TdSession *session);
/* Returns: (transfer none) (nullable): the session that is kept of that visit. */
TdSession *td_context_find_session (TdContext *self, const TdUuid *visit);

/* Returns: (transfer full): where a book stands that nobody has named: in the user's data folder, the
 * same as tundishctl's. */
char *td_context_make_standard_path (void);

G_END_DECLS
