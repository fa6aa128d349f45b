/* core-party.h: the texts by which a company, a seller and a payer are told, as tables.
 *
 * One table a struct: key and place of each text.  What copies, frees, reads and writes such a struct goes
 * through its table, so that files, book and forms hold the same texts; a further text is a row and a
 * member.  Every text may be NULL: not known. */
#pragma once

#include "core-json-build.h"
#include "core-json-read.h"

G_BEGIN_DECLS

/* What a text must look like. */
typedef enum
{
  TD_PARTY_TEXT,
  TD_PARTY_COUNTRY,  /* two capitals (ISO 3166-1 alpha-2): "IE" */
  TD_PARTY_IBAN,     /* ISO 13616, check digits by ISO 7064; spaces are allowed */
  TD_PARTY_BIC,      /* ISO 9362: 8 or 11 characters */
  TD_PARTY_ENDPOINT, /* "SCHEME:ADDRESS", scheme by the EAS list (EN 16931-1 BT-34-1, BT-49-1): "EM:a@b.example" */
} TdPartyForm;

typedef struct
{
  const char *key; /* in files and, where it has a column, in the book */
  gsize offset;    /* of the char * in its struct */
  TdPartyForm form;
  gboolean required;
} TdPartyField;

/* Tables end with a row without key. */

/* Place of the text in @party. */
char **td_party_at (gpointer party, const TdPartyField *field);
const char *td_party_get (gconstpointer party, const TdPartyField *field);
/* Returns: (transfer none) (nullable). */
const TdPartyField *td_party_find (const TdPartyField *fields, const char *key);
/* Copies all texts; @to must hold none. */
void td_party_copy (const TdPartyField *fields, gconstpointer from, gpointer to);
void td_party_clear (const TdPartyField *fields, gpointer party);
/* Fills what @to does not know from what another struct knows under the same key. */
void td_party_fill (const TdPartyField *to_fields, gpointer to, const TdPartyField *from_fields, gconstpointer from);
/* FALSE with TD_ERROR_SHAPE that says how the text must look. */
gboolean td_party_check (TdPartyForm form, const char *text, GError **error);
/* Takes the texts out of an object; where @strict, what is required must be there and forms are checked.  The
 * reader keeps what is wrong. */
void td_party_read (const TdPartyField *fields, TdJsonReader *reader, gpointer party, gboolean strict);
/* Appends the members that are known to the open object. */
void td_party_write (const TdPartyField *fields, TdJsonBuilder *builder, gconstpointer party);

G_END_DECLS
