/* core-day-sheet.h: a technician's day as it is told on a sheet. */
#pragma once

#include "core-day.h"

G_BEGIN_DECLS

/* What is to be done at a stop. */
typedef struct
{
  const char *task; /* its code: "caustic", ...; static text */
  TdDate due;
  int days;         /* from today to due, negative: overdue */
} TdDayTask;

typedef struct
{
  char *site_id, *site, *account;
  char *address;     /* NULL where not said */
  char *area;        /* NULL where not said */
  gboolean assigned; /* the technician's own; FALSE: nobody's */
  guint lines;       /* faucets */
  char *reason;      /* why a visit was missed or moved since the last, NULL where none was */
  guint missed;      /* visits missed since the last */
  GArray *tasks;     /* TdDayTask */
  gboolean planned;  /* minutes come from the plan of the site, not from the setting */
  TdDayStop stop;    /* its area is the one above */
} TdDayVisit;

typedef struct
{
  char *technician; /* id */
  char *name;
  char *company;    /* NULL where not said */
  TdDate day;
  int from_min, to_min;
  char *area;       /* where it begins, NULL where not said */
  GPtrArray *visits; /* TdDayVisit in the order of the day; those that do not fit last */
  guint n_fit;
} TdDaySheet;

TdDayVisit *td_day_visit_new (void);
void td_day_visit_free (TdDayVisit *visit);
TdDaySheet *td_day_sheet_new (void);
void td_day_sheet_free (TdDaySheet *sheet);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdDaySheet, td_day_sheet_free)

G_END_DECLS
