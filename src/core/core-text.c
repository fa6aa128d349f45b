#include "core-text.h"

#include <string.h>

/* Characters of a foreign text that a message quotes. */
#define EXCERPT_LENGTH 60
/* A character takes 4 bytes at most; one more is read to see whether text follows. */
#define EXCERPT_BYTES (4 * (EXCERPT_LENGTH + 1))

char *
td_text_excerpt (const char *text)
{
  g_autofree char *valid = NULL;
  GString *excerpt;
  int count = 0;

  g_return_val_if_fail (text != NULL, NULL);
  /* Only the head is looked at: what a stranger sent may be long. */
  valid = g_utf8_make_valid (text, (gssize) MIN (strlen (text), EXCERPT_BYTES));
  excerpt = g_string_new (NULL);
  for (const char *at = valid; *at != '\0'; at = g_utf8_next_char (at))
    {
      gunichar c = g_utf8_get_char (at);

      if (count++ == EXCERPT_LENGTH)
        {
          g_string_append (excerpt, "\xE2\x80\xA6"); /* U+2026, ellipsis */
          break;
        }
      g_string_append_unichar (excerpt, g_unichar_iscntrl (c) ? ' ' : c);
    }
  return g_string_free (excerpt, FALSE);
}
