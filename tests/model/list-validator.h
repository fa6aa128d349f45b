/* list-validator.h: holds a GListModel to its word.
 *
 * Keeps a copy of the list; at every items-changed it checks that what was said to stay is the same
 * object at its shifted place, that the count is right, that every position gives an object of the
 * announced type, twice the same, and that there is nothing past the end. */
#pragma once

#include <gio/gio.h>

typedef struct _TdListValidator TdListValidator;

TdListValidator *td_list_validator_new (GListModel *model);
/* How many times the list has said that it changed. */
guint td_list_validator_get_changes (TdListValidator *validator);
void td_list_validator_free (TdListValidator *validator);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdListValidator, td_list_validator_free)
