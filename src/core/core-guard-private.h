/* core-guard-private.h: what the files of core-guard share. */
#pragma once

#include "core-guard.h"

G_BEGIN_DECLS

typedef struct
{
  const TdVisit *visit;
  const TdGuardQuestion *question;
  GArray *targets;    /* guint: outlets of the act, none twice */
  GPtrArray *missing; /* TdMissing */
} TdGuard;

/* Notes what is missing. @outlet: or -1. */
void td_guard_add (TdGuard *guard, TdKind remedy, int outlet, int circuit, const char *format, ...)
  G_GNUC_PRINTF (5, 6);
/* The same for a line: its title ("Tower B 6") stands before @text. */
void td_guard_add_line (TdGuard *guard, TdKind remedy, guint outlet, const char *text);
/* Makes the last note an advice. */
void td_guard_make_advice (TdGuard *guard);

/* The line of the sheet that an outlet belongs to. */
const TdLine *td_guard_get_line (const TdVisit *visit, guint outlet);
/* The visit's record of the outlet that has the keg end: of a side faucet, that of its line. */
const TdVisitLine *td_guard_get_keg_end (const TdVisit *visit, guint outlet);
/* The last tag on the outlet that was not removed, or NULL. */
const TdTag *td_guard_find_tag (const TdVisit *visit, guint outlet);
gboolean td_guard_tag_is_lifted (const TdTag *tag);
/* TRUE where the last pass of the line has not been rinsed to the tap's pH. */
gboolean td_guard_is_unrinsed (const TdVisit *visit, guint outlet);
/* Asks for the check of each cold room where the targets' kegs stand. */
void td_guard_ask_cold_rooms (TdGuard *guard);
void td_guard_ask_protection (TdGuard *guard);

/* By stage; each looks at question->kind. */
void td_guard_ask_safe (TdGuard *guard);     /* kegs, lever, mixing */
void td_guard_ask_chemical (TdGuard *guard); /* chemical-in */
void td_guard_ask_clean (TdGuard *guard);    /* contact, rinse, faucets, tags */
void td_guard_ask_back (TdGuard *guard);     /* kegs, levers, beer */
void td_guard_ask_end (TdGuard *guard);      /* signatures, closing */

G_END_DECLS
