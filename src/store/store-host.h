/* store-host.h: what the book asks of the machine: clocks and chance.
 *
 * Handed in by whoever opens a book, so that a demonstration and a test can pin it.  Reference counted;
 * a clock belongs to the thread of its book. */
#pragma once

#include "core-uuid.h"
#include "store-zone.h"

G_BEGIN_DECLS

typedef struct _TdClock TdClock;

/* The machine's own: CLOCK_REALTIME, CLOCK_BOOTTIME, the kernel's boot id, getrandom(). */
TdClock *td_clock_new (void);
/* A clock that stands at @now_ms (UTC milliseconds) and goes on by @step_ms (>= 0) at each entry that is
 * recorded; its chance is a fixed sequence that follows from @seed.  Never for security. */
TdClock *td_clock_new_pinned (gint64 now_ms, gint64 step_ms, guint64 seed);
TdClock *td_clock_ref (TdClock *clock);
void td_clock_unref (TdClock *clock);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdClock, td_clock_unref)

gboolean td_clock_is_pinned (const TdClock *clock);
/* UTC milliseconds since 1970. */
gint64 td_clock_get_now_ms (const TdClock *clock);
/* Milliseconds since the machine started, suspend included; compare within one boot id only. */
gint64 td_clock_get_boottime_ms (const TdClock *clock);
/* Returns: (transfer none): identifies the machine's run. */
const char *td_clock_get_boot_id (const TdClock *clock);
void td_clock_fill_random (TdClock *clock, guint8 *bytes, gsize n_bytes);
/* A version 7 identifier from this clock. */
TdUuid td_clock_make_uuid (TdClock *clock);
/* Only for a pinned clock (asserted): sets it, boot time along with it. */
void td_clock_set_now_ms (TdClock *clock, gint64 now_ms);
/* Only moves a pinned clock: on by its step. */
void td_clock_advance (TdClock *clock);

G_END_DECLS
