/* core-text.h: texts that came from outside, made fit for a message. */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

/* Returns: (transfer full): the first 60 characters of @text with an ellipsis where more follows, always
 * valid UTF-8, control characters replaced by spaces: fit to be quoted in an error. */
char *td_text_excerpt (const char *text);

G_END_DECLS
