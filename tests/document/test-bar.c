/* What hangs in a bar: the words of its language, every faucet on map and labels. */
#include "demo-files.h"

#include "document-bar.h"

#include <glib/gstdio.h>
#include <string.h>

/* A catalogue as msgfmt writes it, made by hand: the header and two texts. */
static char *
make_folder (const char *tag, gboolean cut)
{
  static const char *const texts[][2]
    = { { "", "Content-Type: text/plain; charset=UTF-8\n" },
        { "CLEANING IN PROGRESS", "REINIGUNG LÄUFT" },
        { "DO NOT POUR", "NICHT ZAPFEN" } };
  const guint n = G_N_ELEMENTS (texts);
  g_autoptr (GByteArray) file = g_byte_array_new ();
  guint32 header[7] = { 0x950412de, 0, n, 28, 28 + n * 8, 0, 28 + n * 16 };
  guint32 at = 28 + n * 16;
  char *folder = g_dir_make_tmp ("tundish-XXXXXX", NULL);
  g_autofree char *inner = g_build_filename (folder, tag, "LC_MESSAGES", NULL);
  g_autofree char *path = g_build_filename (inner, "tundish.mo", NULL);

  g_byte_array_append (file, (const guint8 *) header, sizeof header);
  for (int side = 0; side < 2; side++)
    for (guint i = 0; i < n; i++)
      {
        guint32 row[2] = { (guint32) strlen (texts[i][side]), at };

        g_byte_array_append (file, (const guint8 *) row, sizeof row);
        at += row[0] + 1;
      }
  for (int side = 0; side < 2; side++)
    for (guint i = 0; i < n; i++)
      g_byte_array_append (file, (const guint8 *) texts[i][side], (guint) strlen (texts[i][side]) + 1);
  g_mkdir_with_parents (inner, 0755);
  g_assert_true (g_file_set_contents (path, (const char *) file->data, cut ? (gssize) file->len - 8 : (gssize) file->len,
                                      NULL));
  return folder;
}

static void
remove_folder (const char *folder, const char *tag)
{
  g_autofree char *outer = g_build_filename (folder, tag, NULL);
  g_autofree char *inner = g_build_filename (outer, "LC_MESSAGES", NULL);
  g_autofree char *path = g_build_filename (inner, "tundish.mo", NULL);

  g_unlink (path);
  g_rmdir (inner);
  g_rmdir (outer);
  g_rmdir (folder);
}

typedef struct
{
  const char *tag, *there; /* asked for; translated */
  gboolean cut;
  const char *says, *spoken;
} Speech;

static const Speech speeches[] = {
  { "de", "de", FALSE, "NICHT ZAPFEN", "de" },
  { "de-AT", "de", FALSE, "NICHT ZAPFEN", "de" },
  { "pt-BR", "pt_BR", FALSE, "NICHT ZAPFEN", "pt-BR" },
  { "fr", "de", FALSE, "DO NOT POUR", "en" },
  { "de", "de", TRUE, "DO NOT POUR", "en" }, /* a damaged file is as none */
};

static void
test_language (void)
{
  for (gsize i = 0; i < G_N_ELEMENTS (speeches); i++)
    {
      const Speech *s = &speeches[i];
      g_autofree char *folder = make_folder (s->there, s->cut);
      g_autoptr (TdLanguage) language = td_language_new (s->tag, folder);

      g_assert_cmpstr (td_language_say (language, "DO NOT POUR"), ==, s->says);
      g_assert_cmpstr (td_language_say (language, "a text that nobody translated"), ==, "a text that nobody translated");
      g_assert_cmpstr (td_language_get_tag (language), ==, s->spoken);
      remove_folder (folder, s->there);
    }
}

/* Two labels a row, two rows a sheet of A4; the map has a page at least; both papers can be made. */
static void
test_pages (void)
{
  static const struct
  {
    const char *site;
    guint pages; /* of labels */
  } cases[] = { { "two-lanterns-bar", 2 }, { "kestrel-yard", 1 }, { "gravel-pier-hall", 6 } };
  g_autoptr (TdMasters) masters = read_demo_company ();
  g_autoptr (TdLanguage) language = td_language_new ("en", NULL);

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    for (int paper = 0; paper < 2; paper++)
      {
        g_autoptr (TdSite) site = read_demo_site (cases[i].site);
        g_autoptr (GError) error = NULL;
        g_autoptr (TdPages) labels
          = td_bar_to_pages (TD_BAR_LABELS, site, masters, language, TD_DATE_NONE, (TdPaperKind) paper, &error);
        g_autoptr (TdPages) map
          = td_bar_to_pages (TD_BAR_LINE_MAP, site, NULL, language, TD_DATE_NONE, (TdPaperKind) paper, &error);

        g_assert_no_error (error);
        g_assert_cmpuint (td_pages_get_count (labels), ==, cases[i].pages);
        g_assert_cmpuint (td_pages_get_count (map), >=, 1);
      }
}

static void
test_info (void)
{
  g_autoptr (TdSite) site = read_demo_site ("kestrel-yard");
  g_autoptr (TdLanguage) language = td_language_new ("en", NULL);
  g_autofree char *title = NULL;
  TdPdfInfo info = td_bar_make_info (TD_BAR_LABELS, site, NULL, language, 0, &title);

  g_assert_cmpstr (info.title, ==, "Tag labels, Kestrel Yard");
  g_assert_cmpstr (info.language, ==, "en");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/bar/language", test_language);
  g_test_add_func ("/bar/pages", test_pages);
  g_test_add_func ("/bar/info", test_info);
  return g_test_run ();
}
