/* core-account.h: a customer as its record tells it. */
#pragma once

#include "core-json.h"

G_BEGIN_DECLS

/* A customer; every member but the name may be NULL. */
typedef struct
{
  char *name;
  char *address;
  char *contact; /* whom to ask for */
  char *email;
  char *phone;
  char *note;
} TdAccount;

/* Reads {"name": "...", "address"*, "contact"*, "email"*, "phone"*, "note"*}; those marked * may be missing,
 * all are texts, an address of mail has something on both sides of one "@" and no blank.
 * Returns: (transfer full): the account, or NULL with TD_ERROR_SHAPE that names key, line and column. */
TdAccount *td_account_from_json (const TdJson *json, GError **error);
/* The same back, what is not known left out. (transfer full) */
TdJson *td_account_to_json (const TdAccount *account);
void td_account_free (TdAccount *account);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdAccount, td_account_free)

G_END_DECLS
