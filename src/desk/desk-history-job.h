/* desk-history-job.h: the history of a site out of its reports. */
#pragma once

#include "model-history.h"
#include "store-book.h"

#include <gio/gio.h>

G_BEGIN_DECLS

/* So many visits are read, the newest: a year of fortnights and then some. */
#define TD_HISTORY_VISITS 40

/* A TdJob, reading. @data: the site's id (char *). Answer: a TdHistory. */
gboolean td_history_job (TdBook *book, gpointer data, gpointer *result_out, GError **error);

G_END_DECLS
