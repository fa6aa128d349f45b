/* core-change.h: what differs between two states of a record, field by field. */
#pragma once

#include "core-json.h"

G_BEGIN_DECLS

/* One field that differs. */
typedef struct
{
  char *path;     /* "name", "site.zone", "lines[L3].segments[0].bore_mm" */
  char *old_text; /* as the file writes it, texts without quotes; NULL where it was not there */
  char *new_text; /* NULL where it is gone */
} TdChange;

void td_change_free (TdChange *change);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdChange, td_change_free)

/* Compares two values.  Members of objects are matched by key; elements of two arrays that are all objects
 * with an "id" by that, so that a line put in front of others is one change; other elements by their place.
 * A part that is only on one side is one change, named by its whole text.
 * @before: (nullable): NULL where there was nothing.
 * Returns: (transfer full) (element-type TdChange): in the order of @after, what is gone last; empty where
 * td_json_equal(). */
GPtrArray *td_json_compare (const TdJson *before, const TdJson *after);

G_END_DECLS
