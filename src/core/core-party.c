#include "core-party.h"

#include "core-error.h"

#include <string.h>

/* ISO 13616-1: country, two check digits, then at most 30 letters and digits; the shortest in use has 15. */
#define IBAN_MIN 15
#define IBAN_MAX 34

char **
td_party_at (gpointer party, const TdPartyField *field)
{
  g_return_val_if_fail (party != NULL && field != NULL && field->key != NULL, NULL);
  return (char **) ((char *) party + field->offset);
}

const char *
td_party_get (gconstpointer party, const TdPartyField *field)
{
  g_return_val_if_fail (party != NULL && field != NULL && field->key != NULL, NULL);
  return *(char *const *) ((const char *) party + field->offset);
}

const TdPartyField *
td_party_find (const TdPartyField *fields, const char *key)
{
  g_return_val_if_fail (fields != NULL && key != NULL, NULL);
  for (; fields->key != NULL; fields++)
    if (strcmp (fields->key, key) == 0)
      return fields;
  return NULL;
}

void
td_party_copy (const TdPartyField *fields, gconstpointer from, gpointer to)
{
  g_return_if_fail (from != NULL && to != NULL && from != to);
  for (; fields->key != NULL; fields++)
    *td_party_at (to, fields) = g_strdup (td_party_get (from, fields));
}

void
td_party_clear (const TdPartyField *fields, gpointer party)
{
  for (; fields->key != NULL; fields++)
    g_clear_pointer (td_party_at (party, fields), g_free);
}

void
td_party_fill (const TdPartyField *to_fields, gpointer to, const TdPartyField *from_fields, gconstpointer from)
{
  g_return_if_fail (to != NULL && from != NULL);
  for (; to_fields->key != NULL; to_fields++)
    {
      const TdPartyField *field = td_party_find (from_fields, to_fields->key);

      if (field != NULL && *td_party_at (to, to_fields) == NULL)
        *td_party_at (to, to_fields) = g_strdup (td_party_get (from, field));
    }
}

static gboolean
is_country (const char *text)
{
  return strlen (text) == 2 && g_ascii_isupper (text[0]) && g_ascii_isupper (text[1]);
}

/* ISO 7064, MOD 97-10: the first four characters go behind, letters count from 10. */
static gboolean
is_iban (const char *text)
{
  char plain[IBAN_MAX + 1];
  gsize n = 0;
  guint rest = 0;

  for (; *text != '\0'; text++)
    {
      if (*text == ' ')
        continue;
      if (n == IBAN_MAX || !(g_ascii_isupper (*text) || g_ascii_isdigit (*text)))
        return FALSE;
      plain[n++] = *text;
    }
  if (n < IBAN_MIN || !g_ascii_isupper (plain[0]) || !g_ascii_isupper (plain[1]) || !g_ascii_isdigit (plain[2])
      || !g_ascii_isdigit (plain[3]))
    return FALSE;
  for (gsize i = 0; i < n; i++)
    {
      char c = plain[(i + 4) % n];

      rest = g_ascii_isdigit (c) ? (rest * 10 + (guint) (c - '0')) % 97 : (rest * 100 + (guint) (c - 'A') + 10) % 97;
    }
  return rest == 1;
}

/* ISO 9362: four letters or digits, two letters of a country, two or five more. */
static gboolean
is_bic (const char *text)
{
  gsize n = strlen (text);

  if (n != 8 && n != 11)
    return FALSE;
  for (gsize i = 0; i < n; i++)
    if (!g_ascii_isupper (text[i]) && (!g_ascii_isdigit (text[i]) || i == 4 || i == 5))
      return FALSE;
  return TRUE;
}

/* Schemes are four digits or two letters; whether there is such a one is told when an invoice is written. */
static gboolean
is_endpoint (const char *text)
{
  const char *colon = strchr (text, ':');
  gsize n = colon != NULL ? (gsize) (colon - text) : 0;

  if ((n != 2 && n != 4) || colon[1] == '\0')
    return FALSE;
  for (gsize i = 0; i < n; i++)
    if (n == 4 ? !g_ascii_isdigit (text[i]) : !g_ascii_isupper (text[i]))
      return FALSE;
  for (const char *p = colon + 1; *p != '\0'; p++)
    if ((guchar) *p <= ' ' || *p == 0x7f)
      return FALSE;
  return TRUE;
}

gboolean
td_party_check (TdPartyForm form, const char *text, GError **error)
{
  const char *wanted = NULL;

  g_return_val_if_fail (text != NULL, FALSE);
  if (form == TD_PARTY_COUNTRY && !is_country (text))
    wanted = "is no country code; it has two capitals, as \"IE\"";
  if (form == TD_PARTY_IBAN && !is_iban (text))
    wanted = "is no IBAN, or its check digits are wrong; copy it from the bank's letter";
  if (form == TD_PARTY_BIC && !is_bic (text))
    wanted = "is no BIC; it has 8 or 11 capitals and digits";
  if (form == TD_PARTY_ENDPOINT && !is_endpoint (text))
    wanted = "is no electronic address; it is a scheme, a colon and the address without spaces, as "
             "\"EM:bills@example.org\" or \"0088:7300010000001\"";
  if (wanted == NULL)
    return TRUE;
  g_set_error (error, TD_ERROR, TD_ERROR_SHAPE, "\"%s\" %s", text, wanted);
  return FALSE;
}

void
td_party_read (const TdPartyField *fields, TdJsonReader *reader, gpointer party, gboolean strict)
{
  for (; fields->key != NULL; fields++)
    {
      const char *text = fields->required && strict ? td_json_reader_string (reader, fields->key)
                                          : td_json_reader_optional_string (reader, fields->key);
      g_autoptr (GError) error = NULL;

      *td_party_at (party, fields) = g_strdup (text);
      if (strict && text != NULL && *text != '\0' && !td_party_check (fields->form, text, &error))
        td_json_reader_fail (reader, td_json_reader_optional_any (reader, fields->key), TD_ERROR_SHAPE, "%s",
                             error->message);
    }
}

void
td_party_write (const TdPartyField *fields, TdJsonBuilder *builder, gconstpointer party)
{
  for (; fields->key != NULL; fields++)
    {
      const char *text = td_party_get (party, fields);

      if (text != NULL && *text != '\0')
        td_json_builder_member_string (builder, fields->key, text);
    }
}
