/* store-account.h: making accounts, within a write. */
#pragma once

#include "store-put.h"

G_BEGIN_DECLS

/* What a file says of an account; every member but the name may be NULL. */
typedef struct
{
  const char *name;
  const char *address;
  const char *contact;
  const char *email;
  const char *phone;
  const char *note;
} TdAccountText;

/* Adds the account or changes it, as the row of that slug. */
gboolean td_account_put_as (TdBook *book, const char *slug, const TdAccountText *account, gboolean retired,
                            TdPut *put_out, GError **error);
/* Adds the account or changes it, by name. */
gboolean td_account_put (TdBook *book, const TdAccountText *account, TdPut *put_out, GError **error);
/* The account of that name, made where there is none; one that is there stays as it is. */
gboolean td_account_ensure (TdBook *book, const char *name, gint64 *key_out, GError **error);

G_END_DECLS
