/* model-i18n.h: words of a list in the reader's language. */
#pragma once

#include <libintl.h>

#define _(text) gettext (text)
#define N_(text) text
