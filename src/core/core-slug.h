/* core-slug.h: short names for files and ids, made from the names that people give. */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

/* Longest slug, in characters. */
#define TD_SLUG_MAX 60

/* The name in lower-case ASCII letters, digits and single hyphens: "Two Lanterns Bar" gives
 * "two-lanterns-bar", "Café Süd" gives "cafe-sud".  Where letters had to be left out (other scripts, a
 * name that is too long), six hexadecimal digits of the name's SHA-256 are added, so that different
 * names keep different slugs.  The same on every machine and in every locale.
 * @text: valid UTF-8. Returns: (transfer full): 1..TD_SLUG_MAX characters. */
char *td_slug_from_text (const char *text);

G_END_DECLS
