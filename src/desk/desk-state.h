/* desk-state.h: where the window was: the books used of late, the place it showed, who writes.
 *
 * Kept in a small file of its own, written whole and at once at every change, so that a program that is
 * killed opens again where it stood.  It holds nothing of the record: losing it loses nothing. */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

/* Books remembered. */
#define TD_STATE_RECENT_MAX 8

typedef struct _TdState TdState;

/* @path: (nullable): the file; NULL is the user's state folder (XDG_STATE_HOME). A file that is missing or
 * makes no sense is an empty state. */
TdState *td_state_new (const char *path);
void td_state_free (TdState *state);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdState, td_state_free)

/* Returns: (transfer full): paths of the books, the last used first, whether they still exist or not. */
char **td_state_get_recent (TdState *state);
/* Puts @path first. */
void td_state_add_recent (TdState *state, const char *path);
void td_state_forget_recent (TdState *state, const char *path);

/* The place that the window shows of the book at @path, as the window wrote it ("visit:UUID").
 * Returns: (transfer full) (nullable). */
char *td_state_get_place (TdState *state, const char *path);
void td_state_set_place (TdState *state, const char *path, const char *place);

/* The technician who last wrote in the book at @path. Returns: (transfer full) (nullable). */
char *td_state_get_person (TdState *state, const char *path);
void td_state_set_person (TdState *state, const char *path, const char *person);

G_END_DECLS
