/* labels and linemap: what hangs in the bar, in the language of its staff. */
#include "ctl-book.h"
#include "ctl-commands.h"
#include "ctl-paper.h"

#include "document-bar.h"
#include "store-master.h"
#include "store-query.h"

#include <string.h>

#define DAY_MS G_GINT64_CONSTANT (86400000)

typedef struct
{
  TdCtlBookOptions book;
  char *out, *paper, *language;
  TdPaperKind paper_kind;
} Options;

static void
clear (Options *options)
{
  td_ctl_book_options_clear (&options->book);
  g_free (options->out);
  g_free (options->paper);
  g_free (options->language);
}

G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Options, clear)

static gboolean
write_paper (TdBook *book, TdBarPaper what, const char *site_id, const Options *options, GError **error)
{
  gint64 now_ms = td_clock_get_now_ms (td_book_get_clock (book));
  g_autoptr (TdSite) site = td_book_get_site (book, site_id, error);
  g_autoptr (TdMasters) masters = site != NULL ? td_book_get_masters (book, error) : NULL;
  g_autoptr (TdLanguage) language = NULL;
  g_autoptr (TdPages) pages = NULL;
  g_autofree char *title = NULL;
  const char *folder = g_getenv ("TUNDISH_LOCALE_DIR");
  TdPdfInfo info;

  if (masters == NULL)
    return FALSE;
  language = td_language_new (options->language != NULL ? options->language
                              : site->language != NULL  ? site->language
                                                        : "en",
                              folder != NULL ? folder : TD_LOCALE_DIR);
  pages = td_bar_to_pages (what, site, masters, language, (TdDate) (now_ms / DAY_MS), options->paper_kind, error);
  if (pages == NULL)
    return FALSE;
  info = td_bar_make_info (what, site, masters, language, now_ms, &title);
  return td_ctl_write_pages (pages, options->out, &info, error);
}

static TdCtlStatus
run (const TdCtlInfo *info, TdBarPaper what, int argc, char **argv)
{
  g_auto (Options) options = { .paper_kind = TD_PAPER_A4 };
  const GOptionEntry entries[] = {
    TD_CTL_BOOK_ENTRIES (&options.book),
    { "output", 'o', 0, G_OPTION_ARG_FILENAME, &options.out, "Write the PDF there; - is standard output", "FILE.pdf" },
    { "language", 0, 0, G_OPTION_ARG_STRING, &options.language, "Such as de (default: the site's)", "TAG" },
    { "paper", 0, 0, G_OPTION_ARG_STRING, &options.paper, "a4 (default) or letter", "PAPER" },
    { NULL }
  };
  g_auto (GStrv) words = NULL;
  g_autoptr (TdBook) book = NULL;
  GError *error = NULL;
  TdCtlStatus status;

  if (!td_ctl_parse (info, entries, argc, argv, 1, 1, &words, &status))
    return status;
  if (options.out == NULL)
    return td_ctl_misuse (info, "say where to write it: -o FILE.pdf");
  if (options.paper != NULL && !td_paper_kind_from_text (options.paper, &options.paper_kind))
    return td_ctl_misuse (info, "--paper is a4 or letter, not '%s'", options.paper);
  book = td_ctl_open_book_reading (&options.book, &error);
  if (book == NULL || !write_paper (book, what, words[0], &options, &error))
    return td_ctl_refuse (info, error);
  return TD_CTL_DONE;
}

TdCtlStatus
td_ctl_labels (const TdCtlInfo *info, int argc, char **argv)
{
  return run (info, TD_BAR_LABELS, argc, argv);
}

TdCtlStatus
td_ctl_linemap (const TdCtlInfo *info, int argc, char **argv)
{
  return run (info, TD_BAR_LINE_MAP, argc, argv);
}
