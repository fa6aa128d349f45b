/* desk-i18n.h: the window's words in the reader's language. */
#pragma once

#include "desk-config.h"

#include <glib/gi18n-lib.h>
