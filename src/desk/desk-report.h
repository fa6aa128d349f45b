/* desk-report.h: the service report of a visit, put before a person. */
#pragma once

#include "desk-document-view.h"
#include "desk-session.h"

G_BEGIN_DECLS

/* Lays the report of the session's visit out, on the paper and in the units of @settings, and shows it;
 * of an open visit it is a draft. Returns FALSE with TD_DOCUMENT_ERROR where it cannot be laid out. */
gboolean td_report_show (TdDocumentView *view, TdSession *session, GSettings *settings, GError **error);

G_END_DECLS
