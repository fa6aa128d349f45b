#include "core-slug.h"

#include <string.h>

/* Digits of the hash: one chance in 16 million that two names of a book meet. */
#define HASH_DIGITS 6

typedef struct
{
  gunichar letter;
  const char *ascii;
} Spelling;

/* Latin letters that Unicode does not decompose; the usual ways to write them without. */
static const Spelling spellings[] = {
  { 0x00DF, "ss" }, /* sharp s */
  { 0x00E6, "ae" }, /* ae */
  { 0x00F8, "o" },  /* o with stroke */
  { 0x0111, "d" },  /* d with stroke */
  { 0x0131, "i" },  /* dotless i */
  { 0x0142, "l" },  /* l with stroke */
  { 0x0153, "oe" }, /* oe */
  { 0x00F0, "d" },  /* eth */
  { 0x00FE, "th" }, /* thorn */
};

static const char *
find_spelling (gunichar letter)
{
  for (gsize i = 0; i < G_N_ELEMENTS (spellings); i++)
    if (spellings[i].letter == letter)
      return spellings[i].ascii;
  return NULL;
}

/* Appends what can be kept of the letter. Returns FALSE where it had to be left out. */
static gboolean
append_letter (GString *slug, gunichar letter)
{
  const char *spelling;

  letter = g_unichar_tolower (letter);
  if (letter < 0x80 && g_ascii_isalnum ((char) letter))
    {
      g_string_append_c (slug, (char) letter);
      return TRUE;
    }
  spelling = find_spelling (letter);
  if (spelling != NULL)
    {
      g_string_append (slug, spelling);
      return TRUE;
    }
  /* Accents parted from their letter, and apostrophes, vanish: "Joe's" is "joes". */
  if (g_unichar_ismark (letter) || letter == '\'' || letter == 0x2019)
    return TRUE;
  if (g_unichar_isalnum (letter))
    return FALSE;
  if (slug->len > 0 && slug->str[slug->len - 1] != '-')
    g_string_append_c (slug, '-');
  return TRUE;
}

static void
cut_hyphen (GString *slug)
{
  if (slug->len > 0 && slug->str[slug->len - 1] == '-')
    g_string_truncate (slug, slug->len - 1);
}

char *
td_slug_from_text (const char *text)
{
  g_autoptr (GString) slug = g_string_new (NULL);
  g_autofree char *parted = NULL;
  g_autofree char *hash = NULL;
  gboolean whole = TRUE;

  g_return_val_if_fail (text != NULL, NULL);
  parted = g_utf8_normalize (text, -1, G_NORMALIZE_ALL);
  g_return_val_if_fail (parted != NULL, NULL);

  for (const char *p = parted; *p != '\0'; p = g_utf8_next_char (p))
    if (!append_letter (slug, g_utf8_get_char (p)))
      whole = FALSE;
  cut_hyphen (slug);
  if (whole && slug->len > 0 && slug->len <= TD_SLUG_MAX)
    return g_string_free (g_steal_pointer (&slug), FALSE);
  if (slug->len > TD_SLUG_MAX - HASH_DIGITS - 1)
    g_string_truncate (slug, TD_SLUG_MAX - HASH_DIGITS - 1);
  cut_hyphen (slug);
  /* Of the normal form, so that both ways to write an accent give the same. */
  hash = g_compute_checksum_for_string (G_CHECKSUM_SHA256, parted, -1);
  hash[HASH_DIGITS] = '\0';
  if (slug->len > 0)
    g_string_append_c (slug, '-');
  g_string_append (slug, hash);
  return g_string_free (g_steal_pointer (&slug), FALSE);
}
