/* exchange-calendar.h: the round as an iCalendar file (RFC 5545).
 *
 * Appointments are whole days or spans of UTC; the same appointments give the same bytes.  Lines end in
 * CRLF and are folded at 75 octets without parting a character (section 3.1); text is escaped
 * (section 3.3.11); an appointment keeps its UID for ever and raises SEQUENCE when it changes, so that a
 * calendar that imports the file again moves or cancels what it had (sections 3.8.4.7, 3.8.7.4). */
#pragma once

#include "core-time.h"

G_BEGIN_DECLS

typedef struct
{
  const char *uid;         /* stable, globally unique, no control characters */
  guint sequence;          /* 0 at first, one more at each change */
  gboolean cancelled;
  gint64 changed_ms;       /* UTC ms: DTSTAMP and LAST-MODIFIED */
  TdDate date;             /* the day, for a whole-day appointment; TD_DATE_NONE where it has a time */
  gint64 start_ms;         /* UTC ms, where date is TD_DATE_NONE */
  int minutes;             /* how long, > 0, where date is TD_DATE_NONE */
  const char *summary;
  const char *location;    /* (nullable) */
  const char *description; /* (nullable) */
  const char *categories;  /* (nullable): one word */
} TdAppointment;

/* @name: of the calendar, written as NAME (RFC 7986, section 5.1). @appointments: in the order wanted.
 * Returns: (transfer full): the file, or NULL with TD_ERROR_SHAPE or TD_ERROR_RANGE that names the
 * appointment by its summary (no uid, a uid twice, a date before year 1 or after 9999, no length). */
char *td_calendar_write (const char *name, const TdAppointment *appointments, gsize n_appointments, GError **error);

G_END_DECLS
