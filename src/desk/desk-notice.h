/* desk-notice.h: a bar in the page itself that says what went wrong or what was done, in a sentence. */
#pragma once

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define TD_TYPE_NOTICE (td_notice_get_type ())
G_DECLARE_FINAL_TYPE (TdNotice, td_notice, TD, NOTICE, GtkWidget)

/* "The visit could not be begun." and the error's own sentences under it. @what: translated. */
void td_notice_show_error (TdNotice *self, const char *what, const GError *error);
/* Something that went well and is worth a word. */
void td_notice_show_done (TdNotice *self, const char *text);
void td_notice_clear (TdNotice *self);
/* What it says now, both lines with a line end between; NULL where it says nothing. (transfer full) */
char *td_notice_get_text (TdNotice *self);

G_END_DECLS
