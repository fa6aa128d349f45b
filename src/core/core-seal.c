#include "core-entry.h"

#include <string.h>

/* Raised with any change of the layout below: an old seal must stay computable for ever. */
#define SEAL_FORMAT "tundish-seal/1"

static gboolean
is_seal (const char *seal)
{
  return seal == NULL || strcmp (seal, "none") == 0
         || (strlen (seal) == 64 && strspn (seal, "0123456789abcdef") == 64);
}

char *
td_seal_make_text (const char *previous_seal, const GPtrArray *entries)
{
  g_autoptr (GString) text = g_string_new (SEAL_FORMAT "\n");

  g_return_val_if_fail (is_seal (previous_seal), NULL);
  g_return_val_if_fail (entries != NULL && entries->len > 0, NULL);

  g_string_append_printf (text, "previous %s\n", previous_seal != NULL ? previous_seal : "none");
  for (guint i = 0; i < entries->len; i++)
    {
      const TdEntry *entry = g_ptr_array_index (entries, i);
      g_autofree char *envelope = td_envelope_to_canonical (&entry->envelope);

      /* Neither holds a line feed: canonical text writes it as \n. */
      g_string_append (text, envelope);
      g_string_append_c (text, '\n');
      g_string_append (text, entry->body_text);
      g_string_append_c (text, '\n');
    }
  return g_string_free (g_steal_pointer (&text), FALSE);
}

char *
td_seal_compute (const char *previous_seal, const GPtrArray *entries)
{
  g_autofree char *text = td_seal_make_text (previous_seal, entries);

  g_return_val_if_fail (text != NULL, NULL);

  return g_compute_checksum_for_string (G_CHECKSUM_SHA256, text, -1);
}
