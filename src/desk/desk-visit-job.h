/* desk-visit-job.h: the work of a session on the book's thread: loading a visit, appending to it. */
#pragma once

#include "model-habit.h"
#include "store-journal.h"
#include "store-master.h"
#include "store-query.h"

G_BEGIN_DECLS

/* Where the visit ended when this window last read or wrote it.  Touched on the book's thread only, so
 * that acts handed in quickly one after the other each know what the one before has come to. */
typedef struct _TdVisitTail TdVisitTail;

TdVisitTail *td_visit_tail_new (const TdUuid *visit);
TdVisitTail *td_visit_tail_ref (TdVisitTail *tail);
void td_visit_tail_unref (gpointer tail);

/* The answer of both jobs. */
typedef struct
{
  TdVisitRecord *record;
  TdMasters *masters;  /* as they are now */
  TdHabits *habits;    /* what earlier visits to the site tell */
  char *amends_number; /* report number of the visit that this one stands for; NULL where none */
  char *amended_by;    /* and of the one that stands for this one, once it is closed */
} TdVisitLoaded;

void td_visit_loaded_free (gpointer loaded);

/* A TdJob. @data: a TdVisitTail. */
gboolean td_visit_load_job (TdBook *book, gpointer data, gpointer *result_out, GError **error);

typedef struct _TdVisitAppend TdVisitAppend;

/* @drafts: (transfer full) (element-type TdDraft). */
TdVisitAppend *td_visit_append_new (TdVisitTail *tail, GPtrArray *drafts);
void td_visit_append_free (gpointer append);
/* A TdJob: appends, then loads. @data: a TdVisitAppend. Fails with TD_BOOK_ERROR_CONFLICT where the visit
 * went on without this window. */
gboolean td_visit_append_job (TdBook *book, gpointer data, gpointer *result_out, GError **error);

G_END_DECLS
