#include "document-language.h"

#include <libintl.h>
#include <string.h>

/* Layout of a .mo file: magic, revision, number of texts, place of the originals' table and of the
 * translations' table; each row of a table is length and place. */
#define MO_MAGIC 0x950412deu
#define MO_HEADER 28
#define MO_COUNT 8
#define MO_ORIGINALS 12
#define MO_TRANSLATIONS 16
#define MO_ROW 8

#define DOMAIN "tundish"

struct _TdLanguage
{
  char *tag;
  gboolean own;       /* what gettext says */
  GHashTable *words;  /* in the file's bytes; NULL without a translation */
  char *bytes;
  gsize length;
  gboolean swapped;   /* written on a machine of the other order */
};

static guint32
read_u32 (const TdLanguage *language, gsize at)
{
  guint32 value;

  memcpy (&value, language->bytes + at, sizeof value);
  return language->swapped ? GUINT32_SWAP_LE_BE (value) : value;
}

/* The text of a row; NULL where it does not lie within the file or has no end. */
static const char *
read_text (const TdLanguage *language, gsize row)
{
  gsize length, at;

  if (row + MO_ROW > language->length)
    return NULL;
  length = read_u32 (language, row);
  at = read_u32 (language, row + 4);
  if (at >= language->length || length >= language->length - at || language->bytes[at + length] != '\0')
    return NULL;
  return language->bytes + at;
}

static gboolean
read_words (TdLanguage *language)
{
  guint32 magic, n, originals, translations;

  if (language->length < MO_HEADER)
    return FALSE;
  memcpy (&magic, language->bytes, sizeof magic);
  language->swapped = magic == GUINT32_SWAP_LE_BE (MO_MAGIC);
  if (magic != MO_MAGIC && !language->swapped)
    return FALSE;
  n = read_u32 (language, MO_COUNT);
  originals = read_u32 (language, MO_ORIGINALS);
  translations = read_u32 (language, MO_TRANSLATIONS);
  language->words = g_hash_table_new (g_str_hash, g_str_equal);
  for (gsize i = 0; i < n; i++)
    {
      const char *original = read_text (language, originals + i * MO_ROW);
      const char *translation = read_text (language, translations + i * MO_ROW);

      if (original == NULL || translation == NULL)
        return FALSE;
      if (*original != '\0' && *translation != '\0' && g_utf8_validate (translation, -1, NULL))
        g_hash_table_insert (language->words, (char *) original, (char *) translation);
    }
  return TRUE;
}

static void
forget (TdLanguage *language)
{
  g_clear_pointer (&language->words, g_hash_table_unref);
  g_clear_pointer (&language->bytes, g_free);
  language->length = 0;
}

/* A damaged file is as none: the words are then English, which is true of every label. */
static gboolean
load (TdLanguage *language, const char *folder, const char *locale)
{
  g_autofree char *path = g_build_filename (folder, locale, "LC_MESSAGES", DOMAIN ".mo", NULL);

  if (g_file_get_contents (path, &language->bytes, &language->length, NULL) && read_words (language))
    return TRUE;
  forget (language);
  return FALSE;
}

TdLanguage *
td_language_new (const char *tag, const char *folder)
{
  TdLanguage *language = g_new0 (TdLanguage, 1);
  g_autofree char *locale = NULL;

  language->own = tag == NULL;
  if (tag == NULL)
    {
      const char *own = gettext ("en");

      language->tag = g_strdup (own);
      return language;
    }
  if (folder == NULL)
    folder = bindtextdomain (DOMAIN, NULL);
  locale = g_strdelimit (g_strdup (tag), "-", '_');
  if (folder != NULL && load (language, folder, locale))
    {
      language->tag = g_strdup (tag);
      return language;
    }
  if (strchr (locale, '_') != NULL)
    *strchr (locale, '_') = '\0';
  language->tag = g_strdup (folder != NULL && load (language, folder, locale) ? locale : "en");
  return language;
}

void
td_language_free (TdLanguage *language)
{
  g_return_if_fail (language != NULL);
  forget (language);
  g_free (language->tag);
  g_free (language);
}

const char *
td_language_say (const TdLanguage *language, const char *english)
{
  const char *said;

  g_return_val_if_fail (language != NULL && english != NULL, english);
  if (language->own)
    return gettext (english);
  said = language->words != NULL ? g_hash_table_lookup (language->words, english) : NULL;
  return said != NULL ? said : english;
}

const char *
td_language_get_tag (const TdLanguage *language)
{
  g_return_val_if_fail (language != NULL, "en");
  return language->tag;
}
