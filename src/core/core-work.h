/* core-work.h: what of a closed visit can be charged: facts, no prices.
 *
 * Immutable and reference counted. */
#pragma once

#include "core-visit.h"

G_BEGIN_DECLS

/* A line that was cleaned; one with a caustic and an acid clean stands twice. */
typedef struct
{
  char *id;
  char *title; /* "Front bar 4" */
  char *tower; /* id */
  char *tower_name;
  TdClean clean;
  TdMethod method;
} TdWorkLine;

typedef struct
{
  char *part;
  char *line; /* id, NULL where it belongs to none */
  char *title;
  gint64 quantity;
} TdWorkPart;

typedef struct
{
  char *product;         /* id */
  char *name;
  gint64 concentrate_ml; /* of all its mixes; -1 where one of them does not say */
} TdWorkChemical;

typedef struct _TdWork
{
  TdUuid visit;
  char *number;  /* of the report */
  char *site_id;
  char *site;
  TdDate date;   /* civil date at the site */
  char *kind;    /* "routine", "call-out", "re-clean" */
  gboolean out_of_hours;
  gint64 minutes; /* from arrival to closing, whole ones */
  GArray *lines;     /* TdWorkLine, in the order of the sheet, caustic before acid */
  GArray *parts;     /* TdWorkPart, in the order written down */
  GArray *chemicals; /* TdWorkChemical, in the order first mixed */
} TdWork;

/* A line counts for a clean where a pass of that clean has come to the end of its contact, unless it was
 * left out, or left out of service otherwise than rinsed; several passes of one clean count once, by the
 * last one's method.  Parts count as fitted, concentrate as mixed, also of what was not used.
 *
 * @first: (nullable): the visit at the beginning of the chain of amendments that @visit ends: its day,
 * kind, minutes and, unless @visit says otherwise, hours are what was agreed with the customer; the rest is
 * the newest visit's.  @visit: closed. @number: its report number. @date: civil date of the arrival.
 * Returns: (transfer full). */
TdWork *td_work_new (const TdVisit *visit, const char *number, TdDate date, const TdWork *first);
TdWork *td_work_ref (TdWork *work);
void td_work_unref (TdWork *work);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdWork, td_work_unref)

/* Puts a work together by hand, for tests and estimates: no lines, parts or chemicals yet. (transfer full) */
TdWork *td_work_new_empty (const TdUuid *visit, const char *number, const char *site_id, const char *site,
                           TdDate date, const char *kind);
void td_work_add_line (TdWork *work, const char *id, const char *title, const char *tower, const char *tower_name,
                       TdClean clean, TdMethod method);
void td_work_add_part (TdWork *work, const char *part, const char *line, const char *title, gint64 quantity);
/* Adds to what is there of that product; @concentrate_ml: -1 where not said. */
void td_work_add_chemical (TdWork *work, const char *product, const char *name, gint64 concentrate_ml);

G_END_DECLS
