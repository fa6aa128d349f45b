/* desk-session.h: one visit as the window works in it: folded state, findings, clocks, and the way in for
 * new entries.
 *
 * A session always has a visit; it is made by loading one.  Whatever happens to the visit (an act of this
 * window, of another program, a correction) replaces the whole immutable TdVisit and the findings and
 * emits "changed"; nothing edits the state.  An act is done when td_session_append_finish() says so: it
 * is then on disk, and the visit that td_session_get_visit() gives holds it already.
 *
 * Main thread only.  Signals:
 *   "changed"          visit and findings are new
 *   "tick"             a second of the clock has begun; while the visit is open
 *   "contact-reached"  (guint circuit, int outlet): the required contact of a circuit (outlet -1) or of a
 *                      static line (circuit 0) is up; once for each pass, not for those already up when
 *                      the session was made
 * Properties: "closed" (boolean), "person" (string, id of who writes), "happened-ms" (int64, 0: now),
 *   "entries" (uint), "stops" (uint: open findings of severity stop), "busy" (boolean: an act is on its
 *   way to the disk). */
#pragma once

#include "core-guard.h"
#include "core-rule.h"
#include "core-visit.h"
#include "desk-queue.h"
#include "model-habit.h"
#include "store-query.h"

G_BEGIN_DECLS

#define TD_TYPE_SESSION (td_session_get_type ())
G_DECLARE_FINAL_TYPE (TdSession, td_session, TD, SESSION, GObject)

/* Loads the visit.  @clock: (nullable): the clock on the screen, for the main thread alone (never the
 * book's); NULL is the machine's. @cancellable: (nullable). */
void td_session_open_async (TdQueue *queue,
                            const TdUuid *visit,
                            TdClock *clock,
                            GCancellable *cancellable,
                            GAsyncReadyCallback callback,
                            gpointer user_data);
/* Returns: (transfer full): the session, or NULL with the error of td_book_load_visit(). */
TdSession *td_session_open_finish (GAsyncResult *result, GError **error);

/* (transfer none), valid until the next "changed" unless a reference is taken. */
TdVisit *td_session_get_visit (TdSession *self);
const TdVisitRow *td_session_get_row (TdSession *self);
/* Returns: (transfer none) (element-type TdFinding): stops first. */
GPtrArray *td_session_get_findings (TdSession *self);
/* Seal of a closed visit, 64 hex digits; NULL while it is open. */
const char *td_session_get_seal (TdSession *self);
/* Seal before it in this device's chain; NULL where there is none. */
const char *td_session_get_previous_seal (TdSession *self);
/* Report number of the visit that this one stands for, and of the one that stands for this one; NULL where
 * there is none. */
const char *td_session_get_amends_number (TdSession *self);
const char *td_session_get_amended_by_number (TdSession *self);
/* Everything that the store gives for the visit: for the document layer. (transfer none) */
const TdVisitRecord *td_session_get_record (TdSession *self);
/* What the book knows now (products, lots, people): newer than the visit's own, which a closed visit
 * keeps as they were. (transfer none) */
TdMasters *td_session_get_masters (TdSession *self);
/* What earlier visits to the site tell. (transfer none) */
const TdHabits *td_session_get_habits (TdSession *self);
TdQueue *td_session_get_queue (TdSession *self);

/* UTC milliseconds on the screen's clock. */
gint64 td_session_get_now_ms (TdSession *self);
/* When an act entered now happened: "happened-ms" where it is set by hand, else now; with the offset of
 * the site's zone (of the machine's where the site's is unknown). */
TdMoment td_session_get_moment (TdSession *self);
/* @utc_ms with the offset that the site's clocks show then. */
TdMoment td_session_make_moment (TdSession *self, gint64 utc_ms);

const char *td_session_get_person (TdSession *self);
void td_session_set_person (TdSession *self, const char *person);
/* 0: acts happen when they are entered. */
gint64 td_session_get_happened_ms (TdSession *self);
void td_session_set_happened_ms (TdSession *self, gint64 utc_ms);

/* td_guard_ask() of the visit as it stands. Returns: (transfer full) (element-type TdMissing). */
GPtrArray *td_session_ask_guard (TdSession *self, TdKind kind, int circuit, const guint *outlets, gsize n_outlets);

/* An act of the session's person at its moment. @body: (transfer full).
 * Returns: (transfer full): for td_session_append_async(). */
TdDraft *td_session_draft (TdSession *self, TdKind kind, TdJson *body);
/* A correction of the entry @of. @set: (nullable) (transfer full): the fields that replace; NULL voids
 * the entry. @why: what the person says. (transfer full) */
TdDraft *td_session_draft_correction (TdSession *self, guint of, TdJson *set, const char *why);

/* Appends @draft (transfer full).  The entry must follow on what this session has seen or written itself:
 * where another program went on with the visit in between, the session loads the visit anew and the act
 * fails with TD_BOOK_ERROR_CONFLICT, for the person to look and to repeat. Never cancelled. */
void td_session_append_async (TdSession *self, TdDraft *draft, GAsyncReadyCallback callback, gpointer user_data);
/* Several acts as one, all or none. @drafts: (transfer full) (element-type TdDraft), with free func. */
void td_session_append_many_async (TdSession *self,
                                   GPtrArray *drafts,
                                   GAsyncReadyCallback callback,
                                   gpointer user_data);
/* For both. @entry_out: (out) (optional) (transfer full): the newest entry of the visit.
 * Returns FALSE with TD_ERROR or TD_BOOK_ERROR; nothing was then written. */
gboolean td_session_append_finish (TdSession *self, GAsyncResult *result, TdEntry **entry_out, GError **error);

G_END_DECLS
