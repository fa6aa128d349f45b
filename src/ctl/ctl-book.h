/* ctl-book.h: which book a command works in, and by which clock. */
#pragma once

#include "ctl-context.h"
#include "store-book.h"

G_BEGIN_DECLS

/* What --book and --now said; put TD_CTL_BOOK_ENTRIES into the command's option table. */
typedef struct
{
  char *book;
  char *now;
} TdCtlBookOptions;

#define TD_CTL_BOOK_ENTRIES(options) \
  { "book", 'b', 0, G_OPTION_ARG_FILENAME, &(options)->book, "The service book (default: your own)", "FILE" }, \
  { \
    "now", 0, 0, G_OPTION_ARG_STRING, &(options)->now, "Pin the clock, of a test book only (ISO 8601)", "TIME" \
  }

void td_ctl_book_options_clear (TdCtlBookOptions *options);
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (TdCtlBookOptions, td_ctl_book_options_clear)

/* Returns: (transfer full): the path of the user's own book, in the XDG data directory. */
char *td_ctl_get_own_book (void);
/* Returns: (transfer full): the machine's clock, or one pinned at @now (nullable), or NULL with
 * G_OPTION_ERROR. */
TdClock *td_ctl_make_clock (const char *now, GError **error);
/* The same with a chance of its own for each @path (nullable): two books made at one pinned moment are
 * still two devices. */
TdClock *td_ctl_make_clock_for (const char *now, const char *path, GError **error);
/* The user's own book is made where it is wanted for the first time.
 * Returns: (transfer full): the open book, or NULL; G_OPTION_ERROR where an option is at fault. */
TdBook *td_ctl_open_book (const TdCtlBookOptions *options, GError **error);
/* The same for a command that only reads: it works on a book that cannot be written, too. */
TdBook *td_ctl_open_book_reading (const TdCtlBookOptions *options, GError **error);
/* The visit with that id, report number or unmistakable beginning of its id.
 * FALSE with TD_BOOK_ERROR_MISSING, naming what there is to choose from. */
gboolean td_ctl_find_visit (TdBook *book, const char *word, TdUuid *visit_out, GError **error);

G_END_DECLS
