/* model-habit.h: what earlier visits to a site tell of the next one: who was told at which bar, how strength
 * was measured, where left-over solution went.  Only proposed; a person says each time what holds. */
#pragma once

#include "core-visit.h"

G_BEGIN_DECLS

typedef struct _TdHabits TdHabits;

TdHabits *td_habits_new (void);
TdHabits *td_habits_ref (TdHabits *habits);
void td_habits_unref (TdHabits *habits);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdHabits, td_habits_unref)

/* Takes in what @visit tells that no visit before told; the newest visit first. Not after it is shared
 * between threads. */
void td_habits_learn (TdHabits *habits, const TdVisit *visit);

/* Names of people at the site, the newest first, those of @tower (id; NULL: any) before the others.
 * @habits: (nullable). @visit: (nullable): whom it told itself comes first of all.
 * Returns: (transfer full): NULL-terminated, no name twice. */
char **td_habits_get_names (const TdHabits *habits, const TdVisit *visit, const char *tower);
/* Whom one told at that tower last, or NULL. @habits: (nullable). */
const char *td_habits_find_name (const TdHabits *habits, const char *tower);
/* A part of the price list, offered when one is fitted: before those of earlier visits. */
void td_habits_offer_part (TdHabits *habits, const char *part);
/* Returns: (transfer full): parts of the price list, then those that earlier visits fitted. @habits: (nullable). */
char **td_habits_get_parts (const TdHabits *habits);
/* The words for a text that is typed: names of staff, parts. (transfer full): empty where none are known.
 * @body: what is filled in so far: the tower. */
char **td_habits_suggest (const TdHabits *habits, const TdVisit *visit, TdKind kind, const char *key, const TdJson *body);
/* The newest word of a choice: method of strength-measured, drain of solution-disposed; NULL: none.
 * @habits: (nullable). */
const char *td_habits_find_word (const TdHabits *habits, TdKind kind, const char *key);

G_END_DECLS
