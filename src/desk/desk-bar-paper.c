#include "desk-bar-paper.h"

#include "desk-i18n.h"

#define DAY_MS G_GINT64_CONSTANT (86400000)

/* What is kept to write the file: the same bytes as the command line writes. */
typedef struct
{
  TdBarPaper what;
  TdSite *site;
  TdMasters *masters;
  TdPaperKind paper;
  gint64 now_ms;
} Kept;

static void
free_kept (gpointer document)
{
  Kept *kept = document;

  td_site_unref (kept->site);
  td_masters_unref (kept->masters);
  g_free (kept);
}

/* Tests name a folder of translations. */
static TdLanguage *
make_language (const Kept *kept)
{
  return td_language_new (kept->site->language, g_getenv ("TUNDISH_LOCALE_DIR"));
}

static TdPages *
make_pages (const Kept *kept, const TdLanguage *language, GError **error)
{
  return td_bar_to_pages (kept->what, kept->site, kept->masters, language, (TdDate) (kept->now_ms / DAY_MS),
                          kept->paper, error);
}

static gboolean
write_paper (gpointer document, const char *path, GError **error)
{
  const Kept *kept = document;
  g_autoptr (TdLanguage) language = make_language (kept);
  g_autoptr (TdPages) pages = make_pages (kept, language, error);
  g_autofree char *title = NULL;
  TdPdfInfo info;

  if (pages == NULL)
    return FALSE;
  info = td_bar_make_info (kept->what, kept->site, kept->masters, language, kept->now_ms, &title);
  return td_pdf_write (pages, path, &info, error);
}

gboolean
td_bar_paper_show (TdDocumentView *view, TdBarPaper what, TdSite *site, TdMasters *masters, GSettings *settings,
                   gint64 now_ms, GError **error)
{
  Kept *kept = g_new0 (Kept, 1);
  g_autofree char *paper = g_settings_get_string (settings, "paper");
  g_autofree char *name = NULL;
  g_autoptr (TdLanguage) language = NULL;
  TdPages *pages;

  kept->what = what;
  kept->site = td_site_ref (site);
  kept->masters = td_masters_ref (masters);
  kept->now_ms = now_ms;
  td_paper_kind_from_text (paper, &kept->paper);
  language = make_language (kept);
  pages = make_pages (kept, language, error);
  if (pages == NULL)
    {
      free_kept (kept);
      return FALSE;
    }
  name = g_strdup_printf (what == TD_BAR_LINE_MAP ? _ ("%s line map") : _ ("%s labels"), site->name);
  td_document_view_set_document (view, pages, name, write_paper, kept, free_kept);
  return TRUE;
}
