#include "core-account.h"

#include <string.h>

#include "core-error.h"
#include "core-json-build.h"
#include "core-json-read.h"

/* RFC 5321 allows far more than people write; what this keeps out are slips: a missing "@", a blank. */
static gboolean
is_mail_address (const char *text)
{
  const char *at = strchr (text, '@');

  return at != NULL && at != text && at[1] != '\0' && strchr (at + 1, '@') == NULL
         && strpbrk (text, " \t\r\n") == NULL;
}

TdAccount *
td_account_from_json (const TdJson *json, GError **error)
{
  g_autoptr (TdJsonReader) reader = NULL;
  g_autoptr (TdAccount) account = g_new0 (TdAccount, 1);

  g_return_val_if_fail (json != NULL, NULL);
  g_return_val_if_fail (error == NULL || *error == NULL, NULL);
  reader = td_json_reader_new (json, "an account");
  account->name = g_strdup (td_json_reader_string (reader, "name"));
  account->address = g_strdup (td_json_reader_optional_string (reader, "address"));
  account->contact = g_strdup (td_json_reader_optional_string (reader, "contact"));
  account->email = g_strdup (td_json_reader_optional_string (reader, "email"));
  account->phone = g_strdup (td_json_reader_optional_string (reader, "phone"));
  account->note = g_strdup (td_json_reader_optional_string (reader, "note"));
  if (account->email != NULL && !is_mail_address (account->email))
    td_json_reader_fail (reader, td_json_reader_optional_any (reader, "email"), TD_ERROR_SHAPE,
                         "\"email\" must be one address such as name@example.com, not \"%s\"", account->email);
  return td_json_reader_finish (reader, error) ? g_steal_pointer (&account) : NULL;
}

static void
write_text (TdJsonBuilder *builder, const char *key, const char *text)
{
  if (text != NULL)
    td_json_builder_member_string (builder, key, text);
}

TdJson *
td_account_to_json (const TdAccount *account)
{
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();

  g_return_val_if_fail (account != NULL, NULL);
  td_json_builder_begin_object (builder);
  write_text (builder, "name", account->name);
  write_text (builder, "address", account->address);
  write_text (builder, "contact", account->contact);
  write_text (builder, "email", account->email);
  write_text (builder, "phone", account->phone);
  write_text (builder, "note", account->note);
  td_json_builder_end (builder);
  return td_json_builder_finish (builder);
}

void
td_account_free (TdAccount *account)
{
  g_return_if_fail (account != NULL);
  g_free (account->name);
  g_free (account->address);
  g_free (account->contact);
  g_free (account->email);
  g_free (account->phone);
  g_free (account->note);
  g_free (account);
}
